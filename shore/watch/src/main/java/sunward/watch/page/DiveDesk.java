package sunward.watch.page;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.function.LongSupplier;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.zip.ZipEntry;
import java.util.zip.ZipOutputStream;
import sunward.planning.OrderWriter;
import sunward.profiles.DiveProduct;
import sunward.profiles.ProductFiles;
import sunward.protocol.message.Message;
import sunward.watch.alerts.Attention;
import sunward.watch.dives.DerivedStore;
import sunward.watch.dives.DiveKey;
import sunward.watch.dives.DiveMessages;
import sunward.watch.dives.DiveProducts;
import sunward.watch.dives.MessageState;
import sunward.watch.dives.ResendOrder;
import sunward.watch.store.MessageStore;
import sunward.watch.store.StoreException;
import sunward.watch.store.StoredMessage;

/** Hands out what the page shows of the dives: views and files. */
public final class DiveDesk {
    /** A file to download. */
    // Sent, never compared.
    @SuppressWarnings("ArrayRecordComponent")
    record Download(String name, String type, byte[] bytes) {}

    private static final Pattern ORDER_FILE = Pattern.compile("resend-([0-9]{1,9})\\.msg");

    private final MessageStore store;
    private final DerivedStore derived;
    private final DiveProducts products;
    private final Views views;

    /** A desk over these stores; {@code clockMs} in ms since 2000-01-01T00:00:00Z. */
    public DiveDesk(
            MessageStore store,
            DerivedStore derived,
            DiveProducts products,
            Attention attention,
            LongSupplier clockMs) {
        this.store = store;
        this.derived = derived;
        this.products = products;
        this.views = new Views(store, derived, attention, clockMs);
    }

    Views views() {
        return views;
    }

    String trouble() {
        return store.trouble().isEmpty() ? derived.trouble() : store.trouble();
    }

    Map<String, Object> dive(DiveKey key) throws StoreException {
        Map<String, Object> view = views.dive(key);
        if (view == null) {
            return null;
        }
        List<Message> accepted = products.messages().accepted(key);
        view.put(
                "repaired_positions",
                DiveMessages.repaired(accepted).stream().map(Message::position).toList());
        ResendOrder order = ResendOrder.of(
                key, accepted, products.messages(), products.inputs().plan());
        Map<String, Object> resend = new LinkedHashMap<>();
        resend.put("positions", order.wanted());
        resend.put("number", order.number());
        resend.put("possible", order.possible());
        resend.put("cost", order.cost());
        resend.put("caution", OrderWriter.CAUTION);
        view.put("resend", resend);
        return view;
    }

    /** Profile and radiance for the dive's page; null when there is nothing to show. */
    Map<String, Object> product(DiveKey key) throws StoreException {
        DiveProduct product = products.product(key);
        return product == null ? null : ProductView.of(product, products.inputsOf(product));
    }

    /** The file of this name, or null. */
    Download file(DiveKey key, String name) throws StoreException {
        if (derived.dive(key) == null) {
            return null;
        }
        return switch (name) {
            case "messages.zip" -> new Download(name, "application/zip", messages(key));
            case "profile.nc" -> written(key, name, "application/x-netcdf", ProductFiles::writeProfile);
            case "radiance.csv" -> written(key, name, "text/csv; charset=utf-8", ProductFiles::writeRadiance);
            default -> order(key, name);
        };
    }

    /** {@code resend-N.msg}: order N, which asks for what is missing; null when there is none to make. */
    private Download order(DiveKey key, String name) throws StoreException {
        Matcher number = ORDER_FILE.matcher(name);
        byte[] bytes = number.matches()
                ? ResendOrder.bytes(
                        key,
                        Integer.parseInt(number.group(1)),
                        products.messages(),
                        products.inputs().plan())
                : null;
        return bytes == null ? null : new Download(name, "application/octet-stream", bytes);
    }

    private interface Writing {
        void write(DiveProduct product, Path file) throws IOException;
    }

    /** The very bytes that the product's own writer makes. */
    private Download written(DiveKey key, String name, String type, Writing writing) throws StoreException {
        DiveProduct product = products.product(key);
        if (product == null) {
            return null;
        }
        try {
            Path folder = Files.createTempDirectory("sunward-watch-");
            Path file = folder.resolve(name);
            try {
                writing.write(product, file);
                return new Download(name, type, Files.readAllBytes(file));
            } finally {
                Files.deleteIfExists(file);
                Files.deleteIfExists(folder);
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** Every message that was accepted, as received, in order of position. */
    private byte[] messages(DiveKey key) throws StoreException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        try (ZipOutputStream zip = new ZipOutputStream(out)) {
            for (MessageState state : derived.messagesOf(key)) {
                StoredMessage message = state.reason().isEmpty() ? store.message(state.id()) : null;
                if (message != null) {
                    ZipEntry entry = new ZipEntry(String.format(
                            Locale.ROOT,
                            "f%05d-d%04d-p%04d-%d.msg",
                            key.floatNumber(),
                            key.dive(),
                            state.position(),
                            state.id()));
                    // A fixed time: the same messages give the same file.
                    entry.setLastModifiedTime(FileTime.fromMillis(946_684_800_000L));
                    zip.putNextEntry(entry);
                    zip.write(message.bytes());
                }
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        return out.toByteArray();
    }
}
