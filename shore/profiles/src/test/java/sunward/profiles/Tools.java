package sunward.profiles;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;

/** Programs that tests ask for a second opinion: without one its tests are skipped by name, and fail when CI=true. */
final class Tools {
    private Tools() {}

    static String run(String name, String... command) throws IOException, InterruptedException {
        boolean required = "true".equals(System.getenv("CI"));
        if (!available(name)) {
            assumeTrue(required, name + " is not installed here; this check is left out");
            throw new AssertionError(name + " is needed when CI=true and is not installed.");
        }
        Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
        String text = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        assertEquals(0, process.waitFor(), text);
        return text;
    }

    private static boolean available(String name) throws InterruptedException {
        String[] probe = name.equals("ncdump")
                ? new String[] {"ncdump", "-h"}
                : new String[] {"/usr/bin/python3", "-c", "import xarray, netCDF4"};
        try {
            Process process =
                    new ProcessBuilder(probe).redirectErrorStream(true).start();
            process.getInputStream().readAllBytes();
            int code = process.waitFor();
            return name.equals("ncdump") || code == 0;
        } catch (IOException e) {
            return false;
        }
    }
}
