package sunward.watch.page;

import java.io.IOException;
import java.io.InputStream;
import java.util.LinkedHashMap;
import java.util.Map;

/** The fixed files of the page, read from the jar once. A path that is not in this list does not exist. */
final class Assets {
    /** A file as it is sent. */
    // Sent, never compared.
    @SuppressWarnings("ArrayRecordComponent")
    record Asset(String type, byte[] bytes) {}

    private static final String SCRIPT = "text/javascript; charset=utf-8";
    private static final String STYLE = "text/css; charset=utf-8";
    private static final String CHARTS = "/META-INF/resources/webjars/uplot/1.6.30/dist/";

    private final Map<String, Asset> assets = new LinkedHashMap<>();

    Assets() {
        put("/", "index.html", "text/html; charset=utf-8");
        put("/watch.css", "watch.css", STYLE);
        for (String script :
                new String[] {"watch.js", "fleet.js", "dive.js", "pictures.js", "compare.js", "health.js", "draw.js"}) {
            put("/" + script, script, SCRIPT);
        }
        put("/coastline.txt", "coastline.txt", "text/plain; charset=utf-8");
        put("/icon.svg", "icon.svg", "image/svg+xml");
        put("/uplot.js", CHARTS + "uPlot.iife.min.js", SCRIPT);
        put("/uplot.css", CHARTS + "uPlot.min.css", STYLE);
    }

    private void put(String path, String resource, String type) {
        try (InputStream in = Assets.class.getResourceAsStream(resource)) {
            if (in == null) {
                throw new IllegalStateException("resource=" + resource + " is missing from the jar");
            }
            assets.put(path, new Asset(type, in.readAllBytes()));
        } catch (IOException e) {
            throw new IllegalStateException("resource=" + resource, e);
        }
    }

    /** The files by path. */
    Map<String, Asset> all() {
        return assets;
    }
}
