package sunward.desk;

import com.google.protobuf.InvalidProtocolBufferException;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import sunward.planning.OrderWriter;
import sunward.protocol.order.Answer;
import sunward.protocol.order.PlanSetting;
import sunward.protocol.plan.PlanDifference;
import sunward.protocol.schema.Order;
import sunward.protocol.schema.Receipt;
import sunward.protocol.schema.Resend;
import sunward.protocol.schema.Setting;

/** Orders and receipts in words. */
final class OrderSheet {
    /** What every order is to be read with. */
    static final String CAUTION = OrderWriter.CAUTION;

    private OrderSheet() {}

    /** Adds an order's body. */
    static void order(byte[] body, Sheet sheet) throws InvalidProtocolBufferException {
        Order order = Order.parseFrom(body);
        sheet.heading("Order").put("order_number", "order", order.getNumber(), "");
        int line = 0;
        for (String words : words(order)) {
            sheet.put("part_" + ++line, line == 1 ? "the float shall" : "and", words);
        }
        if (!order.getUnknownFields().asMap().isEmpty()) {
            sheet.put(
                    "unknown_parts",
                    "parts unknown here",
                    order.getUnknownFields().asMap().size(),
                    "");
        }
        List<Sheet.Row> settings = new ArrayList<>();
        for (Setting setting : order.getSettingsList()) {
            settings.add(
                    new Sheet.Row().put("value", PlanDifference.value(setting)).put("setting", name(setting)));
        }
        if (!settings.isEmpty()) {
            sheet.table("settings", List.of("         value", "setting"), settings);
        }
    }

    private static String name(Setting setting) {
        PlanSetting known = PlanSetting.ofNumber(setting.getNumber());
        return known == null ? "unknown setting " + setting.getNumber() : known.path();
    }

    /** One phrase for each thing that the float shall do. */
    static List<String> words(Order order) {
        List<String> words = new ArrayList<>();
        for (Resend resend : order.getResendList()) {
            words.add("send again, of dive " + resend.getDive() + ", the messages at positions " + positions(resend));
        }
        if (order.hasChange()) {
            words.add(String.format(
                    Locale.ROOT,
                    "take piece %d of %d of the change from plan %s to plan %s",
                    order.getChange().getPiece() + 1,
                    order.getChange().getPieces(),
                    HexFormat.of().formatHex(order.getChange().getFrom().toByteArray()),
                    HexFormat.of().formatHex(order.getChange().getTo().toByteArray())));
        }
        if (order.getSettingsCount() > 0) {
            words.add(
                    "change " + order.getSettingsCount() + (order.getSettingsCount() == 1 ? " setting" : " settings"));
        }
        if (order.getDiveNow()) {
            words.add("dive as soon as it can, without waiting for its next time");
        }
        if (order.hasHoldS()) {
            words.add(
                    order.getHoldS() == 0
                            ? "end its stay at the surface"
                            : "stay at the surface for " + order.getHoldS() + " s from the moment it hears this");
        }
        return words;
    }

    private static String positions(Resend resend) {
        List<String> runs = new ArrayList<>();
        long at = 0;
        for (int i = 0; i + 1 < resend.getRunsCount(); i += 2) {
            long first = at + (resend.getRuns(i) & 0xffff_ffffL);
            at = first + (resend.getRuns(i + 1) & 0xffff_ffffL);
            runs.add(at - first == 1 ? String.valueOf(first) : first + " to " + (at - 1));
        }
        return runs.stream().collect(Collectors.joining(", "));
    }

    /** Adds a receipt's body. */
    static void receipt(byte[] body, Sheet sheet) throws InvalidProtocolBufferException {
        Receipt receipt = Receipt.parseFrom(body);
        Answer answer = Answer.ofNumber(receipt.getAnswer());
        sheet.heading("Receipt")
                .put("order_number", "answers order", receipt.getOrder(), "")
                .put("answer", "answer", answer == null ? "unknown answer " + receipt.getAnswer() : answer.words())
                .put("last_order", "last order taken", receipt.getLastOrder(), "")
                .put(
                        "plan_digest",
                        "digest of the plan in force",
                        HexFormat.of().formatHex(receipt.getPlanDigest().toByteArray()));
    }
}
