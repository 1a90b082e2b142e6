package sunward.protocol.spectra;

/**
 * The first 18 bytes of a body of bins, big-endian, bit 7 the highest of a byte.
 *
 * <pre>
 *  byte   0        1        2        3        4        5        6 .. 9      10 .. 13    14 .. 17
 *      +---------------------------+-----------------------------+-----------+-----------+-----------+
 *      | C4 H2 samples-1 10        | gain 14      read noise 12  | calibr'n  | plan      | time of   |
 *      |       channels/sample-1 6 |                             | tag 32    | tag 32    | first bin |
 *      +---------------------------+-----------------------------+-----------+-----------+-----------+
 *  C codec number, H head; bits run on: 4 + 2 + 10 + 6 + 14 + 12 = 48
 * </pre>
 */
final class BlockHeaderBytes {
    private static final int CALIBRATION_TAG = 6;
    private static final int PLAN_TAG = 10;
    private static final int BASE_TIME = 14;

    private BlockHeaderBytes() {}

    /** Refuses, by an {@link IllegalArgumentException} that names the field, a header that cannot be written. */
    static void check(BlockHeader header, int codec, int maxSamples) {
        hold("codec", header.codec, codec, codec);
        hold("head", header.head, 0, 3);
        hold("samples", header.samples, 1, maxSamples);
        hold("channels per sample", header.channelsPerSample, 1, WavelengthGrid.MAX_CHANNELS_PER_SAMPLE);
        hold("gain in sixteenths", header.gainSixteenths, 1, (1 << 14) - 1);
        hold("read noise in quarters", header.readNoiseQuarters, 0, (1 << 12) - 1);
        hold("gain times read noise", gainRead(header), 0, NoiseScale.MAX_GAIN_READ);
    }

    private static int gainRead(BlockHeader header) {
        return header.gainSixteenths * header.readNoiseQuarters;
    }

    private static void hold(String name, int value, int min, int max) {
        if (value < min || value > max) {
            throw new IllegalArgumentException(name + " " + value + " is not within " + min + " to " + max);
        }
    }

    static void write(BlockHeader header, int baseTime, byte[] body, int offset) {
        long first = header.codec;
        first = first << 2 | header.head;
        first = first << 10 | header.samples - 1;
        first = first << 6 | header.channelsPerSample - 1;
        first = first << 14 | header.gainSixteenths;
        first = first << 12 | header.readNoiseQuarters;
        put(body, offset, first, CALIBRATION_TAG);
        put(body, offset + CALIBRATION_TAG, header.calibrationTag, 4);
        put(body, offset + PLAN_TAG, header.planTag, 4);
        put(body, offset + BASE_TIME, baseTime, 4);
    }

    /** Reads what {@link #write} wrote; false when that cannot be. */
    static boolean read(byte[] body, int offset, BlockHeader into, int codec, int maxSamples) {
        long first = get(body, offset, CALIBRATION_TAG);
        into.readNoiseQuarters = (int) (first & 0xfff);
        into.gainSixteenths = (int) (first >>> 12 & 0x3fff);
        into.channelsPerSample = (int) (first >>> 26 & 0x3f) + 1;
        into.samples = (int) (first >>> 32 & 0x3ff) + 1;
        into.head = (int) (first >>> 42 & 3);
        into.codec = (int) (first >>> 44 & 15);
        into.calibrationTag = (int) get(body, offset + CALIBRATION_TAG, 4);
        into.planTag = (int) get(body, offset + PLAN_TAG, 4);
        return into.codec == codec
                && into.samples <= maxSamples
                && into.gainSixteenths > 0
                && gainRead(into) <= NoiseScale.MAX_GAIN_READ;
    }

    /** Time of the first bin, seconds since 2000 as an unsigned integer. */
    static int baseTime(byte[] body, int offset) {
        return (int) get(body, offset + BASE_TIME, 4);
    }

    private static void put(byte[] body, int at, long value, int bytes) {
        for (int i = 0; i < bytes; i++) {
            body[at + i] = (byte) (value >>> 8 * (bytes - 1 - i));
        }
    }

    private static long get(byte[] body, int at, int bytes) {
        long value = 0;
        for (int i = 0; i < bytes; i++) {
            value = value << 8 | body[at + i] & 0xff;
        }
        return value;
    }
}
