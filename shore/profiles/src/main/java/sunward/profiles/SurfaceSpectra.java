package sunward.profiles;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/** Through the surface and over the irradiance: from fits to Lw, nLw and Rrs. */
final class SurfaceSpectra {
    /** Above this a value tells too little to be given, and an uncertainty that assumes small errors is no longer one. */
    private static final double LARGEST_RELATIVE = 0.3;

    /** Relative standard uncertainty of the sun's spectrum at the width of a line (spread of modern spectra and table steps; assumed). */
    private static final double SOLAR_UNCERTAINTY = 0.02;

    private final ShoreInputs inputs;
    private final DiveProduct.Place place;
    private final SurfaceWater water;
    private final double[] nm;
    private final double widthNm;

    SurfaceSpectra(ShoreInputs inputs, DiveProduct.Place place, SurfaceWater water, double[] nm, double widthNm) {
        this.inputs = inputs;
        this.place = place;
        this.water = water;
        this.nm = nm;
        this.widthNm = widthNm;
    }

    SurfaceRadiance build(
            FitBins[] columns, SurfaceFit.Result[] results, String[] whyNot, List<Contribution> belowSurface) {
        Corrected transfer = SurfaceTransfer.spectrum(nm, water);
        List<Contribution> all = new ArrayList<>(belowSurface);
        all.addAll(transfer.contributions());
        UncertaintyBudget budget = new UncertaintyBudget(all);
        int n = nm.length;
        double[] lu0 = gaps(n);
        double[] lw = gaps(n);
        double[] lwRelative = gaps(n);
        double[] attenuation = gaps(n);
        double[] attenuationU = gaps(n);
        double[] es = gaps(n);
        double[] nlw = gaps(n);
        double[] nlwRelative = gaps(n);
        double[] rrs = gaps(n);
        double[] rrsRelative = gaps(n);
        List<Integer> used = new ArrayList<>();
        List<String> missing = new ArrayList<>();
        boolean sun = place.known() && place.sunZenithDeg() < 85;
        ClearSky sky = new ClearSky(inputs.ancillary());
        double distance = sun
                ? ClearSky.distanceFactor(SunPosition.at(
                                place.timeS(),
                                place.latitudeDeg(),
                                place.longitudeDeg(),
                                inputs.ancillary().deltaTS())
                        .dayOfYear())
                : Double.NaN;
        for (int k = 0; k < n; k++) {
            used.add(columns[k].count());
            double share =
                    sun ? distance * sky.shares(nm[k], place.sunZenithDeg()).global() : Double.NaN;
            double solar = ClearSky.solarIrradiance(nm[k], widthNm);
            es[k] = solar * share;
            double relative = budget.relative(k);
            missing.add(why(columns[k], whyNot[k], relative));
            if (!missing.get(k).isEmpty()) {
                continue;
            }
            lu0[k] = results[k].radiance();
            lw[k] = lu0[k] * transfer.factor().at(k);
            lwRelative[k] = relative;
            attenuation[k] = results[k].attenuationPerM();
            attenuationU[k] = results[k].attenuationUncertainty();
            nlw[k] = lw[k] / share;
            rrs[k] = lw[k] / es[k];
            double skyRelative = inputs.ancillary().skyUncertaintyPercent() / 100;
            if (sun) {
                nlwRelative[k] = Math.hypot(relative, skyRelative);
                rrsRelative[k] = Math.hypot(nlwRelative[k], SOLAR_UNCERTAINTY);
            }
        }
        return new SurfaceRadiance(
                Spectrum.of(nm),
                Spectrum.of(lu0),
                Spectrum.of(lw),
                Spectrum.of(lwRelative),
                Spectrum.of(attenuation),
                Spectrum.of(attenuationU),
                Spectrum.of(es),
                Spectrum.of(nlw),
                Spectrum.of(nlwRelative),
                Spectrum.of(rrs),
                Spectrum.of(rrsRelative),
                List.copyOf(used),
                budget,
                List.copyOf(missing));
    }

    private static String why(FitBins column, String whyNot, double relative) {
        if (column.count() == 0) {
            return "no bins near the surface";
        }
        if (!whyNot.isEmpty()) {
            return whyNot;
        }
        return relative <= LARGEST_RELATIVE ? "" : SurfaceFit.NO_LIGHT;
    }

    /**
     * d ln L / d wavelength, per nm: the solar lines seen through this line width, and the slope of the radiance over the
     * sun's spectrum from neighbour to neighbour.
     */
    static double[] logSlopePerNm(double[] nm, SurfaceFit.Result[] results, double widthNm) {
        double[] slope = new double[nm.length];
        double[] ratio = new double[nm.length];
        for (int k = 0; k < nm.length; k++) {
            ratio[k] = results[k] == null
                    ? Double.NaN
                    : Math.log(results[k].radiance() / ClearSky.solarIrradiance(nm[k], widthNm));
        }
        for (int k = 0; k < nm.length; k++) {
            double lines = Math.log(
                    ClearSky.solarIrradiance(nm[k] + 0.5, widthNm) / ClearSky.solarIrradiance(nm[k] - 0.5, widthNm));
            int low = k > 0 && !Double.isNaN(ratio[k - 1]) ? k - 1 : k;
            int high = k + 1 < nm.length && !Double.isNaN(ratio[k + 1]) ? k + 1 : k;
            slope[k] = lines + (high > low ? (ratio[high] - ratio[low]) / (nm[high] - nm[low]) : 0);
        }
        return slope;
    }

    private static double[] gaps(int n) {
        double[] values = new double[n];
        Arrays.fill(values, Double.NaN);
        return values;
    }
}
