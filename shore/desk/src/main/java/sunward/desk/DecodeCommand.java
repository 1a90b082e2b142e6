package sunward.desk;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;
import sunward.planning.CardProof;
import sunward.planning.OutputDirectory;
import sunward.planning.RunRecord;
import sunward.profiles.Ancillary;
import sunward.profiles.Decoding;
import sunward.profiles.DecodingResult;
import sunward.profiles.DiveProduct;
import sunward.profiles.ProductFiles;
import sunward.profiles.ShoreInputs;
import sunward.protocol.message.MessageLayout;
import sunward.protocol.plan.PlanWriter;
import sunward.protocol.schema.PlanFile;

/** {@code decode}: from message files to profile and radiance. */
@Command(
        name = "decode",
        description =
                "Decode message files, in any order, with duplicates and other files among them, to profile.nc and"
                        + " radiance.csv. Radiance needs the plan and calibration whose digests the messages name; without them the"
                        + " profile holds counts.",
        footerHeading = "%nExample: the messages of a rehearsal%n",
        footer = {
            "  sunward decode rehearsal-1/messages --out again",
            "",
            "The messages of a dive held against the card of the recovered float:",
            "",
            "  sunward decode received/ --card card.tar.gz --plan in-force.yaml --out proof"
        })
final class DecodeCommand implements Callable<Integer> {
    private static final int REJECTIONS_SHOWN = 10;

    private final Console console;

    @Spec
    private CommandSpec spec;

    @Mixin
    private CommonOptions common;

    @Mixin
    private PlanOption plan;

    @Mixin
    private OutputOptions output;

    @Mixin
    private KeyOption keys;

    @Parameters(
            paramLabel = "FILE|DIR",
            arity = "1..*",
            description = "Files of one message each, or directories that hold them.")
    private List<Path> inputs;

    @Option(
            names = "--card",
            paramLabel = "DIR|ARCHIVE",
            description =
                    "Recording from the card of the recovered float (a directory, or a .tar.gz, .tar.zst, .tar, .zip"
                            + " or .7z of it): run the float's firmware on it again, confirm that the messages received are those that"
                            + " it makes, say what telemetry left out, and write the dive from the card into card/. Exit code 4 when a"
                            + " message differs.")
    private Path card;

    DecodeCommand(Console console) {
        this.console = console;
    }

    @Override
    public Integer call() throws IOException {
        for (Path input : inputs) {
            if (!Files.exists(input)) {
                throw new BadInput(input + ": no such file or directory, expected messages; check the path");
            }
        }
        PlanFile file = plan.read();
        ShoreInputs shore = new ShoreInputs(file.getPlan(), file.getCalibration(), Ancillary.climatology());
        ObjectNode record;
        DecodingResult result;
        CardProof proof = null;
        Path directory;
        try (ProgressBar bar = new ProgressBar(console, ProgressBar.CLOCK)) {
            bar.at("decode", 0);
            result = Decoding.decode(inputs, shore, keys.ring());
            tellRejections(result);
            if (result.nothingDecodable()) {
                throw new NothingDecodable(nothing(result));
            }
            bar.at("write", 0);
            try (OutputDirectory results = output.open("decoded")) {
                proof = card == null ? null : prove(file, result, bar);
                record = write(result, proof, file, results.work());
                directory = results.commit();
            }
        }
        for (DiveProduct product : result.products()) {
            product.warnings().forEach(warning -> console.err().println("warning: " + warning));
        }
        if (common.json()) {
            ObjectNode json = Json.object().put("directory", directory.toString());
            json.setAll(record);
            console.out().println(Json.text(json));
        } else {
            print(result, proof, MessageSheet.headNames(file.getPlan()), directory);
        }
        return proof == null || proof.confirms() ? Failures.DONE : Failures.CARD_DIFFERS;
    }

    private CardProof prove(PlanFile file, DecodingResult result, ProgressBar bar) throws IOException {
        byte[] key = keys.of(file.getPlan().getFloatNumber());
        try {
            return CardProof.of(file, card, key, result.accepted(), bar::at);
        } catch (IllegalArgumentException e) {
            throw new BadInput(e.getMessage());
        }
    }

    private static String nothing(DecodingResult result) {
        int files = result.rejected().size() + result.accepted().size();
        if (files == 0) {
            return "no file was found there, expected messages; name files or a directory that holds them";
        }
        return "none of " + files + " files holds a message of a dive that can be decoded; sunward show tells what is"
                + " wrong with one of them";
    }

    private void tellRejections(DecodingResult result) {
        if (common.json()) {
            return;
        }
        List<DecodingResult.Rejection> rejected = result.rejected();
        rejected.stream()
                .limit(REJECTIONS_SHOWN)
                .forEach(one -> console.err().println("rejected: " + one.file() + ": " + one.sentence()));
        if (rejected.size() > REJECTIONS_SHOWN) {
            console.err()
                    .println("rejected: " + (rejected.size() - REJECTIONS_SHOWN) + " more files; run.json names all");
        }
    }

    private ObjectNode write(DecodingResult result, CardProof proof, PlanFile file, Path work) throws IOException {
        RunRecord record = new RunRecord();
        ObjectNode root = record.root();
        root.put("what", "decoding of messages");
        root.put("command", CommonOptions.commandLine(spec));
        root.putObject("versions").put("wire", MessageLayout.VERSION).put("product_file", DiveProduct.VERSION);
        root.put("accepted", result.accepted().size());
        root.put("different", different(result));
        ArrayNode rejected = root.putArray("rejected");
        for (DecodingResult.Rejection one : result.rejected()) {
            rejected.addObject()
                    .put("file", one.file().toString())
                    .put("reason", one.reason().name().toLowerCase(Locale.ROOT))
                    .put("sentence", one.sentence());
        }
        ArrayNode dives = root.putArray("dives");
        for (DiveProduct product : result.products()) {
            String folder = result.products().size() == 1 ? "" : name(product);
            Path place = Files.createDirectories(work.resolve(folder));
            ProductFiles.writeProfile(product, place.resolve("profile.nc"));
            ProductFiles.writeRadiance(product, place.resolve("radiance.csv"));
            dives.add(DiveSheet.of(product, result.accepted(), MessageSheet.headNames(file.getPlan()))
                    .json()
                    .put("folder", folder));
        }
        if (proof != null) {
            root.set("card", CardSheet.of(proof).json());
            writeCard(proof, work.resolve("card"));
        }
        Files.writeString(work.resolve("plan.yaml"), PlanWriter.yaml(file), StandardCharsets.UTF_8);
        record.write(work);
        return root;
    }

    private static void writeCard(CardProof proof, Path directory) throws IOException {
        if (proof.whole() != null) {
            Files.createDirectory(directory);
            ProductFiles.writeProfile(proof.whole(), directory.resolve("profile.nc"));
            ProductFiles.writeRadiance(proof.whole(), directory.resolve("radiance.csv"));
        }
    }

    private static String name(DiveProduct product) {
        return String.format(Locale.ROOT, "float-%05d-dive-%04d", product.floatNumber(), product.dive());
    }

    private void print(DecodingResult result, CardProof proof, List<String> headNames, Path directory) {
        for (DiveProduct product : result.products()) {
            DiveSheet.of(product, result.accepted(), headNames).print(console, false);
            console.out().println();
        }
        if (proof != null) {
            CardSheet.of(proof).print(console, false);
            console.out().println();
        }
        console.out()
                .println(result.accepted().size() + result.rejected().size() + " files: " + different(result)
                        + " different messages, "
                        + (result.accepted().size() - different(result)) + " copies of them, "
                        + result.rejected().size() + " rejected; written to " + directory);
    }

    private static long different(DecodingResult result) {
        return result.accepted().stream()
                .map(message -> ByteBuffer.wrap(message.bytes()))
                .distinct()
                .count();
    }
}
