package sunward.bench;

import java.io.IOException;
import java.io.PrintStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVParser;
import org.apache.commons.csv.CSVRecord;

/**
 * The benchmark of the spectral codec: {@code CodecBench CONDITIONS.csv [seeds=3] [family=NAME] [threads=1] [results=DIRECTORY]
 * [picture=FILE.svg] [training=CONDITIONS.csv]}. For every dive and tier each coder works at its own cheapest step that meets
 * the tier's target, judged on decoded bytes only, ours decoded in a process of its own. Bytes are bytes on air: with headers,
 * seals and the bins' own fields. A coder that meets a target at no step is shown as failed, not left out.
 *
 * <p>One result file a dive and seed: a run that was stopped goes on where it was. Results of other code are never mixed in:
 * their place carries the digest of the code and of the conditions.
 */
public final class CodecBench {
    /** One training dive in so many makes the ensemble of the joint bound. */
    private static final int ENSEMBLE_EVERY = 2;

    private final BenchOptions options;
    private final Path results;
    private final BenchProgress progress;

    private record Task(CSVRecord row, int number, int repeat) {}

    private CodecBench(BenchOptions options, Path results, int tasks) {
        this.options = options;
        this.results = results;
        progress = new BenchProgress(tasks);
    }

    /** Runs the conditions of a file. */
    public static void main(String[] arguments) throws IOException, InterruptedException {
        PrintStream out = new PrintStream(System.out, true, StandardCharsets.UTF_8);
        BenchOptions options = BenchOptions.parse(arguments);
        if (options == null) {
            out.println("Give a conditions file, and after it, as you like, seeds=3 family=NAME threads=2"
                    + " results=DIRECTORY picture=FILE.svg training=CONDITIONS.csv.");
            return;
        }
        String conditions = CodeDigest.of(options.conditions());
        String code = CodeDigest.ofCode();
        out.println("conditions " + options.conditions().getFileName() + " sha256 " + conditions);
        out.println("code sha256 " + code);
        out.println("judge: surface and attenuation by " + SurfaceJudge.NAME);
        List<Outcome> outcomes =
                new ArrayList<>(run(options, code.substring(0, 12) + "-" + conditions.substring(0, 12)));
        outcomes.addAll(joint(options));
        outcomes.addAll(new SpeedTrial(new Condition(rows(options.conditions()).get(0), 0)).run());
        new CodecReport(outcomes, out).print();
        if (options.pictureOrNull() != null) {
            Files.writeString(options.pictureOrNull(), RateCurve.svg(outcomes), StandardCharsets.UTF_8);
        }
    }

    /** Joint bounds of some ordinary dives from the training dives named, if any are. */
    private static List<Outcome> joint(BenchOptions options) {
        if (options.trainingOrNull() == null) {
            return List.of();
        }
        List<Condition> training = new ArrayList<>();
        List<CSVRecord> rows = rows(options.trainingOrNull());
        for (int i = 0; i < rows.size(); i += ENSEMBLE_EVERY) {
            training.add(new Condition(rows.get(i), 0));
        }
        JointBound bound = new JointBound(training);
        List<Outcome> found = new ArrayList<>();
        List<CSVRecord> judged = rows(options.conditions());
        for (int i = 0; i < judged.size(); i += DiveTrial.IN_PICTURE) {
            if (judged.get(i).get("family").equals("ordinary")) {
                found.addAll(bound.of(new Condition(judged.get(i), 0)));
            }
        }
        return found;
    }

    static List<Outcome> run(BenchOptions options, String key) throws IOException, InterruptedException {
        List<Task> tasks = new ArrayList<>();
        // First seeds first: a run that is stopped has seen every dive once.
        for (int repeat = 0; repeat < options.seeds(); repeat++) {
            int number = 0;
            for (CSVRecord row : rows(options.conditions())) {
                if (options.family().isEmpty() || row.get("family").equals(options.family())) {
                    tasks.add(new Task(row, number, repeat));
                }
                number++;
            }
        }
        Path results = Files.createDirectories(options.results().resolve(key));
        return new CodecBench(options, results, tasks.size()).all(tasks);
    }

    private List<Outcome> all(List<Task> tasks) throws InterruptedException {
        ExecutorService workers = Executors.newFixedThreadPool(options.threads());
        try {
            List<Future<List<Outcome>>> futures = new ArrayList<>();
            for (Task task : tasks) {
                futures.add(workers.submit(() -> one(task)));
            }
            List<Outcome> outcomes = new ArrayList<>();
            for (Future<List<Outcome>> future : futures) {
                try {
                    outcomes.addAll(future.get());
                } catch (ExecutionException e) {
                    // One dive that cannot be judged is said and does not cost the others.
                    System.err.println("not judged: " + e.getCause().getMessage());
                }
            }
            return outcomes;
        } finally {
            workers.shutdownNow();
            progress.end();
        }
    }

    private List<Outcome> one(Task task) throws IOException, InterruptedException {
        Condition condition = new Condition(task.row, task.repeat);
        Path file = results.resolve(condition.name().replace('/', '-') + ".tsv");
        if (!Files.exists(file)) {
            Path work = Files.createTempDirectory("codec-bench");
            try {
                List<String> lines = DiveTrial.run(condition, task.repeat == 0, task.number, work).stream()
                        .map(Outcome::line)
                        .toList();
                Path part = Files.write(results.resolve(file.getFileName() + ".part"), lines, StandardCharsets.UTF_8);
                Files.move(part, file, StandardCopyOption.ATOMIC_MOVE);
            } catch (RuntimeException e) {
                throw new IllegalStateException(condition.name() + ": " + e.getMessage(), e);
            } finally {
                CommandLine.delete(work);
            }
            progress.ran();
        } else {
            progress.found();
        }
        return Outcome.parse(Files.readAllLines(file, StandardCharsets.UTF_8));
    }

    static List<CSVRecord> rows(Path file) {
        CSVFormat format = CSVFormat.DEFAULT
                .builder()
                .setHeader()
                .setSkipHeaderRecord(true)
                .setCommentMarker('#')
                .get();
        try (CSVParser parser = CSVParser.parse(file, StandardCharsets.UTF_8, format)) {
            return parser.getRecords();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
