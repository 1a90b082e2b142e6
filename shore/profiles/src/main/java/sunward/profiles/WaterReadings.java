package sunward.profiles;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import sunward.protocol.schema.AncillaryProfile;

/** What an ancillary body says, in units; WIRE.md, section 2. */
public final class WaterReadings {
    private static final long NO_VALUE = -32768;
    private static final int HEADING_UNKNOWN = 360;

    /**
     * The water at one raw port pressure; not-a-number where a sensor gave nothing.
     *
     * @param pressureDbar raw, at the port
     * @param salinity practical salinity
     * @param chlorophyllMgPerM3 by fluorescence
     * @param backscatterPerM of particles at 700 nm
     */
    public record Level(
            double pressureDbar,
            double temperatureDegC,
            double salinity,
            double chlorophyllMgPerM3,
            double backscatterPerM) {}

    /**
     * How the float hung and turned in one layer.
     *
     * @param fromDbar upper end, pressure of water at the port
     * @param toDbar lower end; infinite for the deepest layer
     * @param readings moments that count
     * @param tiltMeanDeg mean tilt
     * @param tiltSdDeg its standard deviation
     * @param tiltMostDeg largest tilt
     * @param headingDeg mean true heading; not-a-number when it was not known
     * @param headingLength length of the mean of the heading's unit vectors, 0 (every way alike) to 1
     * @param turnedDeg how far the hull turned in all, clockwise positive
     */
    public record Layer(
            double fromDbar,
            double toDbar,
            int readings,
            double tiltMeanDeg,
            double tiltSdDeg,
            double tiltMostDeg,
            double headingDeg,
            double headingLength,
            double turnedDeg) {}

    /**
     * How the brightness of successive scans hangs together in one layer.
     *
     * @param fromDbar upper end, pressure of water at the port
     * @param toDbar lower end; infinite for the deepest layer
     * @param pairs of successive scans
     * @param ofBand correlation of a scan with the next, in the lower, middle and upper third of the channels, -1 to 1
     */
    public record Succession(double fromDbar, double toDbar, long pairs, List<Double> ofBand) {}

    private WaterReadings() {}

    /** Levels in the body's order; the shortest of the columns that are there sets how many. */
    public static List<Level> levels(AncillaryProfile body) {
        List<List<Integer>> columns = List.of(
                body.getPressureCdbarList(),
                body.getTemperatureMdegcList(),
                body.getSalinityMpsuList(),
                body.getChlorophyllUgPerM3List(),
                body.getBackscatterE6PerMList());
        int count = columns.get(0).size();
        for (List<Integer> column : columns) {
            count = column.isEmpty() ? count : Math.min(count, column.size());
        }
        List<Level> levels = new ArrayList<>();
        long[] sum = new long[columns.size()];
        double[] value = new double[columns.size()];
        for (int i = 0; i < count; i++) {
            for (int c = 0; c < sum.length; c++) {
                boolean there = !columns.get(c).isEmpty();
                sum[c] += there ? columns.get(c).get(i) : 0;
                value[c] = there && sum[c] != NO_VALUE ? sum[c] : Double.NaN;
            }
            levels.add(new Level(value[0] / 100, value[1] / 1e3, value[2] / 1e3, value[3] / 1e3, value[4] / 1e6));
        }
        return levels;
    }

    /** Layers of several bodies of one dive, from the surface down; the first body that has a layer is believed. */
    public static List<Layer> layers(Iterable<AncillaryProfile> bodies) {
        List<Layer> layers = new ArrayList<>();
        for (AncillaryProfile body : bodies) {
            int count = body.getLayerCount();
            for (List<Integer> column : List.of(
                    body.getLayerReadingsList(),
                    body.getTiltMeanDdegList(),
                    body.getTiltSdDdegList(),
                    body.getTiltMostDdegList(),
                    body.getHeadingDegList(),
                    body.getHeadingLengthPercentList(),
                    body.getTurnedDegList())) {
                count = Math.min(count, column.size());
            }
            for (int i = 0; i < count; i++) {
                Layer layer = layer(body, i);
                if (layers.stream().noneMatch(known -> known.fromDbar() == layer.fromDbar())) {
                    layers.add(layer);
                }
            }
        }
        layers.sort(Comparator.comparingDouble(Layer::fromDbar));
        return List.copyOf(layers);
    }

    /** Layers of several bodies of one dive, from the surface down; the first body that has a layer is believed. */
    public static List<Succession> successions(Iterable<AncillaryProfile> bodies) {
        List<Succession> layers = new ArrayList<>();
        for (AncillaryProfile body : bodies) {
            List<List<Integer>> bands = List.of(
                    body.getLowerCorrelationPercentList(),
                    body.getMiddleCorrelationPercentList(),
                    body.getUpperCorrelationPercentList());
            int count = Math.min(body.getScansLayerCount(), body.getScanPairsCount());
            for (List<Integer> band : bands) {
                count = Math.min(count, band.size());
            }
            for (int i = 0; i < count; i++) {
                int at = i;
                int number = body.getScansLayer(i) & 31;
                Succession layer = new Succession(
                        from(number),
                        to(number),
                        Integer.toUnsignedLong(body.getScanPairs(i)),
                        bands.stream()
                                .map(band -> Math.max(-100, Math.min(100, band.get(at))) / 100.0)
                                .toList());
                if (layers.stream().noneMatch(known -> known.fromDbar() == layer.fromDbar())) {
                    layers.add(layer);
                }
            }
        }
        layers.sort(Comparator.comparingDouble(Succession::fromDbar));
        return List.copyOf(layers);
    }

    private static double from(int number) {
        return number == 0 ? 0 : 1L << number;
    }

    private static double to(int number) {
        return number >= 7 ? Double.POSITIVE_INFINITY : 2L << number;
    }

    private static Layer layer(AncillaryProfile body, int i) {
        int number = body.getLayer(i) & 31;
        int heading = body.getHeadingDeg(i);
        return new Layer(
                from(number),
                to(number),
                body.getLayerReadings(i),
                body.getTiltMeanDdeg(i) / 10.0,
                body.getTiltSdDdeg(i) / 10.0,
                body.getTiltMostDdeg(i) / 10.0,
                heading == HEADING_UNKNOWN ? Double.NaN : heading,
                body.getHeadingLengthPercent(i) / 100.0,
                body.getTurnedDeg(i));
    }
}
