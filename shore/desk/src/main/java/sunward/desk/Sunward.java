package sunward.desk;

import java.io.OutputStreamWriter;
import java.io.PrintStream;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.concurrent.Callable;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Help.Ansi;
import picocli.CommandLine.IVersionProvider;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Spec;
import sunward.protocol.message.MessageLayout;

/** The command line: {@code sunward COMMAND ...}. */
@Command(
        name = "sunward",
        mixinStandardHelpOptions = true,
        versionProvider = Sunward.Version.class,
        synopsisSubcommandLabel = "COMMAND",
        description = "Plan, fly, decode and judge radiometric float dives: from the light that leaves the sea"
                + " to surface radiance with its uncertainty.",
        footerHeading = "%nExample: a whole simulated dive, from the sea to a report%n",
        footer = {
            "  sunward rehearse",
            "",
            "Exit codes: 0 done, 1 our fault, 2 bad input, 3 nothing could be decoded, 4 a card contradicts the messages."
        })
public final class Sunward implements Callable<Integer> {
    private final Console console;

    @Spec
    private CommandSpec spec;

    private Sunward(Console console) {
        this.console = console;
    }

    /** Runs one command and ends the process with its exit code. */
    public static void main(String[] arguments) {
        Console console = Console.ofProcess();
        Thread interrupted = new Thread(() -> interrupted(console));
        Runtime.getRuntime().addShutdownHook(interrupted);
        int exitCode = run(console, arguments);
        try {
            Runtime.getRuntime().removeShutdownHook(interrupted);
        } catch (IllegalStateException e) {
            return; // the process is already ending: it was interrupted, and says so
        }
        System.exit(exitCode);
    }

    /** Ctrl-C, or the machine is going down. Half-done results are removed by their owners meanwhile. */
    private static void interrupted(Console console) {
        console.err().println((console.live() ? "\n" : "") + "sunward: stopped; no half-done results are left behind");
    }

    /** Runs one command and returns its exit code; nothing is thrown. */
    static int run(Console console, String... arguments) {
        Failures failures = new Failures(console, arguments);
        CommandLine line = new CommandLine(new Sunward(console));
        for (Object command : List.of(
                new PlanCommand(console),
                new AimCommand(console),
                new SkyCommand(console),
                new WaterCommand(console),
                new RehearseCommand(console),
                new DecodeCommand(console),
                new ShowCommand(console),
                new OrderCommand(console),
                new SizeCommand(console),
                new CompareCommand(console),
                new ListenCommand(console),
                new RebuildCommand(console))) {
            line.addSubcommand(command);
        }
        line.setOut(writer(console.out()));
        line.setErr(writer(console.err()));
        line.setColorScheme(CommandLine.Help.defaultColorScheme(console.colour() ? Ansi.ON : Ansi.OFF));
        line.setUsageHelpAutoWidth(console.live());
        line.setParameterExceptionHandler(failures::commandLine);
        line.setExecutionExceptionHandler(failures::execution);
        return line.execute(arguments);
    }

    private static PrintWriter writer(PrintStream stream) {
        return new PrintWriter(new OutputStreamWriter(stream, StandardCharsets.UTF_8), true);
    }

    @Override
    public Integer call() {
        spec.commandLine().usage(console.out());
        return Failures.DONE;
    }

    /** What {@code --version} prints. */
    static final class Version implements IVersionProvider {
        @Override
        public String[] getVersion() {
            String product = Sunward.class.getPackage().getImplementationVersion();
            return new String[] {
                "sunward " + (product == null ? "development build" : product), "wire version " + MessageLayout.VERSION
            };
        }
    }
}
