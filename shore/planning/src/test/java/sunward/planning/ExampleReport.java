package sunward.planning;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.stream.IntStream;

/** A made-up report, so that the page can be tried without flying a dive. Every number is invented. */
final class ExampleReport {
    private ExampleReport() {}

    static ReportData data(String title) {
        double[] nm = IntStream.range(0, 180).mapToDouble(i -> 321.1 + 3 * i).toArray();
        double[] truth = Arrays.stream(nm).map(ExampleReport::surface).toArray();
        double[] half = Arrays.stream(nm)
                .map(w -> w < 600 ? 3.5 + 3 * Math.max(0, (360 - w) / 40) : 3.5 + Math.pow((w - 600) / 60, 2) * 4)
                .toArray();
        double[] error = IntStream.range(0, nm.length)
                .mapToDouble(i -> half[i] * (0.5 * Math.sin(nm[i] / 31) + 0.25 * Math.sin(nm[i] * 1.7)))
                .toArray();
        double[] lw = scaled(truth, error, 1);
        error[150] = Double.NaN;
        lw[150] = Double.NaN;
        String[] note = new String[nm.length];
        Arrays.fill(note, "");
        note[150] = "no bins near the surface";
        return new ReportData(
                title,
                true,
                "Water-leaving radiance was recovered at 179 of 180 wavelengths from 321 to 858 nm; the stated 95 % intervals"
                        + " hold the truth at 96 % of them, and at 412 to 555 nm their half width is at most 3.5 %.",
                List.of(
                        new ReportData.Fact("Lw at 443 nm", "0.0121", "W m-2 nm-1 sr-1, ± 3.5 %; truth 0.0119"),
                        new ReportData.Fact("Widest, 412 to 555 nm", "3.5 %", "half the 95 % interval of Lw"),
                        new ReportData.Fact("Truth inside", "96 %", "the 95 % interval, of 179 wavelengths"),
                        new ReportData.Fact("Messages", "49 of 52", "2 lost, 1 spoilt on the way"),
                        new ReportData.Fact("Bins", "401 of 430", "both heads, 250 m to the surface"),
                        new ReportData.Fact("Sun", "34.3°", "from the zenith at surfacing")),
                new ReportData.Spectra(
                        nm,
                        lw,
                        scaled(lw, half, -1),
                        scaled(lw, half, 1),
                        truth,
                        Arrays.stream(lw).map(x -> x / 0.54).toArray(),
                        Arrays.stream(scaled(lw, half, -1)).map(x -> x / 0.54).toArray(),
                        Arrays.stream(scaled(lw, half, 1)).map(x -> x / 0.54).toArray(),
                        Arrays.stream(truth).map(x -> x / 0.54).toArray(),
                        error,
                        half,
                        Arrays.stream(nm).map(ExampleReport::attenuation).toArray(),
                        Arrays.stream(nm).map(w -> 1.01 * attenuation(w)).toArray(),
                        note),
                picture(nm),
                scene(nm),
                geometry(),
                new ReportData.Cast(
                        IntStream.range(0, 60).mapToDouble(i -> 4.2 * i + 0.6).toArray(),
                        IntStream.range(0, 60)
                                .mapToDouble(i -> 12 + 16.5 / (1 + Math.exp((i - 30) / 6.0)))
                                .toArray(),
                        IntStream.range(0, 60)
                                .mapToDouble(i -> 34.6 - 0.5 / (1 + Math.exp((i - 25) / 4.0)))
                                .toArray()),
                messages(),
                budget(nm),
                List.of(
                        new ReportData.Gap("A", 41, 47, "not received: message 17"),
                        new ReportData.Gap("B", 3.2, 3.4, "no scans"),
                        new ReportData.Gap("B", 120, 140, "rejected: message 31")),
                List.of(
                        "Simulated dive.",
                        "Two messages were not received; the bins they carried are missing, not filled in."),
                List.of(
                        new ReportData.Fact("plan digest", "4f5a9c01d2e3b4a5", ""),
                        new ReportData.Fact("wire version", "0", "")));
    }

    private static ReportData.Scene scene(double[] nm) {
        double[] es = Arrays.stream(nm)
                .map(w -> 1.6 * Math.exp(-Math.pow((w - 480) / 260, 2)))
                .toArray();
        double[] depths = IntStream.range(0, 126).mapToDouble(i -> 2.0 * i).toArray();
        double[] chlorophyll = Arrays.stream(depths)
                .map(z -> 0.07 + 0.35 * Math.exp(-0.5 * Math.pow((z - 110) / 30, 2)))
                .toArray();
        double[] luDepths = {0, 10, 50, 200};
        return new ReportData.Scene(
                List.of(
                        new ReportData.Fact("Place and time", "11.00\u00b0 N, 142.00\u00b0 E", "2026-12-15 02:27 UTC"),
                        new ReportData.Fact("Sky", "40 % cloud", "visibility 25 km")),
                List.of(new ReportData.Fact("scene.cloud.cover_percent", "40", "0")),
                nm,
                es,
                scaled(es, es, 0),
                scaled(es, es, -1),
                180,
                40,
                0.6,
                IntStream.range(0, 1400)
                        .mapToDouble(i -> 80 + 20 * Math.sin(i / 40.0))
                        .toArray(),
                depths,
                chlorophyll,
                Arrays.stream(chlorophyll).map(c -> 0.002 * c).toArray(),
                depths,
                chlorophyll,
                Arrays.stream(chlorophyll).map(c -> 0.002 * c).toArray(),
                new double[] {45, 95, 150},
                luDepths,
                Arrays.stream(luDepths)
                        .mapToObj(z -> Arrays.stream(nm)
                                .map(w -> surface(w) / 0.54 * Math.exp(-attenuation(w) * z))
                                .toArray())
                        .toArray(double[][]::new));
    }

    static double surface(double nm) {
        return 0.0125
                        * Math.exp(-Math.pow((nm - 430) / 75, 2) * (nm > 430 ? 0.9 : 0.45))
                        * (1 + 0.06 * Math.sin(nm / 2.3) * Math.exp(-Math.abs(nm - 395) / 60))
                + 2e-5 * Math.exp(-Math.pow((nm - 685) / 12, 2))
                + 1.5e-6;
    }

    static double attenuation(double nm) {
        return 0.025 + 0.1 * Math.exp(-(nm - 320) / 30) + 2.2 / (1 + Math.exp(-(nm - 690) / 35));
    }

    private static double[] scaled(double[] values, double[] percent, int sign) {
        return IntStream.range(0, values.length)
                .mapToDouble(i -> values[i] * (1 + sign * percent[i] / 100))
                .toArray();
    }

    private static ReportData.Picture picture(double[] nm) {
        List<double[]> edges = new ArrayList<>();
        for (double d = 0.4; d < 250; d += d < 10 ? 0.2 : d < 100 ? 1 : 2) {
            edges.add(new double[] {d, d + (d < 10 ? 0.2 : d < 100 ? 1 : 2)});
        }
        int rows = edges.size();
        double[][] lu = new double[rows][nm.length];
        String[] heads = new String[rows];
        String[] cause = new String[rows];
        for (int r = 0; r < rows; r++) {
            double depth = 0.5 * (edges.get(r)[0] + edges.get(r)[1]);
            boolean gone = depth > 41 && depth < 47 || depth > 122 && depth < 127;
            heads[r] = gone ? "" : r % 9 == 0 ? "A" : "A B";
            cause[r] = gone ? "not received: message 17" : "";
            for (int c = 0; c < nm.length; c++) {
                double value = surface(nm[c]) / 0.54 * Math.exp(-attenuation(nm[c]) * depth);
                lu[r][c] = gone ? Double.NaN : value < 2e-9 ? 0 : value;
            }
        }
        return new ReportData.Picture(
                nm,
                edges.stream().mapToDouble(e -> e[0]).toArray(),
                edges.stream().mapToDouble(e -> e[1]).toArray(),
                lu,
                heads,
                cause);
    }

    private static ReportData.Geometry geometry() {
        int n = 600;
        double[] time = IntStream.range(0, n).mapToDouble(i -> -2955 + i * 4.93).toArray();
        double[] depth = Arrays.stream(time)
                .map(t -> t > -666 ? 0.35 - 0.03 * t : 20.3 - 0.1 * (t + 666))
                .toArray();
        double[] heading = Arrays.stream(time)
                .map(t ->
                        Math.floorMod((long) Math.floor((0.8 * t + 30 * Math.sin(t / 160) + 4000) * 10), 3600L) / 10.0)
                .toArray();
        double[] sun = Arrays.stream(time).map(t -> 180 + t / 240).toArray();
        double[][] antisun = new double[2][n];
        double[][] loss = new double[2][n];
        int[] preferred = new int[n];
        for (int i = 0; i < n; i++) {
            for (int k = 0; k < 2; k++) {
                antisun[k][i] = Math.IEEEremainder(heading[i] + 180 * k - sun[i] - 180, 360);
                loss[k][i] = 9 * Math.exp(-Math.pow(antisun[k][i] / 11, 2)) + 0.03;
            }
            preferred[i] = Math.abs(antisun[0][i]) > 90 ? 0 : 1;
        }
        return new ReportData.Geometry(
                List.of(new ReportData.Arm("A", 0, 0.95), new ReportData.Arm("B", 180, 0.95)),
                0.085,
                34.3,
                time,
                depth,
                heading,
                Arrays.stream(time)
                        .map(t -> 1.4 + Math.sin(t / 3) + 0.6 * Math.sin(t / 1.7) * Math.exp(t / 700))
                        .map(Math::abs)
                        .toArray(),
                sun,
                preferred,
                antisun,
                loss);
    }

    private static List<ReportData.MessageBar> messages() {
        List<ReportData.MessageBar> bars = new ArrayList<>();
        for (int i = 0; i < 52; i++) {
            boolean ledger = i == 0 || i == 51;
            String state = i == 17 || i == 40 ? "lost" : i == 31 ? "spoilt" : "received";
            bars.add(new ReportData.MessageBar(
                    i,
                    ledger ? "ledger" : i < 3 ? "water and attitude" : "bins",
                    ledger || i < 3 ? "" : i % 2 == 1 ? "A" : "B",
                    ledger ? 118 : i < 3 ? 210 : 332 + i % 9,
                    12,
                    state,
                    i == 40 ? 2 : 1,
                    state.equals("received") ? i == 8 || i == 25 ? 2 : 1 : 0,
                    state.equals("received") ? 15 + 20.0 * i : Double.NaN,
                    i == 31 ? "its checksum does not fit its bytes" : ""));
        }
        return bars;
    }

    private static ReportData.Budget budget(double[] nm) {
        double[] noise = Arrays.stream(nm)
                .map(w -> w < 600 ? 0.4 : 0.4 + Math.pow((w - 600) / 60, 2) * 1.9)
                .toArray();
        List<ReportData.Contributor> contributors = List.of(
                new ReportData.Contributor(
                        "calibration",
                        "deployment",
                        Arrays.stream(nm).map(w -> 1).toArray()),
                new ReportData.Contributor(
                        "waves",
                        "random",
                        Arrays.stream(nm).map(w -> 0.6 + w / 3000).toArray()),
                new ReportData.Contributor(
                        "depth",
                        "dive",
                        Arrays.stream(nm).map(w -> attenuation(w) * 0.8).toArray()),
                new ReportData.Contributor("noise", "random", noise),
                new ReportData.Contributor(
                        "immersion",
                        "deployment",
                        Arrays.stream(nm).map(w -> 0.3).toArray()));
        double[] total = new double[nm.length];
        String[] largest = new String[nm.length];
        for (int i = 0; i < nm.length; i++) {
            for (ReportData.Contributor c : contributors) {
                total[i] = Math.hypot(total[i], c.percent()[i]);
            }
            largest[i] = "calibration, noise, waves";
        }
        return new ReportData.Budget(nm, total, contributors, largest);
    }
}
