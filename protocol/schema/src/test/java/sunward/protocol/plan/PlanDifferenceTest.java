package sunward.protocol.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import sunward.protocol.order.PlanSetting;
import sunward.protocol.schema.Order;
import sunward.protocol.schema.Plan;
import sunward.protocol.schema.Setting;

class PlanDifferenceTest {
    private static final Plan BASE = PlanReader.defaults().getPlan();

    private static Plan with(String setting) {
        return PlanReader.read("plan:\n" + setting, "test").getPlan();
    }

    @Test
    void aDifferenceMakesTheOtherPlanToTheDigest() {
        Plan wanted = with("""
                  packing: {data_messages: 40}
                  declination: {degrees: -3.25, date: "2026-12-24"}
                  head_choice: {shaded_loss_percent: 0.3}
                """.indent(2));
        List<Order> orders = PlanDifference.orders(BASE, wanted, 5, 254);
        assertEquals(1, orders.size());
        Order order = orders.get(0);
        assertEquals(5, order.getNumber());
        assertEquals(4, order.getSettingsCount());
        assertEquals(wanted, PlanDifference.applied(BASE, order.getSettingsList()));
    }

    @Test
    void everySettingTravelsAndIsSplitIntoOrdersThatFit() {
        Random random = new Random(1);
        List<Setting> settings = new ArrayList<>();
        for (PlanSetting setting : PlanSetting.values()) {
            double middle = setting.min() + (setting.max() - setting.min()) * (0.3 + 0.4 * random.nextDouble());
            String value = setting == PlanSetting.DECLINATION_DAY
                    ? "2027-03-04"
                    : setting.whole()
                            ? String.valueOf((long) middle)
                            : String.format(java.util.Locale.ROOT, "%.9f", middle);
            settings.add(PlanDifference.setting(setting, value));
        }
        Plan wanted = PlanDifference.applied(BASE, settings);
        List<Order> orders = PlanDifference.orders(BASE, wanted, 1, 254);
        assertTrue(orders.size() >= 2, orders.size() + " orders");
        Plan made = BASE;
        for (int i = 0; i < orders.size(); i++) {
            assertTrue(orders.get(i).getSerializedSize() <= 254);
            assertEquals(i, orders.get(i).getChange().getPiece());
            assertEquals(orders.size(), orders.get(i).getChange().getPieces());
            made = PlanDifference.applied(made, orders.get(i).getSettingsList());
        }
        assertEquals(wanted, made);
        assertEquals(Digests.hex(Digests.of(wanted)), Digests.hex(Digests.of(made)));
    }

    @Test
    void nothingToOrderAndWhatCannotBeOrdered() {
        assertEquals(List.of(), PlanDifference.orders(BASE, BASE, 1, 254));
        PlanException hull = assertThrows(
                PlanException.class, () -> PlanDifference.orders(BASE, with("  hull: {radius_m: 0.1}\n"), 1, 254));
        assertTrue(hull.getMessage().startsWith("plan.hull.radius_m differs"), hull.getMessage());
        PlanException wide =
                assertThrows(PlanException.class, () -> PlanDifference.setting(PlanSetting.DATA_MESSAGES, "2.5"));
        assertTrue(wide.getMessage().contains("a whole number from 3 to 4000"), wide.getMessage());
        assertThrows(PlanException.class, () -> PlanDifference.setting(PlanSetting.DECLINATION_DAY, "soon"));
    }
}
