package sunward.watch;

import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.file.Path;
import sunward.profiles.Ancillary;
import sunward.profiles.ShoreInputs;
import sunward.protocol.message.KeyRing;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.Scene;
import sunward.watch.alerts.CallOut;
import sunward.watch.intake.Limits;
import sunward.watch.intake.TcpDoor.Certificate;

/**
 * How a watch is to run.
 *
 * @param folder where everything is kept
 * @param tcp where gateways connect; port 0: any free one
 * @param http where the page is; port 0: any free one
 * @param watchedFolder folder for files, null: none
 * @param tokenFile the secret of the gateways, null: {@code token} in the folder, made when it is missing
 * @param keys the floats' keys
 * @param keyFile the file that they came from, null: none; when it changes, every message is judged again
 * @param inputs plan, calibration and what is known of the day
 * @param scene the sea in which dives are rehearsed to compare them with; null: none are compared
 * @param certificate for both ports, null: without TLS
 * @param limits what senders may ask
 * @param callOut whom to tell of alerts, null: nobody
 */
public record WatchSettings(
        Path folder,
        InetSocketAddress tcp,
        InetSocketAddress http,
        Path watchedFolder,
        Path tokenFile,
        KeyRing keys,
        Path keyFile,
        ShoreInputs inputs,
        Scene scene,
        Certificate certificate,
        Limits limits,
        CallOut.Address callOut) {
    /** Default port of the TCP door. */
    public static final int TCP_PORT = 7250;

    /** Default port of the page. */
    public static final int HTTP_PORT = 7251;

    /** A watch in {@code folder} that only this machine can reach. */
    public static WatchSettings loopback(Path folder, int tcpPort, int httpPort) {
        InetAddress loopback = InetAddress.getLoopbackAddress();
        return new WatchSettings(
                folder,
                new InetSocketAddress(loopback, tcpPort),
                new InetSocketAddress(loopback, httpPort),
                null,
                null,
                KeyRing.none(),
                null,
                new ShoreInputs(
                        PlanReader.defaults().getPlan(),
                        PlanReader.defaults().getCalibration(),
                        Ancillary.climatology()),
                null,
                null,
                Limits.defaults(),
                null);
    }

    /** The file of the gateways' token. */
    public Path tokenPath() {
        return tokenFile == null ? folder.resolve("token") : tokenFile;
    }

    /** The same with another watched folder. */
    public WatchSettings withWatchedFolder(Path watched) {
        return new WatchSettings(
                folder, tcp, http, watched, tokenFile, keys, keyFile, inputs, scene, certificate, limits, callOut);
    }

    /** The same with these keys and the file that they came from. */
    public WatchSettings withKeys(KeyRing ring, Path file) {
        return new WatchSettings(
                folder, tcp, http, watchedFolder, tokenFile, ring, file, inputs, scene, certificate, limits, callOut);
    }

    /** The same with another plan and calibration. */
    public WatchSettings withInputs(ShoreInputs other) {
        return new WatchSettings(
                folder, tcp, http, watchedFolder, tokenFile, keys, keyFile, other, scene, certificate, limits, callOut);
    }

    /** The same, with every dive compared with a rehearsal in this sea. */
    public WatchSettings withScene(Scene sea) {
        return new WatchSettings(
                folder, tcp, http, watchedFolder, tokenFile, keys, keyFile, inputs, sea, certificate, limits, callOut);
    }

    /** The same with other limits. */
    public WatchSettings withLimits(Limits other) {
        return new WatchSettings(
                folder, tcp, http, watchedFolder, tokenFile, keys, keyFile, inputs, scene, certificate, other, callOut);
    }

    /** The same, telling {@code address} of alerts. */
    public WatchSettings withCallOut(CallOut.Address address) {
        return new WatchSettings(
                folder,
                tcp,
                http,
                watchedFolder,
                tokenFile,
                keys,
                keyFile,
                inputs,
                scene,
                certificate,
                limits,
                address);
    }
}
