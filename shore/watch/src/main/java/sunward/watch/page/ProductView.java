package sunward.watch.page;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.IntToDoubleFunction;
import sunward.profiles.Contribution;
import sunward.profiles.Correlation;
import sunward.profiles.DiveProduct;
import sunward.profiles.Gap;
import sunward.profiles.ProfileBin;
import sunward.profiles.ShoreInputs;
import sunward.profiles.Spectrum;
import sunward.profiles.SunPosition;
import sunward.profiles.SurfaceRadiance;
import sunward.profiles.WaterReadings;
import sunward.protocol.schema.Plan;

/** A product as the dive page draws it. Not-a-number becomes null: a gap is shown, never filled. */
final class ProductView {
    /** Columns of the picture: neighbouring samples beyond it are left out, not averaged. */
    private static final int COLUMNS = 120;

    /** Standard deviations of a uniform spread from its middle to its end: the square root of three. */
    private static final double UNIFORM = Math.sqrt(3);

    private static final double[] BUDGET_NM = {412, 443, 490, 510, 555, 620, 670};

    private ProductView() {}

    static Map<String, Object> of(DiveProduct product, ShoreInputs inputs) {
        Plan plan = inputs.plan();
        Map<String, Object> view = new LinkedHashMap<>();
        view.put("reasons", product.reasons());
        view.put("messages_sha256", product.digests().messages());
        view.put("sun_zenith_deg", number(product.place().sunZenithDeg()));
        view.put("surface", product.surface() == null ? null : surface(product.surface()));
        view.put("heads", heads(product, inputs));
        view.put("cast", cast(product));
        view.put("layers", layers(product));
        List<Map<String, Object>> gaps = new ArrayList<>();
        for (Gap gap : product.profile().gaps()) {
            Map<String, Object> one = new LinkedHashMap<>();
            one.put("head", name(plan, gap.head()));
            one.put("from_dbar", number(gap.fromDbar()));
            one.put("to_dbar", number(gap.toDbar()));
            one.put("cause", gap.cause().words());
            gaps.add(one);
        }
        view.put("gaps", gaps);
        return view;
    }

    private static Map<String, Object> surface(SurfaceRadiance surface) {
        int size = surface.wavelengthNm().size();
        Map<String, Object> view = new LinkedHashMap<>();
        view.put("wavelength_nm", column(size, surface.wavelengthNm()::at));
        view.put("lw", column(size, surface.lw()::at));
        view.put("lw_low_95", column(size, surface::lwLow));
        view.put("lw_high_95", column(size, surface::lwHigh));
        view.put("lu0", column(size, surface.lu0()::at));
        interval(view, "k_lu_per_m", size, surface.attenuation()::at, surface.attenuationUncertainty()::at);
        interval(
                view,
                "rrs_per_sr",
                size,
                surface.rrs()::at,
                k -> surface.rrs().at(k) * surface.rrsRelative().at(k));
        view.put("missing", surface.missing());
        view.put("u_lw_percent", column(size, k -> 100 * surface.lwRelative().at(k)));
        Map<String, Object> classes = new LinkedHashMap<>();
        for (Correlation correlation : Correlation.values()) {
            classes.put(
                    correlation.words(),
                    column(size, k -> 100 * surface.budget().relative(k, correlation)));
        }
        view.put("u_lw_percent_by_class", classes);
        view.put("budget", budget(surface));
        return view;
    }

    /** A value and its 95 % interval. */
    private static void interval(
            Map<String, Object> view,
            String name,
            int size,
            IntToDoubleFunction value,
            IntToDoubleFunction uncertainty) {
        double factor = SurfaceRadiance.COVERAGE_FACTOR;
        view.put(name, column(size, value));
        view.put(name + "_low_95", column(size, k -> value.applyAsDouble(k) - factor * uncertainty.applyAsDouble(k)));
        view.put(name + "_high_95", column(size, k -> value.applyAsDouble(k) + factor * uncertainty.applyAsDouble(k)));
    }

    /** Every source of the uncertainty of Lw, at a few wavelengths: relative standard uncertainties. */
    private static Map<String, Object> budget(SurfaceRadiance surface) {
        int[] at = Arrays.stream(BUDGET_NM)
                .mapToInt(nm -> nearest(surface.wavelengthNm(), nm))
                .distinct()
                .toArray();
        Map<String, Object> budget = new LinkedHashMap<>();
        budget.put(
                "wavelength_nm", column(at.length, i -> surface.wavelengthNm().at(at[i])));
        budget.put("lw", column(at.length, i -> surface.lw().at(at[i])));
        budget.put(
                "missing",
                Arrays.stream(at).mapToObj(k -> surface.missing().get(k)).toList());
        List<Map<String, Object>> sources = new ArrayList<>();
        for (Contribution contribution : surface.budget().contributions()) {
            Map<String, Object> source = new LinkedHashMap<>();
            source.put("name", contribution.name());
            source.put("same_over", contribution.correlation().words());
            source.put(
                    "percent",
                    column(at.length, i -> 100 * Math.abs(contribution.factor().at(at[i]))));
            sources.add(source);
        }
        budget.put("sources", sources);
        budget.put(
                "combined_percent",
                column(at.length, i -> 100 * surface.lwRelative().at(at[i])));
        budget.put(
                "half_width_percent",
                column(
                        at.length,
                        i -> 100
                                * SurfaceRadiance.COVERAGE_FACTOR
                                * surface.lwRelative().at(at[i])));
        return budget;
    }

    private static int nearest(Spectrum wavelengths, double nm) {
        int best = 0;
        for (int k = 1; k < wavelengths.size(); k++) {
            best = Math.abs(wavelengths.at(k) - nm) < Math.abs(wavelengths.at(best) - nm) ? k : best;
        }
        return best;
    }

    /** Per head the clear bins of the ascent from the surface down: a picture of radiance (or counts) and the attitude. */
    private static List<Map<String, Object>> heads(DiveProduct product, ShoreInputs inputs) {
        List<Map<String, Object>> heads = new ArrayList<>();
        int count = product.profile().bins().stream()
                        .mapToInt(ProfileBin::head)
                        .max()
                        .orElse(-1)
                + 1;
        for (int head = 0; head < count; head++) {
            heads.add(head(product, inputs, head));
        }
        return heads;
    }

    private static Map<String, Object> head(DiveProduct product, ShoreInputs inputs, int head) {
        Plan plan = inputs.plan();
        List<Spectrum> grids = product.profile().wavelengthNm();
        List<ProfileBin> bins = product.profile().bins().stream()
                .filter(bin -> bin.head() == head && !bin.shaded() && bin.pass() == 0)
                .toList();
        boolean radiance = bins.stream().allMatch(bin -> bin.radiance() != null);
        int samples = bins.stream().mapToInt(bin -> bin.counts().size()).min().orElse(0);
        int step = Math.max(1, (samples + COLUMNS - 1) / COLUMNS);
        int columns = samples / step;
        Spectrum grid = head < grids.size() && grids.get(head).size() >= samples ? grids.get(head) : null;
        Map<String, Object> view = new LinkedHashMap<>();
        view.put("name", name(plan, head));
        view.put(
                "hull_azimuth_deg",
                head < plan.getHeadsCount()
                        ? number(Math.toDegrees(Math.atan2(
                                plan.getHeads(head).getArmYM(),
                                plan.getHeads(head).getArmXM())))
                        : null);
        view.put("quantity", radiance ? "Lu" : product.profile().countsPerSecond() ? "counts per second" : "counts");
        view.put("columns_nm", grid == null ? null : column(columns, k -> grid.at(k * step)));
        List<Map<String, Object>> rows = new ArrayList<>();
        for (ProfileBin bin : bins) {
            Spectrum values = radiance ? bin.radiance() : bin.counts();
            Map<String, Object> row = new LinkedHashMap<>();
            double middle = Double.isNaN(bin.depthM()) ? bin.portPressureDbar() : bin.depthM();
            row.put("depth_m", number(middle));
            row.put("half_height_m", number(Math.max(0.02, UNIFORM * bin.depthSdM())));
            row.put("tilt_deg", number(bin.tiltDeg()));
            row.put("antisun_deg", number(bin.antisunDeg()));
            SunPosition sun = sun(product, bin, inputs);
            row.put("sun_azimuth_deg", sun == null ? null : number(sun.azimuthDeg()));
            row.put("sun_zenith_deg", sun == null ? null : number(sun.zenithDeg()));
            row.put("values", column(columns, k -> values.at(k * step)));
            rows.add(row);
        }
        view.put("rows", rows);
        return view;
    }

    /** Where the sun stood for a bin, at the place of the surfacing; null when that is not known. */
    private static SunPosition sun(DiveProduct product, ProfileBin bin, ShoreInputs inputs) {
        DiveProduct.Place place = product.place();
        return Double.isNaN(place.latitudeDeg())
                ? null
                : SunPosition.at(
                        (double) bin.timeS(),
                        place.latitudeDeg(),
                        place.longitudeDeg(),
                        inputs.ancillary().deltaTS());
    }

    private static List<Map<String, Object>> layers(DiveProduct product) {
        List<Map<String, Object>> layers = new ArrayList<>();
        for (WaterReadings.Layer layer : product.attitude()) {
            Map<String, Object> one = new LinkedHashMap<>();
            one.put("from_dbar", number(layer.fromDbar()));
            one.put("to_dbar", number(layer.toDbar()));
            one.put("readings", layer.readings());
            one.put("tilt_mean_deg", number(layer.tiltMeanDeg()));
            one.put("tilt_sd_deg", number(layer.tiltSdDeg()));
            one.put("tilt_most_deg", number(layer.tiltMostDeg()));
            one.put("heading_deg", number(layer.headingDeg()));
            one.put("heading_length", number(layer.headingLength()));
            one.put("turned_deg", number(layer.turnedDeg()));
            layers.add(one);
        }
        return layers;
    }

    private static String name(Plan plan, int head) {
        return head < plan.getHeadsCount() ? plan.getHeads(head).getName() : String.valueOf(head + 1);
    }

    private static Map<String, Object> cast(DiveProduct product) {
        List<WaterReadings.Level> rows = product.cast();
        Map<String, Object> cast = new LinkedHashMap<>();
        cast.put("pressure_dbar", column(rows.size(), i -> rows.get(i).pressureDbar()));
        cast.put("temperature_degc", column(rows.size(), i -> rows.get(i).temperatureDegC()));
        cast.put("practical_salinity", column(rows.size(), i -> rows.get(i).salinity()));
        cast.put("chlorophyll_mg_per_m3", column(rows.size(), i -> rows.get(i).chlorophyllMgPerM3()));
        cast.put("backscatter_per_m", column(rows.size(), i -> rows.get(i).backscatterPerM()));
        return cast;
    }

    private static List<Object> column(int size, IntToDoubleFunction values) {
        List<Object> column = new ArrayList<>(size);
        for (int i = 0; i < size; i++) {
            column.add(number(values.applyAsDouble(i)));
        }
        return column;
    }

    private static Object number(double value) {
        return Double.isNaN(value) || Double.isInfinite(value) ? null : (Object) (double) (float) value;
    }
}
