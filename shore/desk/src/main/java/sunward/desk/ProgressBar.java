package sunward.desk;

import java.io.PrintStream;
import java.util.Locale;
import java.util.function.LongSupplier;

/** One line on standard error that says which stage a run is in, how far it is and how long it will take; silent when
 * nobody watches. */
final class ProgressBar implements AutoCloseable {
    /** The machine's own clock. */
    static final LongSupplier CLOCK = () -> System.nanoTime() / 1_000_000;

    private static final int WIDTH = 24;
    private static final int STAGE_WIDTH = 26;
    private static final long REDRAW_MS = 100;

    private final PrintStream stream;
    private final boolean live;
    private final LongSupplier clockMs;
    private String stage = "";
    private long startMs;
    private long drawnMs;

    /**
     * Makes a bar.
     *
     * @param clockMs a clock that never runs back, ms
     */
    ProgressBar(Console console, LongSupplier clockMs) {
        this.stream = console.err();
        this.live = console.live();
        this.clockMs = clockMs;
    }

    /** Shows that a stage has reached a share, 0 to 1, of its work. */
    synchronized void at(String newStage, double share) {
        if (!live) {
            return;
        }
        long now = clockMs.getAsLong();
        boolean changed = !newStage.equals(stage);
        if (changed) {
            stage = newStage;
            startMs = now;
        } else if (share < 1 && now - drawnMs < REDRAW_MS) {
            return;
        }
        drawnMs = now;
        double done = Math.max(0, Math.min(1, share));
        int full = (int) Math.round(done * WIDTH);
        long elapsed = now - startMs;
        String left = done > 0.02 && done < 1
                ? String.format(Locale.ROOT, "%4.0f s left", elapsed * (1 - done) / done / 1000)
                : "           ";
        stream.printf(
                Locale.ROOT,
                "\r%-" + STAGE_WIDTH + "s |%s%s| %3.0f %% %s",
                stage,
                "=".repeat(full),
                " ".repeat(WIDTH - full),
                100 * done,
                left);
        stream.flush();
    }

    /** Clears the line. */
    @Override
    public synchronized void close() {
        if (live && !stage.isEmpty()) {
            stream.print("\r" + " ".repeat(STAGE_WIDTH + WIDTH + 22) + "\r");
            stream.flush();
        }
    }
}
