package sunward.bench;

import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.apache.commons.compress.compressors.bzip2.BZip2CompressorInputStream;
import org.apache.commons.compress.compressors.bzip2.BZip2CompressorOutputStream;
import org.apache.commons.compress.compressors.deflate.DeflateCompressorInputStream;
import org.apache.commons.compress.compressors.deflate.DeflateCompressorOutputStream;
import org.apache.commons.compress.compressors.deflate.DeflateParameters;
import org.apache.commons.compress.compressors.xz.XZCompressorInputStream;
import org.apache.commons.compress.compressors.xz.XZCompressorOutputStream;
import org.apache.commons.compress.compressors.zstandard.ZstdCompressorInputStream;
import org.apache.commons.compress.compressors.zstandard.ZstdCompressorOutputStream;
import org.tukaani.xz.LZMA2Options;

/** A coder that the codec is compared with. Each gets the same quantised pictures and is credited with its best variant. */
interface Peer {
    /** What it is called in the table. */
    String name();

    /** Bytes of a picture; the coder decodes them again and anything but the same picture ends the run. */
    int bytes(Picture picture);

    /** True for one that takes seconds: it runs for the first seed of a dive only. */
    default boolean slow() {
        return false;
    }

    /** How many arrangements of a picture it tries. */
    default int arrangements() {
        return 1;
    }

    /** All of them that this machine has. */
    static List<Peer> all() {
        List<Peer> all = new ArrayList<>(library());
        if (ImageCoder.available()) {
            all.add(new ImageCoder());
        }
        if (CommandLine.has(Lz4.NAME)) {
            all.add(new Lz4());
        }
        return List.copyOf(all);
    }

    private static List<Peer> library() {
        return List.of(
                new Streamed("deflate -9", Peer::deflate, DeflateCompressorInputStream::new),
                new Streamed("bzip2 -9", BZip2CompressorOutputStream::new, BZip2CompressorInputStream::new),
                new Streamed("xz -9", Peer::xz, XZCompressorInputStream::new),
                new Streamed("zstd -19", Peer::zstd, ZstdCompressorInputStream::new),
                new Rice(),
                new Golomb());
    }

    private static OutputStream deflate(OutputStream out) {
        DeflateParameters best = new DeflateParameters();
        best.setCompressionLevel(9);
        return new DeflateCompressorOutputStream(out, best);
    }

    private static OutputStream xz(OutputStream out) throws IOException {
        return XZCompressorOutputStream.builder()
                .setOutputStream(out)
                .setLzma2Options(new LZMA2Options(LZMA2Options.PRESET_MAX))
                .get();
    }

    private static OutputStream zstd(OutputStream out) throws IOException {
        return ZstdCompressorOutputStream.builder()
                .setOutputStream(out)
                .setLevel(19)
                .get();
    }

    /** Opens a stream over another. */
    interface Opener<T> {
        T over(T stream) throws IOException;
    }

    /** A general compressor over byte streams: two arrangements of two predictions, the best counts. */
    record Streamed(String name, Opener<OutputStream> writer, Opener<InputStream> reader) implements Peer {
        @Override
        public int arrangements() {
            return 2;
        }

        @Override
        public boolean slow() {
            return name.startsWith("xz");
        }

        @Override
        public int bytes(Picture picture) {
            return arranged(picture).stream().mapToInt(this::size).min().orElseThrow();
        }

        private int size(byte[] plain) {
            try {
                ByteArrayOutputStream coded = new ByteArrayOutputStream();
                try (OutputStream out = writer.over(coded)) {
                    out.write(plain);
                }
                try (InputStream in = reader.over(new ByteArrayInputStream(coded.toByteArray()))) {
                    if (!Arrays.equals(in.readAllBytes(), plain)) {
                        throw new IllegalStateException(name + " gave back other bytes");
                    }
                }
                return coded.size();
            } catch (IOException e) {
                throw new UncheckedIOException(e);
            }
        }
    }

    /** The CCSDS 121.0-B coder: along the channels as it stands, and after the two-way prediction without its own. */
    record Rice() implements Peer {
        private static final int BITS = 16;

        @Override
        public int arrangements() {
            return 2;
        }

        @Override
        public String name() {
            return "CCSDS 121";
        }

        @Override
        public int bytes(Picture picture) {
            int fields = fieldBytes(picture);
            int least = Arrays.stream(picture.rows())
                    .flatMapToInt(Arrays::stream)
                    .min()
                    .orElse(0);
            long[] plain = flat(picture.rows(), Math.max(1 << BITS - 1, -least));
            long[] mapped = flat(Delta.twoWay(picture.rows()), 0);
            for (int i = 0; i < mapped.length; i++) {
                mapped[i] = mapped[i] << 1 ^ mapped[i] >> 63;
            }
            int best = Math.min(
                    size(new AdaptiveRice(bits(plain, BITS), 16, 45, true, false), plain),
                    size(new AdaptiveRice(bits(mapped, BITS + 2), 16, 45, false, false), mapped));
            return fields + best;
        }

        /** Bits of a sample: the usual number, or more where a sample needs them. */
        private static int bits(long[] samples, int usual) {
            long any = 0;
            for (long sample : samples) {
                any |= sample;
            }
            return Math.max(usual, Long.SIZE - Long.numberOfLeadingZeros(any));
        }

        private static int size(AdaptiveRice coder, long[] samples) {
            byte[] coded = coder.encode(samples);
            if (!Arrays.equals(coder.decode(coded, samples.length), samples)) {
                throw new IllegalStateException("CCSDS 121 gave back other samples");
            }
            return coded.length;
        }

        private static long[] flat(int[][] rows, int offset) {
            return Arrays.stream(rows)
                    .flatMapToInt(Arrays::stream)
                    .mapToLong(v -> (long) v + offset)
                    .toArray();
        }
    }

    /** Adaptive predictor and Golomb codes. */
    record Golomb() implements Peer {
        @Override
        public String name() {
            return "LMS + Golomb";
        }

        @Override
        public int bytes(Picture picture) {
            int fields = fieldBytes(picture);
            int[][] rows = picture.rows();
            byte[] coded = AdaptiveGolomb.encode(rows);
            int columns = rows.length == 0 ? 0 : rows[0].length;
            if (!Arrays.deepEquals(AdaptiveGolomb.decode(coded, rows.length, columns), rows)) {
                throw new IllegalStateException("LMS + Golomb gave back other samples");
            }
            return fields + coded.length;
        }
    }

    /** A picture's bytes for general compressors: fields, then differences of the spectra, in two arrangements. */
    static List<byte[]> arranged(Picture picture) {
        byte[] fields = planes(columns(picture.fields()));
        int[][] delta = Delta.twoWay(picture.rows());
        if (!Arrays.deepEquals(Delta.undoTwoWay(delta), picture.rows())) {
            throw new IllegalStateException("the prediction does not come back");
        }
        return List.of(join(fields, pairs(delta)), join(fields, planes(delta)));
    }

    /** The bins' other fields, deflated: for coders of pictures alone. */
    static int fieldBytes(Picture picture) {
        return new Streamed("deflate -9", Peer::deflate, DeflateCompressorInputStream::new)
                .size(planes(columns(picture.fields())));
    }

    /** Fields turned so that each runs down the bins, as changes from bin to bin. */
    private static int[][] columns(int[][] fields) {
        List<int[]> columns = new ArrayList<>();
        for (int f = 0; fields.length > 0 && f < fields[0].length; f++) {
            int[] column = new int[fields.length];
            for (int i = 0; i < column.length; i++) {
                column[i] = fields[i][f] - (i > 0 ? fields[i - 1][f] : 0);
            }
            columns.add(column);
        }
        return columns.toArray(new int[0][]);
    }

    /** Zigzag numbers, low bytes of all first, then the next bytes. */
    private static byte[] planes(int[][] rows) {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        int bytes = Arrays.stream(rows).flatMapToInt(Arrays::stream).anyMatch(v -> zigzag(v) >>> 16 != 0) ? 4 : 2;
        for (int plane = 0; plane < bytes; plane++) {
            for (int[] row : rows) {
                for (int v : row) {
                    out.write(zigzag(v) >>> 8 * plane);
                }
            }
        }
        return out.toByteArray();
    }

    /** Zigzag numbers as 7-bit groups: one byte for small ones. */
    private static byte[] pairs(int[][] rows) {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        for (int[] row : rows) {
            for (int v : row) {
                int rest = zigzag(v);
                while (rest >>> 7 != 0) {
                    out.write(rest & 0x7f | 0x80);
                    rest >>>= 7;
                }
                out.write(rest);
            }
        }
        return out.toByteArray();
    }

    private static int zigzag(int value) {
        return value << 1 ^ value >> 31;
    }

    private static byte[] join(byte[] a, byte[] b) {
        byte[] both = Arrays.copyOf(a, a.length + b.length);
        System.arraycopy(b, 0, both, a.length, b.length);
        return both;
    }
}
