package sunward.firmware;

import sunward.firmware.port.Flash;
import sunward.firmware.port.Modem;
import sunward.firmware.port.Sensors;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.spectra.BinRecord;

/**
 * The float's computer: takes events with their time, owns all state, and holds all wiring of the firmware.
 *
 * <pre>
 *   boot ─► onFix, onTare ─► startProfile ─► (onInstant ─► onScan of each head, onAncillary)* ─► endProfile
 *        ─► onTare, onFix ─► pack ─► sendNext* ─► next dive
 *
 *   onScan: attitude ─► sun ─► head choice ─► exposure ─► scan store      pack: bins ─► packer ─► outbox
 * </pre>
 *
 * <p>Nothing is allocated after construction; time never goes backward within a dive; one thread.
 */
public final class FloatComputer {
    private static final double DEGREES_E5 = 1e-5;
    private static final double DBAR_E4 = 1e-4;

    /** Longest order, bytes: what the smallest link carries to a float. */
    private static final int MOST_ORDER_BYTES = 270;

    /** Orders heard in one call at most: whatever the modem holds, the float goes on. */
    private static final int MOST_ORDERS_AT_ONCE = 16;

    /** Bins of a head that a dwell may touch. */
    private static final int MOST_DWELL_BINS = 8;

    private static final long NEVER_MS = Long.MIN_VALUE;

    private enum Phase {
        SURFACE,
        PROFILE,
        SURFACED,
        PACKED
    }

    private final FloatPlan plan;
    private final Modem modem;
    private final Sensors sensors;
    private final Journal journal;
    private final Outbox outbox;
    private final FlashPlan flashParts;
    private final BinGrid grid;
    private final ScanStore scans;
    private final BinStore binStore;
    private final PressureBins pressureBins;
    private final AncillaryLog ancillary;
    private final Ledger ledger;
    private final Packer packer;
    private final MessageWriter messages;
    private final Orders orders;
    private final byte[] heard;
    private final SunSide sunSide;
    private final Attitude attitude;
    private final HeadChooser chooser;
    private final ExposureControl[] exposure;
    private final SensorWatch watch;
    private final BinRecord bin;
    private final long[] bandSums = new long[BinRecord.SPREAD_BANDS];

    private Phase phase = Phase.SURFACE;
    private boolean cut;
    private long dwellFromMs = NEVER_MS;
    private boolean fixedSinceRise;
    private int lastIntervalMs;
    private int instants;

    /**
     * Wires the computer and allocates all it will ever need.
     *
     * @throws IllegalArgumentException when the flash is too small for the plan
     */
    public FloatComputer(FloatPlan plan, Flash flash, Modem modem, Sensors sensors) {
        this.plan = plan;
        this.modem = modem;
        this.sensors = sensors;
        int heads = plan.heads.length;
        int maxChannels = 0;
        for (FloatPlan.Head head : plan.heads) {
            maxChannels = Math.max(maxChannels, head.channels);
        }
        grid = new BinGrid(plan);
        int mostBins = heads * (grid.bins() + MOST_DWELL_BINS);
        flashParts = new FlashPlan(plan, flash, maxChannels, mostBins);
        journal = new Journal(flashParts.journal);
        outbox = new Outbox(flashParts.firstBank, flashParts.secondBank, journal);
        scans = new ScanStore(plan, flashParts.scans, maxChannels);
        binStore = new BinStore(flashParts.bins, maxChannels, mostBins);
        pressureBins = new PressureBins(plan, scans, maxChannels);
        ancillary = new AncillaryLog(heads);
        ledger = new Ledger(plan);
        messages = new MessageWriter(plan.sealKey, plan.messageBytes);
        packer = new Packer(plan, grid, binStore, ancillary, ledger, outbox, messages, maxChannels);
        orders = new Orders(plan, flashParts.orders, Outbox.capacity(flashParts.firstBank, plan.messageBytes));
        heard = new byte[MOST_ORDER_BYTES];
        sunSide = new SunSide(plan, ledger);
        attitude = sunSide.attitude();
        chooser = sunSide.chooser();
        exposure = new ExposureControl[heads];
        for (int h = 0; h < heads; h++) {
            exposure[h] = new ExposureControl(plan, h);
        }
        watch = new SensorWatch(heads, ledger);
        bin = new BinRecord(maxChannels);
    }

    /**
     * Power has come: finds dive number and waiting messages in flash. A dive that was under way, and not packed to its end,
     * waits to be packed with what flash holds of it; under water {@link #startProfile} goes on with it.
     */
    public void boot(long timeMs) {
        journal.boot();
        outbox.boot();
        orders.boot();
        scans.clear();
        binStore.clear();
        ancillary.clear();
        ledger.boot(timeMs);
        sunSide.boot();
        watch.clockSet();
        fixedSinceRise = false;
        cut = !journal.packed() && scans.recover(journal.dive());
        phase = cut ? Phase.SURFACED : Phase.SURFACE;
        if (cut) {
            outbox.takeBack(journal.dive(), messages.buffer());
            scans.tell(ledger);
            ledger.surfaced(timeMs);
            ledger.fault(Ledger.CUT_BY_POWER);
        }
        if (cut && ledger.fixKnown()) {
            sunSide.fix(ledger.fixMs(), ledger.fixLatitudeE5() * DEGREES_E5, ledger.fixLongitudeE5() * DEGREES_E5);
        }
    }

    /** A position at the surface. */
    public void onFix(long timeMs, int latitudeE5, int longitudeE5) {
        watch.clockSet();
        sunSide.fix(timeMs, latitudeE5 * DEGREES_E5, longitudeE5 * DEGREES_E5);
        ledger.fix(timeMs, latitudeE5, longitudeE5);
        fixedSinceRise = true;
    }

    /**
     * Raw port pressure in air: before the dive, or after surfacing. One before the dive that no sound gauge shows in air is not
     * taken off any depth; the one after travels as it is, and shore sees what the gauge says. {@code timeMs} is kept for the
     * order of events.
     */
    public void onTare(long timeMs, int rawPressureE4Dbar) {
        if (phase == Phase.SURFACE) {
            ledger.tareBefore(rawPressureE4Dbar);
        } else if (phase != Phase.PROFILE) {
            ledger.tareAfter(rawPressureE4Dbar);
        }
    }

    /** Charge left in the battery, percent: told before the dive, and again after a loss of power. */
    public void onBattery(int percent) {
        ledger.battery(percent);
    }

    /** How the float hangs at its parking depth by its two tilt sensors, 0.01 degree, or {@link RawScan#MISSING}. */
    public void onTrim(int pitch1Cdeg, int roll1Cdeg, int pitch2Cdeg, int roll2Cdeg) {
        sunSide.trim(0, pitch1Cdeg, roll1Cdeg);
        sunSide.trim(1, pitch2Cdeg, roll2Cdeg);
    }

    /** Radiometry begins: the next dive number is taken, or a dive that was cut by a loss of power goes on. */
    public void startProfile(long timeMs) {
        if (!cut) {
            journal.nextDive();
            orders.diveBegins();
            binStore.clear();
            ancillary.clear();
            ledger.start(timeMs);
            scans.open(journal.dive(), ledger);
        }
        cut = false;
        for (int h = 0; h < exposure.length; h++) {
            exposure[h].start();
        }
        watch.diveBegins();
        sunSide.diveBegins();
        lastIntervalMs = instantIntervalMs();
        fixedSinceRise = false;
        instants = 0;
        dwellFromMs = NEVER_MS;
        phase = Phase.PROFILE;
    }

    /** Time for the next readings: every head is told what to do. */
    public void onInstant(long timeMs) {
        if (phase != Phase.PROFILE) {
            return;
        }
        watch.instant(timeMs, lastIntervalMs);
        lastIntervalMs = instantIntervalMs();
        sunSide.newInstant();
        instants++;
        for (int h = 0; h < exposure.length; h++) {
            watch.exposed(h);
            chooser.silent(h, watch.silent(h));
            sensors.expose(h, exposure[h].code(), exposure[h].darkNext());
        }
    }

    /** Time from one instant to the next under the exposures that now hold, ms. */
    public int instantIntervalMs() {
        boolean isLong = false;
        for (ExposureControl control : exposure) {
            isLong |= plan.shortestMs * (1 << control.code()) > plan.longAboveMs;
        }
        return isLong ? plan.longScanIntervalMs : plan.scanIntervalMs;
    }

    /** A reading of one head. One that fits no head of the plan is counted as missing. */
    public void onScan(RawScan scan) {
        if (phase != Phase.PROFILE) {
            return;
        }
        int h = scan.head;
        if (h < 0 || h >= exposure.length || scan.channels != plan.heads[h].channels || scan.exposureCode >>> 4 != 0) {
            ledger.fault(Ledger.SCAN_MISSING);
            return;
        }
        watch.pressure(scan.pressureE4Dbar);
        long timeMs = watch.steady(scan.timeMs);
        if (sunSide.take(scan, timeMs, portDbar(scan))) {
            ancillary.attitude(portDbar(scan), attitude);
        }
        int peak = 0;
        long sum = 0;
        for (int band = 0; band < bandSums.length; band++) {
            int to = (band + 1) * scan.channels / bandSums.length;
            long bandSum = 0;
            for (int c = band * scan.channels / bandSums.length; c < to; c++) {
                peak = Math.max(peak, scan.counts[c]);
                bandSum += scan.counts[c];
            }
            bandSums[band] = bandSum;
            sum += bandSum;
        }
        boolean saturated = !scan.shutterClosed && peak >= plan.heads[h].fullScaleCounts;
        FloatPlan.Head head = plan.heads[h];
        double offsetM = attitude.down(head.armXM, head.armYM, head.armZM + plan.portAboveM);
        double tiltDeg = attitude.tiltDeg();
        boolean tilted = tiltDeg > plan.maxTiltDeg;
        boolean shaded = head.upwelling && chooser.shaded(h);
        int stuck = watch.scansStuck();
        // One dbar taken as one metre over the arm's length. A stuck gauge says nothing of where the scan belongs.
        int number = stuck > 0 ? BinGrid.NO_BIN : grid.binOf(portDbar(scan) + offsetM);
        scans.add(
                scan,
                timeMs,
                number,
                shaded,
                tilted,
                saturated,
                h == chooser.preferred(),
                dwells(timeMs, portDbar(scan)),
                rounded(offsetM * 1000),
                rounded(tiltDeg * 100),
                sunSide.antisunDeg(head),
                chooser.fallback());
        scans.dropFromBins(stuck);
        if (scan.shutterClosed) {
            ledger.dark(h);
            ancillary.dark(h, bandSums);
            exposure[h].dark(scan.exposureCode, (int) (sum / scan.channels), scan.temperatureCdeg);
        } else {
            ledger.light(h, saturated, tilted, shaded, h == chooser.preferred(), chooser.fallback());
            if (!saturated) {
                sunSide.brightness(
                        h, sum - (double) exposure[h].darkLevel() * scan.channels, scan.channels, scan.exposureCode);
            }
            if (head.upwelling && !saturated && !tilted && !shaded && stuck == 0) {
                ancillary.light(h, instants, scan.exposureCode, portDbar(scan), bandSums);
            }
            exposure[h].light(scan.exposureCode, peak, scan.temperatureCdeg);
            watch.light(h, scan.exposureCode, saturated);
        }
        if (watch.answered(h) && plan.flashEvery > 0 && instants % plan.flashEvery == 0) {
            sensors.flash();
        }
    }

    /** True within the plan's dwell near the surface, by the rule of {@link DiveCycle}. */
    private boolean dwells(long timeMs, double dbar) {
        if (plan.dwellS > 0 && dwellFromMs == NEVER_MS && dbar <= plan.dwellDbar) {
            dwellFromMs = timeMs;
        }
        return dwellFromMs != NEVER_MS && timeMs - dwellFromMs < plan.dwellS * 1000;
    }

    /** Port pressure above that of the air, dbar, which here also stands for the port's depth in m. */
    private double portDbar(RawScan scan) {
        return (scan.pressureE4Dbar - ledger.tareBeforeE4()) * DBAR_E4;
    }

    private static int rounded(double value) {
        return (int) Math.floor(value + 0.5);
    }

    /**
     * What the other sensors say of the water at a raw port pressure: 0.01 dbar, 0.001 degC, 0.001 practical salinity, 0.001
     * mg m-3 of chlorophyll, 1e-6 per m of backscatter; {@link RawScan#MISSING} where a sensor gave nothing.
     */
    public void onAncillary(
            int pressureCdbar, int temperatureMdegc, int salinityMpsu, int chlorophyllUgPerM3, int backscatterE6PerM) {
        if (phase == Phase.PROFILE) {
            ancillary.add(pressureCdbar, temperatureMdegc, salinityMpsu, chlorophyllUgPerM3, backscatterE6PerM);
        }
    }

    /** The hull top has met the surface. */
    public void endProfile(long timeMs) {
        if (phase == Phase.PROFILE) {
            ledger.surfaced(watch.steady(timeMs));
            phase = Phase.SURFACED;
        }
    }

    /** Bins the dive and packs it into the outbox; once a dive, after {@link #endProfile}. */
    public void pack() {
        if (phase != Phase.SURFACED) {
            return;
        }
        cut = false;
        ledger.scansDropped(scans.dropped());
        makeBins();
        if (pressureBins.darkMissing()) {
            ledger.fault(Ledger.NO_DARK);
        }
        packer.pack(journal.dive());
        if (packer.flashFull()) {
            ledger.fault(Ledger.FLASH_WRITE);
        }
        journal.notePacked();
        ledger.packed();
        phase = Phase.PACKED;
    }

    private void makeBins() {
        pressureBins.start();
        for (int h = 0; h < exposure.length; h++) {
            for (int number = 0; number < grid.bins(); number++) {
                for (int pass = 0; pass < (plan.dwellS > 0 ? 2 : 1); pass++) {
                    if (pressureBins.make(h, number, pass, bin)) {
                        if (binStore.add(bin)) {
                            ledger.binMade(h);
                        } else {
                            ledger.fault(Ledger.FLASH_WRITE);
                        }
                    }
                }
            }
        }
    }

    /**
     * Hands the next message to the modem: receipts first, then what waits, then what shore asked for again.
     *
     * @param timeMs kept for the order of events
     * @return true when one was handed over; false when none waits or the network took none
     */
    public boolean sendNext(long timeMs) {
        if (orders.receiptWaits()) {
            int length = orders.writeReceipt(messages, journal.dive());
            if (!modem.send(messages.buffer(), 0, length)) {
                return false;
            }
            orders.dropReceipt();
            return true;
        }
        int length = outbox.peek(messages.buffer());
        if (length == 0) {
            return sendAgain();
        }
        if (!modem.send(messages.buffer(), 0, length)) {
            return false;
        }
        outbox.handedOver();
        return true;
    }

    private boolean sendAgain() {
        ResendQueue wanted = orders.resends();
        while (!wanted.isEmpty()) {
            int length = outbox.find(wanted.dive(), wanted.position(), messages.buffer());
            if (length > 0) {
                if (!modem.send(messages.buffer(), 0, length)) {
                    return false;
                }
                wanted.step();
                return true;
            }
            wanted.step(); // no longer in flash
        }
        return false;
    }

    /**
     * Takes the orders that the modem holds; at the surface only.
     *
     * @return orders answered: their receipts wait
     */
    public int hear(long timeMs) {
        int taken = 0;
        for (int i = 0; i < MOST_ORDERS_AT_ONCE && phase != Phase.PROFILE; i++) {
            int length = modem.receive(heard, 0, heard.length);
            if (length <= 0) {
                break;
            }
            taken += orders.take(timeMs, heard, length) ? 1 : 0;
        }
        return taken;
    }

    /** Notes a fault in the ledger of the dive under way, or of the next. */
    void fault(int number) {
        ledger.fault(number);
    }

    /** True when a fix has come since the rise began: the float is at the surface. */
    boolean fixedAfterRise() {
        return fixedSinceRise;
    }

    /** True when a dive has ended and is not packed yet. */
    public boolean unpacked() {
        return phase == Phase.SURFACED;
    }

    /** Raw port pressure in air, 1e-4 dbar, the latest known. */
    int tareE4() {
        return ledger.latestTareE4();
    }

    /** True when shore ordered a dive that has not begun. */
    public boolean diveNowOrdered() {
        return orders.diveNow();
    }

    /** Until when shore wants the float to stay at the surface, ms since 2000; the past when it does not. */
    public long holdUntilMs() {
        return orders.holdUntilMs();
    }

    /** Messages in the outbox. */
    public int messagesWaiting() {
        return outbox.waiting();
    }

    /** The preferred upwelling head, or -1 when the float has none. */
    public int preferredHead() {
        return chooser.preferred();
    }

    /** Predicted share of upwelling radiance at 555 nm lost to the hull's shadow, or NaN when it cannot be predicted. */
    public double predictedLoss(int head) {
        return chooser.loss(head);
    }

    /** The fallback of the head choice that holds, 0 for none; numbers in WIRE.md. */
    public int fallback() {
        return chooser.fallback();
    }

    /** Number of the dive under way or last made; 0 before the first. */
    public int diveNumber() {
        return journal.dive();
    }

    /** Bytes of RAM in the firmware's arrays, the codec's included. */
    public int ramBytes() {
        int[] sum = {0};
        tell(new Footprint() {
            @Override
            public void ram(String part, int bytes) {
                sum[0] += bytes;
            }

            @Override
            public void flash(String part, int bytes) {
                // not asked for here
            }
        });
        return sum[0];
    }

    /** Tells what the firmware takes, part by part. */
    public void tell(Footprint to) {
        to.ram("index of the scans", scans.ramBytes());
        to.ram("making of bins", pressureBins.ramBytes() + 4 * bin.counts.length);
        to.ram("index of the bins", binStore.ramBytes());
        to.ram("packing and codecs", packer.ramBytes());
        to.ram("temperature, salinity and the like", ancillary.ramBytes());
        to.ram("messages and outbox", outbox.ramBytes() + plan.messageBytes);
        to.ram("orders", orders.ramBytes() + heard.length);
        to.ram(
                "ledger, heads, exposure",
                ledger.ramBytes() + sunSide.ramBytes() + watch.ramBytes() + 8 * exposure.length);
        to.flash("dive numbers", flashParts.journal.bytes());
        to.flash("orders", flashParts.orders.bytes());
        to.flash("outbox", flashParts.firstBank.bytes() + flashParts.secondBank.bytes());
        to.flash("bins", flashParts.bins.bytes());
        to.flash("scans", flashParts.scans.bytes());
    }

    /** Bytes of flash that this dive has used: scans, bins and outbox. */
    public int flashBytesUsed() {
        return scans.flashBytesUsed() + binStore.flashBytesUsed() + outbox.flashBytesUsed();
    }

    /** The record of the dive, for tests. */
    Ledger ledger() {
        return ledger;
    }

    /** Scans stored in this dive. */
    public int scansStored() {
        return scans.size();
    }

    /** Bins made of the dive last packed, all heads. */
    public int binsMade() {
        return binStore.size();
    }

    /**
     * Copies a bin of the dive last packed, every channel of it, as the packer got it.
     *
     * @param index 0 to {@link #binsMade()} - 1: heads one after another, from the surface down
     */
    public void copyBin(int index, BinRecord into) {
        binStore.load(index, 1, into);
    }

    /** Bins of a head that travel in the dive last packed. */
    public int binsSent(int head) {
        return ledger.binsSentOf(head);
    }

    /** Channels averaged into a sample in the dive last packed. */
    public int channelsPerSample() {
        return packer.channelsPerSample();
    }

    /** Quantiser step code near the surface in the dive last packed. */
    public int nearStepCode() {
        return packer.nearStep();
    }

    /** Quantiser step code of the deeper bins in the dive last packed. */
    public int deepStepCode() {
        return packer.deepStep();
    }
}
