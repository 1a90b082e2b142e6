package sunward.planning;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.TreeSet;
import sunward.profiles.Decoding;
import sunward.profiles.DiveProduct;
import sunward.profiles.ProfileBin;
import sunward.profiles.SurfaceRadiance;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.schema.PlanFile;
import sunward.protocol.spectra.BinRecord;
import sunward.simulator.CardReplay;
import sunward.simulator.Dive;
import sunward.simulator.Recording;
import sunward.simulator.RecordingFiles;

/**
 * A dive received by radio, held against the card of the recovered float. The float's own firmware is run again on what the
 * card recorded; the messages received must be, byte for byte, among those that it makes. What telemetry left out is told
 * in numbers, and the dive is decoded once more from the card with every bin and every channel.
 *
 * @param floatNumber float
 * @param dive dive
 * @param made messages that the firmware makes of the card
 * @param confirmed positions at which the message received is the one made
 * @param differing positions at which it is another one, or at which the firmware makes none
 * @param notReceived positions made and not received
 * @param scans on the card
 * @param otherExposures scans that this firmware would have exposed otherwise
 * @param binsMade bins with a spectrum, all heads
 * @param binsReceived of them in the product of the messages received
 * @param channels flown, of the head that has most
 * @param channelsPerSample neighbours averaged on the wire
 * @param misfitRms misfit of the samples received to the float's own bins, rms, in standard deviations of their noise
 * @param misfitWorst likewise the largest
 * @param surface water-leaving radiance from messages and from the card, where both have a value near a named wavelength
 * @param whole the dive decoded from the card; null when nothing can be decoded
 */
public record CardProof(
        int floatNumber,
        int dive,
        int made,
        List<Integer> confirmed,
        List<Integer> differing,
        List<Integer> notReceived,
        int scans,
        int otherExposures,
        int binsMade,
        int binsReceived,
        int channels,
        int channelsPerSample,
        double misfitRms,
        double misfitWorst,
        List<Radiance> surface,
        DiveProduct whole) {
    /** Room for every channel of every bin: messages as long and as many as a card would not mind. */
    private static final int WHOLE_MESSAGE_BYTES = 60_000;

    private static final int WHOLE_MESSAGES = 24;
    private static final double NEAREST_NM = 10;
    private static final double SAME_NM = 0.01;

    /**
     * Water-leaving radiance at a wavelength, W m-2 nm-1 sr-1, and its relative standard uncertainty in percent: from the
     * messages received and from the card.
     */
    public record Radiance(
            int wavelengthNm, double received, double receivedPercent, double card, double cardPercent) {}

    /** True when every message received is one that the firmware makes of the card. */
    public boolean confirms() {
        return differing.isEmpty() && !confirmed.isEmpty();
    }

    /**
     * Runs the proof.
     *
     * @param file plan in force during the dive, and calibration
     * @param card directory or archive of the recording
     * @param key of the float, or null; unsealed messages are made without it
     * @param received accepted messages, copies and orders' receipts among them
     * @throws IllegalArgumentException with one sentence, when the card cannot be read or the messages are not of one dive
     */
    public static CardProof of(PlanFile file, Path card, byte[] key, List<Message> received, Dive.Progress progress)
            throws IOException {
        List<Message> messages = received.stream()
                .filter(m -> m.kind() == Kind.DIVE || m.kind() == Kind.REPAIR)
                .toList();
        Message first = oneDive(messages);
        progress.at("card", 0);
        Recording recording = RecordingFiles.read(card, Replay.channels(file));
        CardReplay.Made made = CardReplay.of(
                file.getPlan(),
                file.getCalibration(),
                recording,
                first.unsealed() ? null : key,
                first.simulated(),
                first.dive());
        progress.at("card", 0.5);
        PlanFile.Builder wide = file.toBuilder();
        wide.getPlanBuilder().getLinkBuilder().setMessageBytes(WHOLE_MESSAGE_BYTES);
        wide.getPlanBuilder()
                .getPackingBuilder()
                .setDataMessages(WHOLE_MESSAGES)
                .setParityMessages(0);
        PlanFile wideFile = wide.build();
        DiveProduct whole = BudgetSheet.product(
                CardReplay.of(
                                wideFile.getPlan(),
                                file.getCalibration(),
                                recording,
                                null,
                                first.simulated(),
                                first.dive())
                        .messages(),
                wideFile);
        DiveProduct telemetry = Decoding.products(messages, RehearsedDive.shore(file)).stream()
                .findFirst()
                .orElse(null);
        progress.at("card", 1);
        return proof(first, messages, made, telemetry, whole, file);
    }

    private static Message oneDive(List<Message> messages) {
        TreeSet<String> dives = new TreeSet<>();
        messages.forEach(m -> dives.add("float " + m.floatNumber() + " dive " + m.dive()));
        if (dives.size() != 1) {
            throw new IllegalArgumentException("a card is held against one dive, but the messages are of "
                    + (dives.isEmpty() ? "none" : String.join(", ", dives)) + "; give the messages of the card's dive");
        }
        return messages.get(0);
    }

    private static CardProof proof(
            Message first,
            List<Message> messages,
            CardReplay.Made made,
            DiveProduct telemetry,
            DiveProduct whole,
            PlanFile file) {
        Map<Integer, byte[]> byPosition = new TreeMap<>();
        for (byte[] one : made.messages()) {
            byPosition.put((one[4] & 0x0f) << 8 | (one[5] & 0xff), one);
        }
        TreeSet<Integer> confirmed = new TreeSet<>();
        TreeSet<Integer> differing = new TreeSet<>();
        for (Message message : messages) {
            boolean same = Arrays.equals(message.bytes(), byPosition.get(message.position()));
            (same ? confirmed : differing).add(message.position());
        }
        TreeSet<Integer> missing = new TreeSet<>(byPosition.keySet());
        missing.removeAll(confirmed);
        missing.removeAll(differing);
        Misfit misfit = new Misfit(made.bins(), file);
        if (telemetry != null) {
            misfit.add(telemetry);
        }
        return new CardProof(
                first.floatNumber(),
                first.dive(),
                made.messages().size(),
                List.copyOf(confirmed),
                List.copyOf(differing),
                List.copyOf(missing),
                made.scans(),
                made.otherExposures(),
                made.bins().size(),
                misfit.bins,
                made.bins().stream().mapToInt(bin -> bin.samples).max().orElse(0),
                misfit.channelsPerSample,
                misfit.samples == 0 ? Double.NaN : Math.sqrt(misfit.squares / misfit.samples),
                misfit.samples == 0 ? Double.NaN : misfit.worst,
                surface(telemetry, whole),
                whole);
    }

    /** Samples received against the float's own bins, averaged alike. */
    private static final class Misfit {
        private final Map<Integer, BinRecord> made = new HashMap<>();
        private final double shortestS;
        private int bins;
        private int channelsPerSample;
        private long samples;
        private double squares;
        private double worst;

        Misfit(List<BinRecord> bins, PlanFile file) {
            bins.forEach(bin -> made.put(bin.head << 16 | bin.bin, bin));
            shortestS = file.getPlan().getExposure().getShortestMs() / 1000;
        }

        void add(DiveProduct product) {
            for (ProfileBin bin : product.profile().bins()) {
                BinRecord own = made.get(bin.head() << 16 | bin.bin());
                if (own != null && bin.counts() != null && bin.used() > 0 && !bin.shaded()) {
                    bins++;
                    channelsPerSample = (own.samples + bin.counts().size() - 1)
                            / Math.max(1, bin.counts().size());
                    add(bin, own);
                }
            }
        }

        private void add(ProfileBin bin, BinRecord own) {
            double perSecond = 64 * shortestS * (1 << own.exposureCode);
            for (int k = 0; k < bin.counts().size(); k++) {
                double mean = Arrays.stream(
                                own.counts, k * channelsPerSample, Math.min(own.samples, (k + 1) * channelsPerSample))
                        .average()
                        .orElse(Double.NaN);
                double off = Math.abs(bin.counts().at(k) - mean / perSecond) / bin.countsUncertainty(k);
                if (Double.isFinite(off)) {
                    samples++;
                    squares += off * off;
                    worst = Math.max(worst, off);
                }
            }
        }
    }

    private static List<Radiance> surface(DiveProduct telemetry, DiveProduct whole) {
        List<Radiance> rows = new ArrayList<>();
        if (telemetry == null || whole == null || telemetry.surface() == null || whole.surface() == null) {
            return rows;
        }
        SurfaceRadiance received = telemetry.surface();
        SurfaceRadiance card = whole.surface();
        for (int nm : Coverage.NAMED_NM) {
            int r = BudgetSheet.nearest(received, nm);
            if (Math.abs(received.wavelengthNm().at(r) - nm) < NEAREST_NM) {
                Radiance row = row(nm, received, r, card);
                if (Double.isFinite(row.received) && Double.isFinite(row.card)) {
                    rows.add(row);
                }
            }
        }
        return List.copyOf(rows);
    }

    /** The card's channels that make up sample {@code r} of the messages, taken together. */
    private static Radiance row(int nm, SurfaceRadiance received, int r, SurfaceRadiance card) {
        double at = received.wavelengthNm().at(r);
        double half = r == 0 ? 0 : (at - received.wavelengthNm().at(r - 1)) / 2;
        double lw = 0;
        double uncertainty = 0;
        int channels = 0;
        for (int c = 0; c < card.wavelengthNm().size(); c++) {
            if (Math.abs(card.wavelengthNm().at(c) - at) <= Math.max(half, SAME_NM)) {
                lw += card.lw().at(c);
                uncertainty += 100 * card.lwRelative().at(c);
                channels++;
            }
        }
        return new Radiance(
                nm, received.lw().at(r), 100 * received.lwRelative().at(r), lw / channels, uncertainty / channels);
    }
}
