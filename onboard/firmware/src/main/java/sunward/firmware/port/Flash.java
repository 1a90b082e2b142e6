package sunward.firmware.port;

/**
 * Serial NOR flash. Erased bytes are 0xFF; programming only clears bits; power may fail at any byte of a program, and an
 * interrupted erase may leave any mixture.
 */
public interface Flash {
    /** Bytes in all. */
    int sizeBytes();

    /** Bytes erased together, a power of two. */
    int sectorBytes();

    /** Bytes that one program call may cover; a call never crosses a multiple of this. */
    int pageBytes();

    /** Reads {@code length} bytes at {@code address} into {@code into[offset ..)}. */
    void read(int address, byte[] into, int offset, int length);

    /** Clears bits: each byte becomes its old value AND the new one. Must stay inside one page. */
    void program(int address, byte[] from, int offset, int length);

    /** Sets a whole sector to 0xFF. {@code address} is the sector's first byte. */
    void erase(int address);
}
