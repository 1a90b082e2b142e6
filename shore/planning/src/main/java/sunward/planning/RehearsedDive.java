package sunward.planning;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import sunward.profiles.Ancillary;
import sunward.profiles.Decoding;
import sunward.profiles.DiveProduct;
import sunward.profiles.ShoreInputs;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.Verdict;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.Delivery;
import sunward.simulator.Dive;
import sunward.simulator.DiveResult;
import sunward.simulator.Seeds;

/**
 * One dive, flown and decoded, in memory: a pure function of plan file, seeds and key.
 *
 * @param file plan, calibration and scene
 * @param seeds the dive's randomness
 * @param result what the simulator left behind
 * @param verdicts what shore says of each delivery, in order of arrival
 * @param product what shore made of the accepted ones; null when there was none
 * @param log what became of each message
 * @param orders how many orders to send something again shore made
 */
record RehearsedDive(
        PlanFile file,
        Seeds seeds,
        DiveResult result,
        List<Verdict> verdicts,
        DiveProduct product,
        MessageLog log,
        int orders) {

    /**
     * Flies and decodes. Shore gets plan, calibration and what arrived; never the scene.
     *
     * @param sealKey the float's key, or null to go unsealed
     */
    static RehearsedDive of(PlanFile file, Seeds seeds, byte[] sealKey, Dive.Progress progress) {
        return of(file, seeds, sealKey, 0, progress);
    }

    /**
     * As {@link #of(PlanFile, Seeds, byte[], Dive.Progress)}.
     *
     * @param resendRounds how often shore may order what it lacks; needs a key to have any effect
     */
    static RehearsedDive of(PlanFile file, Seeds seeds, byte[] sealKey, int resendRounds, Dive.Progress progress) {
        KeyRing keys = sealKey == null
                ? KeyRing.none()
                : KeyRing.of(Map.of(file.getPlan().getFloatNumber(), sealKey));
        ResendOrders shore = new ResendOrders(file.getPlan(), keys);
        DiveResult result = Dive.fly(
                file.getPlan(),
                file.getCalibration(),
                file.getScene(),
                seeds,
                sealKey,
                shore,
                sealKey == null ? 0 : resendRounds,
                progress);
        progress.at("decode", 0);
        List<Verdict> verdicts = new ArrayList<>();
        List<Message> accepted = new ArrayList<>();
        for (Delivery delivery : result.delivered()) {
            Verdict verdict = MessageReader.read(delivery.bytes(), keys);
            verdicts.add(verdict);
            if (verdict instanceof Verdict.Accepted sound) {
                accepted.add(sound.message());
            }
        }
        List<DiveProduct> products = Decoding.products(accepted, shore(file));
        progress.at("decode", 1);
        return new RehearsedDive(
                file,
                seeds,
                result,
                verdicts,
                products.isEmpty() ? null : products.get(0),
                MessageLog.of(result.sent(), result.delivered(), keys),
                shore.orders());
    }

    /** What shore may know. */
    static ShoreInputs shore(PlanFile file) {
        return new ShoreInputs(file.getPlan(), file.getCalibration(), Ancillary.climatology());
    }

    DiveReport report() {
        return new DiveReport(file, seeds, result, product, log);
    }
}
