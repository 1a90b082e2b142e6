package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.protobuf.Descriptors.FieldDescriptor;
import com.google.protobuf.Message;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import sunward.firmware.RawScan;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.Plan;
import sunward.protocol.schema.PlanFile;
import sunward.protocol.schema.Scene;

/**
 * Addressed randomness, effect by effect: a short dive flown with everything, and again with one field of the scene changed.
 * Every number that the float is told and that the effect has nothing to do with is the very same; some that it has to do
 * with are not.
 */
class EveryEffectTest {
    private static final PlanFile FILE = PlanReader.defaults();
    private static final Map<String, Map<Long, int[]>> ALL = told(FILE.getScene());

    private static Plan plan(List<Double> wavelengths, double startDbar) {
        Plan.Builder plan = FILE.getPlan().toBuilder().addAllFlyWavelengthsNm(wavelengths);
        plan.getAscentBuilder().setStartDbar(startDbar).setSlowSpeedMPerS(0.1);
        // One exposure, so that the heads are read at the same moments whatever they see.
        plan.getExposureBuilder().setShortestMs(64).setOctaves(0).setScanIntervalS(2);
        return plan.build();
    }

    private static Map<String, Map<Long, int[]>> told(Scene scene) {
        return told(plan(List.of(443.0, 470.0, 685.0), 14), scene);
    }

    private static Map<String, Map<Long, int[]>> told(Plan plan, Scene scene) {
        Told told = new Told();
        Dive.fly(plan, FILE.getCalibration(), scene, Seeds.all(3), null, Dive.Progress.NONE)
                .recording()
                .play(told);
        return told.streams;
    }

    /** Readings of light in the order in which they came. */
    private static List<int[]> light(Plan plan, Scene scene) {
        return List.copyOf(told(plan, scene).get("light").values());
    }

    /** A scene with one field, named by its path, set to another value. */
    private static Scene with(String path, String value) {
        Scene.Builder scene = FILE.getScene().toBuilder();
        String[] names = path.split("\\.", 2);
        FieldDescriptor part = Scene.getDescriptor().findFieldByName(names[0]);
        Message.Builder inner = ((Message) scene.getField(part)).toBuilder();
        FieldDescriptor field = part.getMessageType().findFieldByName(names[1]);
        inner.setField(
                field,
                switch (field.getJavaType()) {
                    case DOUBLE -> Double.valueOf(value);
                    case BOOLEAN -> Boolean.valueOf(value);
                    default -> value;
                });
        return scene.setField(part, inner.build()).build();
    }

    /** Field, its other value, and what of the float's world it may change. */
    @ParameterizedTest
    @CsvSource({
        "instrument.noise, false, light dark",
        "instrument.hull_shading, false, light",
        "instrument.calibration_error_scale, 0, light",
        "instrument.responsivity_error_scale, 0, light",
        "instrument.wavelength_error_scale, 0, light",
        "instrument.immersion_error_scale, 0, light",
        "instrument.linearity_error_scale, 0, light dark",
        "instrument.line_width_error_percent, 0, light",
        "instrument.responsivity_percent_per_degc, 0.5, light",
        "instrument.wavelength_nm_per_degc, 0.1, light",
        "instrument.temperature_lag_s, 600, light dark head_temperature",
        "instrument.dark_pattern_counts, 0, light dark",
        "instrument.dark_counts_per_degc, 3, light dark",
        "instrument.dark_rate_counts_per_s, 4000, light dark",
        "instrument.dark_rate_spread_percent, 100, light dark",
        "instrument.dark_doubling_degc, 2, light dark",
        "instrument.stray_light_percent, 2, light",
        "instrument.stray_halo_percent, 2, light",
        "instrument.weeks_at_sea, 20, light",
        "instrument.polarisation_percent, 0, light",
        "instrument.emitter_radiance, 0.01, none",
        "failures.emitters_unblanked, true, none",
        "instrument.hot_channel_nm, 470, light dark",
        "instrument.dead_channel_nm, 470, light",
        "instrument.shutter_leak_percent, 5, dark",
        "waves.radiance_sd_percent, 0, light",
        "waves.significant_height_m, 0, light pressure heading dip tilt reading_pressure",
        "atmosphere.visibility_sd_percent, 0, light chlorophyll",
        "atmosphere.ozone_sd_du, 100, light chlorophyll",
        "cloud.cover_percent, 50, light chlorophyll",
        "water.raman, false, light",
        "water.fluorescence, false, light",
        "motion.wave_response, 0, light pressure heading dip tilt reading_pressure",
        "motion.speed_swing_percent, 0, light dark pressure dip tilt heading head_temperature reading_pressure temperature salinity"
                + " chlorophyll backscatter",
        "motion.tilt_rms_deg, 0, light pressure dip tilt trim reading_pressure heading",
        "motion.spin_wander_deg_per_s, 0, light heading dip tilt pressure reading_pressure trim_dip",
        "motion.trim_pitch_deg, 3, light pressure dip tilt trim reading_pressure",
        "motion.drift_m_per_s, 0, fix",
        "pressure.noise_dbar, 0, pressure reading_pressure tare moments",
        "pressure.offset_dbar, 0.2, pressure reading_pressure tare moments",
        "pressure.weather_hpa, 0, tare moments",
        "pressure.drift_dbar, 0.5, tare moments",
        "pressure.resolution_dbar, 0.01, pressure reading_pressure tare moments",
        "compass.heading_error_deg, 0, heading",
        "compass.soft_iron_deg, 9, heading",
        "compass.heading_noise_deg, 0, heading",
        "compass.dip_noise_deg, 0, dip",
        "compass.tilt_noise_deg, 0, tilt trim",
        "compass.tilt_bias_deg, 2, tilt trim",
        "compass.fix_error_m, 0, fix",
        "probes.temperature_noise_degc, 0, temperature",
        "probes.salinity_noise, 0, salinity",
        "probes.temperature_lag_s, 90, temperature salinity",
        "probes.chlorophyll_noise_mg_per_m3, 0, chlorophyll",
        "probes.backscatter_noise_per_m, 0, backscatter",
        "probes.optical_noise_percent, 40, chlorophyll backscatter",
        "probes.quenching_percent, 0, chlorophyll",
        "clock.drift_s_per_day, 0, moments",
        "link.loss_percent, 50, none",
    })
    void anEffectChangesItsOwnNumbersAndNoOthers(String path, String value, String changed) {
        Map<String, Map<Long, int[]>> other = told(with(path, value));
        Set<String> may = new HashSet<>(Arrays.asList(changed.split(" ")));
        Set<String> did = new HashSet<>();
        assertEquals(ALL.keySet(), other.keySet());
        ALL.forEach((stream, numbers) -> {
            Map<Long, int[]> others = other.get(stream);
            Set<Long> common = new HashSet<>(numbers.keySet());
            common.retainAll(others.keySet());
            // What the gauge and the clock say decides when the float begins to look; the same moments are compared.
            if (!may.contains("moments")) {
                assertEquals(numbers.keySet(), others.keySet(), stream);
            }
            for (long moment : common) {
                if (!Arrays.equals(numbers.get(moment), others.get(moment))) {
                    did.add(stream);
                }
            }
            if (common.size() < numbers.size()) {
                did.add("moments");
            }
        });
        did.forEach(stream -> assertTrue(may.contains(stream), path + " changed " + stream));
        assertTrue(changed.equals("none") || !did.isEmpty(), path + " changed nothing");
    }

    /** The heads are blind to the float's own lights while it blanks them, and see them when it does not. */
    @Test
    void emittersFlashBetweenTheExposuresUnlessTheirBlankingFails() {
        Scene.Builder bright = FILE.getScene().toBuilder();
        bright.getInstrumentBuilder().setEmitterRadiance(0.01);
        Map<Long, int[]> blanked = told(bright.build()).get("light");
        bright.getFailuresBuilder().setEmittersUnblanked(true);
        Map<Long, int[]> open = told(bright.build()).get("light");
        int seen = 0;
        for (Map.Entry<Long, int[]> scan : ALL.get("light").entrySet()) {
            assertArrayEquals(scan.getValue(), blanked.get(scan.getKey()));
            seen += open.get(scan.getKey())[1] > scan.getValue()[1] + 100 ? 1 : 0;
        }
        assertTrue(seen > 0.9 * ALL.get("light").size(), "scans that see the light at 470 nm: " + seen);
        Plan.Builder dark = plan(List.of(470.0), 14).toBuilder();
        dark.getEmittersBuilder().setEvery(3);
        Map<Long, int[]> some = told(dark.build(), FILE.getScene()).get("chlorophyll");
        long read = some.values().stream()
                .filter(value -> value[value.length - 1] != sunward.firmware.RawScan.MISSING)
                .count();
        assertEquals(some.size() / 3.0, (double) read, 1, "read where they flash alone");
    }

    /** With every effect at work a thinned flight reads the counts of the full one, number for number. */
    @Test
    void aThinnedFlightReadsTheCountsOfTheFullOneWithEveryEffect() {
        Scene.Builder scene = FILE.getScene().toBuilder();
        scene.getInstrumentBuilder()
                .setWeeksAtSea(10)
                .setPolarisationPercent(2)
                .setEmitterRadiance(1e-4)
                .setHotChannelNm(443)
                .setShutterLeakPercent(1)
                .setResponsivityPercentPerDegc(0.1)
                .setWavelengthNmPerDegc(0.01);
        scene.getFailuresBuilder().setEmittersUnblanked(true);
        scene.getCloudBuilder().setCoverPercent(30);
        List<Double> forty = new ArrayList<>();
        for (int i = 0; i < 40; i++) {
            forty.add(323 + 13.5 * i);
        }
        List<int[]> few = light(plan(forty, 8), scene.build());
        List<int[]> all = light(plan(List.of(), 8), scene.build());
        assertEquals(all.size(), few.size());
        for (int i = 0; i < few.size(); i++) {
            for (int k = 0; k < 40; k++) {
                int full = (int) Math.round((forty.get(k) - 320) / 0.75);
                assertEquals(all.get(i)[full], few.get(i)[k], "scan " + i + ", channel " + k);
            }
        }
        assertTrue(few.size() > 60, "scans " + few.size());
    }

    /**
     * By hand: light that falls as exp(-K z), averaged over a steady rise of v T, is sinh(x) / x of that in the middle, x = K v T / 2.
     */
    @Test
    void lightIsAveragedOverAnExposureOfARisingHead() {
        Plan.Builder fast = plan(List.of(600.0), 40).toBuilder();
        fast.getAscentBuilder().setSpeedMPerS(1).setSlowAboveDbar(0.1);
        fast.getExposureBuilder().setShortestMs(2000).setScanIntervalS(2).setLongScanIntervalS(2);
        Scene.Builder still = FILE.getScene().toBuilder();
        still.getInstrumentBuilder().setNoise(false).setHullShading(false).setMotionBlur(false);
        still.getInstrumentBuilder()
                .setLinearityErrorScale(0)
                .setResponsivityPercentPerDegc(0)
                .setDarkDoublingDegc(0);
        still.getInstrumentBuilder().setDarkCountsPerDegc(0);
        still.getMotionBuilder().setTiltRmsDeg(0).setSpeedSwingPercent(0);
        still.getWavesBuilder().setSignificantHeightM(0).setRadianceSdPercent(0);
        Scene.Builder moving = still.clone();
        moving.getInstrumentBuilder().setMotionBlur(true);
        Map<String, Map<Long, int[]>> without = told(fast.build(), still.build());
        Map<String, Map<Long, int[]>> with = told(fast.build(), moving.build());
        without.forEach((stream, numbers) -> {
            if (!stream.equals("light")) {
                assertEquals(numbers.keySet(), with.get(stream).keySet(), stream);
                numbers.forEach((moment, told) ->
                        assertTrue(Arrays.equals(told, with.get(stream).get(moment)), stream + " stays"));
            }
        });
        List<int[]> mid = List.copyOf(without.get("light").values());
        List<int[]> mean = List.copyOf(with.get("light").values());
        double dark = without.get("dark").values().iterator().next()[0];
        int checked = 0;
        for (int i = 4; i + 2 < mid.size() - 4; i += 2) { // one head: every other scan
            double light = mid.get(i)[0] - dark;
            double fall = Math.log((mid.get(i + 2)[0] - dark) / (mid.get(i - 2)[0] - dark)) / 2; // K v T
            double expected = 2 * Math.sinh(fall / 2) / fall;
            assertEquals(expected, (mean.get(i)[0] - dark) / light, 1.5 / light + 3e-4, "scan " + i);
            checked += expected > 1.0008 ? 1 : 0;
        }
        assertTrue(checked >= 4, "scans that tell it apart: " + checked);
    }

    /** What a float is told, as streams of numbers by their moment. */
    private static final class Told implements FloatEvents {
        final Map<String, Map<Long, int[]>> streams = new TreeMap<>();
        private long instantMs;

        private void at(long moment, String stream, int... numbers) {
            streams.computeIfAbsent(stream, name -> new TreeMap<>()).put(moment, numbers);
        }

        /** What has no time of its own: by its number. */
        private void add(String stream, int... numbers) {
            at(streams.getOrDefault(stream, Map.of()).size(), stream, numbers);
        }

        @Override
        public void boot(long timeMs) {
            // its time is told by what follows
        }

        @Override
        public void fix(long timeMs, int latitudeE5, int longitudeE5) {
            add("fix", latitudeE5, longitudeE5);
        }

        @Override
        public void tare(long timeMs, int rawPressureE4Dbar) {
            add("tare", rawPressureE4Dbar);
        }

        @Override
        public void battery(int percent) {
            // not looked at
        }

        @Override
        public void trim(long timeMs, int pitch1Cdeg, int roll1Cdeg, int pitch2Cdeg, int roll2Cdeg) {
            add("trim", pitch1Cdeg, roll1Cdeg, pitch2Cdeg, roll2Cdeg);
        }

        @Override
        public void startProfile(long timeMs) {
            // see above
        }

        @Override
        public void ancillary(
                int pressureCdbar,
                int temperatureMdegc,
                int salinityMpsu,
                int chlorophyllUgPerM3,
                int backscatterE6PerM) {
            at(instantMs, "reading_pressure", pressureCdbar);
            at(instantMs, "temperature", temperatureMdegc);
            at(instantMs, "salinity", salinityMpsu);
            at(instantMs, "chlorophyll", chlorophyllUgPerM3);
            at(instantMs, "backscatter", backscatterE6PerM);
        }

        @Override
        public void instant(long timeMs) {
            instantMs = timeMs;
        }

        @Override
        public void scan(RawScan scan) {
            long moment = 8 * scan.timeMs + scan.head;
            at(moment, "pressure", scan.pressureE4Dbar);
            at(moment, "heading", scan.headingCdeg);
            at(moment, "dip", scan.fieldDipCdeg);
            at(moment, "tilt", scan.pitchCdeg[0], scan.rollCdeg[0], scan.pitchCdeg[1], scan.rollCdeg[1]);
            at(moment, "head_temperature", scan.temperatureCdeg);
            int[] counts = new int[scan.channels];
            for (int k = 0; k < scan.channels; k++) {
                counts[k] = scan.counts[k];
            }
            at(moment, scan.shutterClosed ? "dark" : "light", counts);
        }

        @Override
        public void endProfile(long timeMs) {
            // see above
        }
    }
}
