package sunward.protocol.plan;

import com.google.protobuf.ByteString;
import com.google.protobuf.Descriptors.FieldDescriptor;
import com.google.protobuf.Message;
import java.math.BigDecimal;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import sunward.protocol.order.PlanSetting;
import sunward.protocol.schema.Order;
import sunward.protocol.schema.Plan;
import sunward.protocol.schema.PlanChange;
import sunward.protocol.schema.Setting;

/** What must be ordered to make one plan out of another, and what an order's settings make of a plan. */
public final class PlanDifference {
    /** Most decimal digits of a setting on the wire. */
    private static final int MOST_DECIMALS = 15;

    private static final long MOST_EXACT = 1L << 53;
    private static final LocalDate EPOCH = LocalDate.of(2000, 1, 1);
    private static final int DIGEST_BYTES = 8;
    private static final int MOST_PIECES = 16;

    private PlanDifference() {}

    /**
     * The orders, one or more, that change a plan into another; none when the two are alike. Numbers are given from {@code
     * firstNumber} on.
     *
     * @param base the plan that the float last acknowledged
     * @param wanted the plan that it shall have
     * @param bodyBytes most bytes of an order's body
     * @throws PlanException when the plans differ in what cannot be changed at sea
     */
    public static List<Order> orders(Plan base, Plan wanted, int firstNumber, int bodyBytes) {
        List<Setting> settings = settings(base, wanted);
        List<List<Setting>> pieces = new ArrayList<>();
        for (Setting setting : settings) {
            List<Setting> last = pieces.isEmpty() ? List.of() : pieces.get(pieces.size() - 1);
            if (last.isEmpty()
                    || with(base, wanted, firstNumber, 0, 1, last, setting).getSerializedSize() > bodyBytes) {
                last = new ArrayList<>();
                pieces.add(last);
            }
            last.add(setting);
        }
        if (pieces.size() > MOST_PIECES) {
            throw new PlanException("the change takes " + pieces.size() + " orders, more than " + MOST_PIECES
                    + "; order it in steps, with a plan between the two");
        }
        List<Order> orders = new ArrayList<>();
        for (int piece = 0; piece < pieces.size(); piece++) {
            orders.add(with(base, wanted, firstNumber + piece, piece, pieces.size(), pieces.get(piece), null));
        }
        return orders;
    }

    private static Order with(
            Plan base, Plan wanted, int number, int piece, int pieces, List<Setting> settings, Setting more) {
        Order.Builder order = Order.newBuilder()
                .setNumber(number)
                .addAllSettings(settings)
                .setChange(PlanChange.newBuilder()
                        .setFrom(ByteString.copyFrom(Digests.of(base), 0, DIGEST_BYTES))
                        .setTo(ByteString.copyFrom(Digests.of(wanted), 0, DIGEST_BYTES))
                        .setPiece(more == null ? piece : MOST_PIECES)
                        .setPieces(more == null ? pieces : MOST_PIECES));
        return more == null ? order.build() : order.addSettings(more).build();
    }

    /** The settings in which two plans differ, as the wanted one has them. */
    private static List<Setting> settings(Plan base, Plan wanted) {
        Map<String, String> before = lines(base);
        Map<String, String> after = lines(wanted);
        List<Setting> settings = new ArrayList<>();
        for (PlanSetting setting : PlanSetting.values()) {
            String value = after.remove(setting.path());
            if (!value.equals(before.remove(setting.path()))) {
                settings.add(setting(setting, value));
            }
        }
        before.forEach((path, value) -> {
            if (!value.equals(after.get(path))) {
                throw fixed(path);
            }
        });
        after.forEach((path, value) -> {
            if (!before.containsKey(path)) {
                throw fixed(path);
            }
        });
        return settings;
    }

    private static PlanException fixed(String path) {
        return new PlanException(
                "plan." + path
                        + " differs between the two plans and cannot be changed at sea; give it the value of the plan in force");
    }

    private static Map<String, String> lines(Plan plan) {
        Map<String, String> lines = new TreeMap<>();
        Digests.text(plan).lines().forEach(line -> {
            int equals = line.indexOf('=');
            lines.put(line.substring(0, equals), line.substring(equals + 1));
        });
        return lines;
    }

    /**
     * One setting for the wire.
     *
     * @param value as in the plan file: a plain decimal, or a date
     * @throws PlanException when it is not a value that the setting can have
     */
    public static Setting setting(PlanSetting setting, String value) {
        String decimal = value;
        try {
            if (setting == PlanSetting.DECLINATION_DAY) {
                decimal = String.valueOf(LocalDate.parse(value).toEpochDay() - EPOCH.toEpochDay());
            }
            BigDecimal exact = new BigDecimal(decimal).stripTrailingZeros();
            exact = exact.scale() < 0 ? exact.setScale(0) : exact;
            boolean fits = exact.scale() <= MOST_DECIMALS
                    && exact.unscaledValue().abs().bitLength() <= 53
                    && exact.unscaledValue().abs().longValue() <= MOST_EXACT;
            if (fits && setting.allows(exact.doubleValue())) {
                return Setting.newBuilder()
                        .setNumber(setting.number())
                        .setValue(exact.unscaledValue().longValueExact())
                        .setDecimals(exact.scale())
                        .build();
            }
        } catch (NumberFormatException | java.time.DateTimeException e) {
            // told below, as any other value that the setting cannot have
        }
        throw new PlanException("plan." + setting.path() + " is \"" + value + "\", expected "
                + (setting == PlanSetting.DECLINATION_DAY
                        ? "a date as 2026-12-01"
                        : (setting.whole() ? "a whole number from " : "a number of at most 15 digits from ")
                                + Decimals.plain(setting.min()) + " to " + Decimals.plain(setting.max()))
                + "; correct it");
    }

    /** The value of a setting as the plan file has it. */
    public static String value(Setting setting) {
        BigDecimal exact = BigDecimal.valueOf(setting.getValue(), setting.getDecimals());
        return setting.getNumber() == PlanSetting.DECLINATION_DAY.number()
                ? EPOCH.plusDays(exact.longValue()).toString()
                : exact.toPlainString();
    }

    /** The value that a plan has of a setting, as the plan file has it. */
    public static String value(Plan plan, PlanSetting setting) {
        return lines(plan).get(setting.path());
    }

    /** The plan that an order's settings make of another; settings that are not known are left aside. */
    public static Plan applied(Plan base, List<Setting> settings) {
        Plan.Builder plan = base.toBuilder();
        for (Setting setting : settings) {
            PlanSetting known = PlanSetting.ofNumber(setting.getNumber());
            if (known != null) {
                String[] path = known.path().split("\\.", 2);
                FieldDescriptor part = Plan.getDescriptor().findFieldByName(path[0]);
                FieldDescriptor field = part.getMessageType().findFieldByName(path[1]);
                Message.Builder inner = ((Message) plan.getField(part)).toBuilder();
                inner.setField(field, typed(field, value(setting)));
                plan.setField(part, inner.build());
            }
        }
        return plan.build();
    }

    private static Object typed(FieldDescriptor field, String value) {
        return switch (field.getJavaType()) {
            case DOUBLE -> Double.valueOf(value);
            case INT -> Integer.valueOf(value);
            default -> value;
        };
    }
}
