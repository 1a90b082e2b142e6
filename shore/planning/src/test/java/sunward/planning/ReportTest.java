package sunward.planning;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class ReportTest {
    private static final String HOSTILE =
            "</script><img src=x onerror=alert(1)> & \"quoted\" 'too' \u2028 ]]> --> <!--";

    @Test
    void namesNoWebAddress() {
        String page = Report.page(ExampleReport.data("Example"));
        for (String outside : List.of("http:", "https:", "src=", "@import", "fetch(", "XMLHttpRequest", "//cdn")) {
            int at = page.indexOf(outside);
            assertEquals(-1, at, () -> outside + " in: " + page.substring(Math.max(0, at - 60), at + 40));
        }
        assertFalse(Pattern.compile("href\\s*=\\s*[\"']").matcher(page).find());
        assertFalse(Pattern.compile("url\\((?!#)").matcher(page).find(), "only places inside the page");
        assertTrue(page.contains("Content-Security-Policy\" content=\"default-src 'none'"));
        assertFalse(page.contains("<!--%"), "every place of the template is filled");
        assertTrue(page.contains("Leon Sorokin"), "licence of the chart library");
    }

    @Test
    void hostileNamesStayText() throws Exception {
        String page = Report.page(ExampleReport.data(HOSTILE));
        assertFalse(page.contains("<img"), "a title must not become an element");
        assertEquals(HOSTILE, dataOf(page).get("title").asText());
        assertTrue(page.contains("&lt;img src=x onerror=alert(1)&gt; &amp; &quot;quoted&quot; &#39;too&#39;"));
    }

    @Test
    void simulatedCannotBeMissed() {
        String page = Report.page(ExampleReport.data("Example"));
        assertTrue(
                page.indexOf("<strong>Simulated</strong>") < page.indexOf("<h1>"), "the mark stands before the title");
    }

    @Test
    void missingStaysMissing() throws Exception {
        JsonNode data = dataOf(Report.page(ExampleReport.data("Example")));
        assertTrue(data.get("spectra").get("lw").get(150).isNull());
        assertEquals(
                "no bins near the surface",
                data.get("spectra").get("note").get(150).asText());
    }

    /** OKLab of white is (1, 0, 0) by definition (Ottosson 2020). */
    @Test
    void rampIsEven() {
        double[] white = LightRamp.linear(1, 0, 0);
        for (double channel : white) {
            assertEquals(1, channel, 1e-6);
        }
        String[] colours = LightRamp.colours(128);
        double last = -1;
        for (String colour : colours) {
            double grey = relativeLuminance(colour);
            assertTrue(grey > last, colour + " is not lighter than the one before");
            last = grey;
        }
    }

    /** Relative luminance of WCAG 2.1 (from sRGB, Rec. 709 weights). */
    private static double relativeLuminance(String colour) {
        double[] weights = {0.2126, 0.7152, 0.0722};
        double sum = 0;
        for (int i = 0; i < 3; i++) {
            double c = Integer.parseInt(colour.substring(1 + 2 * i, 3 + 2 * i), 16) / 255.0;
            sum += weights[i] * (c <= 0.04045 ? c / 12.92 : Math.pow((c + 0.055) / 1.055, 2.4));
        }
        return sum;
    }

    @Test
    void drawsInABrowser(@TempDir Path directory) throws Exception {
        Browser browser = Browser.find();
        assumeTrue(browser != null, "needs chromium");
        Path page = directory.resolve("report.html");
        Report.write(ExampleReport.data("Example " + HOSTILE), page);
        String dom = browser.dom(page, directory);
        assertTrue(dom.contains("data-ready=\"yes\""), "the script ran to its end");
        Matcher rows = Pattern.compile("<tr>").matcher(dom);
        assertTrue(rows.results().count() > 180 + 52, "tables stand beside the pictures");
    }

    /** The data that a page carries. */
    static JsonNode dataOf(String page) throws Exception {
        String start = "<script type=\"application/json\" id=\"data\">";
        int from = page.indexOf(start) + start.length();
        return new ObjectMapper().readTree(page.substring(from, page.indexOf("</script>", from)));
    }

    /** A headless Chromium, if the machine has one. */
    record Browser(String command) {
        static Browser find() throws Exception {
            for (String command : List.of("chromium", "chromium-browser", "google-chrome")) {
                for (String place : System.getenv("PATH").split(java.io.File.pathSeparator, -1)) {
                    if (Files.isExecutable(Path.of(place, command))) {
                        return new Browser(command);
                    }
                }
            }
            assertFalse("true".equals(System.getenv("CI")), "CI must have chromium: see .ci/run");
            return null;
        }

        String dom(Path page, Path directory) throws Exception {
            Path out = directory.resolve("dom.html");
            Process process = new ProcessBuilder(
                            command,
                            "--headless",
                            "--no-sandbox",
                            "--disable-gpu",
                            "--disable-quic",
                            "--no-first-run",
                            "--disable-background-networking",
                            "--disable-component-update",
                            "--disable-sync",
                            "--user-data-dir=" + directory.resolve("browser"),
                            "--virtual-time-budget=4000",
                            "--dump-dom",
                            page.toUri().toString())
                    .redirectOutput(out.toFile())
                    .redirectError(directory.resolve("browser.log").toFile())
                    .start();
            try {
                assertTrue(process.waitFor(60, TimeUnit.SECONDS), "the browser did not end");
            } finally {
                process.destroyForcibly();
            }
            return Files.readString(out, StandardCharsets.UTF_8);
        }
    }

    /** Run by hand to look at the page. */
    public static void main(String[] arguments) throws Exception {
        Report.write(
                ExampleReport.data("Clear western tropical Pacific, December noon (invented day over a real cast)"),
                Path.of(arguments[0]));
    }
}
