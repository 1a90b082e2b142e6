package sunward.planning;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.ToDoubleFunction;
import sunward.planning.ReportData.Fact;
import sunward.profiles.Seawater;
import sunward.profiles.WaterReadings;
import sunward.protocol.plan.Digests;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.Scene;
import sunward.simulator.Surroundings;
import sunward.simulator.TrackPoint;
import sunward.simulator.Truth;

/** The scene of a rehearsed dive as its report shows it: what an oceanographer looks at before believing the rest. */
final class ScenePicture {
    private static final double[] LIGHT_DEPTHS_M = {0, 5, 10, 20, 50, 100, 150, 200};
    private static final double NAMED_NM = 490;

    /** Parts of a scene that are the float's and not the day's. */
    private static final List<String> OWN =
            List.of("instrument", "motion", "pressure", "compass", "probes", "clock", "failures");

    private static final int MOST_NAMED = 6;

    private final Scene scene;
    private final Truth truth;
    private final Surroundings there;
    private final List<Fact> changes;

    ScenePicture(Scene scene, Truth truth) {
        this.scene = scene;
        this.truth = truth;
        there = truth.surroundings();
        changes = changes(scene);
    }

    /**
     * What the page shows.
     *
     * @param readings of the float's sensors as shore has them, their pressures less the tare
     */
    ReportData.Scene data(List<WaterReadings.Level> readings, double tareDbar) {
        List<Integer> levels = levels();
        return new ReportData.Scene(
                facts(),
                changes,
                truth.wavelengthNm(),
                truth.es(),
                there.direct(),
                there.diffuse(),
                truth.sunAzimuthDeg(),
                scene.getCloud().getCoverPercent(),
                scene.getWaves().getSignificantHeightM(),
                truth.track().stream().mapToDouble(p -> 100 * p.brightness()).toArray(),
                there.depthM(),
                there.chlorophyll(),
                there.backscatter(),
                column(readings, r -> Seawater.depthM(r.pressureDbar() - tareDbar, truth.latitudeDeg())),
                column(readings, WaterReadings.Level::chlorophyllMgPerM3),
                column(readings, WaterReadings.Level::backscatterPerM),
                there.lightDepthM(),
                levels.stream().mapToDouble(z -> truth.depthM()[z]).toArray(),
                levels.stream().map(z -> truth.lu()[z]).toArray(double[][]::new));
    }

    private static double[] column(List<WaterReadings.Level> readings, ToDoubleFunction<WaterReadings.Level> of) {
        return readings.stream().mapToDouble(of).toArray();
    }

    private List<Integer> levels() {
        List<Integer> levels = new ArrayList<>();
        double[] depths = truth.depthM();
        for (double depth : LIGHT_DEPTHS_M) {
            int z = 0;
            while (z < depths.length - 1 && depths[z] < depth) {
                z++;
            }
            if (depths[z] >= depth) {
                levels.add(z);
            }
        }
        return levels;
    }

    private List<Fact> facts() {
        var air = there.air();
        List<Fact> facts = new ArrayList<>();
        facts.add(new Fact(
                "Place and time",
                place(),
                scene.getSurfacingUtc().replace("T", " ").replace("Z", " UTC")));
        facts.add(new Fact(
                "Sun",
                text("%.1f\u00b0 from the zenith", truth.sunZenithDeg()),
                text("at azimuth %d\u00b0 as the float surfaces", Math.round(truth.sunAzimuthDeg()) % 360)));
        facts.add(new Fact(
                "Sky",
                sky(),
                text(
                        "visibility %.0f km, ozone %.0f DU, water vapour %.1f cm, humidity %.0f %%, as drawn for this dive",
                        air.getVisibilityKm(), air.getOzoneDu(), air.getWaterVapourCm(), air.getHumidityPercent())));
        facts.add(new Fact(
                "Wind and waves",
                text("%.0f m/s, %.1f m", air.getWindMPerS(), scene.getWaves().getSignificantHeightM()),
                text("significant height; peak period %.1f s", scene.getWaves().getPeakPeriodS())));
        facts.add(chlorophyll());
        facts.add(new Fact(
                "Light in the water",
                text("1 %% at %.0f m", there.lightDepthM()[1]),
                text(
                        "of the photons from 400 to 700 nm; 10 %% at %.0f m; Kd at %.0f nm %.3f per m down to 10 m",
                        there.lightDepthM()[0],
                        truth.wavelengthNm()[named()],
                        there.downwellingAttenuation()[named()])));
        facts.add(motion());
        facts.add(own());
        return facts;
    }

    /** What is unusual about the float and its instruments, by plan field. */
    private Fact own() {
        List<String> unusual = changes.stream()
                .filter(change -> OWN.contains(change.name().split("\\.", -1)[1]))
                .map(change -> change.name().substring("scene.".length()).replace('_', ' ') + " " + change.value())
                .toList();
        if (unusual.isEmpty()) {
            return new Fact("Float and instruments", "as usual", "nothing differs from the default scene");
        }
        String more = unusual.size() > MOST_NAMED ? text(" and %d more below", unusual.size() - MOST_NAMED) : "";
        return new Fact(
                "Float and instruments",
                "unusual",
                String.join(", ", unusual.subList(0, Math.min(MOST_NAMED, unusual.size()))) + more);
    }

    private int named() {
        int best = 0;
        double[] nm = truth.wavelengthNm();
        for (int k = 0; k < nm.length; k++) {
            best = Math.abs(nm[k] - NAMED_NM) < Math.abs(nm[best] - NAMED_NM) ? k : best;
        }
        return best;
    }

    private String place() {
        return text(
                "%.2f\u00b0 %s, %.2f\u00b0 %s",
                Math.abs(truth.latitudeDeg()),
                truth.latitudeDeg() < 0 ? "S" : "N",
                Math.abs(truth.longitudeDeg()),
                truth.longitudeDeg() < 0 ? "W" : "E");
    }

    private String sky() {
        double cover = scene.getCloud().getCoverPercent();
        return cover == 0 ? "clear" : cover == 100 ? "overcast" : text("%.0f %% cloud", cover);
    }

    private Fact chlorophyll() {
        double[] chlorophyll = there.chlorophyll();
        int most = 0;
        for (int z = 0; z < chlorophyll.length; z++) {
            most = chlorophyll[z] > chlorophyll[most] ? z : most;
        }
        return new Fact(
                "Chlorophyll",
                text("%s mg m\u207b\u00b3 at the surface", number(chlorophyll[0])),
                text("most at %.0f m: %s", there.depthM()[most], number(chlorophyll[most])));
    }

    private Fact motion() {
        List<TrackPoint> track = truth.track();
        double square = track.stream()
                .mapToDouble(p -> p.tiltDeg() * p.tiltDeg())
                .average()
                .orElse(0);
        double most = track.stream().mapToDouble(TrackPoint::tiltDeg).max().orElse(0);
        double turned = 0;
        for (int i = 1; i < track.size(); i++) {
            turned += Math.IEEEremainder(
                    track.get(i).headingTrueDeg() - track.get(i - 1).headingTrueDeg(), 360);
        }
        return new Fact(
                "Tilt and turning",
                text("%.1f\u00b0 rms, %.1f\u00b0 at most", Math.sqrt(square), most),
                text(
                        "%.1f turns %s on the way up",
                        Math.abs(turned) / 360, turned < 0 ? "to the left" : "to the right"));
    }

    /** In what the scene differs from the default one, by plan field. */
    private static List<Fact> changes(Scene scene) {
        Map<String, String> plain = fields(PlanReader.defaults().getScene());
        Map<String, String> here = fields(scene);
        List<Fact> changes = new ArrayList<>();
        here.forEach((path, value) -> {
            if (!value.equals(plain.get(path)) && !path.equals("title")) {
                changes.add(new Fact("scene." + path, value, plain.getOrDefault(path, "")));
            }
        });
        return changes;
    }

    private static Map<String, String> fields(Scene scene) {
        Map<String, String> fields = new TreeMap<>();
        Digests.text(scene)
                .lines()
                .forEach(line ->
                        fields.put(line.substring(0, line.indexOf('=')), line.substring(line.indexOf('=') + 1)));
        return fields;
    }

    private static String number(double value) {
        return text(value < 1 ? "%.2g" : "%.1f", value).replaceAll("\\.?0+$", "");
    }

    private static String text(String format, Object... values) {
        return String.format(Locale.ROOT, format, values);
    }
}
