package sunward.protocol.plan;

import java.time.DateTimeException;
import java.time.Instant;
import java.time.LocalDate;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import sunward.protocol.schema.Ascent;
import sunward.protocol.schema.BinZone;
import sunward.protocol.schema.Calibration;
import sunward.protocol.schema.Exposure;
import sunward.protocol.schema.Head;
import sunward.protocol.schema.HeadCalibration;
import sunward.protocol.schema.HeadKind;
import sunward.protocol.schema.Link;
import sunward.protocol.schema.Packing;
import sunward.protocol.schema.Plan;
import sunward.protocol.schema.PlanFile;
import sunward.protocol.schema.Scene;

/** What fields of a plan file must be to each other; limits of single fields stand in the schema. */
public final class PlanCheck {
    /** Most heads of a float. */
    public static final int MAX_HEADS = 4;

    /** Most bins of a head (10 bits on the wire). */
    public static final int MAX_BINS = 1024;

    /** Most messages of a dive (12 bits of position on the wire). */
    private static final int FEWEST_MESSAGES = 3;

    private static final int MAX_MESSAGES = 4096;

    /** Largest messages to shore and to the float by link profile, bytes. */
    private static final Map<String, int[]> PROFILE_BYTES = Map.of(
            "short-letter", new int[] {340, 270},
            "long-letter", new int[] {1960, 1890},
            "open-line", new int[] {100_000, 100_000});

    private static final Pattern HEAD_NAME = Pattern.compile("[A-Za-z0-9_-]{1,16}");
    private static final Pattern INSTANT = Pattern.compile("\\d{4}-\\d\\d-\\d\\dT\\d\\d:\\d\\d:\\d\\dZ");
    private static final Pattern DATE = Pattern.compile("\\d{4}-\\d\\d-\\d\\d");
    private static final Pattern CURRENCY = Pattern.compile("[A-Z]{3}");

    /** Wire times are unsigned seconds of 32 bits since 2000. */
    private static final int FIRST_YEAR = 2000;

    private static final int LAST_YEAR = 2135;
    private static final double MIN_GRID_NM = 200;
    private static final double MAX_GRID_NM = 1200;
    private static final double WHOLE = 1e-6;

    /**
     * One thing that is wrong.
     *
     * @param path the field at fault
     * @param sentence what is wrong with it and what to do, beginning with a path
     */
    public record Problem(String path, String sentence) {}

    private Problem first;

    private PlanCheck() {}

    /** The first problem between the fields of a resolved plan file, if there is one. */
    public static Optional<Problem> firstProblem(PlanFile file) {
        PlanCheck check = new PlanCheck();
        check.plan(file.getPlan());
        check.calibration(file.getCalibration());
        if (check.first == null) {
            check.together(file.getPlan(), file.getCalibration());
        }
        check.scene(file.getScene());
        return Optional.ofNullable(check.first);
    }

    private void require(boolean holds, String path, String sentence) {
        if (!holds && first == null) {
            first = new Problem(path, path + ' ' + sentence);
        }
    }

    private void plan(Plan plan) {
        heads(plan.getHeadsList());
        ascent(plan.getAscent());
        require(
                plan.getSafety().getDeepestDbar() > plan.getAscent().getParkDbar(),
                "plan.safety.deepest_dbar",
                "is not deeper than ascent.park_dbar, so the float would never get there; allow more or park shallower");
        exposure(plan.getExposure());
        emitters(plan);
        zones(plan.getBins().getZonesList(), plan.getAscent().getStartDbar());
        date(plan.getDeclination().getDate(), "plan.declination.date");
        link(plan.getLink());
        Packing packing = plan.getPacking();
        require(
                packing.getDataMessages() + packing.getParityMessages() <= MAX_MESSAGES,
                "plan.packing.data_messages",
                "and parity_messages are more than " + MAX_MESSAGES + " together; lower one of them");
        Link link = plan.getLink();
        affords("plan.packing.most_bytes", packing.getMostBytes(), link.getMessageBytes(), "bytes");
        affords("plan.packing.most_joules", packing.getMostJoules(), link.getJoulesPerMessage(), "J");
    }

    /** A limit that is set must pay for the fewest messages that make a dive. */
    private void affords(String path, double limit, double each, String unit) {
        require(
                limit == 0 || limit >= FEWEST_MESSAGES * each,
                path,
                "pays for fewer than " + FEWEST_MESSAGES + " messages of " + each + " " + unit
                        + "; raise it, or give 0 for no limit");
    }

    private void heads(List<Head> heads) {
        require(
                !heads.isEmpty() && heads.size() <= MAX_HEADS,
                "plan.heads",
                "must hold one to four heads; it has " + heads.size());
        Set<String> names = new HashSet<>();
        for (int i = 0; i < heads.size(); i++) {
            Head head = heads.get(i);
            String path = "plan.heads[" + i + "].";
            require(
                    HEAD_NAME.matcher(head.getName()).matches(),
                    path + "name",
                    "must be 1 to 16 letters, digits, - or _; change it");
            require(
                    names.add(head.getName()),
                    path + "name",
                    "\"" + head.getName() + "\" is taken; give each head its own");
            boolean down = head.getKind() == HeadKind.UPWELLING_RADIANCE;
            require(
                    down ? head.getBoresightZ() > 0 : head.getBoresightZ() < 0,
                    path + "boresight_z",
                    down
                            ? "must be above 0, since a head of UPWELLING_RADIANCE looks down; change it or the kind"
                            : "must be below 0, since a head of DOWNWELLING_IRRADIANCE looks up; change it or the kind");
            require(
                    head.getWindowRadiusM() <= head.getHousingRadiusM(),
                    path + "window_radius_m",
                    "is larger than housing_radius_m; make the window smaller");
        }
        require(
                heads.stream().anyMatch(head -> head.getKind() == HeadKind.UPWELLING_RADIANCE),
                "plan.heads",
                "has no head of UPWELLING_RADIANCE; add one, since the dive is made for it");
    }

    private void ascent(Ascent ascent) {
        require(
                ascent.getStartDbar() <= ascent.getParkDbar(),
                "plan.ascent.start_dbar",
                "is deeper than park_dbar, where the ascent begins; start shallower or park deeper");
        require(
                ascent.getSlowAboveDbar() <= ascent.getStartDbar(),
                "plan.ascent.slow_above_dbar",
                "is deeper than start_dbar; make it shallower");
        require(
                ascent.getSlowSpeedMPerS() <= ascent.getSpeedMPerS(),
                "plan.ascent.slow_speed_m_per_s",
                "is faster than speed_m_per_s; make it slower");
        require(
                ascent.getDwellS() == 0 || ascent.getDwellDbar() < ascent.getStartDbar(),
                "plan.ascent.dwell_dbar",
                "is not above start_dbar; dwell shallower or set dwell_s to 0");
    }

    private void exposure(Exposure exposure) {
        require(
                exposure.getLowerAboveShare() >= 2 * exposure.getRaiseBelowShare(),
                "plan.exposure.lower_above_share",
                "must be at least twice raise_below_share, else the exposure would hunt up and down; move them apart");
        require(
                exposure.getLongScanIntervalS() >= exposure.getScanIntervalS(),
                "plan.exposure.long_scan_interval_s",
                "is shorter than scan_interval_s; make it longer");
        require(
                exposure.getLongExposureAboveMs() <= 1000 * exposure.getScanIntervalS(),
                "plan.exposure.long_exposure_above_ms",
                "is longer than scan_interval_s, so scans would overlap; lower it");
        double longest = Math.scalb(exposure.getShortestMs(), exposure.getOctaves());
        require(
                longest <= 1000 * exposure.getLongScanIntervalS(),
                "plan.exposure.octaves",
                "make the longest exposure " + Decimals.plain(longest)
                        + " ms, longer than long_scan_interval_s; take fewer octaves or a longer interval");
    }

    /** The float's own lights must have gone out before the heads open again. */
    private void emitters(Plan plan) {
        Exposure exposure = plan.getExposure();
        double flashMs =
                plan.getEmitters().getEvery() == 0 ? 0 : plan.getEmitters().getFlashMs();
        double longest = Math.scalb(exposure.getShortestMs(), exposure.getOctaves());
        require(
                exposure.getLongExposureAboveMs() + flashMs <= 1000 * exposure.getScanIntervalS()
                        && longest + flashMs <= 1000 * exposure.getLongScanIntervalS(),
                "plan.emitters.flash_ms",
                "leaves no time for a flash between two exposures; shorten it, lengthen the intervals of exposure, or give"
                        + " emitters.every 0");
    }

    private void zones(List<BinZone> zones, double startDbar) {
        require(!zones.isEmpty(), "plan.bins.zones", "has no zone; give at least one");
        double from = 0;
        double bins = 0;
        for (int i = 0; i < zones.size(); i++) {
            String path = "plan.bins.zones[" + i + "].";
            double to = zones.get(i).getToDbar();
            require(
                    to > from,
                    path + "to_dbar",
                    "must be deeper than the zone above it; order zones from the surface down");
            double count = (to - from) / zones.get(i).getWidthDbar();
            require(
                    Math.abs(count - Math.rint(count)) < WHOLE && count > WHOLE,
                    path + "width_dbar",
                    "does not divide its zone (" + Decimals.plain(from) + " to " + Decimals.plain(to)
                            + " dbar) into whole bins; change one of them");
            bins += Math.rint(count);
            from = to;
        }
        require(
                bins <= MAX_BINS,
                "plan.bins.zones",
                "make " + Decimals.plain(bins) + " bins a head, more than " + MAX_BINS + "; widen some");
        require(
                from >= startDbar,
                "plan.bins.zones",
                "end at " + Decimals.plain(from) + " dbar, above ascent.start_dbar (" + Decimals.plain(startDbar)
                        + "); add a deeper zone or start shallower");
    }

    private void link(Link link) {
        int[] bytes = PROFILE_BYTES.get(link.getProfile());
        if (bytes != null) {
            require(
                    link.getMessageBytes() <= bytes[0],
                    "plan.link.message_bytes",
                    "is more than the " + bytes[0] + " that " + link.getProfile()
                            + " carries; lower it or change the profile");
            require(
                    link.getOrderBytes() <= bytes[1],
                    "plan.link.order_bytes",
                    "is more than the " + bytes[1] + " that " + link.getProfile()
                            + " carries; lower it or change the profile");
        }
        require(
                CURRENCY.matcher(link.getPriceCurrency()).matches(),
                "plan.link.price_currency",
                "must be a three-letter code (ISO 4217) such as EUR; change it");
    }

    private void calibration(Calibration calibration) {
        date(calibration.getDate(), "calibration.date");
        Set<String> names = new HashSet<>();
        for (int i = 0; i < calibration.getHeadsCount(); i++) {
            HeadCalibration head = calibration.getHeads(i);
            String path = "calibration.heads[" + i + "].";
            require(names.add(head.getName()), path + "name", "\"" + head.getName() + "\" is there twice; delete one");
            List<Double> knots = head.getKnotNmList();
            require(knots.size() >= 2, path + "knot_nm", "needs two knots or more; add some");
            require(ascending(knots), path + "knot_nm", "must ascend; sort it and the two lists beside it");
            require(
                    head.getResponsivityCount() == knots.size(),
                    path + "responsivity",
                    "has " + head.getResponsivityCount() + " values for " + knots.size()
                            + " in knot_nm; give one for each");
            require(
                    head.getResponsivityUncertaintyPercentCount() == knots.size(),
                    path + "responsivity_uncertainty_percent",
                    "has " + head.getResponsivityUncertaintyPercentCount() + " values for " + knots.size()
                            + " in knot_nm; give one for each");
        }
    }

    /** What the plan's heads and the calibration's must agree on. */
    private void together(Plan plan, Calibration calibration) {
        Map<String, HeadCalibration> byName =
                calibration.getHeadsList().stream().collect(Collectors.toMap(HeadCalibration::getName, head -> head));
        require(
                byName.size() == plan.getHeadsCount(),
                "calibration.heads",
                "has " + byName.size() + " heads and plan.heads " + plan.getHeadsCount()
                        + "; give each head its calibration");
        for (Head head : plan.getHeadsList()) {
            HeadCalibration its = byName.get(head.getName());
            require(
                    its != null,
                    "calibration.heads",
                    "has none named \"" + head.getName() + "\" as plan.heads has; add it");
            if (its != null) {
                grid(
                        head,
                        its,
                        "calibration.heads[" + calibration.getHeadsList().indexOf(its) + "].",
                        plan);
            }
        }
    }

    private void grid(Head head, HeadCalibration its, String path, Plan plan) {
        double low = its.getFirstWavelengthNm();
        double high = low + (head.getChannels() - 1) * its.getWavelengthStepNm();
        String span = Decimals.plain(low) + " to " + Decimals.plain(high) + " nm";
        require(
                low >= MIN_GRID_NM && high <= MAX_GRID_NM,
                path + "wavelength_step_nm",
                "puts the channels at " + span + ", outside 200 to 1200 nm; change the step or the channels");
        require(
                its.getKnotNm(0) <= low && its.getKnotNm(its.getKnotNmCount() - 1) >= high,
                path + "knot_nm",
                "must reach over all channels (" + span + "); add knots at the ends");
        double before = Double.NEGATIVE_INFINITY;
        for (int i = 0; i < plan.getFlyWavelengthsNmCount(); i++) {
            double wavelength = plan.getFlyWavelengthsNm(i);
            String at = "plan.fly_wavelengths_nm[" + i + "]";
            require(
                    wavelength >= low && wavelength <= high,
                    at,
                    "is outside the channels of head " + head.getName() + " (" + span + "); delete or change it");
            require(
                    wavelength - before >= its.getWavelengthStepNm() - WHOLE,
                    at,
                    "must lie at least one channel (" + Decimals.plain(its.getWavelengthStepNm())
                            + " nm) above the one before; sort the list or delete it");
            before = wavelength;
        }
    }

    private void scene(Scene scene) {
        String path = "scene.surfacing_utc";
        String text = scene.getSurfacingUtc();
        boolean good = INSTANT.matcher(text).matches();
        if (good) {
            try {
                Instant.parse(text);
            } catch (DateTimeException e) {
                good = false;
            }
        }
        require(good, path, "is \"" + text + "\", expected a time as 2026-12-15T02:27:00Z (UTC); write it so");
        require(!good || yearFits(text), path, "must lie in the years 2000 to 2135; change it");
        require(
                !scene.getWater().getCast().isBlank(),
                "scene.water.cast",
                "is empty; give 1, 2, 3 or the path of a CSV");
    }

    private void date(String text, String path) {
        boolean good = DATE.matcher(text).matches();
        if (good) {
            try {
                LocalDate.parse(text);
            } catch (DateTimeException e) {
                good = false;
            }
        }
        require(good, path, "is \"" + text + "\", expected a date as 2026-12-01; write it so");
        require(!good || yearFits(text), path, "must lie in the years 2000 to 2135; change it");
    }

    private static boolean yearFits(String text) {
        int year = Integer.parseInt(text.substring(0, 4));
        return year >= FIRST_YEAR && year <= LAST_YEAR;
    }

    private static boolean ascending(List<Double> values) {
        for (int i = 1; i < values.size(); i++) {
            if (!(values.get(i) > values.get(i - 1))) {
                return false;
            }
        }
        return true;
    }
}
