package sunward.planning;

import java.io.IOException;
import java.io.InputStreamReader;
import java.io.Reader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.Properties;

/** Version numbers that the build writes into the jar. */
final class Versions {
    private static final Properties VERSIONS = load();

    /** The product. */
    static final String PRODUCT = VERSIONS.getProperty("product");

    /** The line-chart library whose script the report carries. */
    static final String UPLOT = VERSIONS.getProperty("uplot");

    private Versions() {}

    private static Properties load() {
        Properties versions = new Properties();
        try (Reader in = new InputStreamReader(
                Versions.class.getResourceAsStream("versions.properties"), StandardCharsets.UTF_8)) {
            versions.load(in);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        return versions;
    }
}
