package sunward.planning;

import java.time.Instant;
import sunward.profiles.DiveProduct;
import sunward.protocol.schema.Calibration;
import sunward.protocol.schema.LinkTruth;
import sunward.protocol.schema.Plan;
import sunward.protocol.schema.PlanFile;
import sunward.protocol.schema.Scene;
import sunward.simulator.Dive;
import sunward.simulator.Seeds;

/** What a rehearsal says that a dive at this place and time should look like, every message received. */
public final class ExpectedDive {
    /** s from 1970 to 2000. */
    private static final long EPOCH_2000_S = 946_684_800;

    private ExpectedDive() {}

    /**
     * Rehearses the plan there and then, in the sea of the scene.
     *
     * @param surfacedS s since 2000-01-01T00:00:00Z
     * @return null when nothing of it could be decoded
     * @throws IllegalArgumentException with one sentence, when no such scene can be built
     */
    public static DiveProduct of(
            Plan plan, Calibration calibration, Scene scene, double latitudeDeg, double longitudeDeg, long surfacedS) {
        Scene there = scene.toBuilder()
                .setLatitudeDeg(latitudeDeg)
                .setLongitudeDeg(longitudeDeg)
                .setSurfacingUtc(Instant.ofEpochSecond(surfacedS + EPOCH_2000_S).toString())
                .setLink(LinkTruth.getDefaultInstance())
                .clearFailures()
                .build();
        return RehearsedDive.of(
                        PlanFile.newBuilder()
                                .setPlan(plan)
                                .setCalibration(calibration)
                                .setScene(there)
                                .build(),
                        Seeds.all(1),
                        null,
                        Dive.Progress.NONE)
                .product();
    }
}
