package sunward.desk;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Path;
import java.time.InstantSource;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;
import sunward.planning.OutputDirectory;
import sunward.planning.Rehearsal;
import sunward.planning.Replay;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.Seeds;

/** {@code rehearse}: one whole simulated dive, from the sea to the report. */
@Command(
        name = "rehearse",
        description = "Fly one simulated dive, send it through the link, decode what arrived, and report truth against"
                + " result. Writes messages/, profile.nc, radiance.csv, truth.nc, report.html, plan.yaml and run.json.",
        footerHeading = "%nExample: the default dive, and a second one with another sea%n",
        footer = {
            "  sunward rehearse",
            "  sunward rehearse --plan mine.yaml --seed 2 --out second",
            "  sunward rehearse --scene coastal-green",
            "",
            "A recorded dive under another plan:",
            "",
            "  sunward rehearse --record --out first",
            "  sunward rehearse --recording first/recording --plan other.yaml",
            "",
            "Into a watch that runs (sunward listen --dir watch):",
            "",
            "  sunward rehearse --live 127.0.0.1:7250 --token watch/token"
        })
final class RehearseCommand implements Callable<Integer> {
    private static final int NAME_WIDTH = 8;
    private static final int MOST_ROUNDS = 10;

    private final Console console;

    @Spec
    private CommandSpec spec;

    @Mixin
    private CommonOptions common;

    @Mixin
    private PlanOption plan;

    @Mixin
    private OutputOptions output;

    @Mixin
    private KeyOption keys;

    @Option(
            names = "--scene",
            paramLabel = "SCENE",
            description = "Fly it in another scene: a name of the library (see: sunward plan --scenes), or a plan file"
                    + " whose scene is taken.")
    private String scene;

    @Option(
            names = "--seed",
            paramLabel = "N",
            defaultValue = "1",
            description = "Chooses the dive's waves, noise and losses; the same number gives the same bytes. 0 or more;"
                    + " without it: 1.")
    private long seed;

    @Option(
            names = "--resend-rounds",
            paramLabel = "N",
            defaultValue = "0",
            description = "How often shore orders again what it lacks, 0 to " + MOST_ROUNDS
                    + "; the link may lose orders too. Needs --key: orders are always sealed.")
    private int resendRounds;

    @Option(names = "--record", description = "Write recording/ too: what the float was told, to be flown again.")
    private boolean record;

    @Option(
            names = "--recording",
            paramLabel = "DIR|ARCHIVE",
            description =
                    "Fly a recorded dive again (a directory, or a .tar.gz, .tar.zst, .tar, .zip or .7z of it) instead of a new one, and decode it as if every message had arrived;"
                            + " there is no truth and no report then.")
    private Path recording;

    @Mixin
    private LiveOptions live;

    RehearseCommand(Console console) {
        this.console = console;
    }

    @Override
    public Integer call() throws IOException, InterruptedException {
        if (seed < 0) {
            throw new BadInput("--seed: " + seed + " is below 0; give 0 or a larger whole number");
        }
        if (recording != null && record) {
            throw new BadInput("--record and --recording cannot go together; leave one of them out");
        }
        if (resendRounds < 0 || resendRounds > MOST_ROUNDS) {
            throw new BadInput("--resend-rounds: " + resendRounds + " is not 0 to " + MOST_ROUNDS + "; correct it");
        }
        if (resendRounds > 0 && (keys.file() == null || recording != null)) {
            throw new BadInput(
                    "--resend-rounds: orders are sealed and go to a float at the surface; give its --key, and leave"
                            + " --recording out");
        }
        if (recording != null && scene != null) {
            throw new BadInput("--scene and --recording cannot go together; a recorded dive has its scene behind it");
        }
        PlanFile file = InputFiles.scene(scene).apply(plan.read());
        if (live.asked()) {
            if (output.given() || record || recording != null || keys.file() != null) {
                throw new BadInput(
                        "--live writes nothing and flies unsealed; leave --out, --record, --recording and --key out");
            }
            return live.run(file, seed, console, common.json());
        }
        byte[] key = keys.of(file.getPlan().getFloatNumber());
        Rehearsal.Outcome outcome;
        try (OutputDirectory directory = output.open(recording == null ? "rehearsal-" + seed : "replay");
                ProgressBar bar = new ProgressBar(console, ProgressBar.CLOCK)) {
            outcome = recording == null
                    ? new Rehearsal(file, Seeds.all(seed), key, resendRounds, InstantSource.system())
                            .run(directory, CommonOptions.commandLine(spec), record, bar::at)
                    : replay(file, key, directory, bar);
        }
        outcome.warnings().forEach(warning -> console.err().println("warning: " + warning));
        if (common.json()) {
            ObjectNode json = Json.object().put("directory", outcome.directory().toString());
            if (recording == null) {
                json.put("seed", seed);
            }
            json.setAll(outcome.record());
            console.out().println(Json.text(json));
        } else {
            print(outcome);
        }
        return outcome.decoded() ? Failures.DONE : Failures.NOTHING_DECODABLE;
    }

    private Rehearsal.Outcome replay(PlanFile file, byte[] key, OutputDirectory directory, ProgressBar bar)
            throws IOException {
        try {
            return Replay.run(file, recording, key, directory, CommonOptions.commandLine(spec), bar::at);
        } catch (IllegalArgumentException e) {
            throw new BadInput(e.getMessage());
        }
    }

    private void print(Rehearsal.Outcome outcome) {
        StringBuilder text = new StringBuilder(
                recording == null
                        ? "SIMULATED dive, seed " + seed + (scene == null ? "" : ", scene " + scene) + "\n\n"
                        : "Recorded dive flown again\n\n");
        for (Rehearsal.Stage stage : outcome.stages()) {
            text.append("  ")
                    .append(stage.name())
                    .append(" ".repeat(Math.max(1, NAME_WIDTH - stage.name().length())))
                    .append(stage.outcome())
                    .append('\n');
        }
        text.append("\nOpen ")
                .append(outcome.directory().resolve(recording == null ? "report.html" : "radiance.csv"))
                .append('\n');
        console.out().print(text);
        console.out().flush();
    }
}
