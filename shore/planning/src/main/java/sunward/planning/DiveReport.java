package sunward.planning;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.ToDoubleFunction;
import java.util.stream.Collectors;
import sunward.planning.ReportData.Fact;
import sunward.profiles.DiveProduct;
import sunward.profiles.Gap;
import sunward.profiles.Seawater;
import sunward.profiles.SurfaceRadiance;
import sunward.profiles.WaterReadings;
import sunward.protocol.message.Kind;
import sunward.protocol.message.MessageLayout;
import sunward.protocol.schema.Head;
import sunward.protocol.schema.HeadKind;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.DiveResult;
import sunward.simulator.FloatAccount;
import sunward.simulator.Seeds;
import sunward.simulator.TrackPoint;
import sunward.simulator.Truth;

/** From a rehearsed dive, both ends of it, to the data of its report. */
final class DiveReport {
    private static final double NAMED_NM = 443;
    private static final double BLUE_GREEN_FROM_NM = 412;
    private static final double BLUE_GREEN_TO_NM = 555;

    private final PlanFile file;
    private final Seeds seeds;
    private final DiveResult dive;
    private final DiveProduct product;
    private final MessageLog log;
    private final List<String> headNames;
    private final Comparison comparison;

    /**
     * Gathers what the report needs.
     *
     * @param product what shore made of the messages; null when it could make nothing
     */
    DiveReport(PlanFile file, Seeds seeds, DiveResult dive, DiveProduct product, MessageLog log) {
        this.file = file;
        this.seeds = seeds;
        this.dive = dive;
        this.product = product;
        this.log = log;
        this.headNames =
                file.getPlan().getHeadsList().stream().map(Head::getName).toList();
        this.comparison = surface() == null ? null : new Comparison(surface(), dive.truth());
    }

    private SurfaceRadiance surface() {
        return product == null ? null : product.surface();
    }

    /** Product beside truth, or null when there are no surface spectra. */
    Comparison comparison() {
        return comparison;
    }

    ReportData data() {
        return new ReportData(
                file.getScene().getTitle(),
                true,
                verdict(),
                summary(),
                spectra(),
                product == null ? RadiancePicture.empty() : RadiancePicture.of(product, file.getPlan()),
                new ScenePicture(file.getScene(), dive.truth()).data(readings(), tareDbar()),
                geometry(),
                cast(),
                log.bars(dive.truth().surfacingMs(), headNames, MessageLog::head),
                comparison == null ? emptyBudget() : new BudgetPicture(surface()).data(),
                gaps(),
                reasons(),
                provenance());
    }

    /** The outcome in one sentence. */
    String verdict() {
        if (product == null) {
            return "No message of this dive could be decoded: there is no profile and no radiance.";
        }
        if (comparison == null || comparison.values() == 0) {
            return "The messages that arrived give no water-leaving radiance; the reasons stand below.";
        }
        double[] nm = comparison.wavelengthNm;
        String sentence = text(
                "Water-leaving radiance was recovered at %d of the %d wavelengths sent (%.0f to %.0f nm)%s. The stated"
                        + " 95 %% intervals hold the truth at %.0f %% of them",
                comparison.values(),
                nm.length,
                nm[0],
                nm[nm.length - 1],
                others(),
                100.0 * comparison.held() / comparison.values());
        double widest = comparison.widestPercent(BLUE_GREEN_FROM_NM, BLUE_GREEN_TO_NM);
        return sentence
                + (Double.isNaN(widest)
                        ? "."
                        : text(", and at 412 to 555 nm their half width is at most %.1f %%.", widest));
    }

    /** Why the other wavelengths have no value, the commonest reason first. */
    private String others() {
        Map<String, Long> byReason = surface().missing().stream()
                .filter(reason -> !reason.isEmpty())
                .collect(Collectors.groupingBy(reason -> reason, TreeMap::new, Collectors.counting()));
        long count = byReason.values().stream().mapToLong(Long::longValue).sum();
        String reasons = byReason.entrySet().stream()
                .sorted(Map.Entry.<String, Long>comparingByValue().reversed())
                .map(e -> byReason.size() == 1 ? e.getKey() : e.getKey() + text(" (%d)", e.getValue()))
                .collect(Collectors.joining(", "));
        return count == 0 ? "" : text("; at the other %d: %s", count, reasons);
    }

    private List<Fact> summary() {
        List<Fact> facts = new ArrayList<>();
        if (comparison != null && comparison.values() > 0) {
            int k = comparison.nearest(NAMED_NM);
            facts.add(new Fact(
                    text("Lw at %.0f nm", comparison.wavelengthNm[k]),
                    comparison.has(k) ? number(surface().lw().at(k)) : "no value",
                    comparison.has(k)
                            ? text(
                                    "W m\u207b\u00b2 nm\u207b\u00b9 sr\u207b\u00b9 \u00b1 %.1f %%; truth %s",
                                    comparison.halfWidthPercent[k], number(comparison.lw[k]))
                            : text("%s; truth %s", surface().missing().get(k), number(comparison.lw[k]))));
            facts.add(new Fact(
                    "Widest, 412 to 555 nm",
                    text("\u00b1 %.1f %%", comparison.widestPercent(BLUE_GREEN_FROM_NM, BLUE_GREEN_TO_NM)),
                    "95 % interval of Lw"));
            facts.add(new Fact(
                    "Truth inside",
                    text("%.0f %%", 100.0 * comparison.held() / comparison.values()),
                    text("of %d wavelengths; over many dives 95 is asked", comparison.values())));
        }
        facts.add(new Fact(
                "Messages",
                text("%d of %d", log.whole(), log.entries().size()),
                text("arrived, %d spoilt on the way; %s", log.onlySpoilt(), log.dataInHand())));
        if (product != null) {
            long bins = product.profile().bins().stream()
                    .filter(b -> !b.shaded() && b.used() > 0)
                    .count();
            facts.add(new Fact("Bins", text("%d", bins), text("with spectra, of %d heads", headNames.size())));
        }
        facts.add(new Fact("Sun", text("%.1f\u00b0", dive.truth().sunZenithDeg()), "from the zenith at surfacing"));
        return facts;
    }

    private ReportData.Spectra spectra() {
        if (comparison == null) {
            double[] none = {};
            return new ReportData.Spectra(
                    none, none, none, none, none, none, none, none, none, none, none, none, none, new String[0]);
        }
        SurfaceRadiance s = surface();
        double[] half = comparison.halfWidthPercent;
        double[] lu0 = s.lu0().toArray();
        // The transfer through the surface adds next to nothing, so both radiances have the same relative interval.
        double[] lu0Low = lu0.clone();
        double[] lu0High = lu0.clone();
        double[] low = lu0.clone();
        double[] high = lu0.clone();
        for (int k = 0; k < lu0.length; k++) {
            lu0Low[k] *= 1 - half[k] / 100;
            lu0High[k] *= 1 + half[k] / 100;
            low[k] = s.lwLow(k);
            high[k] = s.lwHigh(k);
        }
        return new ReportData.Spectra(
                comparison.wavelengthNm,
                s.lw().toArray(),
                low,
                high,
                comparison.lw,
                lu0,
                lu0Low,
                lu0High,
                comparison.lu0,
                comparison.errorPercent,
                half,
                s.attenuation().toArray(),
                comparison.attenuation,
                s.missing().toArray(String[]::new));
    }

    private ReportData.Geometry geometry() {
        Truth truth = dive.truth();
        List<TrackPoint> track = truth.track();
        double surfacedS = truth.surfacingMs() / 1000.0;
        double portAboveM = file.getPlan().getHull().getPortAboveHeadsM();
        List<ReportData.Arm> arms = new ArrayList<>();
        List<Integer> lookDown = new ArrayList<>();
        for (int h = 0; h < headNames.size(); h++) {
            Head head = file.getPlan().getHeads(h);
            if (head.getKind() == HeadKind.UPWELLING_RADIANCE) {
                lookDown.add(h);
                arms.add(new ReportData.Arm(
                        head.getName(),
                        Math.toDegrees(Math.atan2(head.getArmYM(), head.getArmXM())),
                        Math.hypot(head.getArmXM(), head.getArmYM())));
            }
        }
        double[][] antisun = new double[arms.size()][];
        double[][] loss = new double[arms.size()][];
        for (int a = 0; a < antisun.length; a++) {
            double armAzimuth = arms.get(a).azimuthDeg();
            int head = lookDown.get(a);
            antisun[a] =
                    column(p -> Math.IEEEremainder(p.headingTrueDeg() + armAzimuth - p.sunAzimuthDeg() - 180, 360));
            loss[a] = column(p -> p.lossPercent555()[head]);
        }
        return new ReportData.Geometry(
                arms,
                file.getPlan().getHull().getRadiusM(),
                truth.sunZenithDeg(),
                column(p -> p.timeS() - surfacedS),
                column(p -> Seawater.depthM(p.pressureDbar(), truth.latitudeDeg()) + portAboveM),
                column(TrackPoint::headingTrueDeg),
                column(TrackPoint::tiltDeg),
                column(TrackPoint::sunAzimuthDeg),
                track.stream()
                        .mapToInt(p -> lookDown.indexOf(p.preferredHead()))
                        .toArray(),
                antisun,
                loss);
    }

    private double[] column(ToDoubleFunction<TrackPoint> of) {
        return dive.truth().track().stream().mapToDouble(of).toArray();
    }

    private List<WaterReadings.Level> readings() {
        return product == null ? List.of() : product.cast();
    }

    private double tareDbar() {
        return product != null && product.ledger() != null && product.ledger().hasTareBeforeMdbar()
                ? product.ledger().getTareBeforeMdbar() / 1000.0
                : 0;
    }

    private ReportData.Cast cast() {
        List<WaterReadings.Level> rows = readings();
        double tare = tareDbar();
        return new ReportData.Cast(
                rows.stream().mapToDouble(r -> r.pressureDbar() - tare).toArray(),
                rows.stream().mapToDouble(r -> r.temperatureDegC()).toArray(),
                rows.stream().mapToDouble(r -> r.salinity()).toArray());
    }

    private static ReportData.Budget emptyBudget() {
        return new ReportData.Budget(new double[0], new double[0], List.of(), new String[0]);
    }

    private List<ReportData.Gap> gaps() {
        List<ReportData.Gap> gaps = new ArrayList<>();
        for (Gap gap : product == null ? List.<Gap>of() : product.profile().gaps()) {
            gaps.add(new ReportData.Gap(
                    headNames.get(gap.head()),
                    gap.fromDbar(),
                    gap.toDbar(),
                    gap.cause().words()));
        }
        return gaps;
    }

    private List<String> reasons() {
        List<String> reasons = new ArrayList<>(product == null ? List.of() : product.reasons());
        if (product != null && product.ledger() != null && product.ledger().getFaultsCount() > 0) {
            reasons.add("The float noted: "
                    + product.ledger().getFaultsList().stream()
                            .map(WireWords::fault)
                            .collect(Collectors.joining("; "))
                    + ".");
        }
        for (MessageLog.Entry entry : log.entries()) {
            if (!entry.complaint().isEmpty()) {
                reasons.add(text(
                        "A delivery of message %d was rejected: %s%s.",
                        entry.message().position(),
                        entry.complaint(),
                        entry.accepted() > 0 ? "; another one of it was sound" : ""));
            }
        }
        String data = log.neverHad(Kind.DIVE);
        if (!data.isEmpty()) {
            reasons.add("Messages of data that shore never had, by position: " + data + ".");
        }
        String repair = log.neverHad(Kind.REPAIR);
        if (!repair.isEmpty()) {
            reasons.add("Repair messages that shore never had, by position: " + repair
                    + "; they hold no data of their own.");
        }
        if (log.sentAgain() > 0) {
            reasons.add(text(
                    "Shore asked again for what it lacked: %d messages, %d bytes, were sent a second time.",
                    log.sentAgain(), log.bytesSentAgain()));
        }
        sayWithoutRadiance(reasons);
        return reasons;
    }

    /** One sentence for each run of neighbouring wavelengths that miss their radiance for the same reason. */
    private void sayWithoutRadiance(List<String> reasons) {
        List<String> missing = surface() == null ? List.of() : surface().missing();
        for (int from = 0, to; from < missing.size(); from = to) {
            to = from + 1;
            while (to < missing.size() && missing.get(to).equals(missing.get(from))) {
                to++;
            }
            if (!missing.get(from).isEmpty()) {
                reasons.add(text(
                        "No Lw from %.1f to %.1f nm (%d wavelengths): %s.",
                        surface().wavelengthNm().at(from),
                        surface().wavelengthNm().at(to - 1),
                        to - from,
                        missing.get(from)));
            }
        }
    }

    private List<Fact> provenance() {
        List<Fact> facts = new ArrayList<>();
        if (product != null) {
            facts.add(new Fact("Accepted messages, SHA-256", product.digests().messages(), "in order of position"));
            facts.add(new Fact("Plan digest", product.digests().plan(), ""));
            facts.add(new Fact("Calibration digest", product.digests().calibration(), ""));
            facts.add(new Fact("Ancillary digest", product.digests().ancillary(), ""));
            facts.add(new Fact("Product file version", text("%d", DiveProduct.VERSION), ""));
        }
        facts.add(new Fact("Sunward", Versions.PRODUCT, ""));
        facts.add(new Fact("Wire version", text("%d", MessageLayout.VERSION), ""));
        facts.add(new Fact(
                "Seeds",
                text("%016x %016x %016x %016x", seeds.dive(), seeds.instrument(), seeds.scene(), seeds.link()),
                "dive, instrument, scene, link"));
        FloatAccount account = dive.account();
        facts.add(new Fact(
                "On the float",
                text(
                        "%d light and %d dark scans, %d kB of memory, %.1f MB of flash",
                        account.lightScans(),
                        account.darkScans(),
                        account.ramBytes() / 1024,
                        account.flashBytes() / 1e6),
                ""));
        facts.add(new Fact(
                "Energy",
                text(
                        "%.1f kJ: pump %.1f, heads %.1f, sensors %.1f, computer %.1f, modem %.1f, sleep %.1f",
                        account.totalJ() / 1e3,
                        account.pumpJ() / 1e3,
                        account.headsJ() / 1e3,
                        account.sensorsJ() / 1e3,
                        account.computerJ() / 1e3,
                        account.modemJ() / 1e3,
                        account.sleepJ() / 1e3),
                "from the plan's assumed figures"));
        return facts;
    }

    /** Three significant digits; plain where that is short. */
    private static String number(double value) {
        return Math.abs(value) >= 1e-3
                ? text("%." + (2 - (int) Math.floor(Math.log10(Math.abs(value)))) + "f", value)
                : text("%.2e", value);
    }

    private static String text(String format, Object... values) {
        return String.format(Locale.ROOT, format, values);
    }
}
