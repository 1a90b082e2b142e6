package sunward.desk;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import java.util.function.UnaryOperator;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import sunward.planning.PlanComparison;
import sunward.planning.PlanComparison.Candidate;
import sunward.planning.PlanComparison.Difference;
import sunward.planning.PlanComparison.Row;
import sunward.protocol.schema.PlanFile;
import sunward.protocol.schema.Scene;

/** {@code compare}: plans over the same seas. */
@Command(
        name = "compare",
        description = "Fly plans over the same scenes with the same waves, noise and losses, and tabulate the error of"
                + " water-leaving radiance against truth, usable dives, bins, bytes and joules; differences from the first plan"
                + " are taken dive by dive.",
        footerHeading = "%nExample: does a plan with more messages earn its price?%n",
        footer = {"  sunward compare few.yaml many.yaml --dives 20"})
final class CompareCommand implements Callable<Integer> {
    private static final int MOST_DIVES = 10_000;

    private final Console console;

    @Mixin
    private CommonOptions common;

    @Parameters(
            paramLabel = "PLAN",
            arity = "1..*",
            description = "Plan files; the first is what others are held against.")
    private List<Path> plans;

    @Option(
            names = "--scene",
            paramLabel = "SCENE",
            description =
                    "A scene of the library (see: sunward plan --scenes), or a plan file whose scene is flown; may be"
                            + " given again. Without it: the first plan file's scene.")
    private List<String> scenes = List.of();

    @Option(
            names = "--dives",
            paramLabel = "N",
            defaultValue = "5",
            description = "Dives per plan and scene, 1 to 10000; without it: 5.")
    private int dives;

    CompareCommand(Console console) {
        this.console = console;
    }

    @Override
    public Integer call() throws IOException, InterruptedException {
        if (dives < 1 || dives > MOST_DIVES) {
            throw new BadInput("--dives: " + dives + " is outside 1 to " + MOST_DIVES + "; correct it");
        }
        List<Candidate> candidates = new ArrayList<>();
        for (Path plan : plans) {
            candidates.add(new Candidate(plan.toString(), InputFiles.plan(plan)));
        }
        List<UnaryOperator<PlanFile>> flown = new ArrayList<>();
        for (String scene : scenes) {
            flown.add(InputFiles.scene(scene));
        }
        if (flown.isEmpty()) {
            Scene own = candidates.get(0).file().getScene();
            flown.add(file -> file.toBuilder().setScene(own).build());
        }
        List<Row> rows;
        try (ProgressBar bar = new ProgressBar(console, ProgressBar.CLOCK)) {
            rows = PlanComparison.of(candidates, flown, dives, bar::at);
        }
        sheet(rows).print(console, common.json());
        return Failures.DONE;
    }

    private static Sheet sheet(List<Row> rows) {
        List<String> columns = new ArrayList<>(List.of("plan", "dives", "usable"));
        PlanComparison.WAVELENGTHS_NM.forEach(nm -> columns.add(nm + " nm"));
        columns.addAll(List.of("half width %", "bins", "   bytes", "  joules"));
        List<Sheet.Row> table = new ArrayList<>();
        for (int i = 0; i < rows.size(); i++) {
            table.add(row(i + 1, rows.get(i)));
        }
        Sheet sheet = new Sheet().say("SIMULATED dives.").heading("Plans");
        for (int i = 0; i < rows.size(); i++) {
            sheet.say("  " + (i + 1) + "  " + rows.get(i).name());
        }
        sheet.heading("Root mean square error of Lw against truth, percent, of the usable dives")
                .table("plans", columns, table);
        for (int i = 0; i < rows.size(); i++) {
            int plan = i + 1;
            rows.get(i)
                    .failures()
                    .forEach((why, count) -> sheet.say("  plan " + plan + ": " + count + " unusable, " + why));
        }
        for (int i = 1; i < rows.size(); i++) {
            sheet.heading("Plan " + (i + 1) + " less plan 1, dive by dive");
            rows.get(i).differences().forEach(difference -> sheet.say(words(difference)));
        }
        return sheet;
    }

    private static Sheet.Row row(int number, Row plan) {
        Sheet.Row row =
                new Sheet.Row().put("plan", number).put("dives", plan.dives()).put("usable", plan.usable());
        for (int i = 0; i < PlanComparison.WAVELENGTHS_NM.size(); i++) {
            row.put(
                    "rms_error_" + PlanComparison.WAVELENGTHS_NM.get(i) + "_percent",
                    plan.usable() == 0 ? Double.NaN : plan.rmsErrorPercent().get(i),
                    2);
        }
        ObjectNode failures = Json.object();
        plan.failures().forEach(failures::put);
        ObjectNode differences = Json.object();
        for (Difference difference : plan.differences()) {
            ObjectNode one = differences.putObject(difference.key());
            number(one, "mean", difference.mean());
            number(one, "standard_error", difference.standardError());
            one.put("pairs", difference.pairs()).put("clear", difference.clear());
        }
        return row.put("mean_half_width_percent", plan.meanHalfWidthPercent(), 2)
                .put("mean_bins", plan.meanBins(), 0)
                .put("mean_bytes", plan.meanBytes(), 0)
                .put("mean_joules", plan.meanJoules(), 0)
                .machine("name", Json.object().textNode(plan.name()))
                .machine("failures", failures)
                .machine("less_first_plan", differences);
    }

    private static void number(ObjectNode to, String key, double value) {
        if (Double.isFinite(value)) {
            to.put(key, value);
        } else {
            to.putNull(key);
        }
    }

    private static String words(Difference difference) {
        if (difference.pairs() == 0) {
            return "  " + difference.quantity() + ": not known, no dive is usable under both plans";
        }
        String error = Double.isNaN(difference.standardError())
                ? "standard error not known from one dive"
                : String.format(Locale.ROOT, "standard error %.3f", difference.standardError());
        return String.format(
                Locale.ROOT,
                "  %s: %+.3f (%s, %d pairs), %s",
                difference.quantity(),
                difference.mean(),
                error,
                difference.pairs(),
                difference.clear() ? "a difference" : "no difference beyond chance");
    }
}
