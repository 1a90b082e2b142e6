package sunward.firmware;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import sunward.protocol.bits.BodyReader;
import sunward.protocol.bits.BodyWriter;

class AncillaryLogTest {
    private static List<Long> column(byte[] body, int length, int field, boolean signed) {
        BodyReader reader = new BodyReader();
        BodyReader packed = new BodyReader();
        List<Long> values = new ArrayList<>();
        reader.begin(body, 0, length);
        while (reader.next()) {
            if (reader.field() == field) {
                packed.begin(reader);
                while (packed.nextPacked()) {
                    values.add(signed ? packed.sint() : packed.varint());
                }
            }
        }
        return values;
    }

    /** Tilt, heading and turning of a float that swings and spins at random, beside plain sums in another order. */
    @Test
    void layersHoldTheStatisticsOfTheirMoments() {
        Random random = new Random(7);
        AncillaryLog log = new AncillaryLog(2);
        log.clear();
        Attitude attitude = new Attitude();
        double heading = 10;
        List<double[]> seen = new ArrayList<>();
        for (double dbar = 250; dbar > 0.1; dbar -= 0.2) {
            double turn = 8 + 4 * random.nextGaussian();
            heading = Attitude.wrap360(heading + turn);
            attitude.take(heading, 3 * random.nextGaussian(), 0);
            log.attitude(dbar, attitude);
            int layer = dbar < 2 ? 0 : Math.min(7, (int) Math.floor(Math.log(dbar) / Math.log(2)));
            seen.add(new double[] {layer, attitude.tiltDeg(), heading, seen.isEmpty() ? 0 : turn});
        }
        byte[] body = new byte[400];
        int length = log.write(new BodyWriter(), body, 0, body.length, 1, 2);
        assertEquals(List.of(1L, 3L, 5L, 7L), column(body, length, 6, false));
        for (int k = 0; k < 4; k++) {
            int layer = 2 * k + 1;
            List<double[]> own = seen.stream().filter(s -> s[0] == layer).toList();
            double mean = own.stream().mapToDouble(s -> s[1]).average().orElseThrow();
            double variance = own.stream()
                    .mapToDouble(s -> (s[1] - mean) * (s[1] - mean))
                    .average()
                    .orElseThrow();
            double north = own.stream()
                    .mapToDouble(s -> Math.cos(Math.toRadians(s[2])))
                    .average()
                    .orElseThrow();
            double east = own.stream()
                    .mapToDouble(s -> Math.sin(Math.toRadians(s[2])))
                    .average()
                    .orElseThrow();
            assertEquals(own.size(), column(body, length, 7, false).get(k));
            assertEquals(10 * mean, column(body, length, 8, false).get(k), 0.5001);
            assertEquals(
                    10 * Math.sqrt(variance), column(body, length, 9, false).get(k), 0.5001);
            assertEquals(
                    10 * own.stream().mapToDouble(s -> s[1]).max().orElseThrow(),
                    column(body, length, 10, false).get(k),
                    0.5001);
            double apart =
                    Attitude.wrap180(column(body, length, 11, false).get(k) - Math.toDegrees(Math.atan2(east, north)));
            assertEquals(0, apart, 0.5001);
            assertEquals(
                    100 * Math.hypot(north, east),
                    column(body, length, 12, false).get(k),
                    0.5001);
            assertEquals(
                    own.stream().mapToDouble(s -> s[3]).sum(),
                    column(body, length, 13, true).get(k),
                    0.51);
        }
    }

    @Test
    void aSensorThatGivesNothingIsLeftOutAndASingleGapMarked() {
        AncillaryLog log = new AncillaryLog(2);
        log.clear();
        for (int i = 0; i < 4; i++) {
            int chlorophyll = i == 1 ? RawScan.MISSING : 70 + i;
            log.add(1000 - 100 * i, 28_000, 34_000, chlorophyll, RawScan.MISSING);
        }
        byte[] body = new byte[100];
        int length = log.write(new BodyWriter(), body, 0, body.length, 0, 1);
        assertEquals(List.of(73L, -1L, -72L - 32768, 70L + 32768), column(body, length, 4, true));
        assertTrue(column(body, length, 5, true).isEmpty(), "no backscatter column");
        assertTrue(column(body, length, 6, false).isEmpty(), "no layer without a reading");
    }

    /**
     * A chain in which each scan remembers the one before with a known correlation (its standard error over n pairs is about
     * {@code sqrt((1 - r^2) / n)}, Bartlett 1946), under light that grows tenfold on the way up through the layer.
     */
    @ParameterizedTest
    @ValueSource(doubles = {-0.5, 0, 0.3, 0.7})
    void correlationOfSuccessiveScansIsFoundUnderTheTrendOfDepth(double r) {
        Random random = new Random(11);
        AncillaryLog log = new AncillaryLog(1);
        log.clear();
        log.dark(0, new long[] {30_000, 30_000, 30_000});
        double[] state = new double[3];
        int scans = 4000;
        for (int i = 0; i < scans; i++) {
            double dbar = 31.9 - 15.8 * i / scans;
            long[] sums = new long[3];
            for (int band = 0; band < 3; band++) {
                state[band] = r * state[band] + Math.sqrt(1 - r * r) * random.nextGaussian();
                double light = 2e6 * Math.exp(-0.15 * (dbar - 16) + 0.02 * state[band]);
                sums[band] = 30_000 + Math.round(light);
            }
            if (i % 20 != 7) { // a dark in between
                log.light(0, i, 3, dbar, sums);
            }
        }
        byte[] body = new byte[100];
        int length = log.write(new BodyWriter(), body, 0, body.length, 0, 1);
        assertEquals(List.of(4L), column(body, length, 14, false), "one layer");
        assertEquals(3599, column(body, length, 15, false).get(0), 2);
        for (int band = 0; band < 3; band++) {
            double found = column(body, length, 16 + band, true).get(0) / 100.0;
            double far = Math.pow(r, 5) / 4; // the sill is taken where a strong memory has not quite faded
            assertEquals(r, found, 0.02 + Math.abs(far) + 3 * Math.sqrt((1 - r * r) / scans), "band " + band);
        }
    }

    @Test
    void successionsAreOfOneExposureAndOfScansInARow() {
        AncillaryLog log = new AncillaryLog(2);
        log.clear();
        for (int i = 0; i < 200; i++) {
            log.light(0, i, i % 2, 3, new long[] {1000 + i, 1000 + i, 1000 + i}); // the exposure hunts
            log.light(1, 2 * i, 3, 3, new long[] {1000 + i, 1000 + i, 1000 + i}); // every other scan is lost
        }
        byte[] body = new byte[100];
        int length = log.write(new BodyWriter(), body, 0, body.length, 0, 1);
        assertTrue(column(body, length, 15, false).isEmpty(), "no pair of one exposure and of neighbouring moments");
    }
}
