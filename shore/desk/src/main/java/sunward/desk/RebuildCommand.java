package sunward.desk;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import sunward.profiles.Ancillary;
import sunward.profiles.ShoreInputs;
import sunward.protocol.schema.PlanFile;
import sunward.watch.ShoreWatch;
import sunward.watch.WatchException;
import sunward.watch.WatchSettings;

/** {@code rebuild}: what is derived from the raw messages, dropped and made again, or checked. */
@Command(
        name = "rebuild",
        description =
                "Drop everything that was made from a watch's raw messages and make it again; the watch must be stopped."
                        + " With --check, change nothing but say whether the store is sound and the derived tables are what the raw"
                        + " messages give.",
        footerHeading = "%nExample: is everything as it should be?%n",
        footer = {"  sunward rebuild --dir watch --check"})
final class RebuildCommand implements Callable<Integer> {
    private final Console console;

    @Mixin
    private CommonOptions common;

    @Mixin
    private PlanOption plan;

    @Mixin
    private KeyOption keys;

    @Option(
            names = "--dir",
            paramLabel = "DIR",
            defaultValue = "watch",
            description = "Folder of the store (default: watch).")
    private Path folder;

    @Option(names = "--check", description = "Only look.")
    private boolean check;

    RebuildCommand(Console console) {
        this.console = console;
    }

    @Override
    public Integer call() throws IOException {
        if (!Files.isRegularFile(folder.resolve("messages.sqlite"))) {
            throw new BadInput(folder + ": no watch has kept messages here; give the folder of a watch");
        }
        PlanFile file = plan.read();
        WatchSettings settings = WatchSettings.loopback(folder, 0, 0)
                .withKeys(keys.ring(), keys.file())
                .withInputs(new ShoreInputs(file.getPlan(), file.getCalibration(), Ancillary.climatology()))
                .withScene(file.getScene());
        try {
            return check ? check(settings) : rebuild(settings);
        } catch (WatchException e) {
            throw new BadInput(e.getMessage());
        }
    }

    private int rebuild(WatchSettings settings) throws WatchException {
        long messages = ShoreWatch.rebuild(settings);
        console.out()
                .println(
                        common.json()
                                ? Json.object().put("messages", messages)
                                : "Made again from " + messages + " messages");
        return Failures.DONE;
    }

    private int check(WatchSettings settings) throws WatchException {
        List<String> wrong = ShoreWatch.check(settings);
        if (common.json()) {
            ObjectNode answer = Json.object().put("sound", wrong.isEmpty());
            ArrayNode list = answer.putArray("wrong");
            wrong.forEach(list::add);
            console.out().println(answer);
        } else {
            console.out().println(wrong.isEmpty() ? "The store is sound" : String.join("\n", wrong));
        }
        return wrong.isEmpty() ? Failures.DONE : Failures.OURS;
    }
}
