package sunward.simulator;

/** What a random number is for: the second part of its address, after the seed. A number is for ever. */
final class Part {
    static final long PITCH = 1;
    static final long ROLL = 2;
    static final long WANDER = 3;
    static final long HEADING = 4;
    static final long WAVES = 5;
    static final long READING = 6;
    static final long PRESSURE_NOISE = 7;
    static final long AIR_PRESSURE = 8;
    static final long COMPASS = 9;
    static final long TILT_SENSOR = 10;
    static final long FIX = 11;
    static final long SURFACE_DRIFT = 12;
    static final long FLUOROMETER = 13;
    static final long BACKSCATTER_METER = 14;
    static final long WEATHER = 17;
    static final long CLOUD = 18;
    static final long RESPONSIVITY = 20;
    static final long WAVELENGTH = 21;
    static final long IMMERSION = 22;
    static final long LINEARITY = 23;
    static final long DARK = 24;
    static final long FAILURES = 25;
    static final long POLARISATION = 26;
    static final long THERMOMETER = 27;
    static final long CONDUCTIVITY = 28;
    static final long LINE_WIDTH = 29;
    static final long LINK = 30;
    static final long ORDER_LINK = 31;
    static final long STROKES = 32;
    static final long CLOCK = 33;

    private Part() {}
}
