package sunward.simulator;

import sunward.protocol.schema.Atmosphere;
import sunward.protocol.schema.Scene;

/** Scenes for tests of the light: an invented tropical noon. */
final class Scenes {
    private Scenes() {}

    /** A sea of this background and deep-maximum chlorophyll (mg m-3) and dissolved share, Raman and fluorescence on. */
    static Scene sea(double surface, double maximum, double dissolvedShare) {
        return Scene.newBuilder()
                .setLatitudeDeg(11)
                .setLongitudeDeg(142)
                .setAtmosphere(Atmosphere.newBuilder()
                        .setOzoneDu(260)
                        .setWaterVapourCm(3.5)
                        .setVisibilityKm(25)
                        .setWindMPerS(5)
                        .setMeanWindMPerS(5)
                        .setHumidityPercent(80)
                        .setPressureHpa(1010)
                        .setAirMassType(1))
                .setWater(sunward.protocol.schema.Water.newBuilder()
                        .setSurfaceChlorophyllMgPerM3(surface)
                        .setMaximumChlorophyllMgPerM3(maximum)
                        .setMaximumDepthM(110)
                        .setMaximumWidthM(30)
                        .setDissolvedShare(dissolvedShare)
                        .setRaman(true)
                        .setFluorescence(true))
                .build();
    }

    /** The same scene with the inelastic sources switched. */
    static Scene inelastic(Scene scene, boolean raman, boolean fluorescence) {
        return scene.toBuilder()
                .setWater(scene.getWater().toBuilder().setRaman(raman).setFluorescence(fluorescence))
                .build();
    }
}
