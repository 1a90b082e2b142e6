package sunward.firmware;

import sunward.protocol.seal.Crc32c;

/**
 * Messages waiting in flash for the modem, in order. Two banks take turns; a bank is a numbered run of records:
 *
 * <pre>
 *  bank:    magic 4 | number 4 | CRC-32C 4 | unused 4 | record | record | ...
 *  record:  state 1 | mark 1 | position 2 | length 4 | CRC-32C of message 4 | CRC-32C of bytes 1..11 4 | message, padded to 16
 *  state:   FF being written, FE written, FC handed over, and less 04: void (bits are only ever cleared)
 * </pre>
 *
 * <p>Power may fail at any byte. A record counts once its message is whole; a torn header is
 * stepped over; a message is
 * marked only after the network took it, so a cut in between sends the very same bytes again, which shore files as a
 * duplicate. A bank is erased only after the journal has retired its number, so that a half-done erase cannot bring back
 * what was handed over. A dive whose packing the power cut short is void, to be packed anew. When both banks are full of waiting messages the older bank is given up for the new dive.
 */
final class Outbox {
    private static final int HEADER_BYTES = 16;
    private static final int MAGIC = 0x626f7853;
    private static final int MARK = 0xa5;
    private static final int WRITTEN_BIT = 1;
    private static final int HANDED_BIT = 2;
    private static final int VOID_BIT = 4;
    private static final int CHUNK = 256;
    private static final int BANKS = 2;

    private final Region[] banks;
    private final Journal journal;
    private final int[] number = new int[BANKS]; // 0: nothing of value in it
    private final int[] end = new int[BANKS];
    private final int[] sendFrom = new int[BANKS];
    private final int[] waiting = new int[BANKS];
    private final byte[] header = new byte[HEADER_BYTES];
    private final byte[] chunk = new byte[CHUNK];
    private int current;
    private int givenUp;

    Outbox(Region first, Region second, Journal journal) {
        banks = new Region[] {first, second};
        this.journal = journal;
    }

    /** Bytes that a message takes in a bank. */
    static int recordBytes(int messageBytes) {
        return HEADER_BYTES + (messageBytes + 15) / 16 * 16;
    }

    /** Bytes of a bank with room for so many messages. */
    static long bankBytes(int messages, int messageBytes) {
        return HEADER_BYTES + (long) messages * recordBytes(messageBytes);
    }

    /** Messages of this length that one bank holds. */
    static int capacity(Region bank, int messageBytes) {
        return (bank.bytes() - HEADER_BYTES) / recordBytes(messageBytes);
    }

    /** Bytes of RAM in arrays. */
    int ramBytes() {
        return HEADER_BYTES + CHUNK + 4 * BANKS * 4;
    }

    /** Finds what waits in flash. The journal must have booted. */
    void boot() {
        givenUp = 0;
        current = 0;
        for (int b = 0; b < BANKS; b++) {
            number[b] = 0;
            end[b] = 0;
            waiting[b] = 0;
            sendFrom[b] = 0;
            banks[b].read(0, header, 0, HEADER_BYTES);
            int n = (int) LittleEndian.unsigned(header, 4, 4);
            boolean sound =
                    LittleEndian.unsigned(header, 0, 4) == MAGIC && LittleEndian.unsigned(header, 8, 4) == check(0, 8);
            if (sound && n > journal.retiredBank()) {
                number[b] = n;
                scan(b);
                current = number[b] > number[current] ? b : current;
            }
        }
    }

    private long check(int from, int to) {
        return Crc32c.of(header, from, to - from) & 0xffffffffL;
    }

    private void scan(int b) {
        int at = HEADER_BYTES;
        int first = -1;
        while (at + HEADER_BYTES <= banks[b].bytes()) {
            banks[b].read(at, header, 0, HEADER_BYTES);
            if (blank()) {
                break;
            }
            int length = headerLength(b, at);
            if (length < 0) {
                at += HEADER_BYTES; // torn: the next one starts behind it
                continue;
            }
            int state = header[0];
            if ((state & HANDED_BIT) != 0 && (state & VOID_BIT) != 0) {
                boolean whole = bodyWhole(b, at, length);
                if (whole && (state & WRITTEN_BIT) != 0) {
                    mark(b, at, 0xff & ~WRITTEN_BIT);
                }
                if (whole) {
                    waiting[b]++;
                    first = first < 0 ? at : first;
                }
            }
            at += recordBytes(length);
        }
        end[b] = at;
        sendFrom[b] = first < 0 ? at : first;
    }

    private boolean blank() {
        for (int i = 0; i < HEADER_BYTES; i++) {
            if (header[i] != (byte) 0xff) {
                return false;
            }
        }
        return true;
    }

    /** Length of the record whose header was just read, or -1 when the header is not sound. */
    private int headerLength(int b, int at) {
        long length = LittleEndian.unsigned(header, 4, 4);
        boolean sound = (header[1] & 0xff) == MARK
                && LittleEndian.unsigned(header, 12, 4) == check(1, 12)
                && at + HEADER_BYTES + length <= banks[b].bytes();
        return sound ? (int) length : -1;
    }

    private boolean bodyWhole(int b, int at, int length) {
        long wanted = LittleEndian.unsigned(header, 8, 4);
        int crc = 0;
        for (int done = 0; done < length; done += CHUNK) {
            int step = Math.min(CHUNK, length - done);
            banks[b].read(at + HEADER_BYTES + done, chunk, 0, step);
            crc = Crc32c.continued(crc, chunk, 0, step);
        }
        return (crc & 0xffffffffL) == wanted;
    }

    private void mark(int b, int at, int state) {
        chunk[0] = (byte) state;
        banks[b].write(at, chunk, 0, 1);
    }

    /**
     * Takes back a dive whose packing was cut short: none of its messages was handed over, and none will be.
     *
     * @param into room for a message
     */
    void takeBack(int dive, byte[] into) {
        for (int b = 0; b < BANKS; b++) {
            int at = HEADER_BYTES;
            while (number[b] > 0 && at < end[b]) {
                banks[b].read(at, header, 0, HEADER_BYTES);
                int length = headerLength(b, at);
                if (length < 0) {
                    at += HEADER_BYTES;
                    continue;
                }
                boolean waits = (header[0] & HANDED_BIT) != 0 && (header[0] & VOID_BIT) != 0;
                if (waits && length <= into.length && bodyWhole(b, at, length)) {
                    banks[b].read(at + HEADER_BYTES, into, 0, length);
                    if (diveOf(into) == dive) {
                        mark(b, at, 0xff & ~WRITTEN_BIT & ~VOID_BIT);
                        waiting[b]--;
                    }
                }
                at += recordBytes(length);
            }
        }
    }

    private static int diveOf(byte[] message) {
        return (message[3] & 0xff) << 4 | (message[4] & 0xff) >>> 4;
    }

    /**
     * Makes room for a dive of so many messages, each at most this long: in the current bank, else in the other, or in the
     * current one after all when it holds nothing that waits and the other does.
     */
    void open(int messages, int messageBytes) {
        long need = (long) messages * recordBytes(messageBytes);
        if (number[current] > 0 && banks[current].bytes() - end[current] >= need) {
            return;
        }
        boolean nothingWaits = number[current] == 0 || waiting[current] == 0 && waiting[1 - current] > 0;
        int other = nothingWaits ? current : 1 - current;
        int youngest = Math.max(journal.retiredBank(), Math.max(number[0], number[1]));
        if (number[other] > 0) {
            givenUp += waiting[other];
            journal.retireBank(number[other]);
        }
        for (int at = 0; at < banks[other].bytes(); at += banks[other].sectorBytes()) {
            banks[other].erase(at);
        }
        number[other] = youngest + 1;
        LittleEndian.put(header, 0, 4, MAGIC);
        LittleEndian.put(header, 4, 4, number[other]);
        LittleEndian.put(header, 8, 4, check(0, 8));
        banks[other].write(0, header, 0, 12);
        end[other] = HEADER_BYTES;
        sendFrom[other] = HEADER_BYTES;
        waiting[other] = 0;
        current = other;
    }

    /** Messages of this length that still fit. */
    int room(int messageBytes) {
        return number[current] == 0
                ? 0
                : Math.max(0, banks[current].bytes() - end[current]) / recordBytes(messageBytes);
    }

    /** Where the next message will lie in the current bank. */
    int next() {
        return end[current];
    }

    /** Where the message behind one of this length, lying at an address of the current bank, lies. */
    static int after(int address, int length) {
        return address + recordBytes(length);
    }

    /**
     * Reads back a message of the current bank.
     *
     * @param address as {@link #next} gave it before the message was appended
     * @return its length
     */
    int read(int address, byte[] into) {
        banks[current].read(address, header, 0, HEADER_BYTES);
        int length = headerLength(current, address);
        banks[current].read(address + HEADER_BYTES, into, 0, length);
        return length;
    }

    /** Appends a message; false when there is no room. */
    boolean append(int position, byte[] message, int length) {
        int b = current;
        int at = end[b];
        if (number[b] == 0 || banks[b].bytes() - at < recordBytes(length)) {
            return false;
        }
        header[0] = (byte) 0xff;
        header[1] = (byte) MARK;
        LittleEndian.put(header, 2, 2, position);
        LittleEndian.put(header, 4, 4, length);
        LittleEndian.put(header, 8, 4, Crc32c.of(message, 0, length));
        LittleEndian.put(header, 12, 4, check(1, 12));
        banks[b].write(at + 1, header, 1, HEADER_BYTES - 1);
        banks[b].write(at + HEADER_BYTES, message, 0, length);
        mark(b, at, 0xff & ~WRITTEN_BIT);
        end[b] = at + recordBytes(length);
        waiting[b]++;
        return true;
    }

    /**
     * Reads the oldest waiting message.
     *
     * @return its length, or 0 when none waits
     */
    int peek(byte[] into) {
        for (int turn = 0; turn < BANKS; turn++) {
            int b = oldest();
            if (b < 0) {
                return 0;
            }
            int length = seek(b);
            if (length > 0 && length <= into.length) {
                banks[b].read(sendFrom[b] + HEADER_BYTES, into, 0, length);
                return length;
            }
            waiting[b] = 0; // what waited has rotted away
        }
        return 0;
    }

    /** Moves a bank's send pointer to its first whole waiting record and returns the length, or 0 at its end. */
    private int seek(int b) {
        while (sendFrom[b] < end[b]) {
            banks[b].read(sendFrom[b], header, 0, HEADER_BYTES);
            int length = headerLength(b, sendFrom[b]);
            if (length < 0) {
                sendFrom[b] += HEADER_BYTES;
                continue;
            }
            boolean waits = (header[0] & HANDED_BIT) != 0 && (header[0] & VOID_BIT) != 0;
            if (waits && bodyWhole(b, sendFrom[b], length)) {
                return length;
            }
            sendFrom[b] += recordBytes(length);
        }
        return 0;
    }

    private int oldest() {
        int other = 1 - current;
        return waiting[other] > 0 ? other : waiting[current] > 0 ? current : -1;
    }

    /** Marks the message last given by {@link #peek} as handed over: it is never given again. */
    void handedOver() {
        int b = oldest();
        banks[b].read(sendFrom[b], header, 0, HEADER_BYTES);
        int length = (int) LittleEndian.unsigned(header, 4, 4);
        mark(b, sendFrom[b], 0xff & ~WRITTEN_BIT & ~HANDED_BIT);
        sendFrom[b] += recordBytes(length);
        waiting[b]--;
    }

    /**
     * Reads a message that was handed over before and still lies in flash.
     *
     * @param dive as in the message's header
     * @return its length, or 0 when it is not there
     */
    int find(int dive, int position, byte[] into) {
        for (int b = 0; b < BANKS; b++) {
            int at = HEADER_BYTES;
            while (number[b] > 0 && at < end[b]) {
                banks[b].read(at, header, 0, HEADER_BYTES);
                int length = headerLength(b, at);
                if (length < 0) {
                    at += HEADER_BYTES;
                    continue;
                }
                boolean candidate = (header[0] & HANDED_BIT) == 0
                        && LittleEndian.unsigned(header, 2, 2) == position
                        && length <= into.length
                        && bodyWhole(b, at, length);
                if (candidate) {
                    banks[b].read(at + HEADER_BYTES, into, 0, length);
                    if (diveOf(into) == dive) {
                        return length;
                    }
                }
                at += recordBytes(length);
            }
        }
        return 0;
    }

    /** Messages waiting. */
    int waiting() {
        return waiting[0] + waiting[1];
    }

    /** Messages given up for want of room since boot. */
    int givenUp() {
        return givenUp;
    }

    /** Bytes of flash in use. */
    int flashBytesUsed() {
        return end[0] + end[1];
    }
}
