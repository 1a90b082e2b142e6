package sunward.protocol.seal;

import java.util.Arrays;

/** HMAC with SHA-256 (RFC 2104; test cases in RFC 4231), incremental, without allocation after construction. */
public final class HmacSha256 {
    private final Sha256 hash = new Sha256();
    private final int[] inner = new int[8];
    private final int[] outer = new int[8];
    private final byte[] digest = new byte[Sha256.DIGEST_BYTES];

    /**
     * Makes one for a key, ready for the first byte.
     *
     * @param key any length; one of at least 32 bytes is wise
     */
    public HmacSha256(byte[] key) {
        byte[] padded = new byte[Sha256.BLOCK_BYTES];
        if (key.length > Sha256.BLOCK_BYTES) {
            hash.update(key, 0, key.length);
            hash.finish(padded, 0);
        } else {
            System.arraycopy(key, 0, padded, 0, key.length);
        }
        precompute(padded, 0x36, inner);
        precompute(padded, 0x36 ^ 0x5c, outer);
        Arrays.fill(padded, (byte) 0);
        reset();
    }

    private void precompute(byte[] padded, int mask, int[] into) {
        for (int i = 0; i < padded.length; i++) {
            padded[i] ^= (byte) mask;
        }
        hash.reset();
        hash.update(padded, 0, padded.length);
        hash.state(into);
    }

    /** Forgets every byte seen, keeps the key. */
    public void reset() {
        hash.restart(inner, Sha256.BLOCK_BYTES);
    }

    /** Takes in a range of bytes. */
    public void update(byte[] bytes, int offset, int length) {
        hash.update(bytes, offset, length);
    }

    /** Writes the first {@code length} bytes, at most 32, of the code of all bytes seen and starts afresh. */
    public void finish(byte[] into, int offset, int length) {
        hash.finish(digest, 0);
        hash.restart(outer, Sha256.BLOCK_BYTES);
        hash.update(digest, 0, digest.length);
        hash.finish(digest, 0);
        System.arraycopy(digest, 0, into, offset, length);
        reset();
    }

    /** True when two ranges hold the same bytes; takes the same time whether or where they differ. */
    public static boolean same(byte[] a, int aOffset, byte[] b, int bOffset, int length) {
        int difference = 0;
        for (int i = 0; i < length; i++) {
            difference |= a[aOffset + i] ^ b[bOffset + i];
        }
        return difference == 0;
    }
}
