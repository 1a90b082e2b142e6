package sunward.profiles;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.NoSuchElementException;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.IntFunction;
import sunward.protocol.message.Message;
import sunward.protocol.plan.Digests;
import sunward.protocol.plan.FlownChannels;
import sunward.protocol.schema.Fix;
import sunward.protocol.schema.Head;
import sunward.protocol.schema.HeadKind;
import sunward.protocol.schema.Ledger;
import sunward.protocol.schema.Plan;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockCodec;
import sunward.protocol.spectra.Codecs;

/** All wiring of shore: the accepted messages of one dive in, its product out. */
public final class ProcessingChain {
    /** Faults of the ledger, WIRE.md, section 2. */
    private static final int STUCK_PRESSURE = 3;

    private static final int REVERSED_PRESSURE = 11;

    private final ShoreInputs inputs;
    private final IntFunction<BlockCodec> codecs;
    private final byte[] planDigest;
    private final byte[] calibrationDigest;
    private final List<String> reasons = new ArrayList<>();
    private boolean planFits;
    private boolean calibrationFits;

    private ProcessingChain(ShoreInputs inputs, IntFunction<BlockCodec> codecs) {
        this.inputs = inputs;
        this.codecs = codecs;
        this.planDigest = Digests.of(inputs.plan());
        this.calibrationDigest = Digests.of(inputs.calibration());
    }

    /**
     * Makes the product of one dive.
     *
     * @param acceptedOfOneDive one or more accepted messages of the same float and dive, in any order, with any copies
     */
    public static DiveProduct process(Collection<Message> acceptedOfOneDive, ShoreInputs inputs) {
        return process(acceptedOfOneDive, inputs, Codecs::ofNumber);
    }

    static DiveProduct process(
            Collection<Message> acceptedOfOneDive, ShoreInputs inputs, IntFunction<BlockCodec> codecs) {
        return new ProcessingChain(inputs, codecs).run(acceptedOfOneDive);
    }

    private DiveProduct run(Collection<Message> accepted) {
        AssembledDive dive = Assembler.assemble(accepted, codecs);
        sayHowItArrived(dive);
        matchInputs(dive);
        Ledger ledger = dive.ledger();
        DiveProduct.Place place = place(dive);
        SurfaceWater water = surfaceWater(dive, ledger);
        HeadDepth depth = HeadDepth.from(ledger, place.latitudeDeg());
        sayDepth(ledger, depth);
        Profile profile = profile(dive, water, depth);
        SurfaceRadiance surface = null;
        if (planFits && calibrationFits) {
            List<GapFinder.Absent> lost = new GapFinder(inputs.plan(), dive, profile.bins()).lost(SurfaceFit.DEEPEST_M);
            SurfaceStep step =
                    new SurfaceStep(inputs, profile, lost, place, water, depth, dive.firstLook(), dive.successions());
            surface = step.radiance();
            reasons.addAll(step.reasons());
        }
        if (surface == null && dive.firstLook() != null) {
            int heads = dive.firstLook().look().heads;
            reasons.add("first look only: the float's own surface fit of " + heads + (heads == 1 ? " head" : " heads")
                    + " arrived, in counts; the command show prints it, and no radiance is made of it");
        }
        return new DiveProduct(
                dive.floatNumber(),
                dive.dive(),
                dive.simulated(),
                dive.unsealed(),
                dive.messages().size(),
                ledger == null ? 0 : ledger.getMessagesPlanned(),
                dive.conflicts(),
                dive.ledgerArrived() ? ledger : null,
                place,
                water,
                dive.cast(),
                dive.attitude(),
                dive.successions(),
                profile,
                dive.outline() == null ? null : SmoothProfile.of(dive.outline(), dive.outlineHeader(), depth),
                surface,
                List.copyOf(reasons),
                new DiveProduct.Inputs(
                        Digests.hex(Fingerprint.of(
                                dive.messages().stream().map(Message::bytes).toList())),
                        Digests.hex(planDigest),
                        Digests.hex(calibrationDigest),
                        Digests.hex(inputs.ancillary().digest())));
    }

    private void sayHowItArrived(AssembledDive dive) {
        if (dive.simulated()) {
            reasons.add("simulated: no sea was measured");
        }
        if (dive.unsealed()) {
            reasons.add("unsealed: nothing but a checksum protects the messages");
        }
        for (String failure : dive.repairFailures()) {
            reasons.add("repair failed: " + failure);
        }
        if (dive.repaired() > 0) {
            reasons.add("repaired: " + dive.repaired() + " messages were derived from repair symbols");
        }
        if (dive.ledger() == null) {
            reasons.add(
                    "ledger missing: neither of its two copies arrived, so place, tares and number of messages are not known");
        } else if (!dive.ledgerArrived()) {
            reasons.add(
                    "ledger missing: neither of its two copies arrived; place (to 0.01 degree), time, tare and number"
                            + " of messages are those of the first look");
        }
        if (dive.missingMessages() > 0) {
            reasons.add("messages missing: " + dive.missingMessages() + " of "
                    + dive.ledger().getMessagesPlanned());
        }
        if (!dive.conflicts().isEmpty()) {
            reasons.add("messages disagree: different valid messages claim positions " + dive.conflicts()
                    + "; none of them is used");
        }
        reasons.addAll(dive.unreadable().values());
        if (!dive.waiting().isEmpty()) {
            reasons.add(
                    "samples wait: the messages at positions " + dive.waiting().keySet()
                            + " refine bins of positions "
                            + new TreeSet<>(dive.waiting().values())
                            + ", which did not arrive or cannot be read");
        }
    }

    /** A calibration or plan counts as the float's own only when every block and the ledger name its digest. */
    private void matchInputs(AssembledDive dive) {
        int planTag = tag(planDigest);
        int calibrationTag = tag(calibrationDigest);
        planFits = !dive.bins().isEmpty() || dive.firstLook() != null;
        calibrationFits = planFits;
        if (dive.firstLook() != null) {
            planFits = dive.firstLook().header().planTag == planTag;
            calibrationFits = dive.firstLook().header().calibrationTag == calibrationTag;
        }
        for (DecodedBin bin : dive.bins()) {
            planFits &= bin.header().planTag == planTag
                    && bin.header().head < inputs.plan().getHeadsCount();
            calibrationFits &= bin.header().calibrationTag == calibrationTag;
        }
        if (planFits) {
            try {
                for (int head = 0; head < inputs.plan().getHeadsCount(); head++) {
                    FlownChannels.of(inputs.plan(), inputs.calibration(), head);
                }
            } catch (NoSuchElementException e) {
                calibrationFits = false;
            }
        }
        if (dive.bins().isEmpty()) {
            reasons.add("no spectra: no message with bins arrived");
        }
        if (dive.bins().isEmpty() && dive.firstLook() == null) {
            return;
        }
        if (!planFits) {
            reasons.add(
                    "other plan: the float flew a plan whose digest is not that of the plan given, so there are counts only");
        } else if (!calibrationFits) {
            reasons.add(
                    "other calibration: the messages name a calibration that is not the one given, so there are counts only");
        }
    }

    private static int tag(byte[] digest) {
        return (digest[0] & 0xff) << 24 | (digest[1] & 0xff) << 16 | (digest[2] & 0xff) << 8 | digest[3] & 0xff;
    }

    /** The last fix is nearest to the surfacing; without a ledger the last bin tells at least the time. */
    private DiveProduct.Place place(AssembledDive dive) {
        Ledger ledger = dive.ledger();
        double timeS = ledger != null && ledger.getSurfacedS() != 0
                ? Integer.toUnsignedLong(ledger.getSurfacedS())
                : dive.bins().stream().mapToDouble(b -> b.record().timeS).max().orElse(Double.NaN);
        if (ledger == null || ledger.getFixesCount() == 0 || Double.isNaN(timeS)) {
            if (ledger != null) {
                reasons.add("no fix: place and sun are not known");
            }
            return new DiveProduct.Place(timeS, Double.NaN, Double.NaN, Double.NaN, Double.NaN);
        }
        Fix fix = ledger.getFixes(0);
        for (Fix candidate : ledger.getFixesList()) {
            if (Integer.compareUnsigned(candidate.getTimeS(), fix.getTimeS()) >= 0) {
                fix = candidate;
            }
        }
        double latitude = fix.getLatitudeE5() / 1e5;
        double longitude = fix.getLongitudeE5() / 1e5;
        if (Math.abs(latitude) > 90 || Math.abs(longitude) > 180) {
            reasons.add("no fix: the ledger's place is not on Earth, so place and sun are not known");
            return new DiveProduct.Place(timeS, Double.NaN, Double.NaN, Double.NaN, Double.NaN);
        }
        SunPosition sun =
                SunPosition.at(timeS, latitude, longitude, inputs.ancillary().deltaTS());
        return new DiveProduct.Place(timeS, latitude, longitude, sun.zenithDeg(), sun.azimuthDeg());
    }

    /** Mean of the cast's uppermost five decibars of water. */
    private SurfaceWater surfaceWater(AssembledDive dive, Ledger ledger) {
        HeadDepth depth = HeadDepth.from(ledger, Double.NaN);
        double temperature = 0;
        double salinity = 0;
        int rows = 0;
        for (WaterReadings.Level level : dive.cast()) {
            boolean known = !Double.isNaN(level.temperatureDegC()) && !Double.isNaN(level.salinity());
            if (known && (rows == 0 || level.pressureDbar() - depth.tareDbar() <= 5)) {
                temperature += level.temperatureDegC();
                salinity += level.salinity();
                rows++;
            }
        }
        if (rows == 0) {
            reasons.add(
                    "water not known: no temperature and salinity arrived; round figures stand in, with their uncertainty");
            return SurfaceWater.unknown();
        }
        return new SurfaceWater(temperature / rows, salinity / rows, 0.2, 0.05, true);
    }

    private void sayDepth(Ledger ledger, HeadDepth depth) {
        if (ledger != null && ledger.hasTareAfterMdbar() && !HeadDepth.believed(ledger.getTareAfterMdbar())) {
            reasons.add(String.format(
                    Locale.ROOT,
                    "tare after the dive not believed: the gauge read %.1f dbar in air",
                    ledger.getTareAfterMdbar() / 1000.0));
        }
        if (ledger != null && ledger.getFaultsList().contains(STUCK_PRESSURE)) {
            reasons.add("pressure gauge stuck: what was seen after that has no depth and is in no bin");
        }
        if (ledger != null && ledger.getFaultsList().contains(REVERSED_PRESSURE)) {
            reasons.add(
                    "pressure gauge reversed: it showed the float sinking while it rose, so bins from then on hold scans"
                            + " of other depths");
        }
        if (depth.missing()) {
            reasons.add("tare missing: depth is uncertain by 0.12 m");
        } else if (!ledger.hasTareAfterMdbar()) {
            reasons.add("tare after the dive missing: depth rests on the one before");
        } else if (ledger.hasTareBeforeMdbar()
                && HeadDepth.believed(ledger.getTareAfterMdbar())
                && Math.abs(ledger.getTareAfterMdbar() - ledger.getTareBeforeMdbar()) > 100) {
            reasons.add("tares disagree: by more than 0.1 dbar");
        }
    }

    private Profile profile(AssembledDive dive, SurfaceWater water, HeadDepth depth) {
        Plan plan = inputs.plan();
        List<Spectrum> wavelengths = new ArrayList<>();
        List<Integer> averaged = new ArrayList<>();
        List<HeadResponse> responses = new ArrayList<>();
        if (planFits && calibrationFits) {
            for (int head = 0; head < plan.getHeadsCount(); head++) {
                averaged.add(channelsPerSample(dive, head));
                double[] nm = SampleGrid.wavelengthsNm(
                        FlownChannels.of(plan, inputs.calibration(), head).wavelengthsNm(), averaged.get(head));
                wavelengths.add(Spectrum.of(nm));
                responses.add(
                        plan.getHeads(head).getKind() == HeadKind.UPWELLING_RADIANCE
                                ? new HeadResponse(
                                        FlownChannels.headCalibration(plan, inputs.calibration(), head), nm, water)
                                : null);
            }
        }
        List<ProfileBin> bins = new ArrayList<>();
        Set<List<Integer>> seen = new HashSet<>();
        int strange = 0;
        for (DecodedBin decoded : dive.bins()) {
            BinRecord r = decoded.record();
            if (!seen.add(Arrays.asList(r.head, r.bin, r.pass, r.shaded ? 1 : 0))) {
                strange++;
                continue;
            }
            ProfileBin bin = bin(decoded);
            boolean known = r.head < wavelengths.size()
                    && responses.get(r.head) != null
                    && wavelengths.get(r.head).size() == r.samples;
            bins.add(bin.with(
                    depth.depthM(bin.portPressureDbar(), bin.offsetM()), known ? responses.get(r.head) : null));
        }
        if (strange > 0) {
            reasons.add("bins twice: " + strange
                    + " bins came in more than one message; the first in order of position stands");
        }
        List<Gap> gaps = planFits ? new GapFinder(plan, dive, bins).gaps() : List.of();
        return new Profile(List.copyOf(bins), gaps, List.copyOf(wavelengths), List.copyOf(averaged), planFits);
    }

    /** Of a head's blocks: the commonest number, the larger of equals. */
    private static int channelsPerSample(AssembledDive dive, int head) {
        int[] votes = new int[65];
        for (DecodedBin bin : dive.bins()) {
            if (bin.header().head == head) {
                votes[Math.max(1, Math.min(64, bin.header().channelsPerSample))]++;
            }
        }
        int best = 1;
        for (int g = 1; g < votes.length; g++) {
            best = votes[g] >= votes[best] ? g : best;
        }
        int unknown = dive.firstLook() == null ? 1 : dive.firstLook().header().channelsPerSample;
        return votes[best] == 0 ? unknown : best;
    }

    private ProfileBin bin(DecodedBin decoded) {
        BinRecord r = decoded.record();
        double shortest = planFits ? inputs.plan().getExposure().getShortestMs() / 1000 : 1;
        double exposure = shortest * (1 << r.exposureCode);
        double perUnit = 1.0 / (1 << BinRecord.FRACTION_BITS) / exposure;
        double[] counts = new double[r.samples];
        for (int k = 0; k < counts.length; k++) {
            counts[k] = r.counts[k] * perUnit;
        }
        BinNoise noise = BinNoise.of(
                decoded.header().gainSixteenths / 16.0,
                decoded.header().readNoiseQuarters / 4.0,
                decoded.header().channelsPerSample,
                r.used,
                r.darkScans,
                decoded.boundSigma(),
                exposure);
        return new ProfileBin(
                r.head,
                r.bin,
                r.pass,
                decoded.position(),
                r.shaded,
                exposure,
                r.mixedExposure,
                r.used,
                r.rejected,
                r.shadedScans,
                r.timeS,
                r.pressureMdbar / 1000.0,
                r.offsetMm / 1000.0,
                Double.NaN,
                r.depthSdMm / 1000.0,
                r.tiltCdeg / 100.0,
                r.antisunDeg == BinRecord.ANTISUN_UNKNOWN ? Double.NaN : r.antisunDeg,
                r.fallback,
                r.darkScans,
                decoded.refined(),
                r.spread[0] == 65535 ? Double.NaN : r.spread[0] * 1e-4,
                Spectrum.of(counts),
                noise,
                decoded.leftOut(),
                null,
                null);
    }

    /** Distance of a head from the hull's axis, m. */
    static double armM(Head head) {
        return Math.hypot(head.getArmXM(), head.getArmYM());
    }
}
