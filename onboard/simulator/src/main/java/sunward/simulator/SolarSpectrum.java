package sunward.simulator;

import java.util.List;
import java.util.function.DoubleUnaryOperator;

/**
 * Extraterrestrial solar irradiance at 1 au with its absorption lines, in cells of 0.1 nm on air wavelengths, 300.5 to 899.4
 * nm: lines of Chance and Kurucz (2010), level of Coddington et al. (2023); see the table for the full sources.
 */
final class SolarSpectrum {
    private static final double CELL_NM = 0.1;
    private static final double UNIT = 1e-5;
    /** Gaussian lines are cut at this many standard deviations. */
    private static final double CUT = 4;

    private static final double FIRST_NM;
    private static final double[] CELLS;

    static {
        List<double[]> rows = Table.rows("sun-0p1nm.csv");
        FIRST_NM = rows.get(0)[0];
        int width = rows.get(0).length - 1;
        CELLS = new double[rows.size() * width];
        for (int r = 0; r < rows.size(); r++) {
            for (int c = 0; c < width; c++) {
                CELLS[r * width + c] = UNIT * rows.get(r)[c + 1];
            }
        }
    }

    private SolarSpectrum() {}

    /** Standard deviation of a Gaussian line of this full width at half maximum. */
    static double sigma(double fullWidthNm) {
        return fullWidthNm / (2 * Math.sqrt(2 * StrictMath.log(2)));
    }

    /** Irradiance of the cell that holds a wavelength (the end cells beyond the table), W m-2 nm-1 at 1 au. */
    static double at(double wavelengthNm) {
        return CELLS[cell(wavelengthNm)];
    }

    /** Irradiance seen by a Gaussian line, W m-2 nm-1 at 1 au. */
    static double through(double centreNm, double fullWidthNm) {
        return through(centreNm, fullWidthNm, 1, wavelength -> 1)[0];
    }

    /**
     * Irradiance times a factor of wavelength, both seen by a Gaussian line, told apart by where in the line it comes from.
     *
     * @param nodes odd number of nodes one standard deviation apart, the middle one at the centre; light counts for the
     *     nearest node
     * @param factor smooth factor of wavelength, nm
     * @return the share of each node; their sum is the irradiance that the line sees, W m-2 nm-1 at 1 au
     */
    static double[] through(double centreNm, double fullWidthNm, int nodes, DoubleUnaryOperator factor) {
        double sigma = sigma(fullWidthNm);
        double lastNm = FIRST_NM + CELL_NM * (CELLS.length - 1);
        if (!(centreNm >= FIRST_NM && centreNm <= lastNm)) {
            throw new IllegalArgumentException("no solar irradiance is known at " + centreNm + " nm");
        }
        double[] sums = new double[nodes];
        double weights = 0;
        int half = nodes / 2;
        for (int i = cell(centreNm - CUT * sigma); i <= cell(centreNm + CUT * sigma); i++) {
            double wavelength = FIRST_NM + CELL_NM * i;
            double t = (wavelength - centreNm) / sigma;
            double weight = Math.exp(-0.5 * t * t);
            weights += weight;
            int node = (int) Math.max(-half, Math.min(half, Math.round(t)));
            sums[half + node] += weight * CELLS[i] * factor.applyAsDouble(wavelength);
        }
        for (int i = 0; i < nodes; i++) {
            sums[i] /= weights;
        }
        return sums;
    }

    private static int cell(double wavelengthNm) {
        long i = Math.round((wavelengthNm - FIRST_NM) / CELL_NM);
        return (int) Math.max(0, Math.min(CELLS.length - 1, i));
    }
}
