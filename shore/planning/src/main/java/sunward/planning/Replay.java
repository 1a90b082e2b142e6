package sunward.planning;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import sunward.profiles.Decoding;
import sunward.profiles.DiveProduct;
import sunward.profiles.ProductFiles;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.Verdict;
import sunward.protocol.plan.Digests;
import sunward.protocol.plan.FlownChannels;
import sunward.protocol.plan.PlanWriter;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.Dive;
import sunward.simulator.RecordingFiles;

/**
 * A recorded dive flown again through the float's own firmware, under the same plan or another, and decoded as if every
 * message had arrived. There is no truth to hold it against and no link: the recording has neither. What is seen and when
 * it is exposed was settled when the recording was made; a plan can change what is done with it. Every message is marked
 * simulated, because no float sent it.
 */
public final class Replay {
    private Replay() {}

    /**
     * Flies a recording and makes the directory appear: messages/, profile.nc, radiance.csv, plan.yaml and run.json.
     *
     * @param recording directory with events.csv and scans.bin
     * @param sealKey the float's key, or null: its messages go unsealed
     * @param command what the user typed, for run.json
     * @return the contents of run.json and the directory, as a rehearsal gives them
     * @throws IllegalArgumentException with one sentence when the recording is spoilt or of other heads than the plan's
     */
    public static Rehearsal.Outcome run(
            PlanFile file, Path recording, byte[] sealKey, OutputDirectory out, String command, Dive.Progress progress)
            throws IOException {
        progress.at("recording", 0);
        List<byte[]> sent = Dive.replay(
                file.getPlan(), file.getCalibration(), RecordingFiles.read(recording, channels(file)), sealKey);
        progress.at("decode", 0);
        KeyRing keys = sealKey == null
                ? KeyRing.none()
                : KeyRing.of(Map.of(file.getPlan().getFloatNumber(), sealKey));
        List<Message> messages = new ArrayList<>();
        Path directory = Files.createDirectory(out.work().resolve("messages"));
        int bytes = 0;
        for (byte[] one : sent) {
            if (!(MessageReader.read(one, keys) instanceof Verdict.Accepted sound)) {
                throw new IllegalStateException("the float made a message that does not verify");
            }
            Message m = sound.message();
            messages.add(m);
            bytes += one.length;
            String name = String.format(
                    Locale.ROOT,
                    "%04d-f%05d-d%04d-p%04d.msg",
                    messages.size(),
                    m.floatNumber(),
                    m.dive(),
                    m.position());
            Files.write(directory.resolve(name), one);
        }
        List<DiveProduct> products = Decoding.products(messages, RehearsedDive.shore(file));
        progress.at("write", 0);
        if (!products.isEmpty()) {
            ProductFiles.writeProfile(products.get(0), out.work().resolve("profile.nc"));
            ProductFiles.writeRadiance(products.get(0), out.work().resolve("radiance.csv"));
        }
        Files.writeString(out.work().resolve("plan.yaml"), PlanWriter.yaml(file), StandardCharsets.UTF_8);
        RunRecord record = record(file, command, sent.size(), bytes);
        record.write(out.work());
        String verdict = sent.size() + " messages, " + bytes + " bytes, made again from the recording";
        List<Rehearsal.Stage> stages = List.of(new Rehearsal.Stage("replay", verdict));
        List<String> warnings =
                products.stream().flatMap(p -> p.warnings().stream()).toList();
        return new Rehearsal.Outcome(out.commit(), !products.isEmpty(), verdict, stages, warnings, record.root());
    }

    private static RunRecord record(PlanFile file, String command, int messages, int bytes) {
        RunRecord record = new RunRecord();
        ObjectNode root = record.root();
        root.put("what", "replay: a recorded dive, flown again and decoded as if every message had arrived");
        root.put("simulated", true);
        root.put("command", command);
        root.put("messages", messages);
        root.put("bytes", bytes);
        ObjectNode digests = root.putObject("digests_sha256");
        digests.put("plan", Digests.hex(Digests.of(file.getPlan())));
        digests.put("calibration", Digests.hex(Digests.of(file.getCalibration())));
        return record;
    }

    /** Channels that each head of the plan reads. */
    static List<Integer> channels(PlanFile file) {
        List<Integer> channels = new ArrayList<>();
        for (int head = 0; head < file.getPlan().getHeadsCount(); head++) {
            channels.add(FlownChannels.of(file.getPlan(), file.getCalibration(), head)
                    .count());
        }
        return channels;
    }
}
