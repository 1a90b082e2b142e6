package sunward.profiles;

import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.function.ToDoubleFunction;

/**
 * How fast the light itself comes and goes while the float rises, as under passing clouds: a random walk of the logarithm
 * of brightness, the same at all depths, whose variance per second is found from the bins. A smooth fall of light
 * with depth leaves three neighbouring bins of a head on a line; what they stray from it at all wavelengths alike, beyond
 * what waves are expected to leave, is light that changed.
 */
final class BrightnessWalk {
    /** Waves stray so too; below this multiple of their variance the light is taken as steady (a judgement). */
    private static final double CLEARLY = 5;

    private static final double FIRST_NM = 400;
    private static final double LAST_NM = 570;
    private static final int FEWEST_STRAYS = 8;

    private BrightnessWalk() {}

    /**
     * Variance of the logarithm of brightness per second; 0 where waves explain what is seen.
     *
     * @param bins those near the surface, both heads
     * @param nm wavelengths of their samples
     * @param wavesOf relative standard deviation that waves leave in a bin's mean
     */
    static double variancePerS(List<ProfileBin> bins, double[] nm, ToDoubleFunction<ProfileBin> wavesOf) {
        int heads = 1 + bins.stream().mapToInt(ProfileBin::head).max().orElse(0);
        double squares = 0;
        double expected = 0;
        double seconds = 0;
        int strays = 0;
        for (int head = 0; head < heads; head++) {
            int own = head;
            List<ProfileBin> line = bins.stream()
                    .filter(bin -> bin.head() == own)
                    .sorted(Comparator.comparingDouble(ProfileBin::depthM))
                    .toList();
            for (int i = 1; i + 1 < line.size(); i++) {
                ProfileBin above = line.get(i - 1);
                ProfileBin here = line.get(i);
                ProfileBin below = line.get(i + 1);
                double before = here.timeS() - below.timeS();
                double after = above.timeS() - here.timeS();
                double stray = stray(above, here, below, nm);
                if (before <= 0 || after <= 0 || Double.isNaN(stray)) {
                    continue;
                }
                double share = (here.depthM() - above.depthM()) / (below.depthM() - above.depthM());
                double waves = square(wavesOf.applyAsDouble(here))
                        + square((1 - share) * wavesOf.applyAsDouble(above))
                        + square(share * wavesOf.applyAsDouble(below));
                squares += stray * stray;
                expected += waves;
                // What a walk that is tied at both ends strays in between.
                seconds += before * after / (before + after);
                strays++;
            }
        }
        return strays < FEWEST_STRAYS || squares < CLEARLY * expected ? 0 : (squares - expected) / seconds;
    }

    /** How far the middle one of three bins lies from the line through the others, in logarithm: the median over blue and green. */
    private static double stray(ProfileBin above, ProfileBin here, ProfileBin below, double[] nm) {
        double share = (here.depthM() - above.depthM()) / (below.depthM() - above.depthM());
        double[] found = new double[nm.length];
        int count = 0;
        for (int k = 0; k < nm.length; k++) {
            boolean lit = above.radiance().at(k) > 0
                    && here.radiance().at(k) > 0
                    && below.radiance().at(k) > 0;
            if (nm[k] >= FIRST_NM && nm[k] <= LAST_NM && lit) {
                found[count++] = Math.log(here.radiance().at(k))
                        - (1 - share) * Math.log(above.radiance().at(k))
                        - share * Math.log(below.radiance().at(k));
            }
        }
        Arrays.sort(found, 0, count);
        return count == 0 ? Double.NaN : found[count / 2];
    }

    private static double square(double x) {
        return x * x;
    }
}
