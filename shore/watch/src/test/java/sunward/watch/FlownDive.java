package sunward.watch;

import java.util.List;
import java.util.StringJoiner;
import sunward.profiles.Ancillary;
import sunward.profiles.ShoreInputs;
import sunward.protocol.plan.PlanException;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.Dive;
import sunward.simulator.Seeds;

/** A dive of the reference float in the default sea, reduced to 28 wavelengths: real messages for tests, all simulated. */
public final class FlownDive {
    private static final PlanFile PLAN = plan();
    private static List<byte[]> sent;

    private FlownDive() {}

    private static PlanFile plan() {
        StringJoiner wavelengths = new StringJoiner(", ", "plan:\n  fly_wavelengths_nm: [", "]\n");
        for (int nm = 400; nm <= 670; nm += 10) {
            wavelengths.add(String.valueOf(nm));
        }
        try {
            return PlanReader.read(wavelengths.toString(), "test plan");
        } catch (PlanException e) {
            throw new IllegalStateException(e);
        }
    }

    /** Plan, calibration and scene. */
    public static PlanFile file() {
        return PLAN;
    }

    /** What shore needs beside the messages. */
    public static ShoreInputs inputs() {
        return new ShoreInputs(PLAN.getPlan(), PLAN.getCalibration(), Ancillary.climatology());
    }

    /** Every message as the float sent it, in sending order; flown once in a test run. */
    public static synchronized List<byte[]> sent() {
        if (sent == null) {
            sent = Dive.fly(
                            PLAN.getPlan(),
                            PLAN.getCalibration(),
                            PLAN.getScene(),
                            Seeds.all(1),
                            null,
                            Dive.Progress.NONE)
                    .sent();
        }
        return sent;
    }
}
