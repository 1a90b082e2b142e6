package sunward.firmware.port;

/** The float's clock. */
public interface Clock {
    /** Milliseconds since 2000-01-01T00:00:00Z without leap seconds. */
    long millis();
}
