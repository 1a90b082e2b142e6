package sunward.desk;

import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.UnknownHostException;
import java.nio.file.Path;
import java.time.Clock;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import sunward.profiles.Ancillary;
import sunward.profiles.ShoreInputs;
import sunward.protocol.schema.PlanFile;
import sunward.watch.ShoreWatch;
import sunward.watch.WatchException;
import sunward.watch.WatchSettings;
import sunward.watch.alerts.CallOut;
import sunward.watch.intake.Limits;
import sunward.watch.intake.TcpDoor.Certificate;
import sunward.watch.store.MessageStore;
import sunward.watch.store.StoreException;

/** {@code listen}: the shore watch, until it is stopped. */
@Command(
        name = "listen",
        description =
                "Receive messages at any hour, keep them for ever, decode them as they come, and show every dive in a"
                        + " browser. Gateways show the token in DIR/token (or --token). Stop with Ctrl-C.",
        footerHeading = "%nExample: a watch for this machine only, and files put into inbox/ taken in%n",
        footer = {
            "  sunward listen --dir watch --inbox inbox",
            "",
            "Example: a copy of the store while it runs",
            "  sunward listen --dir watch --backup 2026-11-25.sqlite"
        })
final class ListenCommand implements Callable<Integer> {
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

    @Option(
            names = "--address",
            paramLabel = "ADDRESS",
            defaultValue = "127.0.0.1",
            description =
                    "Address to listen on (default: 127.0.0.1, this machine only; others need --tls-cert and --tls-key).")
    private String address;

    @Option(
            names = "--port",
            paramLabel = "PORT",
            defaultValue = "" + WatchSettings.TCP_PORT,
            description = "TCP port for gateways (default: ${DEFAULT-VALUE}).")
    private int port;

    @Option(
            names = "--page-port",
            paramLabel = "PORT",
            defaultValue = "" + WatchSettings.HTTP_PORT,
            description = "Port of the page and of POST /deliveries (default: ${DEFAULT-VALUE}).")
    private int pagePort;

    @Option(names = "--inbox", paramLabel = "DIR", description = "Watched folder: message files and archives of them.")
    private Path inbox;

    @Option(names = "--token", paramLabel = "FILE", description = "Token file (default: DIR/token, made when missing).")
    private Path token;

    @Option(names = "--tls-cert", paramLabel = "FILE", description = "Certificate chain, PEM.")
    private Path tlsCertificate;

    @Option(names = "--tls-key", paramLabel = "FILE", description = "Private key, PEM, for its owner's eyes only.")
    private Path tlsKey;

    @Option(
            names = "--alert-url",
            paramLabel = "URL",
            description = "Tell this address (https) of every alert: a POST each, one line of JSON.")
    private String alertUrl;

    @Option(
            names = "--alert-token",
            paramLabel = "FILE",
            description = "With --alert-url: the secret to show there as a bearer token.")
    private Path alertToken;

    @Option(
            names = "--alert-trust",
            paramLabel = "FILE",
            description = "With --alert-url: trust this certificate, PEM, instead of the machine's list.")
    private Path alertTrust;

    @Option(
            names = "--backup",
            paramLabel = "FILE",
            description = "Copy the store, which a watch may be using, to FILE and end.")
    private Path backup;

    ListenCommand(Console console) {
        this.console = console;
    }

    @Override
    public Integer call() throws IOException, InterruptedException {
        try {
            if (backup != null) {
                MessageStore.backup(folder.resolve("messages.sqlite"), backup);
                console.out()
                        .println(
                                common.json() ? Json.object().put("backup", backup.toString()) : "Copied to " + backup);
                return Failures.DONE;
            }
            return listen();
        } catch (WatchException | StoreException e) {
            throw new BadInput(e.getMessage());
        }
    }

    private int listen() throws IOException, WatchException, InterruptedException {
        WatchSettings settings = settings();
        CountDownLatch stop = new CountDownLatch(1);
        CountDownLatch closed = new CountDownLatch(1);
        // Ctrl-C ends the process when this hook returns: it waits until the store is closed.
        Runtime.getRuntime().addShutdownHook(new Thread(() -> {
            stop.countDown();
            try {
                closed.await();
            } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
            }
        }));
        // The log is not the result: the ports are, and they alone go to standard output.
        try (ShoreWatch watch = ShoreWatch.start(settings, Clock.systemUTC(), console.err())) {
            tell(watch);
            stop.await();
        } finally {
            closed.countDown();
        }
        return Failures.DONE;
    }

    private WatchSettings settings() throws IOException {
        if ((tlsCertificate == null) != (tlsKey == null)) {
            throw new BadInput("--tls-cert and --tls-key belong together, and one is missing; give both");
        }
        PlanFile file = plan.read();
        InetAddress where = where();
        return new WatchSettings(
                folder,
                new InetSocketAddress(where, checked("--port", port)),
                new InetSocketAddress(where, checked("--page-port", pagePort)),
                inbox,
                token,
                keys.ring(),
                keys.file(),
                new ShoreInputs(file.getPlan(), file.getCalibration(), Ancillary.climatology()),
                file.getScene(),
                tlsCertificate == null ? null : new Certificate(tlsCertificate, tlsKey),
                Limits.defaults(),
                callOut());
    }

    private CallOut.Address callOut() throws IOException {
        if (alertUrl == null && (alertToken != null || alertTrust != null)) {
            throw new BadInput(
                    "--alert-token and --alert-trust say how to call --alert-url, which is missing; give it");
        }
        try {
            return alertUrl == null ? null : new CallOut.Address(CallOut.Address.uri(alertUrl), alertToken, alertTrust);
        } catch (IOException e) {
            throw new BadInput("--alert-url " + e.getMessage());
        }
    }

    private InetAddress where() throws IOException {
        try {
            return InetAddress.getByName(address);
        } catch (UnknownHostException e) {
            throw new BadInput(
                    "--address " + address + ": no such address on this machine; give one, for example 127.0.0.1");
        }
    }

    private static int checked(String option, int number) throws IOException {
        if (number < 0 || number > 65_535) {
            throw new BadInput(option + " " + number + ": a port is 0 (any free one) to 65535; give another");
        }
        return number;
    }

    private void tell(ShoreWatch watch) {
        String scheme = tlsCertificate == null ? "http" : "https";
        String host = address.contains(":") ? "[" + address + "]" : address;
        String page = scheme + "://" + host + ":" + watch.pagePort() + "/";
        console.out()
                .println(
                        common.json()
                                ? Json.object().put("page", page).put("port", watch.tcpPort())
                                : "Page: " + page + "\nGateways: " + host + " port " + watch.tcpPort());
        console.out().flush();
    }
}
