package sunward.firmware;

/**
 * Which upwelling head is preferred, and which scans count as shaded: by predicted loss, never by brightness.
 *
 * <p>The first preference is the head nearest to the sun's side. It moves when another head is better by the plan's
 * hysteresis, or, while their losses are alike, when another one is nearer to the sun's side by a good margin: waiting
 * for the shadow to be predicted on the preferred head would let it come over that head unseen when the compass errs.
 * Under a sun near the zenith the shadow swings from side to side with the tilt; so that the preference does not, a change
 * must be paid for with half a turn of the hull since the last one. The first is free, and one more is kept in hand.
 *
 * <p>When the geometry cannot be trusted a fallback is named; it travels with the scans. Where no loss can be predicted at
 * all (no fix, no heading) the last preference stays and every head counts as clear: shore then widens its uncertainty
 * instead of losing the data. Under an overcast sky, as far as the heads' brightness tells, nothing is shaded.
 */
final class HeadChooser {
    /** The geometry is trusted. */
    static final int NONE = 0;

    /** The compass gave nothing. */
    static final int NO_HEADING = 1;

    /** The tilt sensors disagree, or one is missing. */
    static final int TILT_IN_DOUBT = 2;

    /** The sun's azimuth means little. */
    static final int SUN_NEAR_ZENITH = 3;

    /** No direct sun to cast a shadow. */
    static final int SUN_DOWN = 4;

    /** No direct sun under this sky. */
    static final int OVERCAST = 5;

    /** The last fix is old. */
    static final int STALE_FIX = 6;

    /** The declination is old. */
    static final int STALE_DECLINATION = 7;

    /** No fix since boot. */
    static final int NO_FIX = 8;

    /** Fallbacks in all, {@link #NONE} included. */
    static final int FALLBACKS = 9;

    /** Of two heads with like losses one is nearer to the sun's side by at least this, degrees. */
    private static final double NEARER_DEG = 30;

    /** The hull's turning that a change of preference costs, and the most that is saved up, degrees. */
    private static final double CHANGE_COSTS_DEG = 180;

    private static final double MOST_SAVED_DEG = 360;

    /** The turning is that of a smoothed heading, so that jitter and spikes pay for nothing. */
    private static final double SMOOTHING = 0.1;

    private static final double MS_PER_DAY = 86_400_000.0;

    private final FloatPlan plan;
    private final double[] loss;
    private final boolean[] silent;
    private int preferred;
    private boolean chosen;
    private double headingDeg; // smoothed, and unwrapped since the last change of preference, as are its extremes
    private double leastDeg;
    private double mostDeg;
    private double savedDeg;
    private int fallback = NO_FIX;

    HeadChooser(FloatPlan plan) {
        this.plan = plan;
        loss = new double[plan.heads.length];
        silent = new boolean[plan.heads.length];
        preferred = -1;
        for (int head = plan.heads.length - 1; head >= 0; head--) {
            loss[head] = Double.NaN;
            preferred = plan.heads[head].upwelling ? head : preferred;
        }
    }

    /**
     * Judges one moment.
     *
     * @param timeMs the moment
     * @param fixMs time of the last fix; no fix when {@code fixKnown} is false
     * @param shade has taken the sun and the attitude of the moment
     * @param portDepthM depth of the pressure port, m
     * @param overcast whether brightness shows no direct sun
     */
    void judge(
            long timeMs,
            boolean fixKnown,
            long fixMs,
            SunDirection sun,
            Attitude attitude,
            HullShade shade,
            double portDepthM,
            boolean overcast) {
        fallback = fallbackAt(timeMs, fixKnown, fixMs, sun, attitude, overcast);
        boolean down = fallback == SUN_DOWN || fallback == OVERCAST;
        boolean known = fallback != NO_FIX && fallback != NO_HEADING;
        for (int i = 0; i < loss.length; i++) {
            FloatPlan.Head head = plan.heads[i];
            double depth = portDepthM + attitude.down(head.armXM, head.armYM, head.armZM + plan.portAboveM);
            loss[i] = !known ? Double.NaN : down || !head.upwelling ? 0 : shade.loss(i, depth);
        }
        if (known && !down && preferred >= 0) {
            if (!chosen) {
                preferred = sunward(sun, attitude);
                startTurn(attitude.headingTrueDeg());
                savedDeg = CHANGE_COSTS_DEG;
                chosen = true;
            }
            turn(attitude.headingTrueDeg());
            int better = better(sun, attitude);
            if (better != preferred && savedDeg >= CHANGE_COSTS_DEG) {
                savedDeg -= CHANGE_COSTS_DEG;
                startTurn(headingDeg);
                preferred = better;
            }
        }
    }

    /** A dive begins: the heads are chosen between anew. */
    void diveBegins() {
        chosen = false;
    }

    private void startTurn(double fromDeg) {
        headingDeg = fromDeg;
        leastDeg = fromDeg;
        mostDeg = fromDeg;
    }

    /** Saves up the hull's turning. */
    private void turn(double toDeg) {
        headingDeg += SMOOTHING * Attitude.wrap180(toDeg - headingDeg);
        double beyond = Math.max(0, Math.max(headingDeg - mostDeg, leastDeg - headingDeg));
        savedDeg = Math.min(MOST_SAVED_DEG, savedDeg + beyond);
        leastDeg = Math.min(leastDeg, headingDeg);
        mostDeg = Math.max(mostDeg, headingDeg);
    }

    private int better(SunDirection sun, Attitude attitude) {
        int best = preferred;
        for (int i = 0; i < loss.length; i++) {
            best = usable(i) && loss[i] < loss[best] ? i : best;
        }
        if (loss[best] + plan.hysteresisLoss < loss[preferred]) {
            return best;
        }
        int near = sunward(sun, attitude);
        boolean nearer = loss[near] < loss[preferred] + plan.hysteresisLoss
                && fromSunDeg(near, sun, attitude) + NEARER_DEG < fromSunDeg(preferred, sun, attitude);
        return nearer ? near : preferred;
    }

    /** Tells whether a head has stopped answering: it is then not preferred while another one answers. */
    void silent(int head, boolean isSilent) {
        silent[head] = isSilent;
        for (int i = 0; isSilent && preferred == head && i < loss.length; i++) {
            preferred = usable(i) ? i : preferred;
        }
    }

    private boolean usable(int head) {
        return plan.heads[head].upwelling && !silent[head];
    }

    private double fromSunDeg(int head, SunDirection sun, Attitude attitude) {
        FloatPlan.Head arm = plan.heads[head];
        double azimuth = attitude.azimuthDeg(arm.armXM, arm.armYM, arm.armZM);
        return Math.abs(Attitude.wrap180(azimuth - sun.azimuthDeg()));
    }

    /** The upwelling head furthest from the anti-solar direction. */
    private int sunward(SunDirection sun, Attitude attitude) {
        int best = preferred;
        double least = Double.MAX_VALUE;
        for (int i = 0; i < loss.length; i++) {
            double fromSun = fromSunDeg(i, sun, attitude);
            if (usable(i) && fromSun < least) {
                least = fromSun;
                best = i;
            }
        }
        return best;
    }

    /** The gravest doubt holds: what spoils the prediction most comes first. */
    private int fallbackAt(
            long timeMs, boolean fixKnown, long fixMs, SunDirection sun, Attitude attitude, boolean overcast) {
        if (!fixKnown) {
            return NO_FIX;
        }
        if (90 - sun.zenithDeg() < plan.sunDownDeg) {
            return SUN_DOWN;
        }
        if (!attitude.headingKnown()) {
            return NO_HEADING;
        }
        if (overcast) {
            return OVERCAST;
        }
        if (attitude.tiltInDoubt()) {
            return TILT_IN_DOUBT;
        }
        if (sun.zenithDeg() < plan.sunNearZenithDeg) {
            return SUN_NEAR_ZENITH;
        }
        if (timeMs - fixMs > plan.staleFixS * 1000) {
            return STALE_FIX;
        }
        if (timeMs / MS_PER_DAY - plan.declinationDay > plan.staleDeclinationDays) {
            return STALE_DECLINATION;
        }
        return NONE;
    }

    /** The preferred upwelling head, or -1 when the float has none. */
    int preferred() {
        return preferred;
    }

    /** Predicted share of radiance lost at 555 nm, or NaN when it cannot be predicted. */
    double loss(int head) {
        return loss[head];
    }

    /** True when the predicted loss of a head is above the plan's limit. */
    boolean shaded(int head) {
        return loss[head] > plan.shadedLoss;
    }

    /** The fallback that holds, {@link #NONE} to {@link #NO_FIX}. */
    int fallback() {
        return fallback;
    }
}
