package sunward.desk;

import com.google.protobuf.Descriptors.EnumValueDescriptor;
import com.google.protobuf.Descriptors.FieldDescriptor;
import com.google.protobuf.Message;
import java.math.BigDecimal;
import java.time.DateTimeException;
import java.time.Duration;
import java.time.Instant;
import java.util.stream.Collectors;
import sunward.protocol.schema.Limits;
import sunward.protocol.schema.LimitsOuterClass;

/** Checks numbers and times that a user gives as options. */
final class Given {
    /** Where times are counted from. */
    private static final Instant EPOCH = Instant.parse("2000-01-01T00:00:00Z");

    private static final Instant END = Instant.parse("2136-01-01T00:00:00Z");

    private Given() {}

    /** Puts an option's number, if it was given, into the plan's field, within the field's own limits. */
    static void put(Message.Builder into, String field, String option, Double value) {
        if (value != null) {
            FieldDescriptor descriptor = into.getDescriptorForType().findFieldByName(field);
            Limits limits = descriptor.getOptions().getExtension(LimitsOuterClass.limits);
            within(option, value, limits.getMin(), limits.getMax());
            into.setField(descriptor, value);
        }
    }

    /** Puts an option's word, if it was given, into the plan's field that takes one of a few. */
    static void word(Message.Builder into, String field, String option, String word) {
        if (word != null) {
            FieldDescriptor descriptor = into.getDescriptorForType().findFieldByName(field);
            EnumValueDescriptor value = descriptor.getEnumType().findValueByName(word);
            if (value == null || value.getNumber() == 0) {
                String known = descriptor.getEnumType().getValues().stream()
                        .filter(v -> v.getNumber() != 0)
                        .map(EnumValueDescriptor::getName)
                        .collect(Collectors.joining(", "));
                throw new BadInput(option + ": \"" + word + "\" is not one of " + known + "; correct it");
            }
            into.setField(descriptor, value);
        }
    }

    /** Refuses a number outside its limits. */
    static void within(String option, double value, double min, double max) {
        if (!(value >= min && value <= max)) {
            throw new BadInput(
                    option + ": " + plain(value) + " is outside " + plain(min) + " to " + plain(max) + "; correct it");
        }
    }

    /** Milliseconds since 2000-01-01T00:00:00Z of the time given as {@code --time}. */
    static long timeMs(String text) {
        Instant instant;
        try {
            instant = Instant.parse(text);
        } catch (DateTimeException e) {
            throw new BadInput("--time: \"" + text
                    + "\" is not a time as 2026-12-15T02:27:00Z (ISO 8601, UTC, ending in Z); correct it");
        }
        if (instant.isBefore(EPOCH) || !instant.isBefore(END)) {
            throw new BadInput("--time: " + text + " is outside the years 2000 to 2135; correct it");
        }
        return Duration.between(EPOCH, instant).toMillis();
    }

    private static String plain(double value) {
        return Double.isFinite(value)
                ? BigDecimal.valueOf(value).stripTrailingZeros().toPlainString()
                : Double.toString(value);
    }
}
