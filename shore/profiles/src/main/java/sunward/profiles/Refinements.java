package sunward.profiles;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.function.BiConsumer;
import sunward.protocol.message.Message;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.SamplesCodec;
import sunward.protocol.spectra.SamplesDecoder;

/**
 * Messages of the samples tier, kept until all bins of a dive are read. One whose base is not there stays as it is: nothing of
 * it is guessed, and the dive says that it waits. When the base comes, the dive is put together anew.
 */
final class Refinements {
    private final List<Message> kept = new ArrayList<>();
    private final SortedMap<Integer, Integer> waiting = new TreeMap<>();

    /** Keeps a message, or refuses one that no base could make readable. */
    void keep(Message message, BiConsumer<Message, String> refuse) {
        byte[] body = message.body();
        if (SamplesCodec.known(body, 0, body.length)) {
            kept.add(message);
        } else {
            refuse.accept(message, "refines samples in a way that this version does not know");
        }
    }

    /** Base position by position of each message that waits. */
    SortedMap<Integer, Integer> waiting() {
        return waiting;
    }

    /** Refines the bins, which stand message by message in the order of their bytes, in place. */
    void settle(List<DecodedBin> bins, BiConsumer<Message, String> refuse) {
        for (Message message : kept) {
            int base = SamplesCodec.basePosition(message.body(), 0);
            int from = 0;
            while (from < bins.size() && bins.get(from).position() != base) {
                from++;
            }
            int to = from;
            while (to < bins.size() && bins.get(to).position() == base) {
                to++;
            }
            if (from == to) {
                waiting.put(message.position(), base);
            } else {
                refine(message, bins.subList(from, to), refuse);
            }
        }
    }

    private static void refine(Message message, List<DecodedBin> base, BiConsumer<Message, String> refuse) {
        byte[] body = message.body();
        BlockHeader header = base.get(0).header();
        int first = SamplesCodec.first(body, 0);
        int end = first + SamplesCodec.channels(body, 0);
        BinRecord[] told = base.stream().map(DecodedBin::told).toArray(BinRecord[]::new);
        int[][] refined = new int[told.length][header.samples];
        if (overlaps(base, first, end)
                || !new SamplesDecoder(told.length).read(body, 0, body.length, header, told, refined)) {
            refuse.accept(
                    message, "does not fit the bins of position " + base.get(0).position() + " that it refines");
            return;
        }
        for (int i = 0; i < told.length; i++) {
            if (told[i].samples > 0) {
                base.set(i, base.get(i).with(refined[i], first, end));
            }
        }
    }

    private static boolean overlaps(List<DecodedBin> base, int first, int end) {
        for (DecodedBin bin : base) {
            BitSet done = bin.refined();
            int next = done.nextSetBit(first);
            if (next >= 0 && next < end) {
                return true;
            }
        }
        return false;
    }
}
