package sunward.firmware;

import sunward.protocol.order.PlanSetting;
import sunward.protocol.seal.Crc32c;

/**
 * What orders have changed, kept in flash: the number of the last order taken, the settings in force with the digest of
 * their plan, and until when the float stays at the surface. Each order appends one whole record to one of two sectors, so
 * that a power cut leaves either all of an order or nothing of it; the record with the largest number counts.
 *
 * <pre>
 *  record: magic 4 | order number 4 | hold until 8 | boot plan's digest 8 | digest in force 8 | settings 64 times 8 | CRC-32C 4
 * </pre>
 *
 * <p>A setting that the firmware which wrote the record did not know is all ones there, and then stays as in the plan.
 */
final class OrderStore {
    private static final int MAGIC = 0x64726f53;
    private static final int DIGEST_BYTES = 8;
    private static final int SETTINGS_AT = 32;
    private static final int SETTINGS = 64;
    private static final int CHECK_AT = SETTINGS_AT + 8 * SETTINGS;
    private static final int USED_BYTES = CHECK_AT + 4;

    /** Bytes of a record, whole pages of 64. */
    private static final int RECORD_BYTES = (USED_BYTES + 63) / 64 * 64;

    private final Region region;
    private final byte[] bootDigest;
    private final byte[] record = new byte[RECORD_BYTES];
    private int side;
    private int free;
    private long number;
    private long holdUntilMs;

    /**
     * Makes a store in a region of two sectors.
     *
     * @param bootDigest digest of the plan that the float was built with: settings made for another are not used
     */
    OrderStore(Region region, byte[] bootDigest) {
        this.region = region;
        this.bootDigest = bootDigest;
    }

    /**
     * Reads what stands in flash.
     *
     * @param values the boot plan's settings; those in force take their place
     * @param digest likewise the digest of their plan
     */
    void boot(double[] values, byte[] digest) {
        number = 0;
        holdUntilMs = 0;
        side = 0;
        free = 0;
        int newest = -1;
        int sector = region.sectorBytes();
        for (int s = 0; s < 2; s++) {
            int end = 0;
            boolean newestHere = false;
            for (int at = 0; at + RECORD_BYTES <= sector; at += RECORD_BYTES) {
                region.read(s * sector + at, record, 0, RECORD_BYTES);
                if (!blank()) {
                    end = at + RECORD_BYTES; // sound or torn: never programmed again
                }
                if (sound() && LittleEndian.unsigned(record, 4, 4) > number) {
                    number = LittleEndian.unsigned(record, 4, 4);
                    newest = s * sector + at;
                    newestHere = true;
                }
            }
            if (newestHere) {
                side = s;
                free = end;
            }
        }
        if (newest < 0) {
            region.erase(0);
            return;
        }
        region.read(newest, record, 0, RECORD_BYTES);
        holdUntilMs = LittleEndian.signed(record, 8, 8);
        for (int i = 0; i < DIGEST_BYTES; i++) {
            if (record[16 + i] != bootDigest[i]) {
                return;
            }
        }
        System.arraycopy(record, 24, digest, 0, DIGEST_BYTES);
        for (int i = 0; i < PlanSetting.COUNT; i++) {
            double kept = Double.longBitsToDouble(LittleEndian.unsigned(record, SETTINGS_AT + 8 * i, 8));
            values[i] = Double.isNaN(kept) ? values[i] : kept;
        }
    }

    private boolean blank() {
        for (int i = 0; i < RECORD_BYTES; i++) {
            if (record[i] != (byte) 0xff) {
                return false;
            }
        }
        return true;
    }

    private boolean sound() {
        return LittleEndian.unsigned(record, 0, 4) == MAGIC && LittleEndian.unsigned(record, CHECK_AT, 4) == check();
    }

    private long check() {
        return Crc32c.of(record, 0, CHECK_AT) & 0xffffffffL;
    }

    /** Keeps what holds after an order. */
    void keep(long orderNumber, long untilMs, double[] values, byte[] digest) {
        int sector = region.sectorBytes();
        if (free + RECORD_BYTES > sector) {
            side = 1 - side;
            free = 0;
            region.erase(side * sector);
        }
        LittleEndian.put(record, 0, 4, MAGIC);
        LittleEndian.put(record, 4, 4, orderNumber);
        LittleEndian.put(record, 8, 8, untilMs);
        System.arraycopy(bootDigest, 0, record, 16, DIGEST_BYTES);
        System.arraycopy(digest, 0, record, 24, DIGEST_BYTES);
        for (int i = 0; i < SETTINGS; i++) {
            long bits = i < PlanSetting.COUNT ? Double.doubleToRawLongBits(values[i]) : -1;
            LittleEndian.put(record, SETTINGS_AT + 8 * i, 8, bits);
        }
        LittleEndian.put(record, CHECK_AT, 4, check());
        for (int i = USED_BYTES; i < RECORD_BYTES; i++) {
            record[i] = (byte) 0xff;
        }
        region.write(side * sector + free, record, 0, RECORD_BYTES);
        free += RECORD_BYTES;
        number = orderNumber;
        holdUntilMs = untilMs;
    }

    /** Number of the last order taken, or 0. */
    long number() {
        return number;
    }

    /** Until when the float stays at the surface, ms since 2000. */
    long holdUntilMs() {
        return holdUntilMs;
    }

    /** Bytes of RAM in arrays. */
    int ramBytes() {
        return RECORD_BYTES;
    }
}
