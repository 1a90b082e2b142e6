package sunward.profiles;

import java.util.List;
import sunward.protocol.schema.Ledger;

/**
 * All that shore makes of one dive: a function of the set of accepted messages, plan, calibration, ancillary data and
 * product version.
 *
 * @param floatNumber float
 * @param dive dive
 * @param simulated true when a simulator made any of the messages
 * @param unsealed true when any message was protected by nothing but a checksum
 * @param messages distinct messages in use
 * @param messagesPlanned messages that the float meant to send; 0: not known
 * @param conflicts positions where valid messages disagree
 * @param ledger the float's record, or null
 * @param place where and when it surfaced
 * @param water surface water
 * @param cast the water, down the column
 * @param attitude how the float hung and turned, down the column
 * @param successions how the brightness of successive scans hangs together, down the column
 * @param profile bins and gaps
 * @param smooth the float's own smooth profile, or null when it did not arrive
 * @param surface spectra at the surface, or null without plan, calibration or light
 * @param reasons what to know before use, in words
 * @param digests of what went in
 */
public record DiveProduct(
        int floatNumber,
        int dive,
        boolean simulated,
        boolean unsealed,
        int messages,
        int messagesPlanned,
        List<Integer> conflicts,
        Ledger ledger,
        Place place,
        SurfaceWater water,
        List<WaterReadings.Level> cast,
        List<WaterReadings.Layer> attitude,
        List<WaterReadings.Succession> successions,
        Profile profile,
        SmoothProfile smooth,
        SurfaceRadiance surface,
        List<String> reasons,
        Inputs digests) {
    /** Version of the product files: names, units and meaning of what they hold. */
    public static final int VERSION = 1;

    /**
     * Where and when the float surfaced; not-a-number where no fix arrived.
     *
     * @param timeS s since 2000-01-01T00:00:00Z
     */
    public record Place(
            double timeS, double latitudeDeg, double longitudeDeg, double sunZenithDeg, double sunAzimuthDeg) {
        boolean known() {
            return !Double.isNaN(latitudeDeg);
        }
    }

    /** Those reasons that nobody should miss: radiance that is not fit to calibrate a satellite. */
    public List<String> warnings() {
        return reasons.stream().filter(reason -> reason.startsWith("low sun")).toList();
    }

    /** SHA-256, in hexadecimal digits, of the accepted messages in order of position and of the three inputs. */
    public record Inputs(String messages, String plan, String calibration, String ancillary) {}
}
