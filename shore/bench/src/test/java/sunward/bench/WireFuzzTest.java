package sunward.bench;

import com.code_intelligence.jazzer.junit.FuzzTest;
import org.junit.jupiter.api.condition.EnabledIfEnvironmentVariable;

/**
 * Coverage-guided fuzzing of the readers of bodies: skipped among the tests, run by the command in
 * DEVELOPERS.md.
 */
class WireFuzzTest {
    /** The bytes are a message without its seal, which is put on: nothing may throw, whatever they are. */
    @EnabledIfEnvironmentVariable(named = "JAZZER_FUZZ", matches = "1", disabledReason = "a search; see DEVELOPERS.md")
    @FuzzTest(maxDuration = "20s")
    void nothingThrows(byte[] unsealed) {
        WireMutants.readSealed(unsealed);
    }
}
