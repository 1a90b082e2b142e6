package sunward.firmware.port;

/**
 * The buoyancy engine: pump and valve. Each call is an order that holds until the next; giving the same one again is
 * harmless, and what a float does when nothing works is rise.
 */
public interface Buoyancy {
    /** Draw oil in: sink. */
    void sink();

    /** Keep the pressure of this moment. */
    void hold();

    /** Pump oil out, all of it in the end: rise, and float high at the surface. */
    void rise();
}
