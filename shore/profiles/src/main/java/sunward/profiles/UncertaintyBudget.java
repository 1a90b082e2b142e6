package sunward.profiles;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/** All sources of uncertainty of one spectrum, and their sum in quadrature (GUM, eq. 10, independent sources). Immutable. */
public final class UncertaintyBudget {
    private final List<Contribution> contributions;

    UncertaintyBudget(List<Contribution> contributions) {
        this.contributions = List.copyOf(contributions);
    }

    /** The sources, in the order of the processing steps. */
    public List<Contribution> contributions() {
        return contributions;
    }

    /** This budget and further sources. */
    UncertaintyBudget with(List<Contribution> more) {
        List<Contribution> all = new ArrayList<>(contributions);
        all.addAll(more);
        return new UncertaintyBudget(all);
    }

    /** Combined relative standard uncertainty at wavelength {@code k}. */
    public double relative(int k) {
        double sum = 0;
        for (Contribution contribution : contributions) {
            double factor = contribution.factor().at(k);
            sum += factor * factor;
        }
        return Math.sqrt(sum);
    }

    /** Combined relative standard uncertainty of the sources of one class at wavelength {@code k}. */
    public double relative(int k, Correlation correlation) {
        double sum = 0;
        for (Contribution contribution : contributions) {
            if (contribution.correlation() == correlation) {
                double factor = contribution.factor().at(k);
                sum += factor * factor;
            }
        }
        return Math.sqrt(sum);
    }

    /** Names of the largest sources at wavelength {@code k}, largest first; sources of nothing are left out. */
    public List<String> largest(int k, int howMany) {
        return contributions.stream()
                .filter(c -> Math.abs(c.factor().at(k)) > 0)
                .sorted(Comparator.comparingDouble(
                                (Contribution c) -> -Math.abs(c.factor().at(k)))
                        .thenComparing(Contribution::name))
                .limit(howMany)
                .map(Contribution::name)
                .toList();
    }
}
