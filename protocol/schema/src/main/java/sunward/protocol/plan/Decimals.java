package sunward.protocol.plan;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;

/** Numbers as text, the same on every machine. */
final class Decimals {
    /** Every double is told apart by this many significant digits. */
    private static final int ENOUGH_DIGITS = 17;

    private Decimals() {}

    /**
     * A finite number without exponent or trailing zeros: its exact value rounded (half even) to the fewest significant
     * digits that read back as the same double. {@code Double.toString} is not used because its digits changed with JDK 19.
     */
    static String plain(double value) {
        if (value == 0) {
            return "0";
        }
        BigDecimal exact = new BigDecimal(value);
        for (int digits = 1; digits < ENOUGH_DIGITS; digits++) {
            BigDecimal rounded = exact.round(new MathContext(digits, RoundingMode.HALF_EVEN));
            if (rounded.doubleValue() == value) {
                return rounded.stripTrailingZeros().toPlainString();
            }
        }
        return exact.round(new MathContext(ENOUGH_DIGITS, RoundingMode.HALF_EVEN))
                .stripTrailingZeros()
                .toPlainString();
    }
}
