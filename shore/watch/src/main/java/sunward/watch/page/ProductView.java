package sunward.watch.page;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.IntToDoubleFunction;
import sunward.profiles.DiveProduct;
import sunward.profiles.Gap;
import sunward.profiles.ProfileBin;
import sunward.profiles.Spectrum;
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

    static Map<String, Object> of(DiveProduct product, Plan plan) {
        Map<String, Object> view = new LinkedHashMap<>();
        view.put("reasons", product.reasons());
        view.put("messages_sha256", product.digests().messages());
        view.put("sun_zenith_deg", number(product.place().sunZenithDeg()));
        view.put("surface", product.surface() == null ? null : surface(product.surface()));
        view.put("heads", heads(product, plan));
        view.put("cast", cast(product));
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
        view.put("k_lu_per_m", column(size, surface.attenuation()::at));
        view.put("rrs_per_sr", column(size, surface.rrs()::at));
        view.put("missing", surface.missing());
        List<Map<String, Object>> budget = new ArrayList<>();
        for (double nm : BUDGET_NM) {
            int nearest = nearest(surface.wavelengthNm(), nm);
            Map<String, Object> one = new LinkedHashMap<>();
            one.put("wavelength_nm", number(surface.wavelengthNm().at(nearest)));
            one.put("lw", number(surface.lw().at(nearest)));
            one.put("half_width_percent", number(200 * surface.lwRelative().at(nearest)));
            one.put("largest", surface.budget().largest(nearest, 3));
            one.put("missing", surface.missing().get(nearest));
            budget.add(one);
        }
        view.put("budget", budget);
        return view;
    }

    private static int nearest(Spectrum wavelengths, double nm) {
        int best = 0;
        for (int k = 1; k < wavelengths.size(); k++) {
            best = Math.abs(wavelengths.at(k) - nm) < Math.abs(wavelengths.at(best) - nm) ? k : best;
        }
        return best;
    }

    /** Per head the clear bins of the ascent from the surface down: a picture of radiance (or counts) and the attitude. */
    private static List<Map<String, Object>> heads(DiveProduct product, Plan plan) {
        List<Map<String, Object>> heads = new ArrayList<>();
        int count = product.profile().bins().stream()
                        .mapToInt(ProfileBin::head)
                        .max()
                        .orElse(-1)
                + 1;
        for (int head = 0; head < count; head++) {
            heads.add(head(product, plan, head));
        }
        return heads;
    }

    private static Map<String, Object> head(DiveProduct product, Plan plan, int head) {
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
            row.put("values", column(columns, k -> values.at(k * step)));
            rows.add(row);
        }
        view.put("rows", rows);
        return view;
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
