package sunward.planning;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import sunward.firmware.FloatPlan;
import sunward.firmware.Pointing;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.MagneticField;
import sunward.simulator.PlanMapping;
import sunward.simulator.Sun;
import sunward.simulator.SunPosition;

/**
 * Sun and head geometry at one instant: where the sun stands (full ephemeris) and what the float's own code makes of it.
 *
 * @param sunZenithDeg true topocentric, no refraction, 0 to 180 degrees
 * @param sunAzimuthDeg clockwise from true north, 0 to 360 degrees
 * @param declinationDeg east positive
 * @param headingTrueDeg of the hull's x axis, 0 to 360 degrees
 * @param preferredHead name of the head that the float would prefer just after boot, or null when it has none
 * @param fallback why the geometry is not to be trusted, in a word, or null
 * @param heads every head in the plan's order
 * @param warnings sentences on what limits the answer
 */
public record Aim(
        double sunZenithDeg,
        double sunAzimuthDeg,
        double declinationDeg,
        double headingTrueDeg,
        String preferredHead,
        String fallback,
        List<HeadAim> heads,
        List<String> warnings) {
    private static final Instant EPOCH = Instant.parse("2000-01-01T00:00:00Z");
    private static final long MS_PER_DAY = 86_400_000L;

    /**
     * One head.
     *
     * @param name as in the plan
     * @param azimuthTrueDeg of the aperture about the hull's axis, clockwise from true north, 0 to 360 degrees
     * @param azimuthFromAntisunDeg the same from the anti-solar direction, -180 to 180 degrees
     * @param depthOffsetM aperture below the pressure port, positive down
     * @param predictedLoss555Percent share of upwelling radiance at 555 nm that the hull's shadow takes, with the hull
     *     under water; 0 for an irradiance head; NaN when it cannot be predicted
     */
    public record HeadAim(
            String name,
            double azimuthTrueDeg,
            double azimuthFromAntisunDeg,
            double depthOffsetM,
            double predictedLoss555Percent) {}

    /**
     * Works the geometry out.
     *
     * @param file plan (float), calibration, and scene (only its delta T is used)
     * @param timeMs ms since 2000-01-01T00:00:00Z
     * @param latitudeDeg -90 to 90
     * @param longitudeDeg -180 to 180
     * @param headingMagneticDeg of the hull's x axis, clockwise from magnetic north
     * @param pitchDeg positive bow up
     * @param rollDeg positive starboard down
     * @param declinationDeg east positive; empty: World Magnetic Model 2025 at sea level
     */
    public static Aim of(
            PlanFile file,
            long timeMs,
            double latitudeDeg,
            double longitudeDeg,
            double headingMagneticDeg,
            double pitchDeg,
            double rollDeg,
            OptionalDouble declinationDeg) {
        List<String> warnings = new ArrayList<>();
        double declination = declinationDeg.isPresent()
                ? declinationDeg.getAsDouble()
                : modelDeclination(timeMs, latitudeDeg, longitudeDeg, warnings);
        FloatPlan plan = PlanMapping.floatPlan(file.getPlan(), file.getCalibration(), true, null);
        plan.declinationDeg = declination;
        plan.declinationDay = (int) (timeMs / MS_PER_DAY);
        Pointing pointing = new Pointing(plan);
        pointing.at(timeMs, latitudeDeg, longitudeDeg, headingMagneticDeg, pitchDeg, rollDeg);
        SunPosition sun =
                Sun.at(timeMs, latitudeDeg, longitudeDeg, file.getScene().getDeltaTS());

        List<HeadAim> heads = new ArrayList<>();
        for (int i = 0; i < file.getPlan().getHeadsCount(); i++) {
            double azimuth = pointing.azimuthTrueDeg(i);
            heads.add(new HeadAim(
                    file.getPlan().getHeads(i).getName(),
                    azimuth,
                    Math.IEEEremainder(azimuth - sun.azimuthDeg() - 180, 360),
                    pointing.depthOffsetM(i),
                    100 * pointing.loss(i)));
        }
        int preferred = pointing.preferred();
        int fallback = pointing.fallback();
        return new Aim(
                sun.zenithDeg(),
                sun.azimuthDeg(),
                declination,
                pointing.headingTrueDeg(),
                preferred < 0 ? null : heads.get(preferred).name(),
                fallback == 0 ? null : WireWords.fallback(fallback),
                List.copyOf(heads),
                List.copyOf(warnings));
    }

    private static double modelDeclination(
            long timeMs, double latitudeDeg, double longitudeDeg, List<String> warnings) {
        double year = decimalYear(timeMs);
        MagneticField.Field field = MagneticField.at(latitudeDeg, longitudeDeg, 0, year);
        if (!field.withinModelYears()) {
            warnings.add(String.format(
                    Locale.ROOT,
                    "World Magnetic Model 2025 holds for 2025.0 to 2030.0 and the time is %.1f, so the declination of %.1f"
                            + " degrees is doubtful; give a better one.",
                    year,
                    field.declinationDeg()));
        }
        return field.declinationDeg();
    }

    private static double decimalYear(long timeMs) {
        OffsetDateTime time = EPOCH.plusMillis(timeMs).atOffset(ZoneOffset.UTC);
        double day = time.getDayOfYear() - 1 + time.toLocalTime().toNanoOfDay() / 86_400e9;
        return time.getYear() + day / time.toLocalDate().lengthOfYear();
    }

    /** The geometry for machines. */
    public ObjectNode json() {
        ObjectNode json = JsonNodeFactory.instance.objectNode();
        json.put("sun_zenith_deg", sunZenithDeg)
                .put("sun_azimuth_deg", sunAzimuthDeg)
                .put("declination_deg", declinationDeg)
                .put("heading_true_deg", headingTrueDeg)
                .put("preferred_head", preferredHead)
                .put("fallback", fallback);
        ArrayNode array = json.putArray("heads");
        for (HeadAim head : heads) {
            ObjectNode one = array.addObject()
                    .put("name", head.name)
                    .put("azimuth_true_deg", head.azimuthTrueDeg)
                    .put("azimuth_from_antisun_deg", head.azimuthFromAntisunDeg)
                    .put("depth_offset_m", head.depthOffsetM);
            if (Double.isNaN(head.predictedLoss555Percent)) {
                one.putNull("predicted_loss_555_percent");
            } else {
                one.put("predicted_loss_555_percent", head.predictedLoss555Percent);
            }
        }
        ArrayNode sentences = json.putArray("warnings");
        warnings.forEach(sentences::add);
        return json;
    }
}
