package sunward.simulator;

/**
 * Another sea, so that what was trained or tuned in the usual one can be judged elsewhere. Phytoplankton is a sum of pigment
 * bands whose blue and red groups have the size of Bricaud et al. (1995) at 440 and 676 nm; places and widths of the bands
 * are round numbers near those of chlorophylls and carotenoids, invented. Dissolved matter falls with 0.0176 per nm (Babin et al.
 * 2003), detritus with 0.011 (from memory). Particles scatter by Loisel and Morel (1998), the backward share by Twardowski et al.
 * (2001), both laws from memory, as one over wavelength.
 */
final class PigmentBands implements Constituents {
    /** Centre nm, full width nm, height in its group; the last value tells the group: 0 blue, 1 red. */
    private static final double[][] BANDS = {
        {335, 50, 0.70, 0},
        {382, 50, 0.60, 0},
        {416, 34, 0.62, 0},
        {438, 28, 0.72, 0},
        {464, 38, 0.58, 0},
        {492, 44, 0.50, 0},
        {536, 52, 0.16, 0},
        {584, 48, 0.22, 1},
        {628, 40, 0.30, 1},
        {654, 28, 0.28, 1},
        {676, 22, 0.95, 1}
    };

    private static final double[] GROUP_NM = {440, 676};
    /** Specific absorption of each group at its wavelength and how it falls with chlorophyll: Bricaud et al. (1995). */
    private static final double[] GROUP_SIZE = {0.0403, 0.0200};

    private static final double[] GROUP_FALL = {0.332, 0.159};

    private static final double DISSOLVED_SLOPE = 0.0176;
    private static final double DETRITUS_SLOPE = 0.011;
    /** Of what is not phytoplankton at 440 nm, so much is dissolved; invented. */
    private static final double DISSOLVED_PART = 0.75;

    /** Photons sent out per photon absorbed, in bands of other widths than the usual sea's; invented within what is reported. */
    private static final double FLUORESCENCE_YIELD = 0.010;

    private final double[] height = new double[GROUP_NM.length];

    PigmentBands() {
        for (int group = 0; group < height.length; group++) {
            height[group] = 1 / shape(GROUP_NM[group], group);
        }
    }

    private static double shape(double wavelengthNm, int group) {
        double sum = 0;
        for (double[] band : BANDS) {
            double t = (wavelengthNm - band[0]) / SolarSpectrum.sigma(band[1]);
            sum += band[3] == group ? band[2] * Math.exp(-0.5 * t * t) : 0;
        }
        return sum;
    }

    @Override
    public double phytoplankton(double wavelengthNm, double chlorophyll) {
        double sum = 0;
        for (int group = 0; group < height.length; group++) {
            sum += height[group]
                    * shape(wavelengthNm, group)
                    * GROUP_SIZE[group]
                    * Math.pow(chlorophyll, 1 - GROUP_FALL[group]);
        }
        return sum;
    }

    @Override
    public double dissolvedShape(double wavelengthNm, double slopeFactor) {
        double away = slopeFactor * (wavelengthNm - REFERENCE_NM);
        return DISSOLVED_PART * Math.exp(-DISSOLVED_SLOPE * away)
                + (1 - DISSOLVED_PART) * Math.exp(-DETRITUS_SLOPE * away);
    }

    @Override
    public double particleScattering(double wavelengthNm, double chlorophyll) {
        return 0.407 * Math.pow(chlorophyll, 0.795) * 660 / wavelengthNm;
    }

    @Override
    public double particleBackscatter(double wavelengthNm, double chlorophyll) {
        return 0.0096 * Math.pow(chlorophyll, -0.253) * particleScattering(wavelengthNm, chlorophyll);
    }

    @Override
    public double fluorescence(double wavelengthNm) {
        return FLUORESCENCE_YIELD
                * (0.85 * Constituents.band(wavelengthNm - 683, 27) + 0.15 * Constituents.band(wavelengthNm - 730, 60));
    }
}
