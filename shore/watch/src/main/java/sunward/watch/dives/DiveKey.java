package sunward.watch.dives;

/**
 * Names one dive.
 *
 * @param floatNumber 1 to 16383
 * @param dive 0 to 4095
 */
public record DiveKey(int floatNumber, int dive) implements Comparable<DiveKey> {
    @Override
    public int compareTo(DiveKey other) {
        int byFloat = Integer.compare(floatNumber, other.floatNumber);
        return byFloat != 0 ? byFloat : Integer.compare(dive, other.dive);
    }
}
