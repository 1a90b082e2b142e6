package sunward.firmware;

/** Messages that shore asked for again: runs of positions of a dive, taken one by one; lost when power fails. */
final class ResendQueue {
    private static final int MOST_RUNS = 64;

    private final int[] dive = new int[MOST_RUNS];
    private final int[] position = new int[MOST_RUNS];
    private final int[] count = new int[MOST_RUNS];
    private int runs;

    /** Runs that still fit. */
    int room() {
        return MOST_RUNS - runs;
    }

    /** Adds a run; it must fit. */
    void add(int diveNumber, int first, int messages) {
        dive[runs] = diveNumber;
        position[runs] = first;
        count[runs] = messages;
        runs++;
    }

    boolean isEmpty() {
        return runs == 0;
    }

    /** Dive of the next message. */
    int dive() {
        return dive[0];
    }

    /** Position of the next message. */
    int position() {
        return position[0];
    }

    /** The next message is done with. */
    void step() {
        position[0]++;
        count[0]--;
        if (count[0] == 0) {
            runs--;
            System.arraycopy(dive, 1, dive, 0, runs);
            System.arraycopy(position, 1, position, 0, runs);
            System.arraycopy(count, 1, count, 0, runs);
        }
    }

    void clear() {
        runs = 0;
    }

    int ramBytes() {
        return 3 * 4 * MOST_RUNS;
    }
}
