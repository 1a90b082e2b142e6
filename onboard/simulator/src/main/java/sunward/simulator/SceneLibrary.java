package sunward.simulator;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import sunward.protocol.plan.PlanException;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.PlanFile;

/**
 * The named scenes: days, seas and faults of our own, each a commented fragment of a plan file that holds only what it
 * changes. A scene far from the default place also sets what an order would tell the float before it dives there.
 */
public final class SceneLibrary {
    private static final List<String> NAMES = List.of(
            "clear-gyre",
            "temperate-spring",
            "coastal-green",
            "high-sun",
            "low-sun",
            "rough",
            "broken-cloud",
            "tilted-float",
            "fouled-head",
            "dead-compass",
            "reversed-compass",
            "heading-spikes",
            "silent-compass",
            "dead-tilt-sensor",
            "slipped-tilt-sensor",
            "stuck-pressure",
            "reversed-pressure",
            "dead-head",
            "dazzled-head",
            "dark-drift",
            "clock-jump",
            "late-fix",
            "no-link",
            "power-cut");

    private SceneLibrary() {}

    /** The names, in the order in which they are listed. */
    public static List<String> names() {
        return NAMES;
    }

    /**
     * The commented fragment of a scene.
     *
     * @throws PlanException with one sentence that lists the names, when there is none of that name
     */
    public static String text(String name) {
        if (!NAMES.contains(name)) {
            throw new PlanException("there is no scene \"" + name + "\"; choose one of " + String.join(", ", NAMES));
        }
        try (InputStream in = SceneLibrary.class.getResourceAsStream("scenes/" + name + ".yaml")) {
            if (in == null) {
                throw new IllegalStateException("The program lacks its own scene " + name);
            }
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        } catch (IOException e) {
            throw new UncheckedIOException("The program's own scene " + name + " cannot be read", e);
        }
    }

    /**
     * A plan file with a scene of the library laid over it.
     *
     * @throws PlanException when there is no scene of that name, or when plan and scene do not go together
     */
    public static PlanFile over(PlanFile file, String name) {
        return PlanReader.readOver(text(name), "scene " + name, file);
    }
}
