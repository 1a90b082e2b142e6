package sunward.watch.dives;

import sunward.planning.WireWords;

/** The float's fault numbers in words; the numbers are WIRE.md's. */
final class Faults {
    private Faults() {}

    static String words(int number) {
        return switch (number) {
            case 1 -> "a write to flash failed";
            case 2 -> "scans came late or not at all";
            case 3 -> "the pressure gauge was stuck";
            case 4 -> "a head was saturated";
            case 5 -> "no dark reading at an exposure that was used";
            default -> WireWords.fault(number);
        };
    }
}
