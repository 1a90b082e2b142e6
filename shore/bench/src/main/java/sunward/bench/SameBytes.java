package sunward.bench;

import java.io.File;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.URI;
import java.net.URLClassLoader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.Dive;
import sunward.simulator.Recording;
import sunward.simulator.RecordingFiles;
import sunward.simulator.Seeds;

/**
 * Same recording, same bytes: one recording flown again on every Java at hand, compiled and interpreted, each in a process
 * of its own; digests of the messages and bytes allocated by the firmware, side by side. Each process also writes a made-up message of every tier, samples
 * among them, which the float does not send by itself.
 *
 * <p>Arguments: homes of further Javas. Those beside the one that runs are found alone; {@code -Dsunward.jdks=HOME:HOME}
 * names them instead.
 */
public final class SameBytes {
    /** System property with the homes of the Javas to run, separated as in a class path. */
    static final String JDKS = "sunward.jdks";

    private static final String CHILD = "--child";

    /** The JVM charges the thread for loading classes and for compiling, in the first flights only. */
    private static final int FLIGHTS = 4;

    private static final int FLIGHTS_INTERPRETED = 2;

    private SameBytes() {}

    /**
     * What a process reports.
     *
     * @param java feature number of the Java
     * @param tiers digest of made-up messages of every tier
     * @param allocated bytes, the least of some flights; -1 unknown
     */
    record Flight(int java, boolean interpreted, String digest, int messages, long allocated, String tiers) {}

    /** Flies the default dive, records it, and compares. */
    public static void main(String[] arguments) throws IOException, InterruptedException {
        if (arguments.length > 0 && arguments[0].equals(CHILD)) {
            child(Path.of(arguments[1]), Path.of(arguments[2]), Integer.parseInt(arguments[3]));
            return;
        }
        Set<Path> homes = new LinkedHashSet<>(homes());
        for (String home : arguments) {
            homes.add(Path.of(home));
        }
        List<Flight> flights = compare(PlanReader.defaults(), homes);
        for (Flight f : flights) {
            System.out.println("Java " + f.java + (f.interpreted ? " interpreted: " : " compiled:    ") + f.digest
                    + ", " + f.messages + " messages, " + f.allocated + " bytes allocated in flight; every tier: "
                    + f.tiers);
        }
        System.out.println("figure firmware.same_bytes_processes " + flights.size() + " 1");
        System.out.println("figure firmware.same_bytes_digests "
                + flights.stream().map(Flight::digest).distinct().count() + " 1");
        System.out.println("figure codec.same_bytes_digests "
                + flights.stream().map(Flight::tiers).distinct().count() + " 1");
        System.out.println("figure firmware.alloc_in_a_dive "
                + flights.stream().mapToLong(Flight::allocated).max().orElse(-1) + " byte");
    }

    /** Homes of the Javas to run: those named, else the one that runs and one of each other version beside it. */
    static List<Path> homes() throws IOException {
        String named = System.getProperty(JDKS);
        if (named != null) {
            return Stream.of(named.split(File.pathSeparator, -1)).map(Path::of).toList();
        }
        Path own = Path.of(System.getProperty("java.home")).toRealPath();
        TreeMap<Integer, Path> byVersion = new TreeMap<>();
        byVersion.put(Runtime.version().feature(), own);
        try (Stream<Path> beside = Files.list(own.getParent())) {
            for (Path home : beside.sorted(Comparator.naturalOrder()).toList()) {
                int version = version(home);
                if (version >= 17) {
                    byVersion.putIfAbsent(version, home);
                }
            }
        }
        return List.copyOf(byVersion.values());
    }

    /** Feature number of a Java from its release file, or 0. */
    private static int version(Path home) throws IOException {
        Path release = home.resolve("release");
        if (!Files.isRegularFile(release) || !Files.isExecutable(home.resolve("bin/java"))) {
            return 0;
        }
        for (String line : Files.readAllLines(release, StandardCharsets.UTF_8)) {
            if (line.startsWith("JAVA_VERSION=")) {
                return Runtime.Version.parse(
                                line.substring("JAVA_VERSION=".length()).replace("\"", ""))
                        .feature();
            }
        }
        return 0;
    }

    /** Flies and records a dive of the plan file, then flies the recording in two processes for each Java. */
    static List<Flight> compare(PlanFile file, Iterable<Path> homes) throws IOException, InterruptedException {
        Path place = Files.createTempDirectory("same-bytes");
        try {
            Recording recording = Dive.fly(
                            file.getPlan(),
                            file.getCalibration(),
                            file.getScene(),
                            Seeds.all(1),
                            null,
                            Dive.Progress.NONE)
                    .recording();
            RecordingFiles.write(recording, place);
            Path plan = Files.write(place.resolve("plan"), file.toByteArray());
            List<Flight> flights = new ArrayList<>();
            for (Path home : homes) {
                flights.add(spawn(home, false, place, plan));
                flights.add(spawn(home, true, place, plan));
            }
            return flights;
        } finally {
            try (Stream<Path> all = Files.walk(place)) {
                all.sorted(Comparator.reverseOrder()).forEach(SameBytes::delete);
            }
        }
    }

    private static void delete(Path path) {
        try {
            Files.delete(path);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static Flight spawn(Path home, boolean interpreted, Path recording, Path plan)
            throws IOException, InterruptedException {
        List<String> command = new ArrayList<>(List.of(home.resolve("bin/java").toString()));
        if (interpreted) {
            command.add("-Xint");
        }
        command.addAll(List.of("-Xmx1g", "-cp", classPath(), SameBytes.class.getName(), CHILD));
        command.addAll(List.of(
                recording.toString(), plan.toString(), Integer.toString(interpreted ? FLIGHTS_INTERPRETED : FLIGHTS)));
        Path said = recording.resolve("said");
        Process process = new ProcessBuilder(command)
                .redirectErrorStream(true)
                .redirectOutput(said.toFile())
                .start();
        int exit = process.waitFor();
        List<String> lines = Files.readAllLines(said, StandardCharsets.UTF_8);
        String last = lines.isEmpty() ? "" : lines.get(lines.size() - 1);
        String[] words = last.split(" ", -1);
        if (exit != 0 || words.length != 6 || !words[0].equals("flown")) {
            throw new IOException(
                    home + ": the process ended with " + exit + " and said: " + String.join(" / ", lines));
        }
        return new Flight(
                Integer.parseInt(words[1]),
                interpreted,
                words[2],
                Integer.parseInt(words[3]),
                Long.parseLong(words[4]),
                words[5]);
    }

    /** Where this program's classes are: a test launcher may have loaded them from elsewhere than the class path. */
    static String classPath() {
        if (SameBytes.class.getClassLoader() instanceof URLClassLoader loader) {
            return Stream.of(loader.getURLs())
                    .map(url -> Path.of(URI.create(url.toString())).toString())
                    .collect(Collectors.joining(File.pathSeparator));
        }
        return System.getProperty("java.class.path");
    }

    private static void child(Path place, Path plan, int flights) throws IOException {
        PlanFile file = PlanFile.parseFrom(Files.readAllBytes(plan));
        Recording recording = RecordingFiles.read(place);
        String digest = "";
        long least = Long.MAX_VALUE;
        int messages = 0;
        for (int i = 0; i < flights; i++) {
            FlownAgain again = new FlownAgain(file, recording);
            least = Math.min(least, again.fly());
            if (i > 0 && !digest.equals(again.digest())) {
                throw new IllegalStateException("flight " + i + " made other bytes than the one before");
            }
            digest = again.digest();
            messages = again.messages();
        }
        System.out.println("flown " + Runtime.version().feature() + " " + digest + " " + messages + " " + least + " "
                + FlownAgain.digest(MadeUpWire.everyTier()));
    }
}
