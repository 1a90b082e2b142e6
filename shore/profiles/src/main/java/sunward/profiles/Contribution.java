package sunward.profiles;

/**
 * One source of uncertainty of a spectrum: a factor of its relative covariance, fully correlated over wavelength.
 *
 * @param name what it comes from, in words
 * @param correlation over what the error stays the same
 * @param factor per wavelength, the relative standard uncertainty with its sign: how the result moves when the source errs
 *     by one standard uncertainty
 */
public record Contribution(String name, Correlation correlation, Spectrum factor) {}
