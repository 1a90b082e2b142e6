package sunward.desk;

import java.io.IOException;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import sunward.planning.SkySpectra;
import sunward.protocol.schema.Atmosphere;
import sunward.protocol.schema.Scene;
import sunward.simulator.Sun;
import sunward.simulator.SunPosition;

/** {@code sky}: clear-sky irradiance by wavelength. */
@Command(
        name = "sky",
        description = "Show direct, diffuse and total spectral irradiance of a clear sky, just above and just below the"
                + " surface of the sea. What is not given is taken from the plan's scene.",
        footerHeading =
                "%nExample: noon of the default dive through more ozone, and a sky with the sun at 60 degrees%n",
        footer = {
            "  sunward sky --time 2026-12-15T02:27:00Z --lat 11 --lon 142 --ozone-du 320",
            "  sunward sky --sun-zenith 60 --wind 4 --visibility-km 15 --csv --picture sky.svg",
            "",
            "Sea, sky and sun are a model: Gregg and Carder (1990) with published tables as they stand."
        })
final class SkyCommand implements Callable<Integer> {
    private final Console console;

    @Mixin
    private CommonOptions common;

    @Mixin
    private PlanOption plan;

    @Mixin
    private SpectraOptions spectra;

    @Option(names = "--time", paramLabel = "UTC", description = "As 2026-12-15T02:27:00Z; with --lat and --lon.")
    private String time;

    @Option(names = "--lat", paramLabel = "DEG", description = "Latitude, -90 to 90 degrees, north positive.")
    private Double latitude;

    @Option(names = "--lon", paramLabel = "DEG", description = "Longitude, -180 to 180 degrees, east positive.")
    private Double longitude;

    @Option(
            names = "--sun-zenith",
            paramLabel = "DEG",
            description = "Instead of time and place: the sun's zenith distance, 0 to 90 degrees, at 1 au.")
    private Double sunZenith;

    @Option(names = "--ozone-du", paramLabel = "DU", description = "Ozone, Dobson units.")
    private Double ozone;

    @Option(names = "--water-vapour-cm", paramLabel = "CM", description = "Precipitable water.")
    private Double waterVapour;

    @Option(names = "--wind", paramLabel = "M/S", description = "Wind speed at 10 m.")
    private Double wind;

    @Option(
            names = "--mean-wind",
            paramLabel = "M/S",
            description = "Mean wind speed of the last day. Without it: as --wind.")
    private Double meanWind;

    @Option(names = "--visibility-km", paramLabel = "KM", description = "Horizontal visibility.")
    private Double visibility;

    @Option(names = "--pressure-hpa", paramLabel = "HPA", description = "Air pressure at the sea.")
    private Double pressure;

    @Option(names = "--humidity", paramLabel = "PERCENT", description = "Relative humidity.")
    private Double humidity;

    @Option(
            names = "--air-mass-type",
            paramLabel = "1..10",
            description = "From 1, open ocean, to 10, continental aerosol.")
    private Double airMassType;

    SkyCommand(Console console) {
        this.console = console;
    }

    @Override
    public Integer call() throws IOException {
        spectra.check(common.json());
        Scene scene = spectra.scene(plan);
        SunPosition sun = sun(scene);
        double[] wavelengthsNm = spectra.wavelengthsNm();
        spectra.print(
                console, SkySpectra.of(atmosphere(scene), sun, wavelengthsNm, spectra.lineWidthNm()), common.json());
        return Failures.DONE;
    }

    private SunPosition sun(Scene scene) {
        boolean placed = time != null || latitude != null || longitude != null;
        if (sunZenith != null) {
            if (placed) {
                throw new BadInput(
                        "--sun-zenith stands instead of --time, --lat and --lon; leave one or the other out");
            }
            Given.within("--sun-zenith", sunZenith, 0, 90);
            return new SunPosition(sunZenith, Double.NaN, 1);
        }
        if (time == null || latitude == null || longitude == null) {
            throw new BadInput("the sun's place is missing; give --time, --lat and --lon, or --sun-zenith");
        }
        Given.within("--lat", latitude, -90, 90);
        Given.within("--lon", longitude, -180, 180);
        return Sun.at(Given.timeMs(time), latitude, longitude, scene.getDeltaTS());
    }

    private Atmosphere atmosphere(Scene scene) {
        Atmosphere.Builder atmosphere = scene.getAtmosphere().toBuilder();
        Given.put(atmosphere, "ozone_du", "--ozone-du", ozone);
        Given.put(atmosphere, "water_vapour_cm", "--water-vapour-cm", waterVapour);
        Given.put(atmosphere, "wind_m_per_s", "--wind", wind);
        Given.put(atmosphere, "mean_wind_m_per_s", "--mean-wind", meanWind == null ? wind : meanWind);
        Given.put(atmosphere, "visibility_km", "--visibility-km", visibility);
        Given.put(atmosphere, "pressure_hpa", "--pressure-hpa", pressure);
        Given.put(atmosphere, "humidity_percent", "--humidity", humidity);
        Given.put(atmosphere, "air_mass_type", "--air-mass-type", airMassType);
        return atmosphere.build();
    }
}
