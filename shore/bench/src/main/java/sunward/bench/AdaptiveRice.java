package sunward.bench;

import java.util.Arrays;

/**
 * Adaptive entropy coder as CCSDS 121.0-B (Lossless Data Compression) describes it: unit-delay prediction, mapping of the
 * errors, and for each block the cheapest of zero block, second extension, split samples and no coding. A comparison coder
 * only; its check vectors stand in {@code test-vectors/checks/adaptive-rice.txt}.
 */
final class AdaptiveRice {
    /** Blocks of a segment, within which runs of zero blocks are counted. */
    private static final int SEGMENT = 64;

    /** A run of so many zero blocks, and more, is pushed back by the code for "rest of the segment". */
    private static final int REST_CODE = 4;

    private static final int LARGEST_PAIR = 1 << 15;

    private final int bits;
    private final int block;
    private final int reference;
    private final boolean predict;
    private final long min;
    private final long max;
    private final int idBits;
    private final int mostSplit;

    /**
     * Makes a coder.
     *
     * @param bits of a sample, 5 to 32
     * @param block samples of a block: 8, 16, 32 or 64
     * @param reference blocks from one reference sample to the next
     * @param predict false: samples are coded as they are
     * @param signed true: samples are two's complement
     */
    AdaptiveRice(int bits, int block, int reference, boolean predict, boolean signed) {
        this.bits = bits;
        this.block = block;
        this.reference = reference;
        this.predict = predict;
        min = signed ? -(1L << (bits - 1)) : 0;
        max = signed ? (1L << (bits - 1)) - 1 : (1L << bits) - 1;
        idBits = bits > 16 ? 5 : bits > 8 ? 4 : 3;
        mostSplit = (1 << idBits) - 3;
    }

    /** Codes samples; their number is made whole blocks by repeating the last. */
    byte[] encode(long[] samples) {
        int blocks = (samples.length + block - 1) / block;
        long[] padded = Arrays.copyOf(samples, blocks * block);
        Arrays.fill(padded, samples.length, padded.length, samples.length == 0 ? 0 : samples[samples.length - 1]);
        BitOutput out = new BitOutput();
        int b = 0;
        while (b < blocks) {
            boolean withReference = predict && b % reference == 0;
            long[] mapped = mapped(padded, b, withReference);
            int zeros = allZero(mapped) ? 1 : 0;
            if (zeros > 0) {
                int inReference = b % reference;
                int room = Math.min(Math.min(blocks, b - inReference + reference) - b, SEGMENT - inReference % SEGMENT);
                while (zeros < room && allZero(mapped(padded, b + zeros, false))) {
                    zeros++;
                }
                out.bits(idBits + 1, 0);
                if (withReference) {
                    out.bits(bits, padded[b * block]);
                }
                boolean rest = zeros == room && zeros > REST_CODE;
                out.unary(rest ? REST_CODE : zeros <= REST_CODE ? zeros - 1 : zeros);
                b += zeros;
            } else {
                writeBlock(out, mapped, withReference, padded[b * block]);
                b++;
            }
        }
        return out.finish();
    }

    private static boolean allZero(long[] values) {
        return Arrays.stream(values).allMatch(v -> v == 0);
    }

    /** The mapped errors of a block; the place of a reference sample holds 0. */
    private long[] mapped(long[] samples, int b, boolean withReference) {
        long[] mapped = new long[block];
        for (int i = withReference ? 1 : 0; i < block; i++) {
            int at = b * block + i;
            mapped[i] = predict ? map(samples[at], samples[at - 1]) : samples[at];
        }
        return mapped;
    }

    private long map(long sample, long predicted) {
        long error = sample - predicted;
        long free = Math.min(predicted - min, max - predicted);
        if (Math.abs(error) <= free) {
            return error >= 0 ? 2 * error : -2 * error - 1;
        }
        return free + Math.abs(error);
    }

    private long unmap(long mapped, long predicted) {
        long free = Math.min(predicted - min, max - predicted);
        if (mapped > 2 * free) {
            long error = mapped - free;
            return predicted - min < max - predicted ? predicted + error : predicted - error;
        }
        return (mapped & 1) == 0 ? predicted + mapped / 2 : predicted - (mapped + 1) / 2;
    }

    private void writeBlock(BitOutput out, long[] mapped, boolean withReference, long first) {
        int from = withReference ? 1 : 0;
        int coded = block - from;
        long best = (long) coded * bits;
        int split = -1;
        for (int k = 0; k <= Math.min(mostSplit, bits - 2); k++) {
            long cost = (long) coded * (k + 1);
            for (int i = from; i < block && cost < best; i++) {
                cost += mapped[i] >>> k;
            }
            if (cost < best) {
                best = cost;
                split = k;
            }
        }
        boolean pairs = pairCost(mapped, best) < best;
        if (pairs) {
            out.bits(idBits + 1, 1);
        } else {
            out.bits(idBits, split < 0 ? (1 << idBits) - 1 : split + 1);
        }
        if (withReference) {
            out.bits(bits, first);
        }
        if (pairs) {
            for (int i = 0; i < block; i += 2) {
                out.unary(pair(mapped[i], mapped[i + 1]));
            }
        } else if (split < 0) {
            for (int i = from; i < block; i++) {
                out.bits(bits, mapped[i]);
            }
        } else {
            for (int i = from; i < block; i++) {
                out.unary(mapped[i] >>> split);
            }
            for (int i = from; i < block; i++) {
                out.bits(split, mapped[i]);
            }
        }
    }

    private static long pair(long a, long b) {
        return (a + b) * (a + b + 1) / 2 + b;
    }

    private long pairCost(long[] mapped, long limit) {
        long cost = 1; // the longer identifier
        for (int i = 0; i < block && cost < limit; i += 2) {
            boolean large = mapped[i] > LARGEST_PAIR || mapped[i + 1] > LARGEST_PAIR;
            cost += large ? limit : pair(mapped[i], mapped[i + 1]) + 1;
        }
        return cost;
    }

    /** Decodes so many samples. */
    long[] decode(byte[] coded, int samples) {
        int blocks = (samples + block - 1) / block;
        long[] decoded = new long[blocks * block];
        BitInput in = new BitInput(coded);
        int b = 0;
        while (b < blocks) {
            boolean withReference = predict && b % reference == 0;
            int id = (int) in.bits(idBits);
            boolean low = id == 0;
            boolean pairs = low && in.bits(1) == 1;
            long first = withReference ? in.bits(bits) : 0;
            if (min < 0) {
                first = first << (64 - bits) >> (64 - bits);
            }
            int run = 1;
            long[] mapped = new long[block];
            if (low && !pairs) {
                long zeros = in.unary();
                int inReference = b % reference;
                int room = Math.min(Math.min(blocks, b - inReference + reference) - b, SEGMENT - inReference % SEGMENT);
                run = (int) (zeros == REST_CODE ? room : zeros < REST_CODE ? zeros + 1 : zeros);
                if (run > room) {
                    throw new IllegalArgumentException("a run of zero blocks leaves its segment");
                }
            } else {
                readBlock(in, mapped, withReference ? 1 : 0, id, pairs);
            }
            for (int i = 0; i < run * block; i++) {
                int at = b * block + i;
                long value = i < block ? mapped[i] : 0;
                decoded[at] = i == 0 && withReference ? first : predict ? unmap(value, decoded[at - 1]) : value;
            }
            b += run;
        }
        return Arrays.copyOf(decoded, samples);
    }

    private void readBlock(BitInput in, long[] mapped, int from, int id, boolean pairs) {
        if (pairs) {
            for (int i = 0; i < block; i += 2) {
                long code = in.unary();
                long sum = 0;
                while ((sum + 1) * (sum + 2) / 2 <= code) {
                    sum++;
                }
                mapped[i + 1] = code - sum * (sum + 1) / 2;
                mapped[i] = sum - mapped[i + 1];
            }
        } else if (id == (1 << idBits) - 1) {
            for (int i = from; i < block; i++) {
                mapped[i] = in.bits(bits);
            }
        } else {
            int split = id - 1;
            for (int i = from; i < block; i++) {
                mapped[i] = in.unary() << split;
            }
            for (int i = from; i < block; i++) {
                mapped[i] |= in.bits(split);
            }
        }
    }
}
