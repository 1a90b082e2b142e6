package sunward.profiles;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** Collects a budget wavelength by wavelength. */
final class BudgetRows {
    private final int wavelengths;
    private final Map<String, double[]> factors = new LinkedHashMap<>();
    private final Map<String, Contribution> kinds = new LinkedHashMap<>();

    BudgetRows(int wavelengths) {
        this.wavelengths = wavelengths;
    }

    /** Adds a share of another contribution to the source of its name; heads that err together add up with their sign. */
    void add(Contribution of, int k, double share) {
        row(of)[k] += share * of.factor().at(k);
    }

    /** A source with one error along the spectrum. */
    void whole(String name, Correlation correlation, int k, double relative) {
        row(new Contribution(name, correlation, Double.POSITIVE_INFINITY, Spectrum.of()))[k] = relative;
    }

    /** A source with one error over some nanometres. */
    void near(String name, Correlation correlation, double lengthNm, int k, double relative) {
        row(new Contribution(name, correlation, lengthNm, Spectrum.of()))[k] = relative;
    }

    /** A random source with an error of its own at each wavelength, by its variance. */
    void apart(String name, int k, double variance) {
        row(new Contribution(name, Correlation.RANDOM, 0, Spectrum.of()))[k] = Math.sqrt(variance);
    }

    private double[] row(Contribution kind) {
        kinds.putIfAbsent(kind.name(), kind);
        return factors.computeIfAbsent(kind.name(), n -> new double[wavelengths]);
    }

    List<Contribution> contributions() {
        List<Contribution> all = new ArrayList<>();
        factors.forEach((name, factor) -> {
            Contribution kind = kinds.get(name);
            all.add(new Contribution(name, kind.correlation(), kind.correlationLengthNm(), Spectrum.of(factor)));
        });
        return all;
    }
}
