package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;

import org.junit.jupiter.api.Test;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.Atmosphere;

class WeatherTest {
    private static final Atmosphere AIR = PlanReader.defaults().getScene().getAtmosphere();

    @Test
    void drawsHaveTheScenesSizes() {
        double ozone = 0;
        double vapour = 0;
        double humidity = 0;
        int n = 2000;
        for (int seed = 0; seed < n; seed++) {
            Atmosphere air = Weather.drawn(AIR, seed);
            ozone += Math.pow(air.getOzoneDu() - AIR.getOzoneDu(), 2) / n;
            vapour += Math.pow(Math.log(air.getWaterVapourCm() / AIR.getWaterVapourCm()), 2) / n;
            humidity += Math.pow(air.getHumidityPercent() - AIR.getHumidityPercent(), 2) / n;
        }
        assertEquals(AIR.getOzoneSdDu(), Math.sqrt(ozone), 0.06 * AIR.getOzoneSdDu(), "seeds 0 to 1999");
        assertEquals(AIR.getWaterVapourSdPercent() / 100, Math.sqrt(vapour), 0.01, "seeds 0 to 1999");
        assertEquals(AIR.getHumiditySdPercent(), Math.sqrt(humidity), 0.3, "seeds 0 to 1999");
    }

    @Test
    void switchingOneSpreadOffNeverMovesTheOthers() {
        Atmosphere usual = Weather.drawn(AIR, 5);
        Atmosphere calm =
                Weather.drawn(AIR.toBuilder().setWaterVapourSdPercent(0).build(), 5);
        assertEquals(AIR.getWaterVapourCm(), calm.getWaterVapourCm());
        assertNotEquals(AIR.getWaterVapourCm(), usual.getWaterVapourCm());
        assertEquals(usual.getOzoneDu(), calm.getOzoneDu());
        assertEquals(usual.getVisibilityKm(), calm.getVisibilityKm());
        assertEquals(usual.getHumidityPercent(), calm.getHumidityPercent());
    }
}
