package sunward.simulator;

import sunward.protocol.schema.Atmosphere;

/**
 * The air that a dive truly meets: the scene's, moved by draws from the dive's seed that shore is never told. Sizes are the
 * scene's; that amounts of vapour and aerosol are drawn in logarithm keeps them positive (common practice, no source).
 */
final class Weather {
    private static final double MOST_DEVIATIONS = 2.5;

    private Weather() {}

    /** The scene's air as it is on this dive; as the scene says where it states no spread. */
    static Atmosphere drawn(Atmosphere scene, long diveSeed) {
        Atmosphere.Builder air = scene.toBuilder();
        air.setOzoneDu(Math.max(100, scene.getOzoneDu() + scene.getOzoneSdDu() * deviate(diveSeed, 0)));
        air.setWaterVapourCm(scene.getWaterVapourCm() * factor(scene.getWaterVapourSdPercent(), diveSeed, 1));
        air.setVisibilityKm(scene.getVisibilityKm() * factor(scene.getVisibilitySdPercent(), diveSeed, 2));
        double humidity = scene.getHumidityPercent() + scene.getHumiditySdPercent() * deviate(diveSeed, 3);
        air.setHumidityPercent(Math.max(0, Math.min(99, humidity)));
        return air.build();
    }

    private static double factor(double sdPercent, long diveSeed, int number) {
        return StrictMath.exp(sdPercent / 100 * deviate(diveSeed, number));
    }

    private static double deviate(long diveSeed, int number) {
        double deviate = Noise.gaussian(Noise.hash(diveSeed, Part.WEATHER, number));
        return Math.max(-MOST_DEVIATIONS, Math.min(MOST_DEVIATIONS, deviate));
    }
}
