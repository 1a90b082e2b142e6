package sunward.planning;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.function.ToDoubleFunction;
import org.junit.jupiter.api.Test;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.Plan;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.Dive;
import sunward.simulator.FloatAccount;
import sunward.simulator.Seeds;

/** The cost of a dive against a calculation by hand and against what rehearsed dives used. */
class BudgetSheetTest {
    /**
     * By hand for the default plan and 64 messages. Depths at 11 degrees north by the formula of Fofonoff and Millard (1983,
     * UNESCO 44): 248.43 m at 250 dbar, 19.89 m at 20 dbar; the heads 0.25 m below the port, the ascent over at 0.35 m.
     *
     * <pre>
     *  (248.68 - 20.14) / 0.10 + (20.14 - 0.35) / 0.03 = 2285.4 + 659.7 = 2945 s      sending 64 x 20 = 1280 s
     *  pump 12000   heads 2.4 x 2945 = 7068   sensors 0.6 x 2945 = 1767   computer 0.15 x (2945 + 1280) = 633.8
     *  modem 64 x 12 = 768   sleep 0.001 x 5 x 86400 = 432   in all 22669 J   8000000 / 22669 = 352.9 dives
     * </pre>
     */
    @Test
    void costAgreesWithACalculationByHand() {
        DiveCost cost = DiveCost.of(PlanReader.defaults().getPlan(), 11, 64);
        within(0.01, 2945, cost.profileS());
        within(0.01, 1280, cost.sendingS());
        within(0.01, 12000, cost.pumpJ());
        within(0.01, 7068, cost.headsJ());
        within(0.01, 1767, cost.sensorsJ());
        within(0.01, 633.8, cost.computerJ());
        within(0.01, 768, cost.modemJ());
        within(0.01, 432, cost.sleepJ());
        within(0.01, 22669, cost.totalJ());
        within(0.01, 960, cost.surfaceJ()); // 768 + 0.15 x 1280
        within(0.01, 21277, cost.riseJ()); // 12000 + 7068 + 1767 + 0.15 x 2945
        within(0.01, 352.9, cost.dives());
        within(0.01, 22.40, cost.price());
    }

    /** A stop adds its own time, and one that the float never passes adds nothing. */
    @Test
    void aStopOnTheWayUpAddsItsTime() {
        Plan plan = PlanReader.defaults().getPlan();
        double straight = DiveCost.of(plan, 11, 64).profileS();
        Plan.Builder stop = plan.toBuilder();
        stop.getAscentBuilder().setDwellDbar(5).setDwellS(600);
        assertEquals(straight + 600, DiveCost.of(stop.build(), 11, 64).profileS(), 1e-9);
        stop.getAscentBuilder().setStartDbar(4);
        assertTrue(DiveCost.of(stop.build(), 11, 64).profileS() < 200);
    }

    /**
     * Against the mean of the next eight dives, none of which the sheet counted, over the default plan's lossy link. The mean,
     * because bytes scatter by a percent or two between dives (1.5 percent for the full default plan over seeds 1 to 8): two
     * single dives may well be more than 2 percent apart. Messages are as many as fill the budget, as with every channel: where
     * the finest steps fit with room to spare, their number and that of the repair messages is a matter of whole ones.
     */
    @Test
    void sheetAgreesWithWhatRehearsedDivesUsed() {
        PlanFile.Builder full = ThinDive.file().toBuilder();
        full.getPlanBuilder().getPackingBuilder().setDataMessages(40);
        PlanFile file = full.build();
        BudgetSheet sheet = BudgetSheet.of(file, Dive.Progress.NONE);
        List<FloatAccount> used = new ArrayList<>();
        double bytes = 0;
        for (long seed = 5; seed <= 12; seed++) {
            RehearsedDive dive = RehearsedDive.of(file, Seeds.all(seed), null, Dive.Progress.NONE);
            used.add(dive.result().account());
            bytes += dive.result().sent().stream().mapToInt(b -> b.length).sum() / 8.0;
        }
        within(0.02, bytes, sheet.counted().bytes());
        assertTrue(sheet.counted().bytesSd() > 0);
        within(0.02, mean(used, FloatAccount::instants), sheet.counted().instants());
        within(0.02, mean(used, FloatAccount::lightScans), sheet.counted().lightScans());
        within(0.02, mean(used, FloatAccount::flashBytes), sheet.counted().flashBytes());
        within(0.02, mean(used, FloatAccount::messagesSent), sheet.counted().messages());
        within(0.02, mean(used, FloatAccount::sessionS), sheet.cost().sendingS());
        within(0.02, mean(used, FloatAccount::headsJ), sheet.cost().headsJ());
        within(0.02, mean(used, FloatAccount::sensorsJ), sheet.cost().sensorsJ());
        within(0.02, mean(used, FloatAccount::computerJ), sheet.cost().computerJ());
        within(0.02, mean(used, FloatAccount::modemJ), sheet.cost().modemJ());
        within(0.02, mean(used, FloatAccount::totalJ), sheet.cost().totalJ());
        assertTrue(sheet.bins() > 300 && sheet.binsSent() <= sheet.bins(), sheet.bins() + " bins");
        steps(sheet.steps());
    }

    private static double mean(List<FloatAccount> dives, ToDoubleFunction<FloatAccount> value) {
        return dives.stream().mapToDouble(value).average().orElseThrow();
    }

    private static void steps(List<BudgetSheet.Step> steps) {
        assertEquals(
                List.of(3, 6, 12, 26, 40, 52, 104),
                steps.stream().map(BudgetSheet.Step::allowed).toList());
        BudgetSheet.Step fewest = steps.get(0);
        BudgetSheet.Step most = steps.get(steps.size() - 1);
        for (int i = 0; i < Coverage.NAMED_NM.size(); i++) {
            String where = Coverage.NAMED_NM.get(i) + " nm";
            assertTrue(most.uncertaintyPercent().get(i) > 0.5, where);
            assertTrue(
                    most.uncertaintyPercent().get(i)
                            < fewest.uncertaintyPercent().get(i),
                    where);
        }
        for (BudgetSheet.Step step : steps) {
            assertTrue(step.sent() <= step.allowed(), step.toString());
        }
    }

    private static void within(double share, double expected, double actual) {
        assertEquals(expected, actual, share * expected);
    }
}
