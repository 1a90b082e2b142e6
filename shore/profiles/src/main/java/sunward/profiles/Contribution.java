package sunward.profiles;

/**
 * One source of uncertainty of a spectrum: a factor of its relative covariance.
 *
 * @param name what it comes from, in words
 * @param correlation over what the error stays the same
 * @param correlationLengthNm distance over which the error stays the same along the spectrum: infinite for one error for
 *     all wavelengths, 0 for one of its own at each
 * @param factor per wavelength, the relative standard uncertainty with its sign: how the result moves when the source errs
 *     by one standard uncertainty
 */
public record Contribution(String name, Correlation correlation, double correlationLengthNm, Spectrum factor) {
    /** A source with one error for all wavelengths. */
    static Contribution whole(String name, Correlation correlation, double... factor) {
        return new Contribution(name, correlation, Double.POSITIVE_INFINITY, Spectrum.of(factor));
    }

    /** A source with an error of its own at each wavelength. */
    static Contribution apart(String name, Correlation correlation, double... factor) {
        return new Contribution(name, correlation, 0, Spectrum.of(factor));
    }
}
