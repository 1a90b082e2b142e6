package sunward.planning;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import sunward.profiles.DiveProduct;
import sunward.profiles.ProductFiles;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageLayout;
import sunward.protocol.message.Verdict;
import sunward.protocol.plan.Digests;
import sunward.protocol.plan.PlanWriter;
import sunward.protocol.schema.Head;
import sunward.protocol.schema.PlanFile;
import sunward.protocol.schema.Scene;
import sunward.simulator.Delivery;
import sunward.simulator.Dive;
import sunward.simulator.FloatAccount;
import sunward.simulator.MagneticField;
import sunward.simulator.RecordingFiles;
import sunward.simulator.Seeds;

/**
 * The whole of it: fly a dive, send it through the link, decode what arrived, write everything down. All wiring of a
 * rehearsal is here.
 *
 * <pre>
 *  messages/     one file for each delivery, in order of arrival
 *  profile.nc    what shore makes of them; the same bytes as decoding messages/ gives
 *  radiance.csv
 *  truth.nc      what the simulator knows
 *  report.html   both, side by side
 *  plan.yaml     the plan, every default filled in
 *  run.json      how it came to be
 *  recording/    only when asked for: what the float computer was told, to be flown again
 * </pre>
 */
public final class Rehearsal {
    /** One line of the summary: a stage of the data path and its outcome. */
    public record Stage(String name, String outcome) {}

    /**
     * What came out.
     *
     * @param directory where the files are
     * @param decoded false when nothing could be decoded: then there is no profile.nc and no radiance.csv
     * @param verdict the outcome in one sentence
     * @param stages stage by stage, in the order of the data path
     * @param warnings what nobody should miss, a sentence each
     * @param record the contents of run.json
     */
    public record Outcome(
            Path directory,
            boolean decoded,
            String verdict,
            List<Stage> stages,
            List<String> warnings,
            ObjectNode record) {}

    private final PlanFile file;
    private final Seeds seeds;
    private final byte[] sealKey;
    private final int resendRounds;
    private final InstantSource clock;

    /**
     * A rehearsal, not yet begun.
     *
     * @param file plan, calibration and scene, read and checked
     * @param seeds the dive's randomness
     * @param sealKey the float's key, or null: its messages go unsealed
     * @param resendRounds how often shore may order what it lacks; orders are sealed, so that it needs a key
     * @param clock tells when it ran, for run.json alone
     */
    public Rehearsal(PlanFile file, Seeds seeds, byte[] sealKey, int resendRounds, InstantSource clock) {
        this.file = file;
        this.seeds = seeds;
        this.sealKey = sealKey == null ? null : sealKey.clone();
        this.resendRounds = resendRounds;
        this.clock = clock;
    }

    /**
     * Runs it and makes the directory appear.
     *
     * @param out where to write
     * @param command what the user typed, for run.json
     * @param progress told how far it is
     */
    public Outcome run(OutputDirectory out, String command, Dive.Progress progress) throws IOException {
        return run(out, command, false, progress);
    }

    /**
     * As {@link #run(OutputDirectory, String, Dive.Progress)}.
     *
     * @param keepRecording true to write recording/ too
     */
    public Outcome run(OutputDirectory out, String command, boolean keepRecording, Dive.Progress progress)
            throws IOException {
        Instant started = clock.instant();
        RehearsedDive dive = RehearsedDive.of(file, seeds, sealKey, resendRounds, progress);
        progress.at("write", 0);
        Path work = out.work();
        List<String> names = writeMessages(dive, Files.createDirectory(work.resolve("messages")));
        if (dive.product() != null) {
            ProductFiles.writeProfile(dive.product(), work.resolve("profile.nc"));
            ProductFiles.writeRadiance(dive.product(), work.resolve("radiance.csv"));
        }
        progress.at("write", 0.4);
        List<String> heads =
                file.getPlan().getHeadsList().stream().map(Head::getName).toList();
        TruthFile.write(dive.result().truth(), heads, work.resolve("truth.nc"));
        DiveReport report = dive.report();
        Report.write(report.data(), work.resolve("report.html"));
        Files.writeString(work.resolve("plan.yaml"), PlanWriter.yaml(file), StandardCharsets.UTF_8);
        if (keepRecording) {
            RecordingFiles.write(dive.result().recording(), work.resolve("recording"));
        }
        progress.at("write", 0.8);
        RunRecord record = record(dive, report, names, command, started);
        record.write(work);
        Path directory = out.commit();
        progress.at("write", 1);
        List<String> warnings = new ArrayList<>(magneticModel(file.getScene()));
        warnings.addAll(dive.product() == null ? List.of() : dive.product().warnings());
        return new Outcome(
                directory, dive.product() != null, report.verdict(), stages(dive, report), warnings, record.root());
    }

    /** A warning where the rehearsed sea's magnetic field is carried on beyond its model's years, else nothing. */
    static List<String> magneticModel(Scene scene) {
        Duration since =
                Duration.between(Instant.parse("2000-01-01T00:00:00Z"), Instant.parse(scene.getSurfacingUtc()));
        double year = MagneticField.decimalYear(since.toMillis());
        if (MagneticField.at(scene.getLatitudeDeg(), scene.getLongitudeDeg(), 0, year)
                .withinModelYears()) {
            return List.of();
        }
        return List.of(String.format(
                Locale.ROOT,
                "scene.surfacing_utc lies in %.1f, outside the years of the World Magnetic Model 2025 (2025.0 to 2030.0):"
                        + " the simulated compass follows a doubtful field",
                year));
    }

    /** A file for each delivery, named by arrival and, where it verifies, by what its header says. */
    private static List<String> writeMessages(RehearsedDive dive, Path directory) throws IOException {
        List<String> names = new ArrayList<>();
        for (int i = 0; i < dive.verdicts().size(); i++) {
            String name = String.format(Locale.ROOT, "%04d-unverified.msg", i + 1);
            if (dive.verdicts().get(i) instanceof Verdict.Accepted accepted) {
                Message m = accepted.message();
                name = String.format(
                        Locale.ROOT, "%04d-f%05d-d%04d-p%04d.msg", i + 1, m.floatNumber(), m.dive(), m.position());
            }
            Files.write(
                    directory.resolve(name), dive.result().delivered().get(i).bytes());
            names.add(name);
        }
        return names;
    }

    private RunRecord record(
            RehearsedDive dive, DiveReport report, List<String> names, String command, Instant started) {
        RunRecord record = new RunRecord();
        ObjectNode root = record.root();
        root.put("what", "rehearsal: a simulated dive, flown, sent and decoded");
        root.put("simulated", true);
        root.put("command", command);
        root.put("started_utc", started.toString());
        root.put("wall_time_s", Duration.between(started, clock.instant()).toMillis() / 1000.0);
        root.put("verdict", report.verdict());
        ObjectNode versions = root.putObject("versions");
        versions.put("sunward", Versions.PRODUCT);
        versions.put("wire", MessageLayout.VERSION);
        versions.put("product_file", DiveProduct.VERSION);
        versions.put("java", Runtime.version().toString());
        ObjectNode seed = root.putObject("seeds");
        seed.put("dive", String.format(Locale.ROOT, "%016x", seeds.dive()));
        seed.put("instrument", String.format(Locale.ROOT, "%016x", seeds.instrument()));
        seed.put("scene", String.format(Locale.ROOT, "%016x", seeds.scene()));
        seed.put("link", String.format(Locale.ROOT, "%016x", seeds.link()));
        ObjectNode digests = root.putObject("digests_sha256");
        digests.put("plan", Digests.hex(Digests.of(file.getPlan())));
        digests.put("calibration", Digests.hex(Digests.of(file.getCalibration())));
        digests.put("scene", Digests.hex(Digests.of(file.getScene())));
        if (dive.product() != null) {
            digests.put("ancillary", dive.product().digests().ancillary());
            digests.put("accepted_messages", dive.product().digests().messages());
        }
        account(root.putObject("float"), dive.result().account());
        link(root, dive, names);
        return record;
    }

    private static void account(ObjectNode to, FloatAccount account) {
        to.put("memory_bytes", account.ramBytes());
        to.put("flash_bytes", account.flashBytes());
        to.put("instants", account.instants());
        to.put("light_scans", account.lightScans());
        to.put("dark_scans", account.darkScans());
        to.put("messages_sent", account.messagesSent());
        to.put("messages_waiting", account.messagesWaiting());
        to.put("session_s", account.sessionS());
        to.put("energy_assumed_j", account.totalJ());
    }

    private static void link(ObjectNode root, RehearsedDive dive, List<String> names) {
        MessageLog log = dive.log();
        ObjectNode link = root.putObject("link");
        link.put("sent", log.entries().size());
        link.put("received", log.count("received"));
        link.put("repaired", log.count("repaired"));
        link.put("lost", log.count("lost"));
        link.put("spoilt", log.count("spoilt"));
        link.put("came_again", log.repeats());
        link.put("orders", dive.orders());
        link.put("orders_answered", log.ordersAnswered());
        link.put("sent_again", log.sentAgain());
        link.put("bytes_sent_again", log.bytesSentAgain());
        ArrayNode lost = link.putArray("lost_positions");
        for (MessageLog.Entry entry : log.entries()) {
            if (entry.state().equals("lost") && entry.message().kind() == Kind.DIVE) {
                lost.add(entry.message().position());
            }
        }
        long surfacedMs = dive.result().truth().surfacingMs();
        ArrayNode deliveries = link.putArray("deliveries");
        for (int i = 0; i < names.size(); i++) {
            Delivery delivery = dive.result().delivered().get(i);
            ObjectNode one = deliveries.addObject();
            one.put("file", "messages/" + names.get(i));
            one.put("after_surfacing_s", (delivery.receivedMs() - surfacedMs) / 1000.0);
            one.put("bytes", delivery.bytes().length);
            if (dive.verdicts().get(i) instanceof Verdict.Rejected rejected) {
                one.put("rejected", rejected.reason().name().toLowerCase(Locale.ROOT));
                one.put("sentence", rejected.sentence());
            }
        }
    }

    private static List<Stage> stages(RehearsedDive dive, DiveReport report) {
        FloatAccount account = dive.result().account();
        MessageLog log = dive.log();
        int bytes = log.bytes();
        int files = dive.result().delivered().size();
        List<Stage> stages = new ArrayList<>();
        stages.add(stage(
                "sea",
                "sun %.1f degrees from the zenith at surfacing, %d channels",
                dive.result().truth().sunZenithDeg(),
                dive.result().truth().wavelengthNm().length));
        stages.add(stage(
                "float",
                "%d light and %d dark scans, %d kB of memory, %.1f MB of flash, %.1f kJ (assumed figures)",
                account.lightScans(),
                account.darkScans(),
                account.ramBytes() / 1024,
                account.flashBytes() / 1e6,
                account.totalJ() / 1e3));
        stages.add(stage("wire", "%d messages, %d bytes", log.entries().size(), bytes));
        stages.add(stage(
                "link",
                "%d files: %d different messages, %d copies of them, %d spoilt; %s",
                files,
                log.whole(),
                log.repeats(),
                files - log.whole() - log.repeats(),
                log.dataInHand()));
        if (dive.orders() > 0) {
            stages.add(stage(
                    "again",
                    "%d orders made, %d of them answered; %d messages (%d bytes) sent again",
                    dive.orders(),
                    log.ordersAnswered(),
                    log.sentAgain(),
                    log.bytesSentAgain()));
        }
        if (dive.product() != null) {
            stages.add(stage(
                    "shore",
                    "%d bins with spectra, %d gaps named",
                    dive.product().profile().bins().stream()
                            .filter(b -> !b.shaded() && b.used() > 0)
                            .count(),
                    dive.product().profile().gaps().size()));
        }
        stages.add(new Stage("report", report.verdict()));
        return stages;
    }

    private static Stage stage(String name, String format, Object... values) {
        return new Stage(name, String.format(Locale.ROOT, format, values));
    }
}
