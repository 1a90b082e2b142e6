package sunward.profiles;

import java.util.List;

/**
 * What a correction gives: factors to multiply with, and what they are worth.
 *
 * @param factor per wavelength
 * @param contributions sources of uncertainty of these factors
 */
record Corrected(Spectrum factor, List<Contribution> contributions) {}
