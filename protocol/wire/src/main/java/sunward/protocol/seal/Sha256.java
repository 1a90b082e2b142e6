package sunward.protocol.seal;

/** SHA-256 as in FIPS 180-4, incremental, without allocation after construction. */
public final class Sha256 {
    /** Length of a digest, bytes. */
    public static final int DIGEST_BYTES = 32;

    /** Length of a block, bytes. */
    static final int BLOCK_BYTES = 64;

    /** FIPS 180-4, section 4.2.2: fractions of the cube roots of the first 64 primes. */
    private static final int[] K = {
        0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
        0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
        0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
        0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
        0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
        0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
        0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
        0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2
    };

    /** FIPS 180-4, section 5.3.3: fractions of the square roots of the first eight primes. */
    private static final int[] START = {
        0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19
    };

    private final int[] state = new int[8];
    private final int[] schedule = new int[64];
    private final byte[] block = new byte[BLOCK_BYTES];
    private int filled;
    private long lengthBytes;

    /** Makes one, ready for the first byte. */
    public Sha256() {
        reset();
    }

    /** Forgets every byte seen. */
    public void reset() {
        restart(START, 0);
    }

    /** Goes on from the state after some whole blocks. */
    void restart(int[] from, long bytesBefore) {
        System.arraycopy(from, 0, state, 0, 8);
        filled = 0;
        lengthBytes = bytesBefore;
    }

    /** Copies out the state after whole blocks. */
    void state(int[] into) {
        System.arraycopy(state, 0, into, 0, 8);
    }

    /** Takes in a range of bytes. */
    public void update(byte[] bytes, int offset, int length) {
        int at = offset;
        int left = length;
        lengthBytes += length;
        while (left > 0) {
            int take = Math.min(left, BLOCK_BYTES - filled);
            System.arraycopy(bytes, at, block, filled, take);
            filled += take;
            at += take;
            left -= take;
            if (filled == BLOCK_BYTES) {
                compress();
                filled = 0;
            }
        }
    }

    /** Writes the 32-byte digest of all bytes seen and starts afresh. */
    public void finish(byte[] into, int offset) {
        long bits = lengthBytes << 3;
        block[filled++] = (byte) 0x80;
        if (filled > BLOCK_BYTES - 8) {
            zeroUpTo(BLOCK_BYTES);
            compress();
            filled = 0;
        }
        zeroUpTo(BLOCK_BYTES - 8);
        for (int i = 0; i < 8; i++) {
            block[BLOCK_BYTES - 1 - i] = (byte) (bits >>> (8 * i));
        }
        compress();
        for (int i = 0; i < DIGEST_BYTES; i++) {
            into[offset + i] = (byte) (state[i >> 2] >>> (24 - 8 * (i & 3)));
        }
        reset();
    }

    private void zeroUpTo(int end) {
        while (filled < end) {
            block[filled++] = 0;
        }
    }

    private void compress() {
        expand();
        int a = state[0];
        int b = state[1];
        int c = state[2];
        int d = state[3];
        int e = state[4];
        int f = state[5];
        int g = state[6];
        int h = state[7];
        for (int t = 0; t < 64; t++) {
            int upper = Integer.rotateRight(e, 6) ^ Integer.rotateRight(e, 11) ^ Integer.rotateRight(e, 25);
            int t1 = h + upper + ((e & f) ^ (~e & g)) + K[t] + schedule[t];
            int lower = Integer.rotateRight(a, 2) ^ Integer.rotateRight(a, 13) ^ Integer.rotateRight(a, 22);
            int t2 = lower + ((a & b) ^ (a & c) ^ (b & c));
            h = g;
            g = f;
            f = e;
            e = d + t1;
            d = c;
            c = b;
            b = a;
            a = t1 + t2;
        }
        state[0] += a;
        state[1] += b;
        state[2] += c;
        state[3] += d;
        state[4] += e;
        state[5] += f;
        state[6] += g;
        state[7] += h;
    }

    private void expand() {
        for (int t = 0; t < 16; t++) {
            schedule[t] = block[4 * t] << 24
                    | (block[4 * t + 1] & 0xff) << 16
                    | (block[4 * t + 2] & 0xff) << 8
                    | (block[4 * t + 3] & 0xff);
        }
        for (int t = 16; t < 64; t++) {
            int x = schedule[t - 15];
            int y = schedule[t - 2];
            int s0 = Integer.rotateRight(x, 7) ^ Integer.rotateRight(x, 18) ^ x >>> 3;
            int s1 = Integer.rotateRight(y, 17) ^ Integer.rotateRight(y, 19) ^ y >>> 10;
            schedule[t] = schedule[t - 16] + s0 + schedule[t - 7] + s1;
        }
    }
}
