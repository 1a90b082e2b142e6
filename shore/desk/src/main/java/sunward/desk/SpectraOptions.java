package sunward.desk;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import picocli.CommandLine.Option;
import sunward.planning.Spectra;
import sunward.planning.SpectraPicture;
import sunward.protocol.schema.Scene;

/** Options of the commands that tell quantities by wavelength, and how they tell them. */
final class SpectraOptions {
    private static final double FIRST_NM = 310;
    private static final double LAST_NM = 870;
    private static final int MOST_WAVELENGTHS = 6000;
    /** A table on a screen shows at most about so many rows. */
    private static final int MOST_ROWS = 60;

    @Option(
            names = "--from-nm",
            paramLabel = "NM",
            defaultValue = "320",
            description = "First wavelength in air, 310 to 870. Without it: ${DEFAULT-VALUE}.")
    private double fromNm;

    @Option(
            names = "--to-nm",
            paramLabel = "NM",
            defaultValue = "860",
            description = "Last wavelength in air, 310 to 870. Without it: ${DEFAULT-VALUE}.")
    private double toNm;

    @Option(
            names = "--step-nm",
            paramLabel = "NM",
            defaultValue = "1",
            description = "Distance of wavelengths. Without it: ${DEFAULT-VALUE}.")
    private double stepNm;

    @Option(
            names = "--line-width-nm",
            paramLabel = "NM",
            defaultValue = "3",
            description = "Full width at half maximum of the line that light is seen through, 0.2 to 10."
                    + " Without it: ${DEFAULT-VALUE}, the reference float's.")
    private double lineWidthNm;

    @Option(
            names = "--scene",
            paramLabel = "NAME|FILE",
            description =
                    "Take what is not given from another scene: a name of the library (see: sunward plan --scenes), or"
                            + " a plan file whose scene is taken.")
    private String scene;

    @Option(names = "--csv", description = "Print every wavelength as CSV, units in the header.")
    private boolean csv;

    @Option(names = "--picture", paramLabel = "FILE", description = "Also draw it, as SVG, into this new file.")
    private Path picture;

    /** The scene that stands behind what is not given. */
    Scene scene(PlanOption plan) throws IOException {
        return InputFiles.scene(scene).apply(plan.read()).getScene();
    }

    double lineWidthNm() {
        Given.within("--line-width-nm", lineWidthNm, 0.2, 10);
        return lineWidthNm;
    }

    double[] wavelengthsNm() {
        Given.within("--from-nm", fromNm, FIRST_NM, LAST_NM);
        Given.within("--to-nm", toNm, FIRST_NM, LAST_NM);
        Given.within("--step-nm", stepNm, 0.01, LAST_NM - FIRST_NM);
        if (toNm < fromNm) {
            throw new BadInput("--to-nm: " + toNm + " is below --from-nm " + fromNm + "; exchange them");
        }
        int count = 1 + (int) Math.floor((toNm - fromNm) / stepNm + 1e-9);
        if (count > MOST_WAVELENGTHS) {
            throw new BadInput("--step-nm: " + stepNm + " makes " + count + " wavelengths, more than "
                    + MOST_WAVELENGTHS + "; give a larger step or a smaller range");
        }
        double[] wavelengths = new double[count];
        for (int i = 0; i < count; i++) {
            // Rounded so that 320 + 3 x 0.1 reads 320.3.
            wavelengths[i] = Math.round((fromNm + i * stepNm) * 1e6) / 1e6;
        }
        return wavelengths;
    }

    /** Refuses what cannot be done before anything is worked out. */
    void check(boolean json) {
        if (csv && json) {
            throw new BadInput("--csv and --json exclude each other; give one");
        }
        if (picture != null && Files.exists(picture)) {
            throw new BadInput("--picture: " + picture + " exists already; name a new file");
        }
    }

    void print(Console console, Spectra spectra, boolean json) throws IOException {
        spectra.warnings().forEach(warning -> console.err().println("sunward: " + warning));
        if (picture != null) {
            Files.write(picture, SpectraPicture.svg(spectra).getBytes(StandardCharsets.UTF_8));
        }
        if (json) {
            console.out().println(Json.text(spectra.json()));
        } else if (csv) {
            console.out().print(spectra.csv());
            console.out().flush();
        } else {
            sheet(spectra).print(console, false);
        }
    }

    private Sheet sheet(Spectra spectra) {
        Sheet sheet = new Sheet()
                .say(spectra.title())
                .say("A " + Spectra.ORIGIN + ".")
                .say("");
        spectra.facts().forEach((name, value) -> {
            if (Double.isFinite(value)) {
                sheet.put("", name.replace('_', ' '), number(value, 5));
            }
        });
        spectra.choices().forEach((name, value) -> sheet.put("", name.replace('_', ' '), value));
        List<String> names = new ArrayList<>(List.of("      nm"));
        for (Spectra.Column column : spectra.columns()) {
            names.add(String.format(Locale.ROOT, "%10s", column.words()));
        }
        sheet.heading("By wavelength (" + units(spectra) + ")");
        int count = spectra.wavelengthNm().length;
        int every = (count + MOST_ROWS - 1) / MOST_ROWS;
        List<Sheet.Row> rows = new ArrayList<>();
        for (int i = 0; i < count; i += every) {
            Sheet.Row row = new Sheet.Row().put("", spectra.wavelengthNm()[i], 2);
            for (Spectra.Column column : spectra.columns()) {
                row.put("", number(column.values()[i], 4));
            }
            rows.add(row);
        }
        sheet.table("", names, rows);
        if (every > 1) {
            sheet.say("Every " + every + ". wavelength is shown; --csv and --json have all " + count + ".");
        }
        return picture == null ? sheet : sheet.say("Picture: " + picture);
    }

    private static String units(Spectra spectra) {
        List<String> units = new ArrayList<>();
        for (String unit :
                spectra.columns().stream().map(Spectra.Column::unit).distinct().toList()) {
            List<String> words = spectra.columns().stream()
                    .filter(column -> column.unit().equals(unit))
                    .map(Spectra.Column::words)
                    .toList();
            units.add(String.join(", ", words) + ": " + unit);
        }
        return String.join("; ", units);
    }

    private static String number(double value, int digits) {
        boolean plain = value == 0 || (Math.abs(value) >= 1e-3 && Math.abs(value) < 1e5);
        return plain
                ? new java.math.BigDecimal(value)
                        .round(new java.math.MathContext(digits))
                        .toPlainString()
                : String.format(Locale.ROOT, "%." + (digits - 1) + "e", value);
    }
}
