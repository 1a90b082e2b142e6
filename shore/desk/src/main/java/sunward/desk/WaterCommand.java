package sunward.desk;

import java.io.IOException;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import sunward.planning.WaterSpectra;
import sunward.protocol.schema.Scene;
import sunward.protocol.schema.Water;
import sunward.simulator.Cast;
import sunward.simulator.Sun;
import sunward.simulator.SunPosition;

/** {@code water}: optical properties of the sea and the light that comes out of it. */
@Command(
        name = "water",
        description =
                "Show absorption, scattering, backscatter, attenuation, reflectance and upwelling radiance of the sea"
                        + " under a clear sky, by wavelength. What is not given is taken from the plan's scene.",
        footerHeading = "%nExample: clear ocean water, and green water 5 m down with the sun at 60 degrees%n",
        footer = {
            "  sunward water --chlorophyll 0.05",
            "  sunward water --chlorophyll 3 --sun-zenith 60 --depth-m 5 --csv --picture water.svg",
            "  sunward water --chlorophyll-profile cast.csv --pure-water-table CONSENSUS_2018",
            "",
            "The sea is a model of published tables as they stand. Chlorophyll that is given is the same at all depths."
        })
final class WaterCommand implements Callable<Integer> {
    private static final double DEEPEST_M = 250;

    private final Console console;

    @Mixin
    private CommonOptions common;

    @Mixin
    private PlanOption plan;

    @Mixin
    private SpectraOptions spectra;

    @Option(
            names = "--chlorophyll",
            paramLabel = "MG/M3",
            description = "Chlorophyll a, the same at all depths. Without it: the scene's profile.")
    private Double chlorophyll;

    @Option(
            names = "--chlorophyll-profile",
            paramLabel = "FILE",
            description = "Instead: a CSV with columns depth_m and chlorophyll_mg_per_m3.")
    private Path chlorophyllProfile;

    @Option(
            names = "--pure-water-table",
            paramLabel = "TABLE",
            description = "Absorption of pure water below 440 nm, where tables differ: MASON_2016, CONSENSUS_2018 or"
                    + " SMITH_BAKER_1981. Without it: the scene's.")
    private String pureWaterTable;

    @Option(
            names = "--light-model",
            paramLabel = "MODEL",
            description = "SOURCE_INTEGRAL, or THREE_STREAMS, another sea of other laws. Without it: the scene's.")
    private String lightModel;

    @Option(
            names = "--sun-zenith",
            paramLabel = "DEG",
            description =
                    "The sun's zenith distance, 0 to 90 degrees, at 1 au. Without it: the scene's sun at surfacing.")
    private Double sunZenith;

    @Option(
            names = "--depth-m",
            paramLabel = "M",
            defaultValue = "0",
            description = "Where absorption, scattering, Kd and K_Lu are told, 0 to 250. Without it: ${DEFAULT-VALUE}.")
    private double depthM;

    @Option(
            names = "--dissolved-share",
            paramLabel = "SHARE",
            description = "Dissolved and detrital absorption at 440 nm over phytoplankton's.")
    private Double dissolvedShare;

    @Option(
            names = "--cast",
            paramLabel = "NUMBER|FILE",
            description =
                    "Temperature and salinity by depth: a built-in cast (1 to 5), or a CSV with columns pressure_dbar,"
                            + " temperature_degC, practical_salinity. Without it: the scene's.")
    private String cast;

    @Option(
            names = "--temperature",
            paramLabel = "DEGC",
            description = "Temperature at all depths, -3 to 45 degC; with --salinity. Without both: the scene's cast.")
    private Double temperature;

    @Option(names = "--salinity", paramLabel = "S", description = "Practical salinity at all depths, 0 to 50.")
    private Double salinity;

    @Option(names = "--no-raman", description = "Leave water Raman scattering out.")
    private boolean noRaman;

    @Option(names = "--no-fluorescence", description = "Leave chlorophyll fluorescence out.")
    private boolean noFluorescence;

    WaterCommand(Console console) {
        this.console = console;
    }

    @Override
    public Integer call() throws IOException {
        spectra.check(common.json());
        Given.within("--depth-m", depthM, 0, DEEPEST_M);
        Scene scene = spectra.scene(plan);
        scene = scene.toBuilder().setWater(water(scene)).build();
        SunPosition sun = sun(scene);
        double[] wavelengthsNm = spectra.wavelengthsNm();
        spectra.print(
                console,
                WaterSpectra.of(scene, sun, cast(scene), depthM, wavelengthsNm, spectra.lineWidthNm()),
                common.json());
        return Failures.DONE;
    }

    private Water water(Scene scene) {
        Water.Builder water = scene.getWater().toBuilder();
        Given.put(water, "surface_chlorophyll_mg_per_m3", "--chlorophyll", chlorophyll);
        if (chlorophyll != null) {
            water.setMaximumChlorophyllMgPerM3(0).clearChlorophyllProfile();
        }
        if (chlorophyllProfile != null) {
            if (chlorophyll != null) {
                throw new BadInput("--chlorophyll and --chlorophyll-profile exclude each other; give one");
            }
            water.setChlorophyllProfile(chlorophyllProfile.toString());
        }
        Given.word(water, "pure_water_table", "--pure-water-table", pureWaterTable);
        Given.word(water, "light_model", "--light-model", lightModel);
        Given.put(water, "dissolved_share", "--dissolved-share", dissolvedShare);
        return water.setRaman(water.getRaman() && !noRaman)
                .setFluorescence(water.getFluorescence() && !noFluorescence)
                .build();
    }

    private SunPosition sun(Scene scene) {
        if (sunZenith == null) {
            return Sun.at(
                    Given.timeMs(scene.getSurfacingUtc()),
                    scene.getLatitudeDeg(),
                    scene.getLongitudeDeg(),
                    scene.getDeltaTS());
        }
        Given.within("--sun-zenith", sunZenith, 0, 90);
        return new SunPosition(sunZenith, Double.NaN, 1);
    }

    private Cast cast(Scene scene) {
        if ((temperature == null) != (salinity == null)) {
            throw new BadInput("--temperature and --salinity belong together; give both or neither");
        }
        if (cast != null && temperature != null) {
            throw new BadInput("--cast stands instead of --temperature and --salinity; leave one or the other out");
        }
        if (cast != null) {
            return Cast.of(cast);
        }
        if (temperature == null) {
            return Cast.of(scene.getWater().getCast());
        }
        Given.within("--temperature", temperature, -3, 45);
        Given.within("--salinity", salinity, 0, 50);
        return Cast.uniform(temperature, salinity);
    }
}
