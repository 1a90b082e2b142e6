package sunward.profiles;

import java.util.Arrays;

/** One number per wavelength of a product; not-a-number where there is none. Immutable. */
public final class Spectrum {
    private final double[] values;

    private Spectrum(double[] values) {
        this.values = values;
    }

    /** A spectrum of a copy of these values. */
    public static Spectrum of(double... values) {
        return new Spectrum(values.clone());
    }

    /** How many wavelengths. */
    public int size() {
        return values.length;
    }

    /** The value at place {@code k}, from 0. */
    public double at(int k) {
        return values[k];
    }

    /** A copy of all values. */
    public double[] toArray() {
        return values.clone();
    }

    /** This spectrum times another, place by place. */
    public Spectrum times(Spectrum other) {
        double[] product = values.clone();
        for (int k = 0; k < product.length; k++) {
            product[k] *= other.values[k];
        }
        return new Spectrum(product);
    }

    @Override
    public boolean equals(Object other) {
        return other instanceof Spectrum spectrum && Arrays.equals(values, spectrum.values);
    }

    @Override
    public int hashCode() {
        return Arrays.hashCode(values);
    }

    @Override
    public String toString() {
        return Arrays.toString(values);
    }
}
