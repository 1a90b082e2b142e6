package sunward.desk;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileSystemException;
import java.nio.file.NoSuchFileException;
import java.util.List;
import picocli.CommandLine;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.UnmatchedArgumentException;
import sunward.planning.OutputDirectory;
import sunward.protocol.plan.PlanException;

/** The one place that turns what went wrong into one sentence and an exit code. */
final class Failures {
    /** All went well; gaps are allowed and named. */
    static final int DONE = 0;

    /** Our fault. */
    static final int OURS = 1;

    /** Input that cannot be used. */
    static final int BAD_INPUT = 2;

    /** Nothing could be decoded. */
    static final int NOTHING_DECODABLE = 3;

    /** A float's card does not make the messages received. */
    static final int CARD_DIFFERS = 4;

    private final Console console;
    private final boolean json;
    private final boolean debug;

    Failures(Console console, String[] arguments) {
        this.console = console;
        this.json = List.of(arguments).contains("--json");
        this.debug = List.of(arguments).contains("--debug");
    }

    /** A command line that cannot be understood. */
    int commandLine(ParameterException e, String[] arguments) {
        CommandLine command = e.getCommandLine();
        String sentence = oneLine(e.getMessage());
        if (e instanceof UnmatchedArgumentException unmatched) {
            String word = unmatched.getUnmatched().get(0);
            boolean option = word.startsWith("-");
            if (!option && !command.getSubcommands().isEmpty()) {
                sentence = "\"" + word + "\" is no command, expected one of "
                        + String.join(", ", command.getSubcommands().keySet());
            } else if (!option
                    && !command.getCommandSpec().positionalParameters().isEmpty()) {
                sentence = command.getCommandName() + " takes one file, so \"" + word + "\" is one too many";
            } else {
                sentence = "\"" + word + "\" is not understood here";
                sentence += unmatched.getSuggestions().isEmpty()
                        ? ""
                        : ", did you mean " + unmatched.getSuggestions().get(0) + "?";
            }
        }
        return tell(sentence + "; see: " + command.getCommandSpec().qualifiedName() + " --help", BAD_INPUT);
    }

    /** Anything that ended a command. */
    int execution(Exception e, CommandLine command, CommandLine.ParseResult parsed) {
        if (debug) {
            e.printStackTrace(console.err());
        }
        if (e instanceof PlanException || e instanceof BadInput || e instanceof OutputDirectory.OutputRefused) {
            return tell(oneLine(e.getMessage()), BAD_INPUT);
        }
        if (e instanceof NothingDecodable) {
            return tell(oneLine(e.getMessage()), NOTHING_DECODABLE);
        }
        if (e instanceof UncheckedIOException unchecked) {
            return file(unchecked.getCause());
        }
        if (e instanceof IOException io) {
            return file(io);
        }
        return tell(
                "unexpected fault in " + command.getCommandName() + " ("
                        + e.getClass().getSimpleName() + ": " + oneLine(e.getMessage())
                        + "); this is ours to mend, so please report it with the output of --debug",
                OURS);
    }

    private int file(IOException e) {
        if (e instanceof NoSuchFileException missing) {
            return tell(missing.getFile() + ": no such file or directory; check the path", BAD_INPUT);
        }
        if (e instanceof AccessDeniedException denied) {
            return tell(denied.getFile() + ": access denied; check its permissions", BAD_INPUT);
        }
        if (e instanceof FileSystemException where) {
            String reason = where.getReason() == null ? where.getClass().getSimpleName() : oneLine(where.getReason());
            return tell(where.getFile() + ": cannot be read or written (" + reason + "); check path and disk", OURS);
        }
        return tell("a file cannot be read or written (" + oneLine(e.getMessage()) + "); check path and disk", OURS);
    }

    private int tell(String sentence, int exitCode) {
        console.err()
                .println(
                        json
                                ? Json.object().put("error", sentence).put("exit_code", exitCode)
                                : "sunward: " + sentence);
        return exitCode;
    }

    private static String oneLine(String text) {
        return text == null ? "no message" : text.replaceAll("\\s+", " ").strip();
    }
}
