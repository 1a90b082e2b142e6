package sunward.protocol.spectra;

import java.util.ArrayList;
import java.util.List;
import sunward.protocol.bits.BitModels;

/**
 * Working memory that parts which are never at work together share: a float has little of it.
 *
 * <p>Parts ask for arrays when they are made. After {@link #rewind} the same arrays are lent again, to the next part, so
 * nothing in them outlives a part's own work. An array may be longer than was asked for. No allocation but while parts are made.
 */
public final class Workspace {
    private final List<int[]> ints = new ArrayList<>();
    private final List<long[]> longs = new ArrayList<>();
    private final List<double[]> doubles = new ArrayList<>();
    private final List<BitModels> models = new ArrayList<>();
    private int intsLent;
    private int longsLent;
    private int doublesLent;
    private int modelsLent;

    /** What is asked for from here on may share memory with what was asked for before. */
    public void rewind() {
        intsLent = 0;
        longsLent = 0;
        doublesLent = 0;
        modelsLent = 0;
    }

    /** So many integers or more. */
    public int[] ints(int length) {
        for (int i = intsLent; i < ints.size(); i++) {
            if (ints.get(i).length >= length) {
                return swapped(ints, i, intsLent++);
            }
        }
        ints.add(intsLent, new int[length]);
        return ints.get(intsLent++);
    }

    /** So many long integers or more. */
    public long[] longs(int length) {
        for (int i = longsLent; i < longs.size(); i++) {
            if (longs.get(i).length >= length) {
                return swapped(longs, i, longsLent++);
            }
        }
        longs.add(longsLent, new long[length]);
        return longs.get(longsLent++);
    }

    /** So many doubles or more. */
    public double[] doubles(int length) {
        for (int i = doublesLent; i < doubles.size(); i++) {
            if (doubles.get(i).length >= length) {
                return swapped(doubles, i, doublesLent++);
            }
        }
        doubles.add(doublesLent, new double[length]);
        return doubles.get(doublesLent++);
    }

    /** So many adaptive bits or more. */
    public BitModels models(int size) {
        for (int i = modelsLent; i < models.size(); i++) {
            if (models.get(i).size() >= size) {
                return swapped(models, i, modelsLent++);
            }
        }
        models.add(modelsLent, new BitModels(size));
        return models.get(modelsLent++);
    }

    private static <T> T swapped(List<T> list, int from, int to) {
        T taken = list.get(from);
        list.set(from, list.get(to));
        list.set(to, taken);
        return taken;
    }

    /** Bytes of all arrays. */
    public int ramBytes() {
        int sum = 0;
        for (int[] array : ints) {
            sum += Integer.BYTES * array.length;
        }
        for (long[] array : longs) {
            sum += Long.BYTES * array.length;
        }
        for (double[] array : doubles) {
            sum += Double.BYTES * array.length;
        }
        for (BitModels set : models) {
            sum += set.ramBytes();
        }
        return sum;
    }
}
