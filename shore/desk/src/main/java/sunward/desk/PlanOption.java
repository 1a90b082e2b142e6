package sunward.desk;

import java.io.IOException;
import java.nio.file.Path;
import picocli.CommandLine.Option;
import sunward.protocol.schema.PlanFile;

/** The plan file that a command works with. */
final class PlanOption {
    @Option(
            names = "--plan",
            paramLabel = "FILE",
            description = "Plan file: plan, calibration and scene. Without it: the default plan.")
    private Path file;

    /** Reads and checks it. */
    PlanFile read() throws IOException {
        return InputFiles.plan(file);
    }
}
