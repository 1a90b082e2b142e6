package sunward.protocol.repair;

/**
 * The erasure code as interpolation. RFC 5510 defines codeword symbol {@code j} as the value at {@code alpha^j} of a
 * polynomial of degree below {@code k} (its generator is {@code inv(V_kk) V_kn} with {@code V_ij = alpha^(ij)}), and the
 * systematic form makes symbols {@code 0 .. k-1} the data. So any symbol is the Lagrange interpolation of any {@code k}
 * others: one formula makes repair symbols on the float and missing data on shore.
 */
public final class ErasureCode {
    /** Most symbols, data and repair together, of one group: the non-zero elements of the field. */
    public static final int MAX_SYMBOLS = 255;

    /** Primitive polynomial 1 + x^2 + x^3 + x^4 + x^8 (RFC 5510, section 8.1). */
    private static final int POLYNOMIAL = 0x11D;

    private static final int ORDER = 255;
    private static final int[] POWER = new int[2 * ORDER];
    private static final int[] LOGARITHM = new int[256];

    static {
        int value = 1;
        for (int exponent = 0; exponent < ORDER; exponent++) {
            POWER[exponent] = value;
            POWER[exponent + ORDER] = value;
            LOGARITHM[value] = exponent;
            value <<= 1;
            if (value > 0xff) {
                value ^= POLYNOMIAL;
            }
        }
    }

    private ErasureCode() {}

    /** Product in GF(256) of two values, 0 to 255. */
    public static int multiply(int a, int b) {
        return a == 0 || b == 0 ? 0 : POWER[LOGARITHM[a] + LOGARITHM[b]];
    }

    /**
     * The coefficients with which {@code k} known symbols make one other: {@code target = sum of coefficient[i] *
     * known[i]}.
     *
     * @param known indices of the known symbols, distinct, 0 to 254; the first {@code k} count
     * @param k how many symbols are known: the group's number of data symbols, 1 to 254
     * @param target index of the symbol wanted, 0 to 254, not among the known
     * @param coefficients filled with {@code k} values, 0 to 255
     */
    public static void coefficients(int[] known, int k, int target, int[] coefficients) {
        int at = POWER[target];
        // Lagrange: l_i(at) = product over l != i of (at - x_l) / (x_i - x_l); in GF(2^8) subtraction is XOR.
        int allDistances = 0;
        for (int i = 0; i < k; i++) {
            allDistances += LOGARITHM[at ^ POWER[known[i]]];
        }
        for (int i = 0; i < k; i++) {
            int own = POWER[known[i]];
            int exponent = allDistances - LOGARITHM[at ^ own];
            for (int l = 0; l < k; l++) {
                if (l != i) {
                    exponent -= LOGARITHM[own ^ POWER[known[l]]];
                }
            }
            coefficients[i] = POWER[Math.floorMod(exponent, ORDER)];
        }
    }

    /** Adds {@code coefficient * from[fromOffset ..]} to {@code into[intoOffset ..]}, {@code length} bytes. */
    public static void addScaled(
            int coefficient, byte[] from, int fromOffset, int length, byte[] into, int intoOffset) {
        if (coefficient == 0) {
            return;
        }
        int scale = LOGARITHM[coefficient];
        for (int i = 0; i < length; i++) {
            int symbol = from[fromOffset + i] & 0xff;
            if (symbol != 0) {
                into[intoOffset + i] ^= (byte) POWER[LOGARITHM[symbol] + scale];
            }
        }
    }
}
