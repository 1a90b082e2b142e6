package sunward.planning;

import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.ToDoubleFunction;
import sunward.protocol.message.KeyRing;
import sunward.simulator.DiveResult;

/**
 * What dives of one plan used, as means over the dives: one dive differs from the next by a percent or two.
 *
 * @param dives how many were flown
 * @param instants moments at which the heads were read
 * @param lightScans scans with the shutter open
 * @param darkScans scans with the shutter closed
 * @param ramBytes state of the firmware, alike in all
 * @param flashBytes flash that a dive takes
 * @param messages sent
 * @param bytes of the messages, headers and seals included
 * @param bytesSd standard deviation of {@code bytes} from dive to dive
 * @param bytesByBlock {@code bytes} by what they carry
 */
public record CountedDives(
        int dives,
        double instants,
        double lightScans,
        double darkScans,
        int ramBytes,
        double flashBytes,
        double messages,
        double bytes,
        double bytesSd,
        Map<String, Double> bytesByBlock) {

    static CountedDives of(List<DiveResult> dives) {
        Map<String, Double> byBlock = new TreeMap<>();
        for (DiveResult dive : dives) {
            for (MessageLog.Entry entry :
                    MessageLog.of(dive.sent(), List.of(), KeyRing.none()).entries()) {
                double share = entry.message().bytes().length / (double) dives.size();
                byBlock.merge(MessageLog.carries(entry.message()), share, Double::sum);
            }
        }
        double bytes = mean(dives, CountedDives::bytes);
        double squares = dives.stream()
                .mapToDouble(dive -> Math.pow(bytes(dive) - bytes, 2))
                .sum();
        return new CountedDives(
                dives.size(),
                mean(dives, dive -> dive.account().instants()),
                mean(dives, dive -> dive.account().lightScans()),
                mean(dives, dive -> dive.account().darkScans()),
                dives.get(0).account().ramBytes(),
                mean(dives, dive -> dive.account().flashBytes()),
                mean(dives, dive -> dive.sent().size()),
                bytes,
                dives.size() < 2 ? Double.NaN : Math.sqrt(squares / (dives.size() - 1)),
                byBlock);
    }

    private static int bytes(DiveResult dive) {
        return dive.sent().stream().mapToInt(message -> message.length).sum();
    }

    private static double mean(List<DiveResult> dives, ToDoubleFunction<DiveResult> value) {
        return dives.stream().mapToDouble(value).average().orElseThrow();
    }
}
