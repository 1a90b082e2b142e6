package sunward.protocol.plan;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.util.List;
import java.util.NoSuchElementException;
import org.junit.jupiter.api.Test;
import sunward.protocol.schema.Calibration;
import sunward.protocol.schema.Head;
import sunward.protocol.schema.HeadCalibration;
import sunward.protocol.schema.Plan;

class FlownChannelsTest {
    private static final Calibration CALIBRATION = Calibration.newBuilder()
            .addHeads(HeadCalibration.newBuilder()
                    .setName("port")
                    .setFirstWavelengthNm(400)
                    .setWavelengthStepNm(2))
            .addHeads(HeadCalibration.newBuilder()
                    .setName("starboard")
                    .setFirstWavelengthNm(401)
                    .setWavelengthStepNm(2))
            .build();

    private static Plan plan(List<Double> wavelengths) {
        return Plan.newBuilder()
                .addHeads(Head.newBuilder().setName("starboard").setChannels(20))
                .addAllFlyWavelengthsNm(wavelengths)
                .build();
    }

    @Test
    void withoutWavelengthsEveryChannelFlies() {
        FlownChannels flown = FlownChannels.of(plan(List.of()), CALIBRATION, 0);
        assertEquals(20, flown.count());
        assertEquals(19, flown.channel(19));
        assertEquals(401.0, flown.wavelengthNm(0));
        assertEquals(439.0, flown.wavelengthNm(19));
    }

    @Test
    void nearestChannelsFlyOnceEachInAscendingOrder() {
        FlownChannels flown = FlownChannels.of(plan(List.of(430.2, 411.0, 410.6, 412.0, 300.0, 999.0)), CALIBRATION, 0);
        assertArrayEquals(new double[] {401, 411, 413, 431, 439}, flown.wavelengthsNm());
    }

    @Test
    void aHeadWithoutCalibrationIsNamed() {
        Plan plan = Plan.newBuilder().addHeads(Head.newBuilder().setName("aft")).build();
        NoSuchElementException e =
                assertThrows(NoSuchElementException.class, () -> FlownChannels.of(plan, CALIBRATION, 0));
        assertEquals(true, e.getMessage().contains("aft"));
    }
}
