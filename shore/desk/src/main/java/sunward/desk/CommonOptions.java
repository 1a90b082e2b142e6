package sunward.desk;

import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;

/** Options of every command. Help is read by the parser, and debug where failures are told. */
@SuppressWarnings("UnusedVariable") // the parser sets and reads them
final class CommonOptions {
    @Option(
            names = {"-h", "--help"},
            usageHelp = true,
            description = "Show this help and end.")
    private boolean help;

    @Option(names = "--json", description = "Print the result, or the error, as JSON.")
    private boolean json;

    @Option(names = "--debug", description = "After an unexpected fault, show where it happened.")
    private boolean debug;

    /** What the user typed, for the record of a run. */
    static String commandLine(CommandSpec spec) {
        return "sunward "
                + String.join(" ", spec.root().commandLine().getParseResult().originalArgs());
    }

    /** Whether the result is for a machine. */
    boolean json() {
        return json;
    }
}
