package sunward.watch.health;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.KeyStore;
import java.security.cert.Certificate;
import java.security.cert.CertificateFactory;
import javax.net.ssl.SSLContext;
import javax.net.ssl.TrustManagerFactory;

/** TLS that trusts the certificates of one file, and what they sign, and nothing else. */
public final class Trust {
    private Trust() {}

    /**
     * Reads the file.
     *
     * @param file certificates, PEM
     * @throws IOException with one sentence when there is no such file or no certificate in it
     */
    public static SSLContext only(Path file) throws IOException {
        if (!Files.isRegularFile(file)) {
            throw new IOException(file + ": there is no such file; give the other side's certificate, PEM");
        }
        try (InputStream in = Files.newInputStream(file)) {
            KeyStore store = KeyStore.getInstance(KeyStore.getDefaultType());
            store.load(null, null);
            int number = 0;
            for (Certificate one : CertificateFactory.getInstance("X.509").generateCertificates(in)) {
                store.setCertificateEntry("trusted-" + number++, one);
            }
            if (number == 0) {
                throw new IOException(file + ": no certificate in PEM; give the other side's own");
            }
            TrustManagerFactory trusted = TrustManagerFactory.getInstance(TrustManagerFactory.getDefaultAlgorithm());
            trusted.init(store);
            SSLContext context = SSLContext.getInstance("TLS");
            context.init(null, trusted.getTrustManagers(), null);
            return context;
        } catch (GeneralSecurityException e) {
            throw new IOException(
                    file + ": no certificate in PEM (" + e.getMessage() + "); give the other side's own", e);
        }
    }
}
