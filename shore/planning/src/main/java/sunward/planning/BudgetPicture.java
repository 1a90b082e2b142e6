package sunward.planning;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.stream.IntStream;
import sunward.profiles.Contribution;
import sunward.profiles.SurfaceRadiance;

/** The uncertainty of water-leaving radiance by contributor, the small ones taken together. */
final class BudgetPicture {
    /** More than this cannot be told apart in one picture. */
    private static final int MOST_CONTRIBUTORS = 10;

    private static final int LARGEST_NAMED = 3;

    private final SurfaceRadiance surface;
    private final int wavelengths;

    BudgetPicture(SurfaceRadiance surface) {
        this.surface = surface;
        this.wavelengths = surface.wavelengthNm().size();
    }

    ReportData.Budget data() {
        List<Contribution> sorted = surface.budget().contributions().stream()
                .sorted(Comparator.comparingDouble((Contribution c) -> -weight(c)))
                .toList();
        int shown = sorted.size() <= MOST_CONTRIBUTORS ? sorted.size() : MOST_CONTRIBUTORS - 1;
        List<ReportData.Contributor> contributors = new ArrayList<>();
        for (Contribution c : sorted.subList(0, shown)) {
            contributors.add(
                    new ReportData.Contributor(c.name(), c.correlation().words(), percent(List.of(c))));
        }
        List<Contribution> rest = sorted.subList(shown, sorted.size());
        if (!rest.isEmpty()) {
            contributors.add(new ReportData.Contributor(rest.size() + " smaller ones", "mixed", percent(rest)));
        }
        double[] total = new double[wavelengths];
        String[] largest = new String[wavelengths];
        for (int k = 0; k < wavelengths; k++) {
            total[k] = 100 * surface.lwRelative().at(k);
            largest[k] = Double.isNaN(total[k])
                    ? ""
                    : String.join("; ", surface.budget().largest(k, LARGEST_NAMED));
        }
        return new ReportData.Budget(surface.wavelengthNm().toArray(), total, contributors, largest);
    }

    /** Contributors that are among the largest anywhere come first, then the rest by their share of the variance. */
    private double weight(Contribution contribution) {
        long named = IntStream.range(0, wavelengths)
                .filter(k -> Double.isFinite(surface.lwRelative().at(k)))
                .filter(k -> surface.budget().largest(k, LARGEST_NAMED).contains(contribution.name()))
                .count();
        return named + summedShare(contribution) / wavelengths;
    }

    private double summedShare(Contribution contribution) {
        double sum = 0;
        for (int k = 0; k < wavelengths; k++) {
            double share = contribution.factor().at(k) / surface.budget().relative(k);
            sum += Double.isFinite(share) ? share * share : 0;
        }
        return sum;
    }

    private double[] percent(List<Contribution> together) {
        double[] percent = new double[wavelengths];
        for (Contribution contribution : together) {
            for (int k = 0; k < wavelengths; k++) {
                percent[k] = Double.isNaN(surface.lwRelative().at(k))
                        ? Double.NaN
                        : Math.hypot(percent[k], 100 * contribution.factor().at(k));
            }
        }
        return percent;
    }
}
