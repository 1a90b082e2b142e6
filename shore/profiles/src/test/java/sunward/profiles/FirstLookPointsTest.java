package sunward.profiles;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import org.junit.jupiter.api.Test;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.Plan;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.FirstLook;

/** What a first look tells of lost bins, on invented light whose answer is known beforehand. */
class FirstLookPointsTest {
    private static final int FIRST = 2;
    private static final int LAST = 41;
    private static final double LEVEL = 1e5;
    private static final double ATTENUATION = 0.1;
    private static final double EXPOSURE_S = 0.064;
    private static final int USED = 6;
    private static final Plan PLAN = PlanReader.defaults().getPlan();

    /**
     * By hand: bins with residuals that satisfy the normal equations of the float's fit (sums of w r and w z r vanish), those
     * near the surface 2 percent bright. Without these, two points come back that are 2 percent bright.
     */
    @Test
    void lostBinsComeBackAsTwoPoints() {
        List<FirstLookPoints.Point> points = points(bins(12));
        assertEquals(2, points.size());
        for (FirstLookPoints.Point point : points) {
            double z = point.depthM()[0];
            assertTrue(z > depth(FIRST) && z < depth(12), "depth " + z);
            assertEquals(1.02, point.counts()[0] / light(raw(z)), 0.0015, "at " + z);
        }
        // As sure as the eleven bins are: 1 / variance of both together is the sum of their weights.
        double information =
                points.stream().mapToDouble(point -> 1 / point.variance()[0]).sum();
        double weights = 0;
        for (int b = FIRST; b <= 12; b++) {
            weights += weight(depth(b));
        }
        assertEquals(1, information / weights, 0.08);
    }

    @Test
    void withEveryBinInHandThereIsNothingToTell() {
        assertTrue(points(bins(FIRST - 1)).isEmpty());
    }

    @Test
    void withoutAnyBinThePointsLieOnTheFirstLook() {
        List<FirstLookPoints.Point> points = points(List.of());
        assertEquals(2, points.size());
        for (FirstLookPoints.Point point : points) {
            double z = point.depthM()[0];
            assertEquals(1, point.counts()[0] / light(raw(z)), 1e-4, "at " + z);
        }
    }

    private static List<FirstLookPoints.Point> points(List<ProfileBin> inHand) {
        FirstLook look = new FirstLook(1, 4);
        look.heads = 1;
        FirstLook.Head head = look.head(0);
        head.samples = 4;
        head.bins = LAST - FIRST + 1;
        head.topCm = (int) Math.round(100 * depth(FIRST));
        head.bottomCm = (int) Math.round(100 * depth(LAST));
        for (int k = 0; k < 4; k++) {
            head.lit[k] = true;
            head.logSurface[k] = (int) Math.rint(Math.log(LEVEL) * FirstLook.LOG_ONE);
            head.logAttenuation[k] = (int) Math.rint(Math.log(ATTENUATION) * FirstLook.LOG_ONE);
        }
        BlockHeader header = new BlockHeader();
        header.channelsPerSample = 1;
        header.gainSixteenths = 61;
        header.readNoiseQuarters = 32;
        HeadDepth depth = HeadDepth.from(null, 30);
        return new FirstLookPoints(PLAN, new ReadFirstLook(header, look), depth, h -> new double[] {400, 450, 500, 550})
                .of(inHand, 4, 1);
    }

    private static double depth(int bin) {
        return 0.2 * bin + 0.1;
    }

    /** What the float calls a depth: port pressure in dbar plus the arm, the port 0.25 m above the aperture. */
    private static double raw(double depthM) {
        return 0.25 + (depthM - 0.25) / Seawater.depthM(1, 30);
    }

    private static double light(double z) {
        return LEVEL * Math.exp(-ATTENUATION * z);
    }

    /** The float's weight of a bin, WIRE.md, first look. */
    private static double weight(double z) {
        double fixed = (64 + 1.0 / 12) / (USED * EXPOSURE_S * EXPOSURE_S);
        double shot = 16 / 61.0 / (USED * EXPOSURE_S);
        double waves = 0.02 * Math.exp(-z / 8) + 0.002;
        double left = 0.01 * (Math.exp(2 * ATTENUATION * z) - 1);
        return 1 / ((fixed / light(z) + shot) / light(z) + waves * waves / (USED / 3.0) + left * left);
    }

    /** The bins below {@code brightTo}, with the straight line of residuals that makes up for those above. */
    private static List<ProfileBin> bins(int brightTo) {
        double[] sums = new double[3];
        double[] bright = new double[2];
        for (int b = FIRST; b <= LAST; b++) {
            double z = depth(b);
            double w = weight(z);
            if (b <= brightTo) {
                bright[0] += 0.02 * w;
                bright[1] += 0.02 * w * z;
            } else {
                sums[0] += w;
                sums[1] += w * z;
                sums[2] += w * z * z;
            }
        }
        double det = sums[0] * sums[2] - sums[1] * sums[1];
        double level = -(sums[2] * bright[0] - sums[1] * bright[1]) / det;
        double slope = -(sums[0] * bright[1] - sums[1] * bright[0]) / det;
        List<ProfileBin> bins = new ArrayList<>();
        for (int b = Math.max(FIRST, brightTo + 1); b <= LAST; b++) {
            double z = depth(b);
            double counts = light(z) * (1 + level + slope * z);
            bins.add(bin(b, z, counts));
        }
        return bins;
    }

    private static ProfileBin bin(int number, double z, double counts) {
        return new ProfileBin(
                0,
                number,
                0,
                5,
                false,
                EXPOSURE_S,
                false,
                USED,
                0,
                0,
                0,
                z - 0.25,
                0.25,
                z,
                0.06,
                1,
                170,
                0,
                20,
                new BitSet(),
                0.01,
                Spectrum.of(counts, counts, counts, counts),
                new BinNoise(0, 0, 0, 0),
                LeftOut.NOTHING,
                null,
                null);
    }
}
