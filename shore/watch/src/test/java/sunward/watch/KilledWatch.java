package sunward.watch;

import java.nio.file.Path;
import java.time.Clock;

/** The process that the kill test kills: a watch in the folder of its first argument, its TCP port on standard output. */
final class KilledWatch {
    private KilledWatch() {}

    public static void main(String[] arguments) throws Exception {
        ShoreWatch watch =
                ShoreWatch.start(WatchSettings.loopback(Path.of(arguments[0]), 0, 0), Clock.systemUTC(), System.err);
        System.out.println("port " + watch.tcpPort());
        System.out.flush();
        // Runs until it is killed, or until the test that started it is gone and its pipe ends.
        while (System.in.read() >= 0) {
            // nothing to do
        }
        System.exit(0);
    }
}
