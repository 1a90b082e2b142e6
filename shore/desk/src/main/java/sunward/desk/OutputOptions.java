package sunward.desk;

import java.io.IOException;
import java.nio.file.Path;
import picocli.CommandLine.Option;
import sunward.planning.OutputDirectory;

/** Where a command writes its results: the same for every command that does. */
final class OutputOptions {
    @Option(
            names = "--out",
            paramLabel = "DIR",
            description =
                    "New or empty directory. Without it: the first free of the names that the command gives, such as"
                            + " rehearsal-1, rehearsal-1-2 ... or decoded, decoded-2 ...")
    private Path out;

    @Option(names = "--force", description = "Replace the results of an earlier run in --out.")
    private boolean force;

    /** True when a directory was named. */
    boolean given() {
        return out != null;
    }

    /**
     * Opens the directory that was asked for.
     *
     * @param base its name where none was given
     */
    OutputDirectory open(String base) throws IOException {
        return out == null ? OutputDirectory.firstFree(Path.of(base)) : OutputDirectory.at(out, force);
    }
}
