package sunward.watch.health;

import java.util.Locale;
import java.util.Map;
import java.util.concurrent.ConcurrentSkipListMap;
import java.util.concurrent.atomic.LongAdder;
import java.util.function.LongSupplier;

/**
 * Counters and gauges, written out in the Prometheus text exposition format 0.0.4. Names are in lower case with
 * underscores; a counter's name ends in {@code _total}. A series may carry labels in its name: {@code a_total{door="tcp"}}.
 */
public final class Metrics {
    private final Map<String, LongAdder> counters = new ConcurrentSkipListMap<>();
    private final Map<String, LongSupplier> gauges = new ConcurrentSkipListMap<>();

    /** The counter of this series, made on first use. Keep it: looking it up costs more than counting. */
    public LongAdder counter(String series) {
        return counters.computeIfAbsent(series, name -> new LongAdder());
    }

    /** A series that is asked when somebody looks. */
    public void gauge(String series, LongSupplier value) {
        gauges.put(series, value);
    }

    /** Every series as text. */
    public String text() {
        StringBuilder out = new StringBuilder(2048);
        String family = "";
        for (Map.Entry<String, LongAdder> entry : counters.entrySet()) {
            family = line(
                    out, family, entry.getKey(), "counter", entry.getValue().sum());
        }
        for (Map.Entry<String, LongSupplier> entry : gauges.entrySet()) {
            family = line(out, family, entry.getKey(), "gauge", entry.getValue().getAsLong());
        }
        return out.toString();
    }

    private static String line(StringBuilder out, String lastFamily, String series, String type, long value) {
        int brace = series.indexOf('{');
        String family = brace < 0 ? series : series.substring(0, brace);
        if (!family.equals(lastFamily)) {
            out.append("# TYPE ").append(family).append(' ').append(type).append('\n');
        }
        out.append(String.format(Locale.ROOT, "%s %d%n", series, value).replace("\r\n", "\n"));
        return family;
    }
}
