package sunward.planning;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import sunward.profiles.DiveProduct;
import sunward.profiles.Gap;
import sunward.profiles.ProfileBin;
import sunward.profiles.Seawater;
import sunward.profiles.Spectrum;
import sunward.protocol.schema.BinZone;
import sunward.protocol.schema.Plan;

/** Upwelling radiance by bin and wavelength, both heads' clear bins of the ascent together, as the report draws it. */
final class RadiancePicture {
    /** More columns than this cannot be told apart on a screen: neighbours are averaged. */
    private static final int MOST_COLUMNS = 240;

    private final DiveProduct product;
    private final List<String> headNames;
    private final double[] wavelengthNm;
    private final double latitudeDeg;

    private RadiancePicture(DiveProduct product, List<String> headNames) {
        this.product = product;
        this.headNames = headNames;
        this.wavelengthNm = product.profile().wavelengthNm().isEmpty()
                ? new double[0]
                : product.profile().wavelengthNm().get(0).toArray();
        double latitude = product.place().latitudeDeg();
        this.latitudeDeg = Double.isNaN(latitude) ? 45 : latitude;
    }

    static ReportData.Picture of(DiveProduct product, Plan plan) {
        List<String> names = plan.getHeadsList().stream().map(h -> h.getName()).toList();
        return new RadiancePicture(product, names).draw(edges(plan));
    }

    /** A picture of nothing. */
    static ReportData.Picture empty() {
        return new ReportData.Picture(
                new double[0], new double[0], new double[0], new double[0][], new String[0], new String[0]);
    }

    /** Edges of the plan's bins, dbar, from the surface down. */
    static double[] edges(Plan plan) {
        List<Double> edges = new ArrayList<>(List.of(0.0));
        double top = 0;
        for (BinZone zone : plan.getBins().getZonesList()) {
            long count = Math.round((zone.getToDbar() - top) / zone.getWidthDbar());
            for (int i = 1; i <= count; i++) {
                edges.add(top + i * zone.getWidthDbar());
            }
            top = zone.getToDbar();
        }
        return edges.stream().mapToDouble(Double::doubleValue).toArray();
    }

    private ReportData.Picture draw(double[] edges) {
        int rows = edges.length - 1;
        int perColumn = Math.max(1, (wavelengthNm.length + MOST_COLUMNS - 1) / MOST_COLUMNS);
        double[] columns = Comparison.means(wavelengthNm, perColumn);
        double[][] lu = new double[rows][];
        String[] heads = new String[rows];
        String[] cause = new String[rows];
        for (int row = 0; row < rows; row++) {
            List<ProfileBin> bins = bins(row);
            lu[row] = radiance(bins, perColumn, columns.length);
            heads[row] = String.join(
                    " ",
                    bins.stream().map(b -> headNames.get(b.head())).distinct().toList());
            cause[row] = bins.isEmpty() ? causes(row) : "";
        }
        return new ReportData.Picture(columns, depths(edges, 0), depths(edges, 1), lu, heads, cause);
    }

    private List<ProfileBin> bins(int number) {
        return product.profile().bins().stream()
                .filter(b -> b.bin() == number && b.pass() == 0 && !b.shaded() && b.used() > 0 && b.radiance() != null)
                .filter(b -> sameGrid(b.head()))
                .toList();
    }

    private boolean sameGrid(int head) {
        Spectrum grid = product.profile().wavelengthNm().get(head);
        return grid.equals(product.profile().wavelengthNm().get(0));
    }

    /** Means over the heads, weighted by scans; 0 where the signal is below twice its random uncertainty. */
    private static double[] radiance(List<ProfileBin> bins, int perColumn, int columns) {
        double[] sum = new double[columns];
        if (bins.isEmpty()) {
            Arrays.fill(sum, Double.NaN);
            return sum;
        }
        double[] signal = new double[columns];
        double[] variance = new double[columns];
        double scans = bins.stream().mapToInt(ProfileBin::used).sum();
        for (ProfileBin bin : bins) {
            double weight = bin.used() / scans;
            double[] radiance = Comparison.means(bin.radiance().toArray(), perColumn);
            double[] counts = Comparison.means(bin.counts().toArray(), perColumn);
            for (int k = 0; k < columns; k++) {
                sum[k] += weight * radiance[k];
                signal[k] += weight * counts[k];
                double own = bin.noise().fixed() + bin.noise().perCount() * Math.max(0, counts[k]);
                variance[k] += weight * weight * own / perColumn;
            }
        }
        for (int k = 0; k < columns; k++) {
            if (signal[k] < 2 * Math.sqrt(variance[k])) {
                sum[k] = 0;
            }
        }
        return sum;
    }

    private String causes(int row) {
        List<String> causes = new ArrayList<>();
        for (Gap gap : product.profile().gaps()) {
            if (gap.firstBin() <= row && row <= gap.lastBin()) {
                causes.add(headNames.get(gap.head()) + ": " + gap.cause().words());
            }
        }
        return causes.isEmpty() ? "no bin was made here" : String.join("; ", causes);
    }

    private double[] depths(double[] edges, int from) {
        return Arrays.stream(edges, from, edges.length - 1 + from)
                .map(p -> Seawater.depthM(p, latitudeDeg))
                .toArray();
    }
}
