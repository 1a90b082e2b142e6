package sunward.profiles;

import java.util.List;
import java.util.SortedMap;
import sunward.protocol.message.Message;
import sunward.protocol.schema.Ledger;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Outline;

/**
 * One dive put together from its messages, whatever their order and number of copies.
 *
 * @param floatNumber float
 * @param dive dive
 * @param simulated true when any of the messages says so
 * @param unsealed true when any of the messages is
 * @param messages the distinct messages of data in use, in order of position; those derived by repair say so
 * @param conflicts positions that valid messages with different contents claim; none of them is in use
 * @param repairFailures one sentence for each repair group whose messages do not belong together
 * @param unreadable messages whose seal fits and whose body cannot be read, by position, with one sentence each
 * @param waiting messages of the samples tier whose base did not arrive or cannot be read, with its position
 * @param ledger the float's record of the dive; what the first look says when neither copy arrived; else null
 * @param ledgerArrived true when a copy of the ledger did
 * @param cast the water, down the column
 * @param attitude how the float hung and turned, down the column
 * @param successions how the brightness of successive scans hangs together, down the column
 * @param firstLook the float's own fit to the surface, or null when it did not arrive
 * @param outline the float's smooth profile, or null when it did not arrive
 * @param outlineHeader what opens its block
 * @param bins every bin, by head, bin, pass and class
 */
record AssembledDive(
        int floatNumber,
        int dive,
        boolean simulated,
        boolean unsealed,
        List<Message> messages,
        List<Integer> conflicts,
        List<String> repairFailures,
        SortedMap<Integer, String> unreadable,
        SortedMap<Integer, Integer> waiting,
        Ledger ledger,
        boolean ledgerArrived,
        List<WaterReadings.Level> cast,
        List<WaterReadings.Layer> attitude,
        List<WaterReadings.Succession> successions,
        ReadFirstLook firstLook,
        Outline outline,
        BlockHeader outlineHeader,
        List<DecodedBin> bins) {
    long repaired() {
        return messages.stream().filter(Message::repaired).count();
    }

    /** Messages that the float planned and that are not in use; 0 when unknown, see {@link #ledger}. */
    int missingMessages() {
        if (ledger == null) {
            return 0;
        }
        long held = messages.stream()
                .filter(m -> m.position() < ledger.getMessagesPlanned())
                .count();
        return (int) Math.max(0, ledger.getMessagesPlanned() - held);
    }
}
