package sunward.planning;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.SerializerProvider;
import com.fasterxml.jackson.databind.module.SimpleModule;
import com.fasterxml.jackson.databind.ser.std.StdSerializer;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.math.BigDecimal;
import java.math.MathContext;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;

/**
 * The report of a dive: one HTML file that opens anywhere, offline. Style, scripts and data are inside; nothing is
 * fetched, and a content policy in the page forbids it.
 */
public final class Report {
    private static final String CHARTS = "/META-INF/resources/webjars/uplot/" + Versions.UPLOT;
    private static final MathContext DIGITS = new MathContext(6);
    private static final ObjectMapper JSON = mapper();

    private Report() {}

    /** Writes the page of this data. */
    static void write(ReportData data, Path file) throws IOException {
        Files.writeString(file, page(data), StandardCharsets.UTF_8);
    }

    /** The whole page. */
    static String page(ReportData data) {
        String page = resource("report.html");
        Map<String, String> parts = Map.of(
                "TITLE", escaped(data.title()),
                "VERDICT", escaped(data.verdict()),
                "MARK", data.simulated() ? resource("simulated.html") : "",
                "STYLE", resource(CHARTS + "/dist/uPlot.min.css") + resource("report.css"),
                "CHARTS", withoutBanner(resource(CHARTS + "/dist/uPlot.iife.min.js")),
                "SCRIPT", resource("report.js"),
                "COLOURS", json(List.of(LightRamp.colours(128))),
                "DATA", json(data),
                "NOTICE", escaped("Line charts: uPlot " + Versions.UPLOT + ".\n\n" + resource(CHARTS + "/LICENSE")));
        StringBuilder out = new StringBuilder(page.length() * 8);
        int from = 0;
        for (int at = page.indexOf("<!--%"); at >= 0; at = page.indexOf("<!--%", from)) {
            int end = page.indexOf("%-->", at);
            out.append(page, from, at).append(parts.get(page.substring(at + 5, end)));
            from = end + 4;
        }
        return out.append(page, from, page.length()).toString();
    }

    /** JSON that is safe inside a script element, numbers to six digits, NaN as null. */
    static String json(Object value) {
        try {
            return JSON.writeValueAsString(value)
                    .replace("<", "\\u003c")
                    .replace(">", "\\u003e")
                    .replace("&", "\\u0026")
                    .replace("\u2028", "\\u2028")
                    .replace("\u2029", "\\u2029");
        } catch (JsonProcessingException e) {
            throw new IllegalStateException(e);
        }
    }

    /** Text for HTML content and quoted attributes. */
    static String escaped(String text) {
        return text.replace("&", "&amp;")
                .replace("<", "&lt;")
                .replace(">", "&gt;")
                .replace("\"", "&quot;")
                .replace("'", "&#39;");
    }

    /** The library's first comment names a web address; the page names none, and carries the licence in words instead. */
    private static String withoutBanner(String script) {
        return script.substring(script.indexOf("*/") + 2).strip();
    }

    private static String resource(String name) {
        try (InputStream in = Report.class.getResourceAsStream(name)) {
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static ObjectMapper mapper() {
        SimpleModule numbers = new SimpleModule();
        StdSerializer<Double> single = new Doubles<>(Double.class) {
            @Override
            public void serialize(Double value, JsonGenerator out, SerializerProvider unused) throws IOException {
                write(value, out);
            }
        };
        numbers.addSerializer(Double.class, single);
        numbers.addSerializer(Double.TYPE, single);
        numbers.addSerializer(double[].class, new Doubles<>(double[].class) {
            @Override
            public void serialize(double[] values, JsonGenerator out, SerializerProvider unused) throws IOException {
                out.writeStartArray();
                for (double value : values) {
                    write(value, out);
                }
                out.writeEndArray();
            }
        });
        return new ObjectMapper().registerModule(numbers);
    }

    private abstract static class Doubles<T> extends StdSerializer<T> {
        Doubles(Class<T> type) {
            super(type);
        }

        static void write(double value, JsonGenerator out) throws IOException {
            if (Double.isFinite(value)) {
                out.writeNumber(new BigDecimal(value).round(DIGITS).stripTrailingZeros());
            } else {
                out.writeNull();
            }
        }
    }
}
