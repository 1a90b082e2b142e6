package sunward.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.PlanFile;

/** Needs a second Java beside the one that runs, or named by -Dsunward.jdks. */
class SameBytesTest {
    @Test
    void sameBytesAndNoAllocationOnEveryJavaCompiledAndInterpreted() throws IOException, InterruptedException {
        List<Path> homes = SameBytes.homes();
        PlanFile.Builder file = PlanReader.defaults().toBuilder();
        file.getPlanBuilder().clearFlyWavelengthsNm();
        for (double nm = 350; nm < 750; nm += 25) {
            file.getPlanBuilder().addFlyWavelengthsNm(nm);
        }
        file.getPlanBuilder().getAscentBuilder().setStartDbar(12);
        List<SameBytes.Flight> flights = SameBytes.compare(file.build(), homes);
        assertEquals(2 * homes.size(), flights.size());
        assertEquals(
                1,
                flights.stream()
                        .map(SameBytes.Flight::digest)
                        .collect(Collectors.toSet())
                        .size(),
                flights::toString);
        assertEquals(1, flights.stream().map(SameBytes.Flight::tiers).distinct().count(), flights::toString);
        for (SameBytes.Flight flight : flights) {
            assertTrue(flight.messages() > 6, flight::toString);
            assertEquals(0, flight.allocated(), flight::toString);
        }
        assumeTrue(
                homes.size() > 1,
                "one Java alone is at hand: compiled and interpreted agree, other versions not tried");
    }
}
