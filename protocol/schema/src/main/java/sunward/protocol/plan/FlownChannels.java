package sunward.protocol.plan;

import java.util.NoSuchElementException;
import java.util.TreeSet;
import sunward.protocol.schema.Calibration;
import sunward.protocol.schema.HeadCalibration;
import sunward.protocol.schema.Plan;

/**
 * The channels of one head that a plan flies: all of them, or, when the plan names wavelengths, the nearest to each.
 * Float and shore must agree on them, so they are told by plan and calibration alone. Immutable.
 */
public final class FlownChannels {
    private final int[] channels;
    private final double[] wavelengthsNm;

    private FlownChannels(int[] channels, HeadCalibration grid) {
        this.channels = channels;
        this.wavelengthsNm = new double[channels.length];
        for (int i = 0; i < channels.length; i++) {
            wavelengthsNm[i] = grid.getFirstWavelengthNm() + grid.getWavelengthStepNm() * channels[i];
        }
    }

    /**
     * The flown channels of a head, in ascending order, each once. A wavelength midway between two channels goes to the
     * longer one; one beyond the grid goes to the grid's end.
     *
     * @param head head, from 0, in the plan's order
     * @throws NoSuchElementException when the calibration has no head of that name
     */
    public static FlownChannels of(Plan plan, Calibration calibration, int head) {
        HeadCalibration grid = headCalibration(plan, calibration, head);
        int last = plan.getHeads(head).getChannels() - 1;
        TreeSet<Integer> chosen = new TreeSet<>();
        for (double wavelengthNm : plan.getFlyWavelengthsNmList()) {
            double place = (wavelengthNm - grid.getFirstWavelengthNm()) / grid.getWavelengthStepNm();
            chosen.add((int) Math.max(0, Math.min(last, Math.floor(place + 0.5))));
        }
        if (chosen.isEmpty()) {
            for (int channel = 0; channel <= last; channel++) {
                chosen.add(channel);
            }
        }
        return new FlownChannels(chosen.stream().mapToInt(Integer::intValue).toArray(), grid);
    }

    /**
     * The calibration of a head of the plan, found by its name.
     *
     * @throws NoSuchElementException when the calibration has no head of that name
     */
    public static HeadCalibration headCalibration(Plan plan, Calibration calibration, int head) {
        String name = plan.getHeads(head).getName();
        for (HeadCalibration candidate : calibration.getHeadsList()) {
            if (candidate.getName().equals(name)) {
                return candidate;
            }
        }
        throw new NoSuchElementException("the calibration holds no head named " + name + "; give it one or rename");
    }

    /** How many channels are flown. */
    public int count() {
        return channels.length;
    }

    /** The number on the head's full grid of flown channel {@code k}. */
    public int channel(int k) {
        return channels[k];
    }

    /** The nominal centre of flown channel {@code k}, nm in air. */
    public double wavelengthNm(int k) {
        return wavelengthsNm[k];
    }

    /** A copy of all nominal centres, nm in air. */
    public double[] wavelengthsNm() {
        return wavelengthsNm.clone();
    }
}
