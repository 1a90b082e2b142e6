package sunward.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import sunward.protocol.plan.PlanReader;

class CommandLineTest {
    @Test
    void helpAndVersionGoToStandardOutput() {
        Run help = Run.of("--help");
        assertEquals(0, help.exitCode());
        assertEquals("", help.err());
        assertTrue(help.out().contains("Example") && help.out().contains("Exit codes"), help.out());
        assertEquals(help, Run.of());
        Run version = Run.of("--version");
        assertEquals(0, version.exitCode());
        assertTrue(version.out().startsWith("sunward ") && version.out().contains("wire version"), version.out());
    }

    @ParameterizedTest
    @ValueSource(strings = {"plan", "aim", "rehearse", "decode", "show"})
    void everyCommandHasHelpWithAnExample(String command) {
        Run help = Run.of(command, "--help");
        assertEquals(0, help.exitCode());
        assertTrue(help.out().contains("Example") && help.out().contains("sunward " + command), help.out());
        assertTrue(help.out().contains("--json"), help.out());
        assertTrue(Run.of("--help").out().contains("\n  " + command), command + " is listed");
    }

    @Test
    void unknownCommandsAndOptionsGetOneSentence() {
        Run.of("paln").failedWith(2, "\"paln\"", "no command", "plan", "sunward --help");
        Run.of("plan", "--exampel", "x").failedWith(2, "--exampel", "--example", "sunward plan --help");
        Run.of("plan", "--example").failedWith(2, "--example", "sunward plan --help");
        Run.of("plan", "--example", "none").failedWith(2, "\"none\"", "default or three-arms");
    }

    @Test
    void errorsAreJsonWhenAskedFor() {
        Run run = Run.of("plan", "--example", "none", "--json");
        assertEquals(2, run.exitCode());
        assertEquals(2, run.jsonError().get("exit_code").asInt());
        assertTrue(run.jsonError().get("error").asText().contains("three-arms"));
        assertEquals("", run.out());
    }

    @Test
    void planPrintsTheCommentedDefaults() {
        Run run = Run.of("plan");
        assertEquals(0, run.exitCode());
        assertEquals(PlanReader.defaultText(), run.out());
        assertEquals(
                PlanReader.defaultText(),
                Run.of("plan", "--json").json().get("yaml").asText());
        assertEquals(
                64, Run.of("plan", "--json").json().get("plan_digest").asText().length());
        assertEquals(
                4,
                PlanReader.read(Run.of("plan", "--example", "three-arms").out(), "x")
                        .getPlan()
                        .getHeadsCount());
    }
}
