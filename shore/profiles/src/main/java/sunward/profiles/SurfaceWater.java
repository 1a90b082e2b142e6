package sunward.profiles;

/**
 * The water that window and surface touch.
 *
 * @param temperatureDegC degree Celsius
 * @param salinity practical salinity
 * @param temperatureUncertainty one standard uncertainty, K
 * @param salinityUncertainty one standard uncertainty
 * @param measured false when no temperature and salinity were received and round figures stand in
 */
public record SurfaceWater(
        double temperatureDegC,
        double salinity,
        double temperatureUncertainty,
        double salinityUncertainty,
        boolean measured) {
    /** Round figures of the open ocean, wide enough to hold nearly all of it (assumed). */
    static SurfaceWater unknown() {
        return new SurfaceWater(18, 35, 8, 1.5, false);
    }
}
