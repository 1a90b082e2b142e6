package sunward.profiles;

import com.google.protobuf.InvalidProtocolBufferException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.Comparator;
import java.util.List;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.function.IntFunction;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.repair.Repair;
import sunward.protocol.schema.AncillaryProfile;
import sunward.protocol.schema.Ledger;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockCodec;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.FirstLook;
import sunward.protocol.spectra.FirstLookCodec;
import sunward.protocol.spectra.Outline;

/** Puts the accepted messages of one dive together: any order, any number of copies, the same result. */
final class Assembler {
    private static final int MAX_SAMPLES = 1024;
    private static final Comparator<DecodedBin> ORDER = Comparator.comparingInt((DecodedBin b) -> b.record().head)
            .thenComparingInt(b -> b.record().bin)
            .thenComparingInt(b -> b.record().pass)
            .thenComparing(b -> b.record().shaded)
            .thenComparingInt(DecodedBin::position);

    private final IntFunction<BlockCodec> codecs;
    private final SortedMap<Integer, String> unreadable = new TreeMap<>();
    private final SortedMap<Integer, AncillaryProfile> casts = new TreeMap<>();
    private final List<DecodedBin> bins = new ArrayList<>();
    private final Refinements refinements = new Refinements();
    private Ledger ledger;
    private ReadFirstLook firstLook;
    private BlockHeader outlineHeader;
    private Outline outline;

    private Assembler(IntFunction<BlockCodec> codecs) {
        this.codecs = codecs;
    }

    /**
     * Assembles the messages of one float's dive.
     *
     * @param accepted one or more messages, all of the same float and dive
     * @param codecs codec by number; null for a number that is not known
     */
    static AssembledDive assemble(Collection<Message> accepted, IntFunction<BlockCodec> codecs) {
        SortedMap<Integer, List<Message>> byPosition = new TreeMap<>();
        for (Message message : accepted) {
            if (message.kind() == Kind.DIVE || message.kind() == Kind.REPAIR) {
                addIfNew(byPosition.computeIfAbsent(message.position(), p -> new ArrayList<>()), message);
            }
        }
        List<Message> used = new ArrayList<>();
        List<Integer> conflicts = new ArrayList<>();
        byPosition.forEach((position, copies) -> {
            if (copies.size() == 1) {
                used.add(copies.get(0));
            } else {
                conflicts.add(position);
            }
        });
        Repair.Restored restored = Repair.restore(used);
        used.removeIf(message -> message.kind() == Kind.REPAIR);
        used.addAll(restored.messages());
        used.sort(Comparator.comparingInt(Message::position));
        Assembler assembler = new Assembler(codecs);
        used.forEach(assembler::read);
        assembler.refinements.settle(assembler.bins, assembler::refuse);
        assembler.bins.sort(ORDER);
        Message any = accepted.iterator().next();
        return new AssembledDive(
                any.floatNumber(),
                any.dive(),
                accepted.stream().anyMatch(Message::simulated),
                accepted.stream().anyMatch(Message::unsealed),
                List.copyOf(used),
                List.copyOf(conflicts),
                restored.failures(),
                assembler.unreadable,
                assembler.refinements.waiting(),
                assembler.ledger == null ? assembler.standIn() : assembler.ledger,
                assembler.ledger != null,
                assembler.cast(),
                WaterReadings.layers(assembler.casts.values()),
                WaterReadings.successions(assembler.casts.values()),
                assembler.firstLook,
                assembler.outline,
                assembler.outlineHeader,
                List.copyOf(assembler.bins));
    }

    /** A second copy of the same bytes is nothing new; a received copy stands before one derived by repair. */
    private static void addIfNew(List<Message> copies, Message message) {
        for (int i = 0; i < copies.size(); i++) {
            if (Arrays.equals(copies.get(i).bytes(), message.bytes())) {
                if (copies.get(i).repaired() && !message.repaired()) {
                    copies.set(i, message);
                }
                return;
            }
        }
        copies.add(message);
    }

    private void read(Message message) {
        BlockType block = BlockType.ofNumber(message.block());
        try {
            if (block == BlockType.LEDGER) {
                Ledger read = Ledger.parseFrom(message.body());
                ledger = ledger == null ? read : ledger;
            } else if (block == BlockType.ANCILLARY) {
                casts.put(message.part(), AncillaryProfile.parseFrom(message.body()));
            } else if (block == BlockType.FIRST_LOOK) {
                readFirstLook(message);
            } else if (block == BlockType.OUTLINE) {
                readOutline(message);
            } else if (block == BlockType.BINS) {
                readBins(message);
            } else if (block == BlockType.SAMPLES) {
                refinements.keep(message, this::refuse);
            } else {
                refuse(message, "holds block " + message.block() + ", which this version does not read");
            }
        } catch (InvalidProtocolBufferException e) {
            refuse(message, "has a body that is not a whole " + block + " record");
        }
    }

    private void refuse(Message message, String what) {
        unreadable.put(
                message.position(), "The message at position " + message.position() + " " + what + "; it is left out.");
    }

    private void readOutline(Message message) {
        BlockHeader header = new BlockHeader();
        Outline read = SmoothProfile.read(message.body(), header);
        if (read == null) {
            refuse(message, "has an outline that cannot be read");
        } else if (outline == null) {
            outline = read;
            outlineHeader = header;
        }
    }

    private void readFirstLook(Message message) {
        byte[] body = message.body();
        BlockHeader header = new BlockHeader();
        FirstLook look = new FirstLook(FirstLook.MAX_HEADS, MAX_SAMPLES);
        if (!new FirstLookCodec(MAX_SAMPLES).decode(body, 0, body.length, header, look)) {
            refuse(message, "has a first look that cannot be read");
        } else if (firstLook == null) {
            firstLook = new ReadFirstLook(header, look);
        }
    }

    /** What the first look says of place, time, tare and messages, as a ledger; null when it did not come either. */
    private Ledger standIn() {
        if (firstLook == null) {
            return null;
        }
        FirstLook look = firstLook.look();
        Ledger.Builder ledger = Ledger.newBuilder()
                .setSurfacedS((int) look.surfacedS)
                .setMessagesPlanned(look.messagesPlanned)
                .setRepairMessages(look.repairMessages)
                .setChannelsPerSample(firstLook.header().channelsPerSample);
        if (look.placeKnown) {
            ledger.addFixesBuilder()
                    .setTimeS((int) look.surfacedS)
                    .setLatitudeE5(1000 * look.latitudeCdeg)
                    .setLongitudeE5(1000 * look.longitudeCdeg);
        }
        if (look.tareKnown) {
            ledger.setTareBeforeMdbar(look.tareMdbar);
        }
        return ledger.build();
    }

    private void readBins(Message message) {
        byte[] body = message.body();
        int number = body.length == 0 ? 0 : (body[0] & 0xff) >>> 4;
        BlockCodec codec = codecs.apply(number);
        if (codec == null) {
            refuse(message, "is packed with codec " + number + ", which this version does not know");
            return;
        }
        BlockCodec.Decoder decoder = codec.decoder(MAX_SAMPLES);
        BlockHeader header = new BlockHeader();
        List<DecodedBin> read = new ArrayList<>();
        int state = decoder.begin(body, 0, body.length, header);
        while (state != BlockCodec.Decoder.SPOILT) {
            BinRecord record = new BinRecord(MAX_SAMPLES);
            state = decoder.next(record);
            if (state != BlockCodec.Decoder.BIN) {
                break;
            }
            read.add(DecodedBin.of(
                    message.position(),
                    header,
                    trimmed(record),
                    codec.errorBoundSigma(decoder.stepCode()),
                    LeftOut.of(codec, decoder.stepCode(), record)));
        }
        if (state == BlockCodec.Decoder.SPOILT) {
            refuse(message, "has a spectral block that ends in nonsense after " + read.size() + " bins");
        } else {
            bins.addAll(read);
        }
    }

    private static BinRecord trimmed(BinRecord record) {
        BinRecord copy = new BinRecord(Math.max(1, record.samples));
        copy.copyFrom(record);
        return copy;
    }

    private List<WaterReadings.Level> cast() {
        return casts.values().stream()
                .flatMap(part -> WaterReadings.levels(part).stream())
                .filter(level -> !Double.isNaN(level.pressureDbar()))
                .sorted(Comparator.comparingDouble(WaterReadings.Level::pressureDbar))
                .toList();
    }
}
