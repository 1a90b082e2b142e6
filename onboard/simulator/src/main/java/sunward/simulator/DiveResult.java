package sunward.simulator;

import java.util.List;

/**
 * What a dive left behind.
 *
 * @param recording everything that the float computer was told
 * @param sent messages handed to the modem, in order; not to be changed
 * @param delivered what shore received, in order of arrival
 * @param truth what shore is to find out
 * @param account what it cost
 */
public record DiveResult(
        Recording recording, List<byte[]> sent, List<Delivery> delivered, Truth truth, FloatAccount account) {}
