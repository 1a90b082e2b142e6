package sunward.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.File;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;

/** The jar carries the licence texts of everything in it; the class path says what that is. */
class LicencesTest {
    private static final Pattern JAR = Pattern.compile("(.+?)-\\d[^/]*\\.jar");

    /** Jars that only tests need: never in the fat jar. */
    private static final Set<String> TEST_ONLY = Set.of(
            "junit-jupiter",
            "junit-jupiter-api",
            "junit-jupiter-params",
            "junit-jupiter-engine",
            "junit-platform-commons",
            "junit-platform-engine",
            "junit-platform-launcher",
            "opentest4j",
            "apiguardian-api",
            "archunit",
            "archunit-junit5",
            "archunit-junit5-api",
            "archunit-junit5-engine",
            "archunit-junit5-engine-api",
            "slf4j-api");

    @Test
    void indexNamesExactlyTheLibrariesOfTheFatJar() throws IOException {
        Set<String> libraries = Arrays.stream(
                        System.getProperty("java.class.path").split(File.pathSeparator))
                .map(entry -> Path.of(entry).getFileName().toString())
                .map(JAR::matcher)
                .filter(Matcher::matches)
                .map(jar -> jar.group(1))
                .filter(name -> !name.startsWith("sunward-") && !name.startsWith("surefire-"))
                .filter(name -> !TEST_ONLY.contains(name))
                .collect(Collectors.toCollection(TreeSet::new));
        assertTrue(libraries.contains("picocli"), () -> "the class path was understood: " + libraries);
        Set<String> named = new TreeSet<>(index().keySet());
        named.remove("sunward");
        assertEquals(named, libraries);
    }

    @Test
    void everyTextIsThere() throws IOException {
        for (Map.Entry<String, String> entry : index().entrySet()) {
            for (String file : entry.getValue().split(" ", -1)) {
                String text = resource(file);
                assertTrue(text.length() > 100 && text.contains("opyright"), entry.getKey() + ": " + file);
            }
        }
        assertTrue(resource("Apache-2.0.txt").contains("TERMS AND CONDITIONS FOR USE, REPRODUCTION, AND DISTRIBUTION"));
        assertTrue(resource("protobuf-java-LICENSE.txt").contains("Redistributions in binary form must reproduce"));
    }

    /** Artifact to files. */
    private static Map<String, String> index() throws IOException {
        Map<String, String> index = new LinkedHashMap<>();
        resource("index.csv")
                .lines()
                .skip(1)
                .map(line -> line.split(",", -1))
                .forEach(row -> index.put(row[0], row[2]));
        return index;
    }

    private static String resource(String name) throws IOException {
        try (InputStream in = Sunward.class.getResourceAsStream("/META-INF/licenses/" + name)) {
            assertNotNull(in, name);
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        }
    }
}
