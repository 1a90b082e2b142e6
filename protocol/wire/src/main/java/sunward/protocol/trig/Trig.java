package sunward.protocol.trig;

/**
 * Elementary functions by argument reduction and Taylor series, from IEEE additions, multiplications, divisions and
 * square roots alone: deterministic and free of allocation. Unless a method says otherwise the error is at most 1e-14,
 * absolute where the result is below 1 and relative above. What the argument leaves undefined is NaN.
 */
public final class Trig {
    /** Above this size of an angle, rad, the error grows as 1e-16 of the angle. */
    public static final double EXACT_REDUCTION = 1e6;

    /** The first 33 bits of pi/2, and the rest. */
    private static final double HALF_PI_HIGH = 0x1.921fb544p0;

    private static final double HALF_PI_LOW = 0x1.0b4611a626331p-34;

    /** The first 32 bits of ln 2, and the rest. */
    private static final double LN2_HIGH = 0x1.62e42feep-1;

    private static final double LN2_LOW = 0x1.a39ef35793c76p-33;

    private static final double TWO_PI = 2 * Math.PI;
    private static final double SQRT_HALF = 0x1.6a09e667f3bcdp-1;
    private static final double TAN_EIGHTH_PI = 0x1.a827999fcef32p-2;

    /** 1/n!, n = 0 to 17. */
    private static final double[] INVERSE_FACTORIAL = inverseFactorials();

    private Trig() {}

    private static double[] inverseFactorials() {
        double[] table = new double[18];
        double factorial = 1;
        for (int n = 0; n < table.length; n++) {
            factorial *= Math.max(n, 1);
            table[n] = 1 / factorial;
        }
        return table;
    }

    /** Sine of an angle in radians. */
    public static double sin(double x) {
        return quarterTurns(x, 0);
    }

    /** Cosine of an angle in radians. */
    public static double cos(double x) {
        return quarterTurns(x, 1);
    }

    /** Tangent of an angle in radians; near its poles the relative error grows as 1e-16 over the distance to the pole. */
    public static double tan(double x) {
        return sin(x) / cos(x);
    }

    /** sin(x + quarters * pi/2). */
    private static double quarterTurns(double x, int quarters) {
        if (!(Math.abs(x) <= Double.MAX_VALUE)) {
            return Double.NaN;
        }
        double near = Math.abs(x) > EXACT_REDUCTION ? x % TWO_PI : x;
        double n = Math.floor(near / (Math.PI / 2) + 0.5);
        double r = near - n * HALF_PI_HIGH - n * HALF_PI_LOW;
        int quadrant = (int) n + quarters & 3;
        double value = (quadrant & 1) == 0 ? sineSeries(r) : cosineSeries(r);
        return quadrant < 2 ? value : -value;
    }

    /** sin r, |r| at most pi/4: the terms left out stay below 5e-17. */
    private static double sineSeries(double r) {
        double square = r * r;
        double sum = 0;
        for (int n = 15; n >= 3; n -= 2) {
            sum = (INVERSE_FACTORIAL[n] - sum) * square;
        }
        return r - r * sum;
    }

    /** cos r, |r| at most pi/4: the terms left out stay below 1e-17. */
    private static double cosineSeries(double r) {
        double square = r * r;
        double sum = 0;
        for (int n = 16; n >= 2; n -= 2) {
            sum = (INVERSE_FACTORIAL[n] - sum) * square;
        }
        return 1 - sum;
    }

    /** Angle of the point (x, y) from the x axis, -pi to pi; 0 for the origin, with the sign rules of {@link Math#atan2}. */
    public static double atan2(double y, double x) {
        if (Double.isNaN(x) || Double.isNaN(y)) {
            return Double.NaN;
        }
        double ax = Math.abs(x);
        double ay = Math.abs(y);
        double angle;
        if (ax == ay) {
            angle = ax == 0 ? 0 : Math.PI / 4;
        } else {
            angle = ay < ax ? arcTangent(ay / ax) : Math.PI / 2 - arcTangent(ax / ay);
        }
        boolean left = x < 0 || (x == 0 && 1 / x < 0);
        return Math.copySign(left ? Math.PI - angle : angle, y);
    }

    /** atan t, 0 &lt;= t &lt;= 1. */
    private static double arcTangent(double t) {
        if (t > TAN_EIGHTH_PI) {
            return Math.PI / 4 - smallArcTangent((1 - t) / (1 + t));
        }
        return smallArcTangent(t);
    }

    /** atan t, 0 &lt;= t &lt;= tan(pi/8): twice the series at half the angle, whose terms left out stay below 1e-17. */
    private static double smallArcTangent(double t) {
        double half = t / (1 + Math.sqrt(1 + t * t));
        double square = half * half;
        double sum = 0;
        for (int n = 23; n >= 3; n -= 2) {
            sum = (1.0 / n - sum) * square;
        }
        return 2 * (half - half * sum);
    }

    /** Angle whose sine is x, -pi/2 to pi/2. */
    public static double asin(double x) {
        return atan2(x, Math.sqrt((1 - x) * (1 + x)));
    }

    /** Angle whose cosine is x, 0 to pi. */
    public static double acos(double x) {
        return atan2(Math.sqrt((1 - x) * (1 + x)), x);
    }

    /** e to the x; relative error at most 1e-14 while the result is a normal number. */
    public static double exp(double x) {
        if (Double.isNaN(x) || x > 710) {
            return x > 710 ? Double.POSITIVE_INFINITY : Double.NaN;
        }
        if (x < -746) {
            return 0;
        }
        double n = Math.floor(x / (LN2_HIGH + LN2_LOW) + 0.5);
        double r = x - n * LN2_HIGH - n * LN2_LOW;
        double sum = 0;
        for (int k = 14; k >= 1; k--) {
            sum = (sum + INVERSE_FACTORIAL[k]) * r;
        }
        int half = (int) n / 2;
        return (1 + sum) * powerOfTwo(half) * powerOfTwo((int) n - half);
    }

    /** Natural logarithm; relative error at most 1e-14. */
    public static double log(double x) {
        if (!(x > 0)) {
            return x == 0 ? Double.NEGATIVE_INFINITY : Double.NaN;
        }
        if (x == Double.POSITIVE_INFINITY) {
            return x;
        }
        double scaled = x < Double.MIN_NORMAL ? x * 0x1p54 : x;
        int exponent = Math.getExponent(scaled);
        double m = scaled / powerOfTwo(exponent) / 2;
        exponent += 1;
        if (m < SQRT_HALF) {
            m *= 2;
            exponent--;
        }
        if (x < Double.MIN_NORMAL) {
            exponent -= 54;
        }
        double s = (m - 1) / (m + 1);
        double square = s * s;
        double sum = 0;
        for (int n = 23; n >= 3; n -= 2) {
            sum = (1.0 / n + sum) * square;
        }
        return exponent * LN2_HIGH + (2 * (s + s * sum) + exponent * LN2_LOW);
    }

    /** 2 to the n, n from -1022 to 1023. */
    private static double powerOfTwo(int n) {
        return Double.longBitsToDouble((long) (n + 1023) << 52);
    }
}
