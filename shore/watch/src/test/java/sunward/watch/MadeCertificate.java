package sunward.watch;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.security.Key;
import java.security.KeyStore;
import java.util.Base64;
import java.util.concurrent.TimeUnit;
import javax.net.ssl.KeyManagerFactory;
import javax.net.ssl.SSLContext;

/** A fresh key with its own certificate for this machine, made by the JDK's keytool, as PEM files. */
public final class MadeCertificate {
    private static final char[] PASSWORD = "changeit".toCharArray();

    private final KeyStore store;

    /** Certificate, PEM. */
    public final Path chain;

    /** Private key, PKCS 8 in PEM, for its owner only. */
    public final Path key;

    /** Makes both in a folder that exists. */
    public MadeCertificate(Path folder, String name) throws Exception {
        Path file = folder.resolve(name + ".p12");
        Process keytool = new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "keytool")
                                .toString(),
                        "-genkeypair",
                        "-keystore",
                        file.toString(),
                        "-storetype",
                        "PKCS12",
                        "-storepass",
                        new String(PASSWORD),
                        "-alias",
                        "watch",
                        "-keyalg",
                        "EC",
                        "-groupname",
                        "secp256r1",
                        "-dname",
                        "CN=" + name,
                        "-ext",
                        "SAN=DNS:localhost,IP:127.0.0.1",
                        "-validity",
                        "2")
                .redirectErrorStream(true)
                .start();
        String said = new String(keytool.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        if (!keytool.waitFor(60, TimeUnit.SECONDS) || keytool.exitValue() != 0) {
            throw new IOException("keytool: " + said);
        }
        store = KeyStore.getInstance("PKCS12");
        try (InputStream in = Files.newInputStream(file)) {
            store.load(in, PASSWORD);
        }
        Key secret = store.getKey("watch", PASSWORD);
        chain = Files.writeString(
                folder.resolve(name + ".pem"),
                pem("CERTIFICATE", store.getCertificate("watch").getEncoded()));
        key = Files.writeString(folder.resolve(name + ".key"), pem("PRIVATE KEY", secret.getEncoded()));
        Files.setPosixFilePermissions(key, PosixFilePermissions.fromString("rw-------"));
    }

    private static String pem(String what, byte[] bytes) {
        return "-----BEGIN " + what + "-----\n"
                + Base64.getMimeEncoder(64, new byte[] {'\n'}).encodeToString(bytes) + "\n-----END " + what + "-----\n";
    }

    /** A server's side that shows this certificate. */
    public SSLContext server() throws Exception {
        KeyManagerFactory keys = KeyManagerFactory.getInstance(KeyManagerFactory.getDefaultAlgorithm());
        keys.init(store, PASSWORD);
        SSLContext context = SSLContext.getInstance("TLS");
        context.init(keys.getKeyManagers(), null, null);
        return context;
    }
}
