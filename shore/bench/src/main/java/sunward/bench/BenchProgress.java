package sunward.bench;

import java.util.Locale;

/** How far a long run is, on the error stream of a terminal; nothing when it goes elsewhere. */
final class BenchProgress {
    private final int tasks;
    private final boolean shown = isTerminal();
    private final long startNs = System.nanoTime();
    private int done;
    private int ran;

    BenchProgress(int tasks) {
        this.tasks = tasks;
    }

    /** Since JDK 22 there is a console even on a pipe, and a method that tells; before, a console is a terminal. */
    @SuppressWarnings("SystemConsoleNull") // both behaviours are handled
    static boolean isTerminal() {
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

    /** One was there already. */
    synchronized void found() {
        done++;
    }

    /** One was run. */
    synchronized void ran() {
        done++;
        ran++;
        if (shown) {
            double minutes = (System.nanoTime() - startNs) / 60e9 / ran * (tasks - done);
            System.err.print(
                    String.format(Locale.ROOT, "\r%d of %d dives, about %.0f min left   ", done, tasks, minutes));
        }
    }

    void end() {
        if (shown) {
            System.err.println();
        }
    }
}
