package sunward.desk;

import java.util.Map;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import sunward.protocol.plan.Digests;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.PlanFile;

/** {@code plan}: prints a complete commented plan. */
@Command(
        name = "plan",
        description = "Print a complete plan file, commented. A plan file of your own need only hold what it changes.",
        footerHeading = "%nExample: a plan of your own to edit, then to fly%n",
        footer = {"  sunward plan > mine.yaml", "  sunward rehearse --plan mine.yaml"})
final class PlanCommand implements Callable<Integer> {
    private final Console console;

    @Mixin
    private CommonOptions common;

    @Option(names = "--example", paramLabel = "NAME", defaultValue = "default", description = "default or three-arms.")
    private String example;

    PlanCommand(Console console) {
        this.console = console;
    }

    @Override
    public Integer call() {
        Map<String, String> examples = PlanReader.examples();
        String text = examples.get(example);
        if (text == null) {
            throw new BadInput("--example is \"" + example + "\", expected " + String.join(" or ", examples.keySet())
                    + "; choose one of them");
        }
        if (common.json()) {
            PlanFile file = PlanReader.read(text, example);
            console.out()
                    .println(Json.text(Json.object()
                            .put("name", example)
                            .put("plan_digest", Digests.hex(Digests.of(file.getPlan())))
                            .put("calibration_digest", Digests.hex(Digests.of(file.getCalibration())))
                            .put("yaml", text)));
        } else {
            console.out().print(text);
            console.out().flush();
        }
        return Failures.DONE;
    }
}
