package sunward.profiles;

import java.util.ArrayList;
import java.util.List;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Outline;
import sunward.protocol.spectra.OutlineCodec;
import sunward.protocol.spectra.OutlineModel;

/**
 * The float's own smooth profile as its outline tells it: a layer of the product by itself, never passed off as bins.
 *
 * @param head number of the head that it is of; the others differ as the float found
 * @param channelsPerSample channels averaged into a sample
 * @param knots from the surface down
 */
public record SmoothProfile(int head, int channelsPerSample, List<Knot> knots) {
    /**
     * A knot; between knots the logarithm runs along a cubic in depth, see WIRE.md.
     *
     * @param depthM depth of the aperture
     * @param countsPerS dark-corrected counts per second
     * @param scatter relative rms of the bins' brightness about the profile in the layer below; not-a-number at the last
     * @param misfit largest misfit of a band in that layer, in standard deviations of its noise; not-a-number at the last
     */
    public record Knot(double depthM, Spectrum countsPerS, double scatter, double misfit) {}

    /** Reads an outline's body; null when no encoder can have written it. */
    static Outline read(byte[] body, BlockHeader header) {
        Outline outline = new Outline();
        OutlineCodec codec = new OutlineCodec(new OutlineModel());
        return codec.decode(body, 0, body.length, header, outline) ? outline : null;
    }

    /** The profile at its knots, at true depth. */
    static SmoothProfile of(Outline outline, BlockHeader header, HeadDepth depth) {
        OutlineModel model = new OutlineModel();
        model.start(header);
        List<Knot> knots = new ArrayList<>();
        for (int j = 0; j < outline.knots; j++) {
            double[] log = new double[outline.samples];
            double raw = outline.knotCm[j] / 100.0;
            model.at(outline, 0, raw, log);
            for (int k = 0; k < log.length; k++) {
                log[k] = Math.exp(log[k]);
            }
            boolean last = j == outline.knots - 1;
            knots.add(new Knot(
                    depth.depthM(raw, 0),
                    Spectrum.of(log),
                    last ? Double.NaN : outline.scatter[j] * 1e-4,
                    last ? Double.NaN : outline.misfitTenths[j] / 10.0));
        }
        return new SmoothProfile(outline.head[0], header.channelsPerSample, List.copyOf(knots));
    }
}
