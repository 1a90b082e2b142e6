package sunward.simulator;

/** A dive's scans and engineering channels, to be played into a float computer again: same events, same bytes. */
public interface Recording {
    /** Sends every event, in order. */
    void play(FloatEvents into);

    /** Scans held. */
    int scans();
}
