package sunward.protocol.trig;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import java.util.function.DoubleUnaryOperator;
import org.junit.jupiter.api.Test;

/** The JDK's StrictMath is the reference (second implementation). */
class TrigTest {
    private static final double BOUND = 1e-14;
    private static final double[] EDGES = {
        0,
        -0.0,
        1e-300,
        Double.MIN_VALUE,
        1e-8,
        0.25,
        0.4142135623730950,
        0.5,
        0.7,
        Math.PI / 4,
        0.8,
        1,
        1.5,
        Math.PI / 2,
        2,
        3,
        Math.PI,
        4,
        2 * Math.PI,
        100,
        12345.678,
        1e6
    };

    private static void compare(
            String name, DoubleUnaryOperator ours, DoubleUnaryOperator reference, double low, double high) {
        Random random = new Random(1);
        for (int i = 0; i < 60_000 + 2 * EDGES.length; i++) {
            double x = i < 60_000
                    ? low + (high - low) * random.nextDouble()
                    : EDGES[(i - 60_000) / 2] * ((i & 1) == 0 ? 1 : -1);
            if (x < low || x > high) {
                continue;
            }
            double expected = reference.applyAsDouble(x);
            double scale = Math.max(1, Math.abs(expected));
            double found = ours.applyAsDouble(x);
            assertTrue(
                    Math.abs(found - expected) <= BOUND * scale,
                    name + "(" + x + ") is " + found + ", expected " + expected);
        }
    }

    @Test
    void anglesToSinesAndBack() {
        compare("sin", Trig::sin, StrictMath::sin, -20, 20);
        compare("sin", Trig::sin, StrictMath::sin, -1e6, 1e6);
        compare("cos", Trig::cos, StrictMath::cos, -20, 20);
        compare("cos", Trig::cos, StrictMath::cos, -1e6, 1e6);
        compare("tan", Trig::tan, StrictMath::tan, -1.5, 1.5);
        compare("asin", Trig::asin, StrictMath::asin, -1, 1);
        compare("acos", Trig::acos, StrictMath::acos, -1, 1);
    }

    @Test
    void anglesOfPoints() {
        Random random = new Random(2);
        for (int i = 0; i < 80_000; i++) {
            double scale = StrictMath.pow(10, 20 * random.nextDouble() - 10);
            double x = (2 * random.nextDouble() - 1) * scale;
            double y = 2 * random.nextDouble() - 1;
            assertEquals(StrictMath.atan2(y, x), Trig.atan2(y, x), BOUND, "atan2(" + y + ", " + x + ")");
        }
        double[] special = {0.0, -0.0, 1, -1, 1e-300, -1e300, Double.POSITIVE_INFINITY, Double.NEGATIVE_INFINITY};
        for (double y : special) {
            for (double x : special) {
                assertEquals(Math.atan2(y, x), Trig.atan2(y, x), BOUND, "atan2(" + y + ", " + x + ")");
            }
        }
    }

    @Test
    void exponentialAndLogarithmAreRelativelyExact() {
        Random random = new Random(3);
        for (int i = 0; i < 80_000; i++) {
            double x = -708 + 1417 * random.nextDouble();
            assertEquals(1, Trig.exp(x) / StrictMath.exp(x), BOUND, "exp(" + x + ")");
            double y = StrictMath.exp(i % 2 == 0 ? x : x * 1e-3);
            double expected = StrictMath.log(y);
            assertEquals(expected, Trig.log(y), BOUND * Math.abs(expected), "log(" + y + ")");
        }
        assertEquals(StrictMath.log(Double.MIN_VALUE), Trig.log(Double.MIN_VALUE), 1e-11);
        assertEquals(0, Trig.log(1));
        assertEquals(1, Trig.exp(0));
    }

    @Test
    void outsideTheirDomainsFunctionsSayNotANumber() {
        for (double x : new double[] {Double.NaN, Double.POSITIVE_INFINITY, Double.NEGATIVE_INFINITY}) {
            assertTrue(Double.isNaN(Trig.sin(x)) && Double.isNaN(Trig.cos(x)) && Double.isNaN(Trig.tan(x)), "" + x);
        }
        assertTrue(Double.isNaN(Trig.asin(1.0000001)) && Double.isNaN(Trig.acos(-1.0000001)));
        assertTrue(Double.isNaN(Trig.atan2(Double.NaN, 1)) && Double.isNaN(Trig.atan2(1, Double.NaN)));
        assertTrue(Double.isNaN(Trig.exp(Double.NaN)) && Double.isNaN(Trig.log(Double.NaN)));
        assertTrue(Double.isNaN(Trig.log(-1)));
        assertEquals(Double.NEGATIVE_INFINITY, Trig.log(0));
        assertEquals(Double.POSITIVE_INFINITY, Trig.log(Double.POSITIVE_INFINITY));
        assertEquals(Double.POSITIVE_INFINITY, Trig.exp(1000));
        assertEquals(0, Trig.exp(-1000));
    }
}
