package sunward.planning;

import java.util.List;
import java.util.stream.DoubleStream;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.Seeds;

/** The default dive with two dozen channels: quick enough to be flown in tests. */
final class ThinDive {
    static final long SEED = 5;
    static final List<Double> WAVELENGTHS_NM = DoubleStream.concat(
                    DoubleStream.of(412, 443, 490, 510, 555, 620, 670),
                    DoubleStream.iterate(350, nm -> nm < 860, nm -> nm + 36))
            .distinct()
            .sorted()
            .boxed()
            .toList();

    private ThinDive() {}

    static PlanFile file() {
        PlanFile.Builder file = PlanReader.defaults().toBuilder();
        file.getPlanBuilder().clearFlyWavelengthsNm().addAllFlyWavelengthsNm(WAVELENGTHS_NM);
        return file.build();
    }

    static RehearsedDive fly() {
        return RehearsedDive.of(file(), Seeds.all(SEED), null, (stage, share) -> {});
    }
}
