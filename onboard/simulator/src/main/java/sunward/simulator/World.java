package sunward.simulator;

import java.time.Instant;
import java.time.ZoneOffset;
import java.time.ZonedDateTime;
import java.util.Arrays;
import java.util.List;
import sunward.protocol.plan.FlownChannels;
import sunward.protocol.schema.Atmosphere;
import sunward.protocol.schema.Calibration;
import sunward.protocol.schema.HeadCalibration;
import sunward.protocol.schema.HeadKind;
import sunward.protocol.schema.Plan;
import sunward.protocol.schema.Scene;

/**
 * Everything true of one dive: place and time, sun, sea, the float's motion, its heads and sensors. Built once from plan,
 * calibration, scene and seeds, and a function of nothing else. Times are s from the surfacing, negative before it.
 */
final class World {
    private static final long EPOCH_MS = Instant.parse("2000-01-01T00:00:00Z").toEpochMilli();
    private static final double REFERENCE_NM = 555;
    private static final double UPPER_LAYER_M = 10;

    final long surfacingMs;
    final Cast cast;
    final FloatMotion motion;
    final PressureSensor pressure;
    final AttitudeSensors attitude;
    final WaterSensors waterSensors;
    final HeadView[] heads;

    private final Scene scene;
    private final WaterColumn column;
    private final SunPosition surfacingSun;
    private final LightField field;
    private final Channels nominal;
    private final CloudField cloud;
    private final HeadView[] at555;
    private final double declinationDeg;
    private final Daylight daylight;

    World(Plan plan, Calibration calibration, Scene scene, Seeds seeds) {
        Atmosphere air = Weather.drawn(scene.getAtmosphere(), seeds.dive());
        this.scene = scene.toBuilder().setAtmosphere(air).build();
        Instant surfacing = Instant.parse(scene.getSurfacingUtc());
        surfacingMs = surfacing.toEpochMilli() - EPOCH_MS;
        cast = Cast.of(scene.getWater().getCast());
        surfacingSun = sun(0);
        field = LightField.of(this.scene, seeds, surfacingSun, cast);
        column = new WaterColumn(cast, scene.getLatitudeDeg(), plan.getAscent().getStartDbar());
        Waves waves = new Waves(scene.getWaves(), air.getWindMPerS(), seeds.dive());
        motion = new FloatMotion(plan, scene.getMotion(), waves, seeds.dive(), column::depthM);
        pressure = new PressureSensor(scene.getPressure(), scene.getAtmosphere().getPressureHpa(), seeds.dive());
        MagneticField.Field magnetic = MagneticField.at(
                scene.getLatitudeDeg(), scene.getLongitudeDeg(), 0, decimalYear(surfacing.atZone(ZoneOffset.UTC)));
        declinationDeg = magnetic.declinationDeg();
        attitude = new AttitudeSensors(
                scene.getCompass(), declinationDeg, magnetic.inclinationDeg(), seeds.dive(), seeds.instrument());
        daylight = new Daylight(field);
        double portAboveM = plan.getHull().getPortAboveHeadsM();
        waterSensors = new WaterSensors(
                scene.getProbes(),
                Water.published(scene.getWater(), cast, scene.getLatitudeDeg()),
                cast,
                daylight,
                timeS -> column.pressureDbar(motion.depthM(timeS) - portAboveM),
                seeds.dive());
        heads = new HeadView[plan.getHeadsCount()];
        at555 = new HeadView[heads.length];
        cloud = new CloudField(scene.getCloud(), seeds.dive());
        for (int i = 0; i < heads.length; i++) {
            build(plan, calibration, i, waves, seeds);
        }
        nominal = nominal(plan, calibration);
    }

    private void build(Plan plan, Calibration calibration, int i, Waves waves, Seeds seeds) {
        HeadCalibration stated = FlownChannels.headCalibration(plan, calibration, i);
        TrueInstrument instrument = new TrueInstrument(
                plan,
                calibration,
                i,
                scene.getInstrument(),
                cast.temperatureDegC(0),
                cast.salinity(0),
                seeds.instrument());
        double index = SeaSurface.index(REFERENCE_NM, cast.temperatureDegC(0), cast.salinity(0));
        boolean shades =
                scene.getInstrument().getHullShading() && plan.getHeads(i).getKind() == HeadKind.UPWELLING_RADIANCE;
        HullShadow shadow =
                shades ? new HullShadow(plan, i, index, scene.getAtmosphere().getWindMPerS()) : null;
        Radiometer radiometer =
                new Radiometer(instrument, i, scene.getInstrument().getNoise(), seeds.dive());
        Channels seen = field.channels(instrument.trueWavelengthsNm(), instrument.lineWidthNm());
        Channels colder = instrument.wavelengthsMove()
                ? field.channels(instrument.trueWavelengthsNm(-HeadView.COLDER_DEGC), instrument.lineWidthNm())
                : null;
        Channels reference = field.channels(new double[] {REFERENCE_NM}, stated.getLineWidthNm());
        double share = reference.directShare()[0];
        FloatMotion blurring = scene.getInstrument().getMotionBlur() ? motion : null;
        heads[i] = new HeadView(
                plan.getHeads(i), seen, colder, radiometer, shadow, blurring, waves, cloud, illumination(seen), share);
        at555[i] = new HeadView(
                plan.getHeads(i),
                reference,
                null,
                radiometer,
                shadow,
                null,
                waves,
                cloud,
                illumination(reference),
                share);
    }

    private Illumination illumination(Channels channels) {
        return new Illumination(
                channels, -motion.durationS(), timeS -> sun(timeS).zenithDeg());
    }

    /** The light at the nominal wavelengths of the first radiance head, or of the first head where there is none. */
    private Channels nominal(Plan plan, Calibration calibration) {
        int first = 0;
        while (first < plan.getHeadsCount() && plan.getHeads(first).getKind() != HeadKind.UPWELLING_RADIANCE) {
            first++;
        }
        first = first == plan.getHeadsCount() ? 0 : first;
        return field.channels(
                FlownChannels.of(plan, calibration, first).wavelengthsNm(),
                FlownChannels.headCalibration(plan, calibration, first).getLineWidthNm());
    }

    private static double decimalYear(ZonedDateTime utc) {
        ZonedDateTime start =
                utc.withDayOfYear(1).withHour(0).withMinute(0).withSecond(0).withNano(0);
        double seconds = utc.toEpochSecond() - start.toEpochSecond();
        return utc.getYear() + seconds / (start.plusYears(1).toEpochSecond() - start.toEpochSecond());
    }

    /** Where the sun stands. */
    SunPosition sun(double timeS) {
        return Sun.at(
                surfacingMs + Math.round(timeS * 1000),
                scene.getLatitudeDeg(),
                scene.getLongitudeDeg(),
                scene.getDeltaTS());
    }

    /** True sea pressure at a depth, dbar. */
    double pressureDbar(double depthM) {
        return column.pressureDbar(depthM);
    }

    /** Share of radiance at 555 nm that a head loses to the hull's shadow under a clear sky, percent; NaN for an irradiance head. */
    double[] lossPercent555(Pose pose, SunPosition sun) {
        double[] loss = new double[at555.length];
        for (int i = 0; i < loss.length; i++) {
            loss[i] = 100 * at555[i].loss(pose, sun, 0);
        }
        return loss;
    }

    /** Temperature of the heads, which lags the water's, degC. */
    double headDegC(double timeS) {
        return Laguerre.lagging(
                t -> cast.temperatureDegC(pressureDbar(motion.depthM(t))),
                timeS,
                scene.getInstrument().getTemperatureLagS());
    }

    /** Irradiance above the surface at 555 nm over that of a clear sky at the surfacing. */
    double brightness(double timeS, SunPosition sun) {
        return at555[0].brightness(timeS, sun, 0);
    }

    /** What shore is to find out. */
    Truth truth(List<TrackPoint> track) {
        double deepest = motion.depthM(-motion.durationS());
        double[] depths =
                Arrays.stream(field.depthsM()).filter(z -> z <= deepest).toArray();
        double[] wavelengths = nominal.centreNm();
        double[][] lu = new double[depths.length][wavelengths.length];
        for (int z = 0; z < depths.length; z++) {
            nominal.radiance(depths[z], lu[z]);
            clouded(lu[z]);
        }
        return new Truth(
                wavelengths,
                clouded(nominal.lw()),
                clouded(nominal.lu0()),
                clouded(nominal.es()),
                depths,
                lu,
                surfacingSun.zenithDeg(),
                surfacingSun.azimuthDeg(),
                scene.getLatitudeDeg(),
                scene.getLongitudeDeg(),
                surfacingMs,
                List.copyOf(track),
                surroundings(depths),
                cast.pressuresDbar(),
                cast.temperaturesDegC(),
                cast.salinities());
    }

    private Surroundings surroundings(double[] depths) {
        double[] es = nominal.es();
        double[] direct = nominal.ed0();
        double[] diffuse = clouded(es.clone());
        double[] share = nominal.directShare();
        double sun = cloud.clear() ? 1 : cloud.at(0, surfacingSun.zenithDeg()).direct();
        for (int k = 0; k < direct.length; k++) {
            direct[k] *= sun * share[k] / (1 - field.sky().directReflectance());
            diffuse[k] = Math.max(0, diffuse[k] - direct[k]);
        }
        int level = 0;
        while (level < field.levels() - 2 && field.depth(level) < UPPER_LAYER_M) {
            level++;
        }
        double[] attenuation = nominal.centreNm();
        for (int k = 0; k < attenuation.length; k++) {
            attenuation[k] = field.downwellingAttenuation(attenuation[k], 0, level);
        }
        Water water = field.water();
        return new Surroundings(
                scene.getAtmosphere(),
                direct,
                diffuse,
                depths,
                Arrays.stream(depths).map(water::chlorophyll).toArray(),
                Arrays.stream(depths)
                        .map(z -> water.constituents()
                                .particleBackscatter(WaterSensors.BACKSCATTER_NM, water.chlorophyll(z)))
                        .toArray(),
                attenuation,
                new double[] {daylight.depthOfShareM(0.1), daylight.depthOfShareM(0.01), daylight.depthOfShareM(0.001)},
                declinationDeg);
    }

    /** Light at the nominal wavelengths under the clouds of the surfacing; changed in place. */
    private double[] clouded(double[] light) {
        if (!cloud.clear()) {
            CloudField.Effect effect = cloud.at(0, surfacingSun.zenithDeg());
            double[] directShare = nominal.directShare();
            for (int k = 0; k < light.length; k++) {
                light[k] *= effect.irradiance(directShare[k]);
            }
        }
        return light;
    }
}
