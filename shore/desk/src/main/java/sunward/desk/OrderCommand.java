package sunward.desk;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.concurrent.Callable;
import java.util.stream.Stream;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import sunward.profiles.ResendChoice;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageLayout;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.message.Verdict;
import sunward.protocol.order.PlanSetting;
import sunward.protocol.plan.PlanDifference;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.plan.PlanWriter;
import sunward.protocol.schema.Order;
import sunward.protocol.schema.Plan;
import sunward.protocol.schema.PlanFile;
import sunward.watch.store.MessageStore;
import sunward.watch.store.StoreException;

/** {@code order}: an order to a float at sea, said in words before it is written. */
@Command(
        name = "order",
        description =
                "Make an order to a float at sea and say in words what it will change. Nothing is sent; with --out"
                        + " the order is written to a file that the satellite service can carry.",
        footerHeading = "%nExample: ask float 7 for what is missing of its dives%n",
        footer = {
            "  sunward order --float 7 --number 3 --key keys.txt --resend received --out order-3",
            "",
            OrderSheet.CAUTION
        })
final class OrderCommand implements Callable<Integer> {
    /** What the smallest link carries to a float, bytes. */
    private static final int ORDER_BYTES = 270;

    private static final int MOST_HOLD_S = 604_800;

    private final Console console;

    @Mixin
    private CommonOptions common;

    @Option(names = "--float", paramLabel = "N", required = true, description = "Float number.")
    private int floatNumber;

    @Option(
            names = "--number",
            paramLabel = "N",
            required = true,
            description = "Order number: above that of every order the float has taken (see its receipts).")
    private int number;

    @Option(
            names = "--key",
            paramLabel = "FILE",
            required = true,
            description = "Key file: a float number and its key in hexadecimal a line.")
    private Path keyFile;

    @Option(names = "--simulated", description = "For a simulated float only: a float at sea does not obey it.")
    private boolean simulated;

    @Option(
            names = "--acknowledged",
            paramLabel = "FILE",
            description = "Plan that the float last acknowledged. Without it: the default.")
    private Path acknowledged;

    @Option(
            names = "--plan",
            paramLabel = "FILE",
            description =
                    "Plan that the float shall have instead: travels as the difference, in several orders if need be.")
    private Path wanted;

    @Option(
            names = "--set",
            paramLabel = "FIELD=VALUE",
            description = "One setting of the plan, such as packing.data_messages=40; may be repeated.")
    private Map<String, String> settings = new TreeMap<>();

    @Option(
            names = "--resend",
            paramLabel = "DIR",
            description =
                    "Messages as received, or the folder of a watch: ask for those that would complete the float's dives.")
    private Path received;

    @Option(names = "--dive-now", description = "Dive as soon as may be.")
    private boolean diveNow;

    @Option(names = "--hold", paramLabel = "SECONDS", description = "Stay at the surface so long; 0 ends a stay.")
    private Integer holdS;

    @Option(
            names = "--out",
            paramLabel = "NAME",
            description = "Write NAME.msg, or NAME-1.msg, NAME-2.msg ... Without it: only say what the order would be.")
    private Path out;

    OrderCommand(Console console) {
        this.console = console;
    }

    @Override
    public Integer call() throws IOException {
        KeyRing keys = KeyFile.read(keyFile);
        if (floatNumber < 1 || floatNumber > MessageLayout.MAX_FLOAT || !keys.has(floatNumber)) {
            throw new BadInput(
                    "--float " + floatNumber + ": the key file has no key of this float, and orders are always"
                            + " sealed; give the file with its key");
        }
        if (number < 1) {
            throw new BadInput(
                    "--number " + number + ": expected 1 or more; take one more than the float's last order");
        }
        Plan base = InputFiles.plan(acknowledged).getPlan();
        List<Order> orders = orders(base, keys);
        List<byte[]> messages = new ArrayList<>();
        for (Order order : orders) {
            messages.add(sealed(order, keys));
        }
        Sheet sheet = new Sheet();
        for (int i = 0; i < orders.size(); i++) {
            sheet.put("bytes" + suffix(i, orders), "order of", messages.get(i).length, "bytes");
            sheet.put(
                    "message_hex" + suffix(i, orders),
                    "hexadecimal",
                    HexFormat.of().formatHex(messages.get(i)));
            OrderSheet.order(orders.get(i).toByteArray(), sheet);
        }
        warnings(base, orders, sheet);
        write(messages, sheet);
        sheet.print(console, common.json());
        return Failures.DONE;
    }

    private static String suffix(int i, List<Order> orders) {
        return orders.size() == 1 ? "" : "_" + (i + 1);
    }

    private List<Order> orders(Plan base, KeyRing keys) throws IOException {
        int bodyBytes = ORDER_BYTES - MessageLayout.HEADER_BYTES - MessageLayout.SEALED_BYTES;
        if (wanted != null) {
            if (!settings.isEmpty() || received != null || diveNow || holdS != null) {
                throw new BadInput("--plan travels alone: order the rest under the next number");
            }
            List<Order> orders =
                    PlanDifference.orders(base, InputFiles.plan(wanted).getPlan(), number, bodyBytes);
            if (orders.isEmpty()) {
                throw new BadInput(
                        wanted + ": this plan is the one that the float acknowledged; there is nothing to order");
            }
            return orders;
        }
        Order.Builder order = Order.newBuilder().setNumber(number).setDiveNow(diveNow);
        for (Map.Entry<String, String> entry : settings.entrySet()) {
            order.addSettings(PlanDifference.setting(setting(entry.getKey()), entry.getValue()));
        }
        checked(base, order);
        if (holdS != null) {
            if (holdS < 0 || holdS > MOST_HOLD_S || diveNow && holdS > 0) {
                throw new BadInput("--hold " + holdS + ": expected 0 to " + MOST_HOLD_S
                        + " s and not together with --dive-now; correct it");
            }
            order.setHoldS(holdS);
        }
        if (received != null) {
            resends(keys, order, bodyBytes);
        }
        if (order.build().getSerializedSize() > bodyBytes) {
            throw new BadInput("the order has " + order.build().getSerializedSize() + " bytes, more than " + bodyBytes
                    + "; order the parts one by one");
        }
        if (OrderSheet.words(order.build()).isEmpty()) {
            throw new BadInput("an order without any part; give --set, --plan, --resend, --dive-now or --hold");
        }
        return List.of(order.build());
    }

    private static PlanSetting setting(String path) {
        for (PlanSetting setting : PlanSetting.values()) {
            if (setting.path().equals(path) || setting.path().equals(path.replaceFirst("^plan\\.", ""))) {
                return setting;
            }
        }
        throw new BadInput("--set " + path + ": not a setting that can be changed at sea; the list stands in"
                + " protocol/WIRE.md, section 7");
    }

    /** A plan with these settings must be one that the plan reader takes. */
    private static void checked(Plan base, Order.Builder order) {
        boolean degrees = order.getSettingsList().stream()
                .anyMatch(setting -> setting.getNumber() == PlanSetting.DECLINATION_DEG.number());
        boolean date = order.getSettingsList().stream()
                .anyMatch(setting -> setting.getNumber() == PlanSetting.DECLINATION_DAY.number());
        if (degrees != date) {
            throw new BadInput("--set declination.degrees and declination.date go together; give both");
        }
        PlanFile file = PlanReader.defaults().toBuilder()
                .setPlan(PlanDifference.applied(base, order.getSettingsList()))
                .build();
        if (file.getPlan().equals(base)) {
            return;
        }
        PlanReader.read("plan:\n" + planText(file), "the plan with these settings");
    }

    private static String planText(PlanFile file) {
        String yaml = PlanWriter.yaml(file);
        int start = yaml.indexOf("plan:\n") + "plan:\n".length();
        return yaml.substring(start, yaml.indexOf("\ncalibration:") + 1);
    }

    private void resends(KeyRing keys, Order.Builder order, int bodyBytes) throws IOException {
        Map<Integer, List<Message>> dives = new TreeMap<>();
        for (byte[] bytes : receivedBytes()) {
            if (MessageReader.read(bytes, keys) instanceof Verdict.Accepted accepted
                    && accepted.message().floatNumber() == floatNumber) {
                dives.computeIfAbsent(accepted.message().dive(), dive -> new ArrayList<>())
                        .add(accepted.message());
            }
        }
        for (Map.Entry<Integer, List<Message>> dive : dives.entrySet()) {
            List<Integer> positions = ResendChoice.positions(dive.getValue());
            int room = bodyBytes - order.build().getSerializedSize() - 2;
            if (!positions.isEmpty() && room > 8) {
                order.addResend(ResendChoice.part(dive.getKey(), positions, room));
            }
        }
        if (order.getResendCount() == 0) {
            throw new BadInput(received + ": "
                    + (dives.isEmpty()
                            ? "no message of float " + floatNumber
                            : "no dive of float " + floatNumber + " that lacks a message")
                    + "; there is nothing to send again");
        }
    }

    /** The store of a watch, which may be running, or every file that may be a message. */
    private List<byte[]> receivedBytes() throws IOException {
        List<byte[]> all = new ArrayList<>();
        Path store = received.resolve("messages.sqlite");
        if (Files.isRegularFile(store)) {
            try {
                MessageStore.each(store, all::add);
            } catch (StoreException e) {
                throw new BadInput(e.getMessage());
            }
            return all;
        }
        try (Stream<Path> files = Files.walk(received)) {
            for (Path file : files.filter(Files::isRegularFile).sorted().toList()) {
                if (Files.size(file) <= MessageLayout.MAX_MESSAGE_BYTES) {
                    all.add(Files.readAllBytes(file));
                }
            }
        }
        return all;
    }

    private byte[] sealed(Order order, KeyRing keys) {
        MessageWriter writer = keys.writer(floatNumber, ORDER_BYTES);
        writer.begin(Kind.ORDER, simulated, floatNumber, 0, order.getNumber() & MessageLayout.MAX_POSITION, 0, 0);
        byte[] body = order.toByteArray();
        System.arraycopy(body, 0, writer.buffer(), writer.bodyOffset(), body.length);
        return Arrays.copyOf(writer.buffer(), writer.finish(body.length));
    }

    private static void warnings(Plan base, List<Order> orders, Sheet sheet) {
        TreeSet<String> parts = new TreeSet<>();
        sheet.heading("What it changes");
        for (Order order : orders) {
            order.getSettingsList().forEach(setting -> {
                PlanSetting known = PlanSetting.ofNumber(setting.getNumber());
                String before = PlanDifference.value(base, known);
                String after = PlanDifference.value(setting);
                sheet.say("  " + known.path() + ": from " + before + " to " + after
                        + (before.equals(after) ? " (no change, if the plan acknowledged is right)" : ""));
                parts.add(known.path().substring(0, known.path().indexOf('.')));
            });
            if (order.getResendCount() > 0) {
                int messages = order.getResendList().stream()
                        .mapToInt(resend -> {
                            int sum = 0;
                            for (int i = 1; i < resend.getRunsCount(); i += 2) {
                                sum += resend.getRuns(i);
                            }
                            return sum;
                        })
                        .sum();
                sheet.put("messages_again", "messages sent again", messages, "");
                sheet.say(String.format(
                        Locale.ROOT,
                        "  WARNING: %d messages take %.0f J and %.0f s more at the surface.",
                        messages,
                        messages * base.getLink().getJoulesPerMessage(),
                        messages * base.getLink().getMessageS()));
            }
            if (order.getDiveNow()) {
                sheet.say(
                        "  WARNING: the float leaves the surface; it can be neither heard nor recovered until it is back.");
            }
            if (order.getHoldS() > 0) {
                sheet.say(
                        "  WARNING: at the surface the float drifts with wind and waves, and ships and people may meet it.");
            }
        }
        Map<String, String> why = Map.of(
                "ascent", "the float's depths and speeds change: see that park and start lie clear of the sea floor.",
                "exposure",
                        "spectra before and after differ in exposure; a wrong range saturates or starves every scan.",
                "bins", "other scans count into the bins from the next dive on.",
                "head_choice", "the choice between the heads changes; a wrong limit may take the shaded one.",
                "declination", "all directions turn by the difference; a wrong sign costs the sun-side choice.",
                "packing", "later dives carry other precision, and take other time and energy at the surface.");
        parts.forEach(part -> sheet.say("  WARNING: " + why.get(part)));
        sheet.say("").say("  CAUTION: " + OrderSheet.CAUTION);
        sheet.put("caution", "second reader", "needed");
    }

    private void write(List<byte[]> messages, Sheet sheet) throws IOException {
        if (out == null) {
            sheet.say("  Nothing was written; --out writes it.");
            return;
        }
        List<Path> targets = new ArrayList<>();
        for (int i = 0; i < messages.size(); i++) {
            String name = out.getFileName() + (messages.size() == 1 ? "" : "-" + (i + 1)) + ".msg";
            Path target = out.resolveSibling(name);
            if (Files.exists(target)) {
                throw new BadInput(target + ": there already; give another name to --out, or delete it");
            }
            targets.add(target);
        }
        for (int i = 0; i < messages.size(); i++) {
            Path work = Files.createTempFile(targets.get(i).toAbsolutePath().getParent(), ".order", ".part");
            try (FileChannel channel = FileChannel.open(work, StandardOpenOption.WRITE)) {
                channel.write(java.nio.ByteBuffer.wrap(messages.get(i)));
                channel.force(true);
            }
            Files.move(work, targets.get(i), StandardCopyOption.ATOMIC_MOVE);
            sheet.put(
                    "file" + (messages.size() == 1 ? "" : "_" + (i + 1)),
                    "written to",
                    targets.get(i).toString());
        }
    }
}
