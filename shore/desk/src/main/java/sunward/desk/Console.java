package sunward.desk;

import java.io.FileDescriptor;
import java.io.FileOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;

/**
 * Where a run prints.
 *
 * @param out results
 * @param err everything else
 * @param colour whether help may be coloured
 * @param live whether a person watches, so that progress is worth drawing
 */
record Console(PrintStream out, PrintStream err, boolean colour, boolean live) {
    /** The process's own streams, UTF-8 whatever the machine's default; NO_COLOR and CI are the only variables read. */
    static Console ofProcess() {
        boolean terminal = isTerminal() && !isSet("CI");
        return new Console(
                utf8(FileDescriptor.out), utf8(FileDescriptor.err), terminal && !isSet("NO_COLOR"), terminal);
    }

    /** Since JDK 22 there is a console even on a pipe, and a method that tells; before, a console is a terminal. */
    @SuppressWarnings("SystemConsoleNull") // both behaviours are handled
    private static boolean isTerminal() {
        Object console = System.console();
        if (console == null) {
            return false;
        }
        try {
            return (Boolean) java.io.Console.class.getMethod("isTerminal").invoke(console);
        } catch (ReflectiveOperationException e) {
            return true;
        }
    }

    private static boolean isSet(String variable) {
        String value = System.getenv(variable);
        return value != null && !value.isEmpty();
    }

    private static PrintStream utf8(FileDescriptor file) {
        return new PrintStream(new FileOutputStream(file), true, StandardCharsets.UTF_8);
    }
}
