package sunward.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import sunward.simulator.SceneLibrary;

class SizeAndCompareCommandTest {
    private static final String THIN =
            "plan:\n  fly_wavelengths_nm: [350, 380, 412, 443, 470, 490, 510, 530, 555, 580, 600, 620, 645, 670, 700, 750]\n";

    @TempDir
    Path folder;

    private String file(String name, String text) throws IOException {
        return Files.writeString(folder.resolve(name), text).toString();
    }

    /** Sums that hold for any plan; the default plan's price of a message is 0.35. */
    @Test
    void sizeAddsUp() throws IOException {
        Run run = Run.of("size", "--json", "--plan", file("thin.yaml", THIN));
        assertEquals(0, run.exitCode(), run::toString);
        JsonNode json = run.json();
        double sum = 0;
        for (String part : new String[] {"pump_j", "heads_j", "sensors_j", "computer_j", "modem_j", "sleep_j"}) {
            sum += json.get(part).asDouble();
        }
        assertEquals(json.get("total_j").asDouble(), sum, 1e-6);
        double bytes = 0;
        for (JsonNode block : json.get("bytes_by_block")) {
            bytes += block.get("bytes").asDouble();
        }
        assertEquals(json.get("bytes").asDouble(), bytes, 1e-6);
        assertEquals(json.get("ram_bytes").asInt(), sum(json.get("ram_by_part")));
        assertEquals(16 << 20, sum(json.get("flash_by_part")), "the reference float's flash, all of it with an owner");
        assertEquals(json.get("messages").asDouble() * 0.35, json.get("price").asDouble(), 1e-9);
        assertEquals(6, json.get("uncertainty_by_messages").size());
        assertTrue(json.get("uncertainty_by_messages")
                        .get(0)
                        .get("u_lw_443_percent")
                        .asDouble()
                > 0);
    }

    @Test
    void compareTellsAPlanFromItselfInNothing() throws IOException {
        String thin = file("thin.yaml", THIN);
        Run run = Run.of("compare", thin, thin, "--dives", "2");
        assertEquals(0, run.exitCode(), run::toString);
        assertEquals(
                6,
                run.out()
                        .lines()
                        .filter(line -> line.endsWith("no difference beyond chance"))
                        .count(),
                run.out());
        JsonNode second = Run.of("compare", "--json", thin, thin, "--dives", "1")
                .json()
                .get("plans")
                .get(1);
        assertEquals(0, second.get("less_first_plan").get("bytes").get("mean").asDouble());
        assertTrue(
                second.get("less_first_plan").get("bytes").get("standard_error").isNull());
    }

    private static int sum(JsonNode parts) {
        int sum = 0;
        for (JsonNode part : parts) {
            sum += part.get("bytes").asInt();
        }
        return sum;
    }

    /** In a scene each plan keeps its own fields and takes the scene's, as a rehearsal of it does. */
    @Test
    void compareAndPlanKnowTheScenesByName() throws IOException {
        String thin = file("thin.yaml", THIN);
        JsonNode green = Run.of("compare", "--json", thin, "--scene", "coastal-green", "--dives", "1")
                .json()
                .get("plans")
                .get(0);
        JsonNode own = Run.of("compare", "--json", thin, "--dives", "1")
                .json()
                .get("plans")
                .get(0);
        assertNotEquals(own, green);
        Run list = Run.of("plan", "--scenes");
        assertEquals(0, list.exitCode());
        for (String name : SceneLibrary.names()) {
            assertTrue(list.out().contains(name + "  "), list.out());
            assertTrue(Run.of("plan", "--scene", name).out().contains("\nscene:\n"));
        }
    }

    @Test
    void badInputGetsOneSentence() throws IOException {
        String thin = file("thin.yaml", THIN);
        Run.of("compare", thin, "--dives", "0").failedWith(2, "--dives", "1 to 10000");
        Run.of("compare", thin, "nowhere.yaml").failedWith(2, "nowhere.yaml", "no such file");
        Run.of("compare", thin, "--scene", "nowhere.yaml").failedWith(2, "nowhere.yaml", "low-sun");
        Run.of("rehearse", "--scene", "nowhere").failedWith(2, "nowhere", "low-sun");
        Run.of("rehearse", "--scene", "low-sun", "--recording", "x").failedWith(2, "--scene and --recording");
        Run.of("plan", "--scene", "nowhere").failedWith(2, "nowhere", "low-sun");
        Run.of("size", "--plan", file("empty.yaml", "")).failedWith(2, "empty");
    }
}
