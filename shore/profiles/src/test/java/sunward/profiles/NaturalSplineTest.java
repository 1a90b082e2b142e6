package sunward.profiles;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.hipparchus.analysis.interpolation.SplineInterpolator;
import org.hipparchus.analysis.polynomials.PolynomialSplineFunction;
import org.junit.jupiter.api.Test;

class NaturalSplineTest {
    private static final double[] X = {320, 350, 380, 412, 443, 490, 555, 620, 700, 860};
    private static final double[] Y = {1, 1.4, 1.5, 2.1, 2.6, 2.8, 2.9, 2.85, 2.2, 0.7};

    /** Checked against a general-purpose library: the natural spline of Hipparchus. */
    @Test
    void agreesWithALibraryBetweenKnots() {
        PolynomialSplineFunction library = new SplineInterpolator().interpolate(X, Y);
        NaturalSpline own = new NaturalSpline(X, Y);
        for (double x = 320; x <= 860; x += 0.75) {
            assertEquals(library.value(x), own.at(x), 1e-12, "at " + x);
        }
    }

    @Test
    void goesOnStraightBeyondTheEndsAndHoldsOneKnot() {
        NaturalSpline own = new NaturalSpline(X, Y);
        double slope = (own.at(320.001) - own.at(320)) / 0.001;
        assertEquals(own.at(320) - 5 * slope, own.at(315), 1e-4);
        double end = (own.at(860) - own.at(859.999)) / 0.001;
        assertEquals(own.at(860) + 5 * end, own.at(865), 1e-4);
        assertEquals(7, new NaturalSpline(new double[] {500}, new double[] {7}).at(612));
        assertEquals(1.5, new NaturalSpline(new double[] {0, 2}, new double[] {1, 2}).at(1), 1e-15);
    }
}
