package sunward.simulator;

import java.nio.file.Path;
import java.util.List;
import sunward.protocol.plan.PlanException;

/** One quantity against depth, from a user's CSV: straight between readings, constant above the first and below the last. */
final class DepthProfile {
    private final double[] depthM;
    private final double[] value;

    private DepthProfile(List<double[]> rows) {
        depthM = rows.stream().mapToDouble(row -> row[0]).toArray();
        value = rows.stream().mapToDouble(row -> row[1]).toArray();
    }

    /**
     * Reads the columns depth_m and {@code column}; lines without a value are left out.
     *
     * @throws PlanException with one sentence that names file, line and what was expected
     */
    static DepthProfile read(Path file, String column, double least, double most) {
        String[] columns = {"depth_m", column};
        List<double[]> rows = new ProfileCsv(file, "profile", columns, new double[][] {{0, 12000}, {least, most}})
                .rows().stream().filter(row -> !Double.isNaN(row[1])).toList();
        if (rows.isEmpty()) {
            throw new PlanException(file + ": the column " + column + " holds no value; a profile needs at least one");
        }
        return new DepthProfile(rows);
    }

    double at(double depth) {
        int i = 0;
        while (i < depthM.length && depthM[i] < depth) {
            i++;
        }
        if (i == 0 || i == depthM.length) {
            return value[i == 0 ? 0 : i - 1];
        }
        return value[i - 1] + (depth - depthM[i - 1]) / (depthM[i] - depthM[i - 1]) * (value[i] - value[i - 1]);
    }
}
