package sunward.watch.page;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;

/**
 * Makes {@code coastline.txt} from {@code land-110m.json} of the npm package world-atlas 2.0.2 (Natural Earth 1:110m, public
 * domain): lines of longitude,latitude in degrees to a tenth. The edges that close the map at 180 degrees and at the pole are
 * left out. Arguments: the file to read, the file to write.
 */
final class CoastlineMaker {
    private CoastlineMaker() {}

    public static void main(String[] arguments) throws IOException {
        JsonNode map = new ObjectMapper().readTree(Path.of(arguments[0]).toFile());
        JsonNode scale = map.path("transform").path("scale");
        JsonNode shift = map.path("transform").path("translate");
        StringBuilder out = new StringBuilder(
                "# Coastlines: Natural Earth 1:110m land, public domain; longitude,latitude in degrees\n");
        for (JsonNode arc : map.path("arcs")) {
            double x = 0;
            double y = 0;
            String last = "";
            StringBuilder line = new StringBuilder();
            for (JsonNode step : arc) {
                x += step.get(0).asDouble();
                y += step.get(1).asDouble();
                double longitude = x * scale.get(0).asDouble() + shift.get(0).asDouble();
                double latitude = y * scale.get(1).asDouble() + shift.get(1).asDouble();
                if (Math.abs(longitude) > 179.95 || latitude < -89.5) {
                    end(out, line);
                    continue;
                }
                String point = String.format(Locale.ROOT, "%.1f,%.1f", longitude, latitude);
                if (!point.equals(last)) {
                    line.append(line.length() == 0 ? "" : " ").append(point);
                    last = point;
                }
            }
            end(out, line);
        }
        Files.writeString(Path.of(arguments[1]), out);
    }

    private static void end(StringBuilder out, StringBuilder line) {
        if (line.indexOf(" ") > 0) {
            out.append(line).append('\n');
        }
        line.setLength(0);
    }
}
