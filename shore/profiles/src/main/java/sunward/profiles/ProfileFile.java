package sunward.profiles;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.function.ToDoubleFunction;
import sunward.protocol.spectra.BinRecord;

/** Lays a product out as one netCDF file: names, units and coordinates after CF-1.8. */
final class ProfileFile {
    /** The classic format's own default fill value for numbers with a fraction. */
    static final double FILL = 9.969209968386869e36;

    private static final int FILL_INT = -2147483647;
    private static final String RADIANCE = "W m-2 nm-1 sr-1";
    private static final String SIMULATED = "SIMULATED: made by a simulator, no sea was measured";

    private final DiveProduct product;
    private final NetcdfWriter file = new NetcdfWriter();
    private final List<NetcdfWriter.Variable> all = new ArrayList<>();
    private String spectral = "wavelength";

    ProfileFile(DiveProduct product) {
        this.product = product;
    }

    NetcdfWriter build() {
        globals();
        place();
        spectralGrid();
        bins();
        gaps();
        cast();
        attitude();
        successions();
        if (product.smooth() != null) {
            smooth(product.smooth());
        }
        if (product.surface() != null) {
            surface(product.surface());
            budget(product.surface());
        }
        if (product.simulated()) {
            all.forEach(v -> v.attribute("comment", SIMULATED));
        }
        return file;
    }

    private void globals() {
        String what = "Profile of upwelling radiance and water-leaving radiance, float " + product.floatNumber()
                + ", dive " + product.dive();
        file.attribute("Conventions", "CF-1.8")
                .attribute("title", product.simulated() ? SIMULATED + ". " + what : what)
                .attribute("simulated", product.simulated() ? "true: " + SIMULATED : "false")
                .attribute("source", product.simulated() ? "simulated profiling float" : "profiling float")
                .attribute("float_number", NetcdfWriter.Type.INT, product.floatNumber())
                .attribute("dive", NetcdfWriter.Type.INT, product.dive())
                .attribute("product_version", Integer.toString(DiveProduct.VERSION))
                .attribute("messages_used", NetcdfWriter.Type.INT, product.messages())
                .attribute("messages_planned", NetcdfWriter.Type.INT, product.messagesPlanned())
                .attribute("messages_sha256", product.digests().messages())
                .attribute("plan_sha256", product.digests().plan())
                .attribute("calibration_sha256", product.digests().calibration())
                .attribute("ancillary_sha256", product.digests().ancillary())
                .attribute("ledger", product.ledger() == null ? "not received" : "received")
                .attribute("reasons", String.join("\n", product.reasons()));
    }

    /** The float's outline: modelled on the float from all its bins, so a layer of its own. */
    private void smooth(SmoothProfile smooth) {
        int samples = smooth.knots().get(0).countsPerS().size();
        file.dimension("outline_knot", smooth.knots().size());
        file.dimension("outline_sample", samples);
        double[] rates = new double[smooth.knots().size() * samples];
        for (int j = 0; j < smooth.knots().size(); j++) {
            System.arraycopy(smooth.knots().get(j).countsPerS().toArray(), 0, rates, j * samples, samples);
        }
        number("outline_depth", "depth of the knots of the float's smooth profile", "m", "outline_knot")
                .attribute("positive", "down")
                .values(ofKnots(smooth, SmoothProfile.Knot::depthM));
        number(
                        "outline_counts_per_second",
                        "smooth profile of upwelling light modelled on the float from its bins, not measured bins: dark-corrected"
                                + " counts per second; the logarithm runs along a cubic in depth between knots",
                        "s-1",
                        "outline_knot",
                        "outline_sample")
                .attribute("head", NetcdfWriter.Type.INT, smooth.head())
                .attribute("channels_averaged", NetcdfWriter.Type.INT, smooth.channelsPerSample())
                .values(rates);
        number(
                        "outline_scatter",
                        "relative scatter of the bins' brightness about the smooth profile, from this knot to the next",
                        "1",
                        "outline_knot")
                .values(ofKnots(smooth, SmoothProfile.Knot::scatter));
        number(
                        "outline_misfit",
                        "largest misfit of a band of the bins from this knot to the next, over the noise of all of them",
                        "1",
                        "outline_knot")
                .values(ofKnots(smooth, SmoothProfile.Knot::misfit));
    }

    private static double[] ofKnots(SmoothProfile smooth, ToDoubleFunction<SmoothProfile.Knot> what) {
        return smooth.knots().stream()
                .mapToDouble(what)
                .map(ProfileFile::filled)
                .toArray();
    }

    private NetcdfWriter.Variable add(
            String name, NetcdfWriter.Type type, String longName, String units, String... dimensions) {
        NetcdfWriter.Variable variable = file.variable(name, type, dimensions).attribute("long_name", longName);
        if (units != null) {
            variable.attribute("units", units);
        }
        all.add(variable);
        return variable;
    }

    private NetcdfWriter.Variable number(String name, String longName, String units, String... dimensions) {
        return add(name, NetcdfWriter.Type.DOUBLE, longName, units, dimensions).fill(FILL);
    }

    private void place() {
        DiveProduct.Place place = product.place();
        number("time", "time of surfacing", "seconds since 2000-01-01 00:00:00")
                .attribute("standard_name", "time")
                .attribute("calendar", "standard")
                .values(filled(place.timeS()));
        number("latitude", "latitude of surfacing", "degrees_north")
                .attribute("standard_name", "latitude")
                .values(filled(place.latitudeDeg()));
        number("longitude", "longitude of surfacing", "degrees_east")
                .attribute("standard_name", "longitude")
                .values(filled(place.longitudeDeg()));
        number("sun_zenith", "sun zenith at surfacing, without refraction", "degree")
                .attribute("standard_name", "solar_zenith_angle")
                .values(filled(place.sunZenithDeg()));
        number("sun_azimuth", "sun azimuth at surfacing, clockwise from true north", "degree")
                .attribute("standard_name", "solar_azimuth_angle")
                .values(filled(place.sunAzimuthDeg()));
    }

    /** One wavelength coordinate where all heads share their samples; else samples by number and a table of wavelengths. */
    private void spectralGrid() {
        List<Spectrum> grids = product.profile().wavelengthNm();
        int longest = 0;
        for (ProfileBin bin : product.profile().bins()) {
            longest = Math.max(longest, bin.counts().size());
        }
        boolean shared = !grids.isEmpty() && grids.stream().allMatch(g -> g.equals(grids.get(0)));
        shared &= !grids.isEmpty() && (longest == 0 || longest == grids.get(0).size());
        if (product.surface() != null || shared) {
            Spectrum grid = product.surface() != null ? product.surface().wavelengthNm() : grids.get(0);
            file.dimension("wavelength", grid.size());
            add("wavelength", NetcdfWriter.Type.DOUBLE, "centre wavelength in air", "nm", "wavelength")
                    .attribute("standard_name", "radiation_wavelength")
                    .attribute("channels_averaged", NetcdfWriter.Type.INT, channelsAveraged())
                    .values(grid.toArray());
        }
        if (!shared && longest > 0) {
            spectral = "sample";
            file.dimension("sample", longest);
            if (!grids.isEmpty()) {
                file.dimension("head", grids.size());
                double[] table = new double[grids.size() * longest];
                for (int h = 0; h < grids.size(); h++) {
                    for (int k = 0; k < longest; k++) {
                        table[h * longest + k] =
                                k < grids.get(h).size() ? grids.get(h).at(k) : FILL;
                    }
                }
                number("wavelength_of_head", "centre wavelength in air, by head", "nm", "head", "sample")
                        .attribute("standard_name", "radiation_wavelength")
                        .values(table);
            }
        }
    }

    /** Channels that each sample is the mean of, by head. */
    private double[] channelsAveraged() {
        return product.profile().channelsPerSample().stream()
                .mapToDouble(Integer::doubleValue)
                .toArray();
    }

    private void bins() {
        List<ProfileBin> bins = product.profile().bins();
        if (bins.isEmpty()) {
            return;
        }
        file.dimension("bin", bins.size());
        whole("head", "head, from 0 in the plan's order", b -> b.head());
        whole("bin_number", "bin, from 0 at the surface down", b -> b.bin());
        whole("pass", "pass through the bin, 0 the ascent", b -> b.pass());
        whole("message_position", "position in the dive of the message that brought the bin", b -> b.position());
        whole("shaded", "1: scans whose predicted shading is above the plan's limit", b -> b.shaded() ? 1 : 0);
        whole("mixed_exposure", "1: scans of other exposures scaled and included", b -> b.mixedExposure() ? 1 : 0);
        whole("scans_used", "scans in the mean", b -> b.used());
        whole("scans_rejected", "scans left out: flash, spike, saturated or tilted", b -> b.rejected());
        whole("scans_shaded", "scans that went to the shaded class", b -> b.shadedScans());
        whole("dark_scans", "dark scans behind the dark level", b -> b.darkScans());
        whole("fallback", "fallback of the head choice, by number; 0 none", b -> b.fallback());
        column("bin_time", "mean time of the bin", "seconds since 2000-01-01 00:00:00", b -> b.timeS())
                .attribute("standard_name", "time")
                .attribute("calendar", "standard");
        column("port_pressure", "mean raw pressure at the port, no tare taken off", "dbar", b -> b.portPressureDbar());
        column("depth", "mean depth of the aperture", "m", b -> b.depthM())
                .attribute("standard_name", "depth")
                .attribute("positive", "down");
        column("depth_sd", "standard deviation of the depth within the bin", "m", b -> b.depthSdM());
        column("tilt", "mean tilt from the vertical", "degree", b -> b.tiltDeg());
        column(
                "azimuth_from_antisun",
                "mean azimuth of the head minus that of the anti-solar direction, clockwise positive, -180 to 180",
                "degree",
                b -> b.antisunDeg());
        column("exposure", "exposure time", product.profile().countsPerSecond() ? "s" : "1", b -> b.exposureS());
        column(
                "spread",
                "relative standard deviation between scans, lower third of the channels",
                "1",
                b -> b.spread());
        leftOut(bins);
        String units = product.profile().countsPerSecond() ? "s-1" : "1";
        String per = product.profile().countsPerSecond() ? "per second" : "per shortest exposure of a plan not at hand";
        matrix(
                "counts",
                "dark-corrected counts " + per,
                units,
                bins,
                (b, k) -> b.counts().at(k));
        matrix(
                "counts_u",
                "standard uncertainty of counts: noise and rounding",
                units,
                bins,
                (b, k) -> b.countsUncertainty(k));
        if (bins.stream().anyMatch(b -> !b.refined().isEmpty())) {
            matrix(
                    "refined",
                    "1: the sample came by the samples tier, within one standard deviation of the bin's own noise",
                    "1",
                    bins,
                    (b, k) -> b.refined().get(k) ? 1 : 0);
        }
        if (bins.stream().anyMatch(b -> b.radiance() != null)) {
            matrix(
                            "lu",
                            "upwelling radiance at depth",
                            RADIANCE,
                            bins,
                            (b, k) -> b.radiance() == null
                                    ? Double.NaN
                                    : b.radiance().at(k))
                    .attribute("ancillary_variables", "lu_u");
            matrix(
                    "lu_u",
                    "combined standard uncertainty of upwelling radiance",
                    RADIANCE,
                    bins,
                    (b, k) -> b.radianceUncertainty() == null
                            ? Double.NaN
                            : b.radianceUncertainty().at(k));
        }
    }

    /** What codecs that are held to bands left out, where there is any. */
    private void leftOut(List<ProfileBin> bins) {
        if (bins.stream().allMatch(b -> b.leftOut().bandErrorSigma() == 0)) {
            return;
        }
        int regions = BinRecord.MISFIT_REGIONS;
        double[] misfit = new double[bins.size() * regions];
        Arrays.fill(misfit, FILL);
        for (int i = 0; i < bins.size(); i++) {
            Spectrum of = bins.get(i).leftOut().misfitSigma();
            for (int region = 0; region < of.size(); region++) {
                misfit[i * regions + region] = of.at(region);
            }
        }
        file.dimension("misfit_region", regions);
        column(
                "band_error",
                "rms error of 10-nm bands of the spectrum by its coding, over their own noise; 0: each sample is coded",
                "1",
                b -> b.leftOut().bandErrorSigma());
        number(
                        "misfit",
                        "worst difference between the float's bin and what was sent of it in cells of 4.5 nm, at most so many times"
                                + " the cell's noise; up to 5 is what noise alone does",
                        "1",
                        "bin",
                        "misfit_region")
                .attribute("region_ends_nm", "401, 500, 600, 699 and the last wavelength")
                .values(misfit);
    }

    private NetcdfWriter.Variable column(String name, String longName, String units, ToDoubleFunction<ProfileBin> of) {
        double[] values = product.profile().bins().stream()
                .mapToDouble(of)
                .map(ProfileFile::filled)
                .toArray();
        return number(name, longName, units, "bin").values(values);
    }

    private void whole(String name, String longName, ToDoubleFunction<ProfileBin> of) {
        add(name, NetcdfWriter.Type.INT, longName, "1", "bin")
                .fill(FILL_INT)
                .values(product.profile().bins().stream().mapToDouble(of).toArray());
    }

    /** A value of a bin at a sample. */
    private interface Cell {
        double at(ProfileBin bin, int k);
    }

    private NetcdfWriter.Variable matrix(String name, String longName, String units, List<ProfileBin> bins, Cell cell) {
        int longest = bins.stream().mapToInt(b -> b.counts().size()).max().orElse(0);
        double[] values = new double[bins.size() * longest];
        Arrays.fill(values, FILL);
        for (int i = 0; i < bins.size(); i++) {
            for (int k = 0; k < bins.get(i).counts().size(); k++) {
                values[i * longest + k] = filled(cell.at(bins.get(i), k));
            }
        }
        return add(name, NetcdfWriter.Type.FLOAT, longName, units, "bin", spectral)
                .fill(FILL)
                .attribute("coordinates", "depth bin_time latitude longitude")
                .values(values);
    }

    private void gaps() {
        List<Gap> gaps = product.profile().gaps();
        if (gaps.isEmpty()) {
            return;
        }
        file.dimension("gap", gaps.size());
        add("gap_head", NetcdfWriter.Type.INT, "head of the gap", "1", "gap")
                .values(gaps.stream().mapToDouble(Gap::head).toArray());
        add("gap_first_bin", NetcdfWriter.Type.INT, "uppermost bin of the gap", "1", "gap")
                .values(gaps.stream().mapToDouble(Gap::firstBin).toArray());
        add("gap_last_bin", NetcdfWriter.Type.INT, "lowest bin of the gap", "1", "gap")
                .values(gaps.stream().mapToDouble(Gap::lastBin).toArray());
        number("gap_from", "upper edge of the gap, pressure of the sea at the head", "dbar", "gap")
                .values(gaps.stream().mapToDouble(Gap::fromDbar).toArray());
        number("gap_to", "lower edge of the gap", "dbar", "gap")
                .values(gaps.stream().mapToDouble(Gap::toDbar).toArray());
        texts(
                "gap_cause",
                "why there is nothing",
                "gap",
                gaps.stream().map(g -> g.cause().words()).toList());
    }

    private void texts(String name, String longName, String dimension, List<String> texts) {
        int width = 1;
        for (String text : texts) {
            width = Math.max(width, text.getBytes(StandardCharsets.UTF_8).length);
        }
        file.dimension(name + "_length", width);
        add(name, NetcdfWriter.Type.CHAR, longName, null, dimension, name + "_length")
                .texts(texts, width);
    }

    private void cast() {
        if (product.cast().isEmpty()) {
            return;
        }
        file.dimension("level", product.cast().size());
        levels("cast_port_pressure", "raw pressure at the port", "dbar", WaterReadings.Level::pressureDbar);
        levels("temperature", "temperature of the sea", "degree_C", WaterReadings.Level::temperatureDegC)
                .attribute("standard_name", "sea_water_temperature");
        levels("salinity", "practical salinity", "1", WaterReadings.Level::salinity)
                .attribute("standard_name", "sea_water_practical_salinity");
        levels("chlorophyll", "chlorophyll a by fluorescence", "mg m-3", WaterReadings.Level::chlorophyllMgPerM3)
                .attribute("standard_name", "mass_concentration_of_chlorophyll_a_in_sea_water");
        levels(
                "particle_backscatter",
                "backscatter of particles at 700 nm",
                "m-1",
                WaterReadings.Level::backscatterPerM);
    }

    private NetcdfWriter.Variable levels(
            String name, String longName, String units, ToDoubleFunction<WaterReadings.Level> of) {
        return number(name, longName, units, "level")
                .values(product.cast().stream()
                        .mapToDouble(level -> filled(of.applyAsDouble(level)))
                        .toArray());
    }

    private void attitude() {
        if (product.attitude().isEmpty()) {
            return;
        }
        file.dimension("layer", product.attitude().size());
        layer("layer_from", "upper end of the layer, pressure of water at the port", "dbar", l -> l.fromDbar());
        layer(
                "layer_to",
                "lower end of the layer; missing: no end",
                "dbar",
                l -> Double.isInfinite(l.toDbar()) ? Double.NaN : l.toDbar());
        layer("layer_readings", "moments that count", "1", l -> l.readings());
        layer("tilt_mean", "mean tilt", "degree", l -> l.tiltMeanDeg());
        layer("tilt_sd", "standard deviation of the tilt", "degree", l -> l.tiltSdDeg());
        layer("tilt_most", "largest tilt", "degree", l -> l.tiltMostDeg());
        layer("heading_mean", "mean heading of the x axis, clockwise from true north", "degree", l -> l.headingDeg());
        layer(
                "heading_length",
                "length of the mean of the heading's unit vectors: 0 every way alike, 1 one way only",
                "1",
                l -> l.headingLength());
        layer("turned", "how far the hull turned in all, clockwise positive", "degree", l -> l.turnedDeg());
    }

    private void successions() {
        List<WaterReadings.Succession> layers = product.successions();
        if (layers.isEmpty()) {
            return;
        }
        file.dimension("scans_layer", layers.size());
        succession(
                "scans_layer_from", "upper end of the layer, pressure of water at the port", "dbar", l -> l.fromDbar());
        succession(
                "scans_layer_to",
                "lower end of the layer; missing: no end",
                "dbar",
                l -> Double.isInfinite(l.toDbar()) ? Double.NaN : l.toDbar());
        succession("scan_pairs", "pairs of successive clear scans of one head", "1", l -> l.pairs());
        String[] thirds = {"lower", "middle", "upper"};
        for (int band = 0; band < thirds.length; band++) {
            int at = band;
            succession(
                    "scan_correlation_" + thirds[band],
                    "correlation of brightness from one scan to the next in the " + thirds[band]
                            + " third of the channels, what goes with depth taken off",
                    "1",
                    l -> l.ofBand().get(at));
        }
    }

    private void succession(String name, String longName, String units, ToDoubleFunction<WaterReadings.Succession> of) {
        number(name, longName, units, "scans_layer")
                .values(product.successions().stream()
                        .mapToDouble(layer -> filled(of.applyAsDouble(layer)))
                        .toArray());
    }

    private void layer(String name, String longName, String units, ToDoubleFunction<WaterReadings.Layer> of) {
        number(name, longName, units, "layer")
                .values(product.attitude().stream()
                        .mapToDouble(layer -> filled(of.applyAsDouble(layer)))
                        .toArray());
    }

    private void surface(SurfaceRadiance s) {
        spectrum("lu0", "upwelling radiance just below the surface", RADIANCE, s.lu0())
                .attribute("standard_name", "surface_upwelling_radiance_per_unit_wavelength_in_sea_water");
        String leaving = "surface_upwelling_radiance_per_unit_wavelength_in_air_emerging_from_sea_water";
        spectrum("lw", "water-leaving radiance at nadir", RADIANCE, s.lw())
                .attribute("standard_name", leaving)
                .attribute("ancillary_variables", "lw_u lw_low_95 lw_high_95");
        spectrum(
                        "lw_u",
                        "combined standard uncertainty of water-leaving radiance",
                        RADIANCE,
                        s.lw().times(s.lwRelative()))
                .attribute("standard_name", leaving + " standard_error");
        double[] low = new double[s.lw().size()];
        double[] high = new double[s.lw().size()];
        for (int k = 0; k < low.length; k++) {
            low[k] = s.lwLow(k);
            high[k] = s.lwHigh(k);
        }
        spectrum(
                "lw_low_95", "lower end of the 95 percent interval (coverage factor 1.96)", RADIANCE, Spectrum.of(low));
        spectrum(
                "lw_high_95",
                "upper end of the 95 percent interval (coverage factor 1.96)",
                RADIANCE,
                Spectrum.of(high));
        spectrum("k_lu", "attenuation of upwelling radiance just below the surface", "m-1", s.attenuation());
        spectrum("k_lu_u", "standard uncertainty of that attenuation", "m-1", s.attenuationUncertainty());
        spectrum("es", "downwelling irradiance above the surface, clear-sky model", "W m-2 nm-1", s.es())
                .attribute("standard_name", "surface_downwelling_radiative_flux_per_unit_wavelength_in_air");
        spectrum("nlw", "normalized water-leaving radiance", RADIANCE, s.nlw());
        spectrum(
                "nlw_u",
                "standard uncertainty of normalized water-leaving radiance",
                RADIANCE,
                s.nlw().times(s.nlwRelative()));
        spectrum("rrs", "remote-sensing reflectance", "sr-1", s.rrs())
                .attribute(
                        "standard_name",
                        "surface_ratio_of_upwelling_radiance_emerging_from_sea_water_to_downwelling_radiative_flux_in_air");
        spectrum(
                "rrs_u",
                "standard uncertainty of remote-sensing reflectance",
                "sr-1",
                s.rrs().times(s.rrsRelative()));
        add("bins_used", NetcdfWriter.Type.INT, "bins that the value rests on", "1", "wavelength")
                .values(s.binsUsed().stream().mapToDouble(Integer::doubleValue).toArray());
        texts("reason", "why there is no value", "wavelength", s.missing());
    }

    private NetcdfWriter.Variable spectrum(String name, String longName, String units, Spectrum values) {
        double[] array = values.toArray();
        for (int k = 0; k < array.length; k++) {
            array[k] = filled(array[k]);
        }
        return number(name, longName, units, "wavelength")
                .attribute("coordinates", "time latitude longitude")
                .values(array);
    }

    private void budget(SurfaceRadiance s) {
        List<Contribution> contributions = s.budget().contributions();
        int n = s.wavelengthNm().size();
        file.dimension("contribution", contributions.size());
        double[] factors = new double[contributions.size() * n];
        for (int c = 0; c < contributions.size(); c++) {
            for (int k = 0; k < n; k++) {
                boolean present = s.missing().get(k).isEmpty();
                factors[c * n + k] =
                        present ? filled(contributions.get(c).factor().at(k)) : FILL;
            }
        }
        texts(
                "contribution_name",
                "source of uncertainty",
                "contribution",
                contributions.stream().map(Contribution::name).toList());
        texts(
                "contribution_correlation",
                "over what its error stays the same",
                "contribution",
                contributions.stream().map(c -> c.correlation().words()).toList());
        number(
                        "contribution_length",
                        "distance along the spectrum over which its error stays the same; missing: all of it",
                        "nm",
                        "contribution")
                .values(contributions.stream()
                        .mapToDouble(c -> Double.isInfinite(c.correlationLengthNm()) ? FILL : c.correlationLengthNm())
                        .toArray());
        number(
                        "lw_contribution",
                        "relative standard uncertainty of lw from this source, with sign",
                        "1",
                        "contribution",
                        "wavelength")
                .values(factors);
    }

    private static double filled(double value) {
        return Double.isFinite(value) ? value : FILL;
    }
}
