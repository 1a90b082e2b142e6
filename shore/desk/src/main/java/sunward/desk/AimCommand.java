package sunward.desk;

import java.io.IOException;
import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import sunward.planning.Aim;

/** {@code aim}: sun and head geometry at one instant. */
@Command(
        name = "aim",
        description =
                "Show where the sun stands and where the heads point at one instant, which head the float would prefer,"
                        + " and what share of the upwelling radiance at 555 nm the hull's shadow takes from each.",
        footerHeading = "%nExample: noon of the default dive, bow to magnetic north and 2 degrees up%n",
        footer = {
            "  sunward aim --time 2026-12-15T02:27:00Z --lat 11 --lon 142 \\",
            "      --heading 0 --roll 0 --pitch 2",
            "",
            "Azimuths are clockwise from true north; the loss is for a hull that is wholly under water."
        })
final class AimCommand implements Callable<Integer> {
    private final Console console;

    @Mixin
    private CommonOptions common;

    @Mixin
    private PlanOption plan;

    @Option(names = "--time", paramLabel = "UTC", required = true, description = "As 2026-12-15T02:27:00Z.")
    private String time;

    @Option(
            names = "--lat",
            paramLabel = "DEG",
            required = true,
            description = "Latitude, -90 to 90 degrees, north positive.")
    private double latitude;

    @Option(
            names = "--lon",
            paramLabel = "DEG",
            required = true,
            description = "Longitude, -180 to 180 degrees, east positive.")
    private double longitude;

    @Option(
            names = "--heading",
            paramLabel = "DEG",
            required = true,
            description = "Magnetic heading of the hull's x axis, 0 to 360 degrees.")
    private double heading;

    @Option(
            names = "--roll",
            paramLabel = "DEG",
            required = true,
            description = "Roll, degrees, positive starboard down.")
    private double roll;

    @Option(names = "--pitch", paramLabel = "DEG", required = true, description = "Pitch, degrees, positive bow up.")
    private double pitch;

    @Option(
            names = "--declination",
            paramLabel = "DEG",
            description = "Magnetic declination, degrees, east positive. Without it: World Magnetic Model 2025.")
    private Double declination;

    AimCommand(Console console) {
        this.console = console;
    }

    @Override
    public Integer call() throws IOException {
        within("--lat: latitude", latitude, -90, 90);
        within("--lon: longitude", longitude, -180, 180);
        within("--heading: heading", heading, 0, 360);
        within("--roll: roll", roll, -90, 90);
        within("--pitch: pitch", pitch, -90, 90);
        if (declination != null) {
            within("--declination: declination", declination, -180, 180);
        }
        Aim aim = Aim.of(
                plan.read(),
                Given.timeMs(time),
                latitude,
                longitude,
                heading,
                pitch,
                roll,
                declination == null ? OptionalDouble.empty() : OptionalDouble.of(declination));
        aim.warnings().forEach(warning -> console.err().println("sunward: " + warning));
        if (common.json()) {
            console.out().println(Json.text(aim.json()));
        } else {
            sheet(aim).print(console, false);
        }
        return Failures.DONE;
    }

    private static Sheet sheet(Aim aim) {
        return new Sheet()
                .put("", "sun from the zenith", aim.sunZenithDeg(), 3, "degrees")
                .put("", "sun's azimuth", aim.sunAzimuthDeg(), 3, "degrees from true north")
                .put("", "declination", aim.declinationDeg(), 2, "degrees, east positive")
                .put("", "heading", aim.headingTrueDeg(), 2, "degrees from true north")
                .put("", "preferred head", aim.preferredHead() == null ? "none" : aim.preferredHead())
                .put("", "fallback", aim.fallback() == null ? "none" : aim.fallback())
                .heading("Heads")
                .table(
                        "",
                        List.of(
                                "            head",
                                "azimuth deg",
                                "from antisun deg",
                                "m below port",
                                "loss at 555 nm %"),
                        aim.heads().stream()
                                .map(head -> new Sheet.Row()
                                        .put("", head.name())
                                        .put("", head.azimuthTrueDeg(), 2)
                                        .put("", head.azimuthFromAntisunDeg(), 2)
                                        .put("", head.depthOffsetM(), 3)
                                        .put("", head.predictedLoss555Percent(), 3))
                                .toList());
    }

    private static void within(String what, double value, double min, double max) {
        if (!(value >= min && value <= max)) {
            throw new BadInput(String.format(
                    Locale.ROOT, "%s %s is outside %.0f to %.0f degrees; correct it", what, plain(value), min, max));
        }
    }

    private static String plain(double value) {
        return value == Math.rint(value) && Math.abs(value) < 1e15
                ? Long.toString((long) value)
                : Double.toString(value);
    }
}
