package sunward.desk;

import java.io.IOException;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import javax.net.SocketFactory;
import picocli.CommandLine.Option;
import sunward.protocol.message.MessageLayout;
import sunward.protocol.plan.PlanWriter;
import sunward.protocol.schema.PlanFile;
import sunward.watch.health.Token;
import sunward.watch.health.Trust;
import sunward.watch.live.Gateway;
import sunward.watch.live.LiveFleet;

/** The part of {@code rehearse} that flies into a running watch. */
final class LiveOptions {
    @Option(
            names = "--live",
            paramLabel = "HOST:PORT",
            description =
                    "Write nothing; send the messages to the running watch there instead, as the link delivers them.")
    private String live;

    @Option(names = "--token", paramLabel = "FILE", description = "With --live: the watch's token file (DIR/token).")
    private Path tokenFile;

    @Option(
            names = "--floats",
            paramLabel = "N",
            description = "With --live: so many floats, one dive each (default: 1); above " + LiveFleet.MOST_WHOLE
                    + " they fly 12 wavelengths unless the plan names its own.")
    private Integer floats;

    @Option(
            names = "--speed",
            paramLabel = "X",
            description = "With --live: so many times faster than life; 0: as fast as it goes (default: 60).")
    private Double speed;

    @Option(
            names = "--trust",
            paramLabel = "FILE",
            description = "With --live: use TLS and trust this certificate, PEM.")
    private Path trust;

    @Option(
            names = "--keep-plan",
            paramLabel = "FILE",
            description =
                    "With --live: write the plan that the floats fly; \"listen --plan FILE\" shows their radiance.")
    private Path keepPlan;

    boolean asked() {
        if (live == null
                && (tokenFile != null || floats != null || speed != null || trust != null || keepPlan != null)) {
            throw new BadInput(
                    "--token, --floats, --speed, --trust and --keep-plan say how to fly into a watch; give --live too");
        }
        return live != null;
    }

    int run(PlanFile file, long seed, Console console, boolean json) throws IOException, InterruptedException {
        int many = floats == null ? 1 : floats;
        int first = file.getPlan().getFloatNumber();
        if (many < 1 || first + many - 1 > MessageLayout.MAX_FLOAT) {
            throw new BadInput("--floats " + many + ": expected 1 to " + (MessageLayout.MAX_FLOAT - first + 1)
                    + " from float number " + first + " on; correct it");
        }
        double fast = speed == null ? 60 : speed;
        if (!(fast >= 0 && fast <= 1e6)) {
            throw new BadInput("--speed " + fast + ": expected 0 to 1000000; correct it");
        }
        if (tokenFile == null) {
            throw new BadInput("--live needs --token: the file \"token\" in the folder of that watch");
        }
        if (keepPlan != null) {
            Files.writeString(keepPlan, PlanWriter.yaml(LiveFleet.planOf(file, many)), StandardCharsets.UTF_8);
        }
        LiveFleet.Outcome outcome;
        try (Gateway gateway = new Gateway(address(), sockets(), Token.read(tokenFile));
                ProgressBar bar = new ProgressBar(console, ProgressBar.CLOCK)) {
            outcome = new LiveFleet(file, seed, many, fast).fly(gateway, bar::at);
        } catch (IOException e) {
            throw new BadInput(e.getMessage());
        }
        console.out()
                .println(
                        json
                                ? Json.object()
                                        .put("simulated", true)
                                        .put("floats", outcome.floats())
                                        .put("messages", outcome.messages())
                                        .put("repeated", outcome.repeats())
                                        .put("simulated_s", outcome.simulatedS())
                                        .put("wall_s", outcome.wallS())
                                        .put("speed", outcome.speed())
                                : String.format(
                                        Locale.ROOT,
                                        "SIMULATED: %d %s, %d messages on the watch's disk, %d of them had come before;"
                                                + " %.0f s of sea in %.1f s, %.0f times faster than life",
                                        outcome.floats(),
                                        outcome.floats() == 1 ? "float" : "floats",
                                        outcome.messages(),
                                        outcome.repeats(),
                                        outcome.simulatedS(),
                                        outcome.wallS(),
                                        outcome.speed()));
        return Failures.DONE;
    }

    private InetSocketAddress address() {
        int colon = live.lastIndexOf(':');
        String port = live.substring(colon + 1);
        if (colon > 0 && port.matches("[0-9]{1,5}") && Integer.parseInt(port) <= 65_535) {
            InetSocketAddress address =
                    new InetSocketAddress(live.substring(0, colon).replaceAll("[\\[\\]]", ""), Integer.parseInt(port));
            if (!address.isUnresolved()) {
                return address;
            }
        }
        throw new BadInput("--live " + live + ": expected a known host and a port, such as 127.0.0.1:7250; correct it");
    }

    private SocketFactory sockets() throws IOException {
        return trust == null ? SocketFactory.getDefault() : Trust.only(trust).getSocketFactory();
    }
}
