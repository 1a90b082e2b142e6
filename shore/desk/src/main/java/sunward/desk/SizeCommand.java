package sunward.desk;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import sunward.planning.BudgetSheet;
import sunward.planning.CountedDives;
import sunward.planning.DiveCost;
import sunward.protocol.schema.PlanFile;

/** {@code size}: what a dive of a plan costs. */
@Command(
        name = "size",
        description =
                "Show what one dive of a plan costs in scans, bytes, time at the surface, joules and money, and how"
                        + " the stated uncertainty of water-leaving radiance falls with the messages allowed. Four dives are flown in"
                        + " the plan file's scene, over a link that loses nothing, and counted; the first is packed again for each"
                        + " number of messages.",
        footerHeading = "%nExample: the default plan, and one of your own%n",
        footer = {"  sunward size", "  sunward size --plan mine.yaml --json"})
final class SizeCommand implements Callable<Integer> {
    private final Console console;

    @Mixin
    private CommonOptions common;

    @Mixin
    private PlanOption plan;

    SizeCommand(Console console) {
        this.console = console;
    }

    @Override
    public Integer call() throws IOException {
        PlanFile file = plan.read();
        BudgetSheet budget;
        try (ProgressBar bar = new ProgressBar(console, ProgressBar.CLOCK)) {
            budget = BudgetSheet.of(file, bar::at);
        }
        sheet(budget, file.getPlan().getLink().getPriceCurrency()).print(console, common.json());
        return Failures.DONE;
    }

    private static Sheet sheet(BudgetSheet budget, String currency) {
        DiveCost cost = budget.cost();
        CountedDives counted = budget.counted();
        Sheet sheet = new Sheet()
                .say("Means of " + counted.dives()
                        + " SIMULATED dives; joules and prices are the plan's own figures, assumed.")
                .heading("Float")
                .put("profile_min", "profile", cost.profileS() / 60, 1, "minutes")
                .put("light_scans", "light scans", counted.lightScans(), 0, "")
                .put("dark_scans", "dark scans", counted.darkScans(), 0, "")
                .put("bins_made", "bins made by the first", budget.bins(), "")
                .put("bins_sent", "bins sent by the first", budget.binsSent(), "")
                .put("ram_bytes", "memory", counted.ramBytes(), "bytes")
                .put("flash_bytes", "flash", counted.flashBytes(), 0, "bytes");
        parts(sheet, "ram_by_part", "memory for", budget.ramByPart());
        parts(sheet, "flash_by_part", "flash set apart for", budget.flashByPart());
        sheet.heading("Link")
                .put("messages", "messages", counted.messages(), 1, "")
                .put("bytes", "bytes, headers included", counted.bytes(), 0, "bytes")
                .put("bytes_sd", "from dive to dive", counted.bytesSd(), 0, "bytes, standard deviation")
                .put("sending_min", "sending at the surface", cost.sendingS() / 60, 1, "minutes, waiting not counted")
                .put("price", "price", cost.price(), 2, currency)
                .put("price_currency", "currency", currency);
        List<Sheet.Row> bytes = new ArrayList<>();
        for (Map.Entry<String, Double> block : counted.bytesByBlock().entrySet()) {
            bytes.add(new Sheet.Row().put("carries", block.getKey()).put("bytes", block.getValue(), 0));
        }
        sheet.table("bytes_by_block", List.of("                 carries", "  bytes"), bytes)
                .heading("Energy")
                .put("pump_j", "pump", cost.pumpJ(), 0, "J")
                .put("heads_j", "heads", cost.headsJ(), 0, "J")
                .put("sensors_j", "other sensors", cost.sensorsJ(), 0, "J")
                .put("computer_j", "computer", cost.computerJ(), 0, "J")
                .put("modem_j", "modem", cost.modemJ(), 0, "J")
                .put("sleep_j", "between dives", cost.sleepJ(), 0, "J, asleep, drifting, sinking")
                .put("total_j", "in all", cost.totalJ(), 0, "J")
                .put("rise_j", "of it pump and rise", cost.riseJ(), 0, "J")
                .put("surface_j", "of it at the surface", cost.surfaceJ(), 0, "J")
                .put("dives_per_battery", "dives per battery", cost.dives(), 0, "to the last joule; keep a reserve")
                .say(
                        "  CAUTION: lithium packs and pressure housings are charged, opened, shipped and lifted by the makers'"
                                + " manuals, local codes and licensed practice alone.");
        return steps(budget, sheet.heading("Uncertainty of Lw, percent, for messages of data allowed, none lost"));
    }

    private static void parts(Sheet sheet, String key, String words, Map<String, Integer> bytesByPart) {
        List<Sheet.Row> rows = new ArrayList<>();
        bytesByPart.forEach(
                (part, bytes) -> rows.add(new Sheet.Row().put("part", part).put("bytes", bytes)));
        sheet.say("").table(key, List.of(" ".repeat(34 - words.length()) + words, "   bytes"), rows);
    }

    private static Sheet steps(BudgetSheet budget, Sheet sheet) {
        List<String> columns = new ArrayList<>(List.of("allowed", "sent"));
        budget.wavelengthsNm().forEach(nm -> columns.add(nm + " nm"));
        List<Sheet.Row> rows = new ArrayList<>();
        for (BudgetSheet.Step step : budget.steps()) {
            Sheet.Row row =
                    new Sheet.Row().put("messages_allowed", step.allowed()).put("messages_sent", step.sent());
            for (int i = 0; i < step.uncertaintyPercent().size(); i++) {
                row.put(
                        "u_lw_" + budget.wavelengthsNm().get(i) + "_percent",
                        step.uncertaintyPercent().get(i),
                        2);
            }
            rows.add(row);
        }
        return sheet.table("uncertainty_by_messages", columns, rows);
    }
}
