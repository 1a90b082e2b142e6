package sunward.firmware;

import sunward.firmware.port.Buoyancy;

/**
 * The phases of a float's life, driven by ticks: each with what lets it in, what lets it out, and a time after which it is
 * left whatever happens.
 *
 * <pre>
 *   SURFACE ─► DESCENT ─► PARK ─► RISE ─► PROFILE (─► NEAR_SURFACE ─► PROFILE) ─► SURFACE (─► SLEEP ─► SURFACE)
 *      ▲ too deep, too long, not moving, low battery, events that stay away: from every phase by way of RISE ┘
 * </pre>
 *
 * <p>Whatever goes wrong, the answer is to rise and to try to report: under water the pump is told to rise; at the surface
 * the float packs what it has, with or without a fix, and offers it to the network session after session, sleeping in
 * between. A float with a low battery stays there. What went wrong is in the ledger of the dive under way or of the next.
 * Nothing is allocated after construction.
 */
public final class DiveCycle {
    /** Where the float is in its life. */
    public enum Phase {
        /** At the surface: fix, send, receive, send again. */
        SURFACE,
        /** At the surface between two sessions. */
        SLEEP,
        /** On its way down. */
        DESCENT,
        /** Drifting at depth until it is time to rise. */
        PARK,
        /** Rising below the pressure where radiometry starts. */
        RISE,
        /** Rising with the heads at work. */
        PROFILE,
        /** Staying near the surface with the heads at work. */
        NEAR_SURFACE
    }

    /** Who is told of a rise: the computer, or whoever stands before it. */
    public interface Rise {
        /** Radiometry begins. */
        void startProfile(long timeMs);

        /** Time for the next readings. */
        void instant(long timeMs);

        /** The hull has met the surface. */
        void endProfile(long timeMs);
    }

    private static final double DBAR_E4 = 1e-4;

    /** Under water for certain: deeper than any offset of a gauge, dbar. */
    private static final double SURELY_BELOW_DBAR = 25;

    /** Parked when within this of the parking pressure, dbar. */
    private static final double NEAR_PARK_DBAR = 10;

    /** The float moves when its pressure changes by this, dbar, and near the surface by less. */
    private static final double MOVED_DBAR = 1;

    private static final double TOP_DBAR = 1.5;
    private static final double MOVED_AT_TOP_DBAR = 0.05;
    private static final long STILL_AT_TOP_MS = 20_000;

    /** Radiometry starts this far below where the plan has it at most, dbar: what a gauge is off by. */
    private static final double START_DBAR = 0.1;

    private static final long MOVING_TICK_MS = 10_000;
    /** So near the start of radiometry, s, ticks are close, ms. */
    private static final double CLOSE_S = 5;

    private static final long CLOSE_TICK_MS = 1_000;
    private static final long PARK_TICK_MS = 600_000;

    /** Ticks this late mean that something hung: the watchdog acts. */
    private static final long WATCHDOG_MS = 900_000;

    /** In a rise and at the surface, where ticks are close: later than this it was the clock that jumped. */
    private static final long CLOCK_JUMP_MS = 3_600_000;

    private final FloatPlan plan;
    private final FloatComputer computer;
    private final Rise rise;
    private final Buoyancy pump;

    private Phase phase = Phase.SURFACE;
    private long sinceMs;
    private long nextMs;
    private long lastMs;
    private boolean ticked;
    private double markDbar;
    private long markMs;
    private boolean dwelt;
    private long riseAtMs;
    private boolean lowBattery;
    private long surfacedMs;
    private long sessionEndMs;
    private boolean taken;
    private int roundsLeft;
    private long listenUntilMs;

    /** Phases for a computer that is fed its fixes, tares, trims and scans by the driver. */
    public DiveCycle(FloatPlan plan, FloatComputer computer, Buoyancy pump) {
        this(plan, computer, pump, new Rise() {
            @Override
            public void startProfile(long timeMs) {
                computer.startProfile(timeMs);
            }

            @Override
            public void instant(long timeMs) {
                computer.onInstant(timeMs);
            }

            @Override
            public void endProfile(long timeMs) {
                computer.endProfile(timeMs);
            }
        });
    }

    /** As the other one; what is to be told of a rise goes to {@code rise}, who passes it on to the computer. */
    public DiveCycle(FloatPlan plan, FloatComputer computer, Buoyancy pump, Rise rise) {
        this.plan = plan;
        this.computer = computer;
        this.pump = pump;
        this.rise = rise;
    }

    /** Power has come, and the computer has booted: up, wherever this is. */
    public void boot(long timeMs, int rawPressureE4Dbar) {
        ticked = false;
        lowBattery = false;
        double dbar = (rawPressureE4Dbar - computer.tareE4()) * DBAR_E4;
        // A dive that was cut short remembers its tare.
        if (dbar > (computer.unpacked() ? TOP_DBAR : SURELY_BELOW_DBAR)) {
            computer.fault(Ledger.RESTARTED_BELOW);
            rise(timeMs, dbar);
        } else {
            surface(timeMs);
        }
    }

    /** The hull has met the surface, as a sensor other than the gauge tells: conductivity in air. */
    public void surfaced(long timeMs) {
        rise.endProfile(timeMs);
        surface(timeMs);
    }

    /**
     * Time has passed.
     *
     * @param timeMs now; when it is {@link #nextTickMs} or soon after
     * @param rawPressureE4Dbar of the gauge, no tare applied
     * @param batteryPercent charge left
     */
    public void tick(long timeMs, int rawPressureE4Dbar, int batteryPercent) {
        double dbar = (rawPressureE4Dbar - computer.tareE4()) * DBAR_E4;
        if (batteryPercent < plan.lowBatteryPercent && !lowBattery) {
            lowBattery = true;
            computer.fault(Ledger.LOW_BATTERY);
        }
        followClock(timeMs);
        boolean late = ticked && phase != Phase.SLEEP && timeMs - nextMs > WATCHDOG_MS;
        ticked = true;
        lastMs = timeMs;
        nextMs = timeMs + MOVING_TICK_MS;
        if (late) {
            computer.fault(Ledger.WATCHDOG);
        }
        if (late && below()) {
            rise(timeMs, dbar);
        }
        switch (phase) {
            case DESCENT -> descend(timeMs, dbar);
            case PARK -> park(timeMs, dbar);
            case RISE -> goUp(timeMs, dbar);
            case PROFILE, NEAR_SURFACE -> profile(timeMs, dbar);
            case SURFACE -> session(timeMs);
            case SLEEP -> sleep(timeMs, dbar);
        }
    }

    /** A jump of the clock, forward or back, is no time that has passed: the marks of time move with it. */
    private void followClock(long timeMs) {
        boolean jumped =
                ticked && (timeMs < lastMs || !below() && phase != Phase.RISE && timeMs - nextMs > CLOCK_JUMP_MS);
        if (jumped && phase != Phase.SLEEP) {
            long by = timeMs - nextMs;
            nextMs += by;
            sinceMs += by;
            markMs += by;
            surfacedMs += by;
            sessionEndMs += by;
            listenUntilMs += listenUntilMs > 0 ? by : 0;
        }
    }

    /** On the way down or parked: where a dive can be broken off. */
    private boolean below() {
        return phase == Phase.DESCENT || phase == Phase.PARK;
    }

    private void enter(Phase next, long timeMs, double dbar) {
        phase = next;
        sinceMs = timeMs;
        markDbar = dbar;
        markMs = timeMs;
    }

    private boolean still(long timeMs, double dbar) {
        if (Math.abs(dbar - markDbar) >= (dbar < TOP_DBAR ? MOVED_AT_TOP_DBAR : MOVED_DBAR)) {
            markDbar = dbar;
            markMs = timeMs;
        }
        return timeMs - markMs > plan.notMovingMs;
    }

    private boolean lasted(long timeMs, long limitMs) {
        boolean over = timeMs - sinceMs > limitMs;
        if (over) {
            computer.fault(Ledger.TOO_LONG);
        }
        return over;
    }

    private boolean tooDeep(double dbar) {
        boolean deep = dbar > plan.deepestDbar;
        if (deep) {
            computer.fault(Ledger.TOO_DEEP);
        }
        return deep;
    }

    private void dive(long timeMs) {
        riseAtMs = timeMs + plan.betweenDivesMs;
        pump.sink();
        enter(Phase.DESCENT, timeMs, 0);
        nextMs = timeMs + MOVING_TICK_MS;
    }

    private void descend(long timeMs, double dbar) {
        boolean stuck = still(timeMs, dbar);
        if (stuck) {
            computer.fault(Ledger.NOT_MOVING);
        }
        if (stuck || tooDeep(dbar) || lasted(timeMs, plan.descentLimitMs) || lowBattery) {
            rise(timeMs, dbar);
        } else if (dbar >= plan.parkDbar - NEAR_PARK_DBAR) {
            pump.hold();
            enter(Phase.PARK, timeMs, dbar);
        }
    }

    private void park(long timeMs, double dbar) {
        nextMs = Math.min(timeMs + PARK_TICK_MS, Math.max(timeMs + 1, riseAtMs));
        if (tooDeep(dbar) || lowBattery || timeMs >= riseAtMs || timeMs - sinceMs > plan.betweenDivesMs) {
            rise(timeMs, dbar);
        }
    }

    private void rise(long timeMs, double dbar) {
        pump.rise();
        dwelt = false;
        enter(Phase.RISE, timeMs, dbar);
        nextMs = timeMs + MOVING_TICK_MS;
    }

    /** Rising: nothing but the surface, or the time to look whether this is it, ends it. */
    private void goUp(long timeMs, double dbar) {
        pump.rise();
        if (still(timeMs, dbar)) {
            computer.fault(Ledger.NOT_MOVING);
        }
        boolean over = lasted(timeMs, plan.riseLimitMs);
        if (dbar <= plan.startDbar + START_DBAR || over) {
            rise.startProfile(timeMs);
            enter(Phase.PROFILE, timeMs, dbar);
            nextMs = timeMs;
        }
        if (over) {
            surfaced(timeMs);
        } else if (phase == Phase.RISE && dbar - plan.startDbar < plan.speedMPerS * CLOSE_S) {
            nextMs = timeMs + CLOSE_TICK_MS;
        }
    }

    private void profile(long timeMs, double dbar) {
        boolean stays = phase == Phase.NEAR_SURFACE;
        if (stays && (timeMs - sinceMs >= plan.dwellS * 1000 || lowBattery)) {
            pump.rise();
            dwelt = true;
            enter(Phase.PROFILE, timeMs, dbar);
            stays = false;
        } else if (!stays && !dwelt && plan.dwellS > 0 && dbar <= plan.dwellDbar && !lowBattery) {
            pump.hold();
            enter(Phase.NEAR_SURFACE, timeMs, dbar);
            stays = true;
        }
        if (!stays && still(timeMs, dbar)) {
            computer.fault(Ledger.NOT_MOVING);
            pump.rise();
        }
        // Without word from another sensor: a gauge may be off, but under water it does not stand still in a rise.
        boolean atTop = !stays && dbar < TOP_DBAR && timeMs - markMs > STILL_AT_TOP_MS;
        if (atTop || computer.fixedAfterRise() || !stays && lasted(timeMs, plan.riseLimitMs)) {
            surfaced(timeMs);
            return;
        }
        rise.instant(timeMs);
        nextMs = timeMs + computer.instantIntervalMs();
    }

    private void surface(long timeMs) {
        pump.rise();
        enter(Phase.SURFACE, timeMs, 0);
        surfacedMs = timeMs;
        openSession(timeMs);
    }

    private void openSession(long timeMs) {
        phase = Phase.SURFACE;
        sinceMs = timeMs;
        sessionEndMs = timeMs + plan.fixWaitMs + plan.sessionMs;
        taken = false;
        roundsLeft = plan.listenRounds;
        listenUntilMs = 0;
        nextMs = timeMs;
    }

    /** Fix or time-out, then pack, then send until nothing waits, then listen and send again what shore asks for. */
    private void session(long timeMs) {
        if (computer.unpacked()) {
            if (!computer.fixedAfterRise() && timeMs - surfacedMs < plan.fixWaitMs) {
                return;
            }
            if (!computer.fixedAfterRise()) {
                computer.fault(Ledger.NO_FIX);
            }
            computer.pack();
            sessionEndMs = timeMs + plan.sessionMs;
        }
        if (listenUntilMs > 0) {
            if (timeMs < listenUntilMs) {
                nextMs = listenUntilMs;
                return;
            }
            listenUntilMs = 0;
            roundsLeft--;
        }
        computer.hear(timeMs);
        if (timeMs + plan.messageMs <= sessionEndMs && computer.sendNext(timeMs)) {
            taken = true;
            nextMs = timeMs + plan.messageMs;
        } else if (computer.messagesWaiting() == 0 && roundsLeft > 0 && timeMs + plan.listenMs <= sessionEndMs) {
            listenUntilMs = timeMs + plan.listenMs;
            nextMs = listenUntilMs;
        } else if (timeMs + plan.messageMs > sessionEndMs || computer.messagesWaiting() == 0) {
            closeSession(timeMs);
        }
    }

    private void closeSession(long timeMs) {
        boolean waiting = computer.messagesWaiting() > 0;
        if (waiting && !taken) {
            computer.fault(Ledger.NO_LINK);
        }
        boolean tryAgain = waiting && timeMs - surfacedMs < plan.retryForMs;
        if (computer.holdUntilMs() > timeMs && !computer.diveNowOrdered() || tryAgain || lowBattery) {
            enter(Phase.SLEEP, timeMs, 0);
            nextMs = timeMs + plan.retryMs;
        } else {
            dive(timeMs);
        }
    }

    /** Wakes for the next session; the pump is told again to keep the float up. */
    private void sleep(long timeMs, double dbar) {
        pump.rise();
        openSession(timeMs);
        markDbar = dbar;
    }

    /** Where the float is in its life. */
    public Phase phase() {
        return phase;
    }

    /** When the next tick should come, ms. */
    public long nextTickMs() {
        return nextMs;
    }

    /** True while the float waits for orders after it has sent everything. */
    public boolean listening() {
        return phase == Phase.SURFACE && listenUntilMs > 0;
    }
}
