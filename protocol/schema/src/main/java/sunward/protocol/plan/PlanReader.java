package sunward.protocol.plan;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import org.snakeyaml.engine.v2.api.LoadSettings;
import org.snakeyaml.engine.v2.api.lowlevel.Compose;
import org.snakeyaml.engine.v2.api.lowlevel.Parse;
import org.snakeyaml.engine.v2.events.AliasEvent;
import org.snakeyaml.engine.v2.events.CollectionStartEvent;
import org.snakeyaml.engine.v2.events.Event;
import org.snakeyaml.engine.v2.events.NodeEvent;
import org.snakeyaml.engine.v2.events.ScalarEvent;
import org.snakeyaml.engine.v2.exceptions.Mark;
import org.snakeyaml.engine.v2.exceptions.MarkedYamlEngineException;
import org.snakeyaml.engine.v2.exceptions.YamlEngineException;
import org.snakeyaml.engine.v2.nodes.MappingNode;
import org.snakeyaml.engine.v2.nodes.Node;
import sunward.protocol.schema.PlanFile;

/**
 * Reads plan files. A file holds any of the roots {@code plan}, {@code calibration} and {@code scene} and in them only
 * the fields that it changes; the rest comes from the default plan. Lists are replaced whole, and their entries need
 * every field. Unknown fields are refused.
 */
public final class PlanReader {
    private static final String DEFAULT_NAME = "default-plan.yaml";
    private static final String THREE_ARMS_NAME = "example-three-arms.yaml";
    private static final int LONGEST_TEXT = 1_000_000;

    private PlanReader() {}

    /**
     * Reads a plan file.
     *
     * @param text the file's text
     * @param sourceName what to call it in messages, usually the file's name
     * @return every field filled in and checked
     * @throws PlanException with one sentence, when the text is not a plan that can be used
     */
    public static PlanFile read(String text, String sourceName) {
        return read(text, sourceName, Defaults.FILE);
    }

    /**
     * Reads a fragment of a plan file over another plan.
     *
     * @param text the fragment: as a plan file, with only what it changes
     * @param sourceName what to call it in messages
     * @param over gives every field that the fragment leaves out
     * @return every field filled in and checked
     * @throws PlanException with one sentence, when the two together are not a plan that can be used
     */
    public static PlanFile readOver(String text, String sourceName, PlanFile over) {
        return read(text, sourceName, over);
    }

    /** The default plan, calibration and scene: the reference float and its default dive. */
    public static PlanFile defaults() {
        return Defaults.FILE;
    }

    /** The commented text of {@link #defaults()}. */
    public static String defaultText() {
        return resource(DEFAULT_NAME);
    }

    /** Plans that ship with Sunward: name to commented text, the default first. */
    public static Map<String, String> examples() {
        Map<String, String> examples = new LinkedHashMap<>();
        examples.put("default", defaultText());
        examples.put("three-arms", resource(THREE_ARMS_NAME));
        return examples;
    }

    /** Read once, on first use. */
    private static final class Defaults {
        static final PlanFile FILE = read(resource(DEFAULT_NAME), DEFAULT_NAME, null);
    }

    private static PlanFile read(String text, String source, PlanFile defaults) {
        MappingNode root = compose(text.startsWith("\ufeff") ? text.substring(1) : text, source);
        NodeReader reader = new NodeReader(source);
        PlanFile.Builder file = defaults == null ? PlanFile.newBuilder() : defaults.toBuilder();
        reader.fields(root, "", file, defaults == null);
        PlanFile read = file.build();
        Optional<PlanCheck.Problem> problem = PlanCheck.firstProblem(read);
        if (problem.isPresent()) {
            throw PlanException.at(
                    source, reader.lineOf(problem.get().path()), problem.get().sentence());
        }
        return read;
    }

    private static MappingNode compose(String text, String source) {
        if (text.isBlank()) {
            throw PlanException.at(
                    source,
                    0,
                    "the file is empty, expected a plan in YAML; write one from the output of: sunward plan");
        }
        if (text.length() > LONGEST_TEXT) {
            throw PlanException.at(
                    source,
                    0,
                    "longer than a plan can be (" + LONGEST_TEXT + " characters), so give the plan file itself");
        }
        LoadSettings settings = LoadSettings.builder()
                .setLabel(source)
                .setUseMarks(true)
                .setAllowDuplicateKeys(true)
                .build();
        try {
            for (Event event : new Parse(settings).parseString(text)) {
                refuseBeyondPlain(event, source);
            }
            Optional<Node> node = new Compose(settings).composeString(text);
            if (node.isPresent() && node.get() instanceof MappingNode root) {
                return root;
            }
            int line = node.map(NodeReader::lineOf).orElse(0);
            throw PlanException.at(
                    source,
                    line,
                    "expected the roots plan, calibration or scene with fields below them; see: sunward plan");
        } catch (MarkedYamlEngineException e) {
            int line = e.getProblemMark().map(mark -> mark.getLine() + 1).orElse(0);
            throw PlanException.at(source, line, "not YAML (" + oneLine(e.getProblem()) + "); correct this line");
        } catch (YamlEngineException e) {
            throw PlanException.at(source, 0, "not a text file with a plan in YAML; give the plan file itself");
        }
    }

    /** Anchors, aliases and tags say nothing that a plan needs, and hide what it says. */
    private static void refuseBeyondPlain(Event event, String source) {
        String found = null;
        if (event instanceof AliasEvent) {
            found = "an alias (*)";
        } else if (event instanceof NodeEvent node && node.getAnchor().isPresent()) {
            found = "an anchor (&)";
        } else if (event instanceof ScalarEvent scalar && scalar.getTag().isPresent()
                || event instanceof CollectionStartEvent collection
                        && collection.getTag().isPresent()) {
            found = "a tag (!)";
        }
        if (found != null) {
            int line = event.getStartMark().map(Mark::getLine).orElse(-1) + 1;
            throw PlanException.at(
                    source, line, found + " is not allowed in a plan; write the value out, texts in quotes");
        }
    }

    private static String oneLine(String text) {
        return text == null ? "cannot be read" : text.replaceAll("\\s+", " ").strip();
    }

    private static String resource(String name) {
        try (InputStream in = PlanReader.class.getResourceAsStream(name)) {
            if (in == null) {
                throw new IllegalStateException("The program lacks its own file " + name);
            }
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        } catch (IOException e) {
            throw new UncheckedIOException("The program's own file " + name + " cannot be read", e);
        }
    }
}
