package sunward.profiles;

import java.util.BitSet;

/**
 * One bin of one head, as shore holds it.
 *
 * @param head head, from 0, in the plan's order
 * @param bin number of the bin from the surface down
 * @param pass pass through the bin, 0 the ascent
 * @param position place in the dive of the message that brought it
 * @param shaded true for scans taken with predicted shading above the plan's limit
 * @param exposureS exposure of {@code countsPerSecond}, s
 * @param mixedExposure true when scans of other exposures were scaled and included
 * @param used scans in the mean
 * @param rejected scans left out as flashes, spikes, saturated or too tilted
 * @param shadedScans scans that went to the shaded class
 * @param timeS mean time, s since 2000
 * @param portPressureDbar mean raw pressure at the port
 * @param offsetM depth of the aperture below the port
 * @param depthM mean depth of the aperture below the surface; not-a-number when it cannot be told
 * @param depthSdM standard deviation of that depth within the bin
 * @param tiltDeg mean tilt
 * @param antisunDeg mean azimuth from the anti-solar direction, -180 to 180; not-a-number: unknown
 * @param fallback fallback of the head choice, by number
 * @param darkScans dark scans behind the dark level, 0 to 255
 * @param refined samples that the samples tier brought, each within one standard deviation of the bin's noise
 * @param spread relative standard deviation between scans in the lower third of the channels; not-a-number: unknown
 * @param counts dark-corrected counts per second, per sample
 * @param noise what is known of its noise
 * @param leftOut what the codec left out of its spectrum
 * @param radiance upwelling radiance, W m-2 nm-1 sr-1, per sample; null without a calibration
 * @param radianceUncertainty its combined standard uncertainty (noise, rounding, calibration, immersion, linearity); null likewise
 */
public record ProfileBin(
        int head,
        int bin,
        int pass,
        int position,
        boolean shaded,
        double exposureS,
        boolean mixedExposure,
        int used,
        int rejected,
        int shadedScans,
        long timeS,
        double portPressureDbar,
        double offsetM,
        double depthM,
        double depthSdM,
        double tiltDeg,
        double antisunDeg,
        int fallback,
        int darkScans,
        BitSet refined,
        double spread,
        Spectrum counts,
        BinNoise noise,
        LeftOut leftOut,
        Spectrum radiance,
        Spectrum radianceUncertainty) {

    /** The same bin with what shore worked out. */
    ProfileBin with(double depth, HeadResponse response) {
        return new ProfileBin(
                head,
                bin,
                pass,
                position,
                shaded,
                exposureS,
                mixedExposure,
                used,
                rejected,
                shadedScans,
                timeS,
                portPressureDbar,
                offsetM,
                depth,
                depthSdM,
                tiltDeg,
                antisunDeg,
                fallback,
                darkScans,
                refined,
                spread,
                counts,
                noise,
                leftOut,
                response == null ? null : response.radiance(counts),
                response == null ? null : response.uncertainty(counts, noise));
    }

    /** Standard uncertainty of the counts per second at sample {@code k}, noise and rounding. */
    public double countsUncertainty(int k) {
        return Math.sqrt(noise.variance(counts.at(k)));
    }

    /** True when the bin has a spectrum of unshaded scans of the ascent, at a known depth. */
    boolean fitsSurface() {
        return !shaded && used > 0 && pass == 0 && radiance != null && depthM > 0;
    }
}
