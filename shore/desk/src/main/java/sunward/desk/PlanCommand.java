package sunward.desk;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import sunward.protocol.plan.Digests;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.SceneLibrary;

/** {@code plan}: prints a complete commented plan. */
@Command(
        name = "plan",
        description = "Print a complete plan file, commented. A plan file of your own need only hold what it changes.",
        footerHeading = "%nExample: a plan of your own to edit, then to fly%n",
        footer = {
            "  sunward plan > mine.yaml",
            "  sunward rehearse --plan mine.yaml",
            "",
            "The scenes that rehearse and compare know by name, and what one of them changes:",
            "",
            "  sunward plan --scenes",
            "  sunward plan --scene low-sun"
        })
final class PlanCommand implements Callable<Integer> {
    private final Console console;

    @Mixin
    private CommonOptions common;

    @Option(names = "--example", paramLabel = "NAME", defaultValue = "default", description = "default or three-arms.")
    private String example;

    @Option(
            names = "--scene",
            paramLabel = "NAME",
            description = "Print a scene of the library instead: a fragment that holds only what it changes.")
    private String scene;

    @Option(names = "--scenes", description = "List the scenes of the library.")
    private boolean scenes;

    PlanCommand(Console console) {
        this.console = console;
    }

    @Override
    public Integer call() {
        if (scenes) {
            return list();
        }
        if (scene != null) {
            return show(scene, SceneLibrary.text(scene), SceneLibrary.over(PlanReader.defaults(), scene));
        }
        Map<String, String> examples = PlanReader.examples();
        String text = examples.get(example);
        if (text == null) {
            throw new BadInput("--example is \"" + example + "\", expected " + String.join(" or ", examples.keySet())
                    + "; choose one of them");
        }
        return show(example, text, PlanReader.read(text, example));
    }

    private Integer show(String name, String text, PlanFile file) {
        if (common.json()) {
            console.out()
                    .println(Json.text(Json.object()
                            .put("name", name)
                            .put("plan_digest", Digests.hex(Digests.of(file.getPlan())))
                            .put("calibration_digest", Digests.hex(Digests.of(file.getCalibration())))
                            .put("yaml", text)));
        } else {
            console.out().print(text);
            console.out().flush();
        }
        return Failures.DONE;
    }

    private Integer list() {
        List<Sheet.Row> rows = new ArrayList<>();
        for (String name : SceneLibrary.names()) {
            String title =
                    SceneLibrary.over(PlanReader.defaults(), name).getScene().getTitle();
            rows.add(new Sheet.Row().put("name", name).put("title", title, "  " + title));
        }
        new Sheet()
                .table("scenes", List.of("            scene", "  title"), rows)
                .print(console, common.json());
        return Failures.DONE;
    }
}
