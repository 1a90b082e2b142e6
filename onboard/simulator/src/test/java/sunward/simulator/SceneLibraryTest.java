package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.time.ZoneOffset;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import sunward.protocol.plan.PlanException;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.PlanFile;
import sunward.protocol.schema.Scene;

class SceneLibraryTest {
    static java.util.List<String> names() {
        return SceneLibrary.names();
    }

    @ParameterizedTest
    @MethodSource("names")
    void aSceneChangesTheDefaultAndSaysThatItIsInvented(String name) {
        PlanFile file = SceneLibrary.over(PlanReader.defaults(), name);
        assertNotEquals(PlanReader.defaults().getScene(), file.getScene());
        assertTrue(
                file.getScene().getTitle().contains("(invented"),
                file.getScene().getTitle());
        assertTrue(SceneLibrary.text(name).startsWith("# "), "a scene says first what it is about");
        assertEquals(PlanReader.defaults().getCalibration(), file.getCalibration());
    }

    /** The declination that a scene sends to its float is the model's, to a tenth of a degree. */
    @ParameterizedTest
    @MethodSource("names")
    void theFloatKnowsTheDeclinationOfThePlace(String name) {
        PlanFile file = SceneLibrary.over(PlanReader.defaults(), name);
        Scene scene = file.getScene();
        Instant surfacing = Instant.parse(scene.getSurfacingUtc());
        double year = surfacing.atZone(ZoneOffset.UTC).getYear()
                + (surfacing.atZone(ZoneOffset.UTC).getDayOfYear() - 1) / 365.25;
        double declination = MagneticField.at(scene.getLatitudeDeg(), scene.getLongitudeDeg(), 0, year)
                .declinationDeg();
        assertEquals(declination, file.getPlan().getDeclination().getDegrees(), 0.1);
        assertTrue(Instant.parse(file.getPlan().getDeclination().getDate() + "T00:00:00Z")
                .isBefore(surfacing));
    }

    @Test
    void whatAPlanSaysBesideTheSceneStays() {
        PlanFile.Builder mine = PlanReader.defaults().toBuilder();
        mine.getPlanBuilder().setFloatNumber(7);
        mine.getSceneBuilder().getCompassBuilder().setFixErrorM(123);
        PlanFile file = SceneLibrary.over(mine.build(), "low-sun");
        assertEquals(7, file.getPlan().getFloatNumber());
        assertEquals(123, file.getScene().getCompass().getFixErrorM());
    }

    @Test
    void aWrongNameListsTheRightOnes() {
        String sentence = assertThrows(PlanException.class, () -> SceneLibrary.text("no-such"))
                .getMessage();
        names().forEach(name -> assertTrue(sentence.contains(name), sentence));
    }
}
