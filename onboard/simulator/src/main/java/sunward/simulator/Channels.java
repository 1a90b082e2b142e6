package sunward.simulator;

import java.util.Arrays;

/** The light field as a set of channels with Gaussian lines sees it. Immutable; safe on any thread. */
public final class Channels {
    /** Nodes within a line, one standard deviation apart. */
    private static final int NODES = 7;
    /** Darkest radiance that is told, W m-2 nm-1 sr-1: below it a logarithm would fail; no photon comes in a year. */
    private static final double DARKEST = 1e-60;

    private final LightField field;
    private final double[] centreNm;
    private final double[] es;
    private final double[] ed0;
    private final double[] directShare;
    private final double[] upwardTransmission;
    /** ln of Lu, by level and channel. */
    private final double[][] lnRadiance;

    Channels(LightField field, double[] centreNm, double lineWidthNm) {
        this.field = field;
        this.centreNm = centreNm;
        int channels = centreNm.length;
        es = new double[channels];
        ed0 = new double[channels];
        directShare = new double[channels];
        upwardTransmission = new double[channels];
        lnRadiance = new double[field.levels()][channels];
        for (int c = 0; c < channels; c++) {
            fill(c, lineWidthNm);
        }
    }

    private void fill(int c, double lineWidthNm) {
        Sky sky = field.sky();
        double centre = centreNm[c];
        double sun = field.sunFactor() * field.truths().sun(centre);
        double direct = sun * SolarSpectrum.through(centre, lineWidthNm, 1, field::direct)[0];
        double below = 1 - sky.directReflectance();
        double skyBelow = 1 - sky.skyReflectance();
        double[] entering = SolarSpectrum.through(
                centre, lineWidthNm, NODES, nm -> sun * (below * field.direct(nm) + skyBelow * field.diffuse(nm)));
        double total = Arrays.stream(entering).sum();
        ed0[c] = total;
        directShare[c] = below * direct / total;
        es[c] = direct + (total - below * direct) / skyBelow;
        double index = field.truths().index(centre)
                * SeaSurface.index(
                        centre, field.water().temperatureDegC(0), field.water().salinity(0));
        upwardTransmission[c] = field.truths().surface() * SeaSurface.upwardTransmission(index);

        double sigma = SolarSpectrum.sigma(lineWidthNm);
        for (int z = 0; z < lnRadiance.length; z++) {
            double radiance = field.inelastic(z, centre);
            for (int n = 0; n < NODES; n++) {
                double nm = centre + (n - NODES / 2) * sigma;
                radiance += entering[n] * Math.exp(field.lnElastic(z, nm));
            }
            lnRadiance[z][c] = Math.log(Math.max(DARKEST, radiance));
        }
    }

    /** Centre wavelengths, nm. */
    public double[] centreNm() {
        return centreNm.clone();
    }

    /**
     * Upwelling nadir radiance at a depth, W m-2 nm-1 sr-1, straight in logarithm between levels.
     *
     * @param depthM m, positive down; above the surface the value just below it stands
     * @param into one value for each channel
     */
    public void radiance(double depthM, double[] into) {
        int z = levelAbove(depthM);
        double share = share(depthM, z);
        double[] above = lnRadiance[z];
        double[] below = lnRadiance[z + 1];
        for (int c = 0; c < into.length; c++) {
            into[c] = Math.exp(above[c] + share * (below[c] - above[c]));
        }
    }

    /** Upwelling nadir radiance at every depth of {@link LightField#depthsM()}, by depth and channel. */
    public double[][] radianceTable() {
        double[][] table = new double[lnRadiance.length][centreNm.length];
        for (int z = 0; z < table.length; z++) {
            radiance(field.depth(z), table[z]);
        }
        return table;
    }

    /** Upwelling nadir radiance just below the surface, W m-2 nm-1 sr-1. */
    public double[] lu0() {
        double[] lu = new double[centreNm.length];
        radiance(0, lu);
        return lu;
    }

    /** Water-leaving radiance at nadir just above the surface, W m-2 nm-1 sr-1. */
    public double[] lw() {
        double[] lw = lu0();
        for (int c = 0; c < lw.length; c++) {
            lw[c] *= upwardTransmission[c];
        }
        return lw;
    }

    /** Downwelling irradiance just above the surface, sun and sky, W m-2 nm-1. */
    public double[] es() {
        return es.clone();
    }

    /** Downwelling irradiance that enters the sea, just below the surface, W m-2 nm-1; without light thrown back down. */
    public double[] ed0() {
        return ed0.clone();
    }

    /** Share of the downwelling irradiance just below the surface that comes straight from the sun, 0 to 1. */
    public double[] directShare() {
        return directShare.clone();
    }

    /** Attenuation of upwelling nadir radiance (K_Lu), per m, of the layer that holds a depth. */
    public double attenuation(double depthM, int channel) {
        int z = levelAbove(depthM);
        return (lnRadiance[z][channel] - lnRadiance[z + 1][channel]) / (field.depth(z + 1) - field.depth(z));
    }

    /** As {@link #attenuation(double, int)}, of every channel. */
    void attenuation(double depthM, double[] into) {
        int z = levelAbove(depthM);
        double thick = field.depth(z + 1) - field.depth(z);
        for (int c = 0; c < into.length; c++) {
            into[c] = (lnRadiance[z][c] - lnRadiance[z + 1][c]) / thick;
        }
    }

    /**
     * Downwelling irradiance above the surface with the sun at another zenith distance, over that at surfacing, by channel.
     *
     * @param sunZenithDeg 0 to 180
     * @param into one value for each channel
     */
    public void skyFactor(double sunZenithDeg, double[] into) {
        Sky then = Sky.of(field.scene().getAtmosphere(), sunZenithDeg, field.truths());
        Sky now = field.sky();
        for (int c = 0; c < into.length; c++) {
            double nm = centreNm[c];
            into[c] = (then.direct(nm) + then.diffuse(nm)) / (now.direct(nm) + now.diffuse(nm));
        }
    }

    /** Attenuation of downwelling irradiance (Kd), per m, of the layer that holds a depth. */
    public double downwellingAttenuation(double depthM, int channel) {
        int z = levelAbove(depthM);
        return field.downwellingAttenuation(centreNm[channel], z, z + 1);
    }

    private int levelAbove(double depthM) {
        int low = 0;
        int high = lnRadiance.length - 1;
        while (high - low > 1) {
            int middle = (low + high) >>> 1;
            if (field.depth(middle) <= depthM) {
                low = middle;
            } else {
                high = middle;
            }
        }
        return low;
    }

    private double share(double depthM, int z) {
        return Math.max(0, depthM - field.depth(z)) / (field.depth(z + 1) - field.depth(z));
    }
}
