package sunward.firmware;

import sunward.protocol.bits.BodyWriter;
import sunward.protocol.trig.Trig;

/**
 * How the float hung and turned on its way up, in layers of port pressure whose thickness doubles downward: layer i
 * reaches from 2^i to 2^(i+1) dbar, the first from the surface, the last without end.
 */
final class AttitudeLog {
    /** Layers. */
    static final int LAYERS = 8;

    /** Heading that says "not known", degrees. */
    static final int HEADING_UNKNOWN = 360;

    private static final double RADIANS = Math.PI / 180;
    private static final int FIRST_FIELD = 6;

    private final int[] readings = new int[LAYERS];
    private final double[] tilt = new double[LAYERS];
    private final double[] tiltSquared = new double[LAYERS];
    private final double[] mostTilt = new double[LAYERS];
    private final int[] headings = new int[LAYERS];
    private final double[] north = new double[LAYERS];
    private final double[] east = new double[LAYERS];
    private final double[] turned = new double[LAYERS];
    private boolean before;
    private double beforeDeg;

    int ramBytes() {
        return LAYERS * (2 * 4 + 6 * 8);
    }

    void clear() {
        for (int i = 0; i < LAYERS; i++) {
            readings[i] = 0;
            tilt[i] = 0;
            tiltSquared[i] = 0;
            mostTilt[i] = 0;
            headings[i] = 0;
            north[i] = 0;
            east[i] = 0;
            turned[i] = 0;
        }
        before = false;
    }

    /** Layer of a port pressure above that of the air. */
    static int layerOf(double portDbar) {
        int i = 0;
        while (i < LAYERS - 1 && portDbar >= 2 << i) {
            i++;
        }
        return i;
    }

    /** Takes one moment: port pressure above that of the air, and the attitude then. */
    void add(double portDbar, Attitude attitude) {
        int i = layerOf(portDbar);
        double tiltDeg = attitude.tiltDeg();
        readings[i]++;
        tilt[i] += tiltDeg;
        tiltSquared[i] += tiltDeg * tiltDeg;
        mostTilt[i] = Math.max(mostTilt[i], tiltDeg);
        if (!attitude.headingKnown()) {
            before = false;
            return;
        }
        double heading = attitude.headingTrueDeg();
        headings[i]++;
        north[i] += Trig.cos(heading * RADIANS);
        east[i] += Trig.sin(heading * RADIANS);
        turned[i] += before ? Attitude.wrap180(heading - beforeDeg) : 0;
        before = true;
        beforeDeg = heading;
    }

    /** Writes the columns of every so manieth layer that holds a reading. */
    void write(BodyWriter writer, int part, int parts) {
        boolean any = false;
        for (int i = part; i < LAYERS; i += parts) {
            any |= readings[i] > 0;
        }
        for (int column = 0; any && column < 8; column++) {
            int mark = writer.open(FIRST_FIELD + column);
            for (int i = part; i < LAYERS; i += parts) {
                if (readings[i] > 0 && column < 7) {
                    writer.packedVarint(value(column, i));
                } else if (readings[i] > 0) {
                    writer.packedSint((int) Math.floor(turned[i] + 0.5));
                }
            }
            writer.close(mark);
        }
    }

    private int value(int column, int i) {
        int n = readings[i];
        double mean = tilt[i] / n;
        double length = Math.sqrt(north[i] * north[i] + east[i] * east[i]);
        return switch (column) {
            case 0 -> i;
            case 1 -> n;
            case 2 -> rounded(10 * mean);
            case 3 -> rounded(10 * Math.sqrt(Math.max(0, tiltSquared[i] / n - mean * mean)));
            case 4 -> rounded(10 * mostTilt[i]);
            case 5 ->
                headings[i] == 0
                        ? HEADING_UNKNOWN
                        : rounded(Attitude.wrap360(Trig.atan2(east[i], north[i]) / RADIANS)) % 360;
            default -> headings[i] == 0 ? 0 : rounded(100 * length / headings[i]);
        };
    }

    private static int rounded(double value) {
        return (int) Math.floor(value + 0.5);
    }
}
