package sunward.bench;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;

/**
 * JPEG 2000 (ISO/IEC 15444-1) without loss, by the programs of the OpenJPEG library: a head's spectra as a grey picture, a
 * row a bin. Needs {@code opj_compress} and {@code opj_decompress} on the path.
 */
record ImageCoder() implements Peer {
    private static final int MOST = 1 << 16;

    /** The program's own number of resolutions; a picture whose shorter side is below 2^5 has room for fewer. */
    private static final int RESOLUTIONS = 6;

    static boolean available() {
        return CommandLine.has("opj_compress") && CommandLine.has("opj_decompress");
    }

    @Override
    public String name() {
        return "JPEG 2000";
    }

    @Override
    public int bytes(Picture picture) {
        int[][] rows = picture.rows();
        if (rows.length == 0 || rows[0].length == 0) {
            return Peer.fieldBytes(picture);
        }
        int least = Arrays.stream(rows).flatMapToInt(Arrays::stream).min().orElse(0);
        int most = Arrays.stream(rows).flatMapToInt(Arrays::stream).max().orElse(0);
        if (most - least >= MOST) {
            return Integer.MAX_VALUE / 4; // more than its 16 bits
        }
        int bits = Math.max(8, 32 - Integer.numberOfLeadingZeros(most - least));
        int bytes = bits > 8 ? 2 : 1;
        byte[] raw = new byte[rows.length * rows[0].length * bytes];
        int at = 0;
        for (int[] row : rows) {
            for (int v : row) {
                for (int b = bytes - 1; b >= 0; b--) {
                    raw[at++] = (byte) (v - least >>> 8 * b);
                }
            }
        }
        return Peer.fieldBytes(picture) + Integer.BYTES + coded(raw, rows[0].length, rows.length, bits);
    }

    private static int coded(byte[] raw, int width, int height, int bits) {
        byte[] header = String.format(Locale.ROOT, "P5\n%d %d\n%d\n", width, height, (1 << bits) - 1)
                .getBytes(StandardCharsets.US_ASCII);
        byte[] grey = Arrays.copyOf(header, header.length + raw.length);
        System.arraycopy(raw, 0, grey, header.length, raw.length);
        try (CommandLine shell = new CommandLine()) {
            Files.write(shell.file("rows.pgm"), grey);
            int room = 32 - Integer.numberOfLeadingZeros(Math.min(width, height));
            String resolutions = String.valueOf(Math.min(RESOLUTIONS, room));
            shell.run(List.of("opj_compress", "-n", resolutions, "-i", "rows.pgm", "-o", "rows.j2k"));
            shell.run(List.of("opj_decompress", "-i", "rows.j2k", "-o", "again.pgm"));
            byte[] again = Files.readAllBytes(shell.file("again.pgm"));
            if (!Arrays.equals(Arrays.copyOfRange(again, again.length - raw.length, again.length), raw)) {
                throw new IllegalStateException("JPEG 2000 gave back other samples");
            }
            return (int) Files.size(shell.file("rows.j2k"));
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
