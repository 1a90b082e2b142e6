package sunward.profiles;

import java.util.List;

/**
 * What shore holds of a dive: every bin, and every gap with its cause.
 *
 * @param bins by head, bin, pass and class
 * @param gaps by head and bin
 * @param wavelengthNm per head, centre of each of its samples; empty where the float's plan or calibration is not at hand
 * @param channelsPerSample per head, neighbouring channels that one sample is the mean of; as {@code wavelengthNm}
 * @param countsPerSecond true when counts are per second; false: per shortest exposure of a plan that is not at hand
 */
public record Profile(
        List<ProfileBin> bins,
        List<Gap> gaps,
        List<Spectrum> wavelengthNm,
        List<Integer> channelsPerSample,
        boolean countsPerSecond) {}
