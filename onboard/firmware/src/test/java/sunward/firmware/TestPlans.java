package sunward.firmware;

/** Plans for tests: the numbers of the reference float, with as many channels and heads as asked for. */
final class TestPlans {
    private TestPlans() {}

    /** The reference float's geometry and rules; heads at equal angles on arms of 0.95 m. */
    static FloatPlan reference(int heads, int channels) {
        FloatPlan plan = new FloatPlan();
        plan.floatNumber = 7;
        plan.simulated = true;
        plan.heads = new FloatPlan.Head[heads];
        for (int h = 0; h < heads; h++) {
            FloatPlan.Head head = new FloatPlan.Head();
            head.upwelling = true;
            head.armXM = 0.95 * StrictMath.cos(2 * Math.PI * h / heads);
            head.armYM = 0.95 * StrictMath.sin(2 * Math.PI * h / heads);
            head.halfFieldDeg = 5;
            head.channels = channels;
            head.gainElectronsPerCount = 3.8;
            head.readNoiseCounts = 8;
            head.fullScaleCounts = 65535;
            plan.heads[h] = head;
        }
        plan.hullRadiusM = 0.085;
        plan.hullTopM = 0.35;
        plan.hullBottomM = 1.20;
        plan.portAboveM = 0.25;
        plan.startDbar = 250;
        plan.parkDbar = 1000;
        plan.slowAboveDbar = 20;
        plan.speedMPerS = 0.10;
        plan.slowSpeedMPerS = 0.03;
        plan.zoneToDbar = new double[] {10, 100, 250};
        plan.zoneWidthDbar = new double[] {0.2, 1, 2};
        plan.maxTiltDeg = 10;
        plan.rejectSigma = 6;
        plan.shortestMs = 4;
        plan.octaves = 9;
        plan.scanIntervalMs = 1000;
        plan.longScanIntervalMs = 2500;
        plan.longAboveMs = 500;
        plan.raiseBelowShare = 0.40;
        plan.lowerAboveShare = 0.90;
        plan.darkEvery = 20;
        plan.darkEveryCdeg = 100;
        plan.flashEvery = 1;
        plan.flashMs = 100;
        plan.shadedLoss = 0.005;
        plan.hysteresisLoss = 0.001;
        plan.sunDownDeg = 5;
        plan.sunNearZenithDeg = 5;
        plan.tiltDisagreementDeg = 3;
        plan.staleFixS = 36 * 3600;
        plan.staleDeclinationDays = 400;
        plan.attenuation555PerM = 0.07;
        plan.declinationDay = 9831;
        plan.messageBytes = 340;
        plan.dataMessages = 52;
        plan.nearSurfaceDbar = 20;
        plan.pumpJ = 12000;
        plan.headsW = 2.4;
        plan.sensorsW = 0.6;
        plan.sleepW = 0.001;
        plan.batteryJ = 8e6;
        plan.computerW = 0.15;
        plan.messageJ = 12;
        plan.deepestDbar = 1200;
        plan.descentLimitMs = 8 * 3_600_000;
        plan.riseLimitMs = 8 * 3_600_000;
        plan.notMovingMs = 1_800_000;
        plan.betweenDivesMs = 5 * 86_400_000;
        plan.fixWaitMs = 1_800_000;
        plan.sessionMs = 3_600_000;
        plan.messageMs = 20_000;
        plan.listenMs = 300_000;
        plan.listenRounds = 1;
        plan.retryMs = 3_600_000;
        plan.retryForMs = 4 * 86_400_000;
        plan.lowBatteryPercent = 10;
        for (int i = 0; i < 8; i++) {
            plan.planDigest[i] = (byte) (17 * i + 1);
            plan.calibrationDigest[i] = (byte) (29 * i + 5);
        }
        return plan;
    }

    /** A scan with both tilt sensors alike. */
    static RawScan scan(int channels, double headingDeg, double pitchDeg, double rollDeg) {
        RawScan scan = new RawScan(channels);
        scan.channels = channels;
        scan.headingCdeg = (int) Math.rint(headingDeg * 100);
        for (int i = 0; i < 2; i++) {
            scan.pitchCdeg[i] = (int) Math.rint(pitchDeg * 100);
            scan.rollCdeg[i] = (int) Math.rint(rollDeg * 100);
        }
        return scan;
    }

    /** Takes a scan's attitude with no witness about. */
    static void take(Attitude attitude, RawScan scan, double declinationDeg, double disagreementDeg) {
        attitude.take(scan, scan.headingCdeg, declinationDeg, disagreementDeg, new TiltWitness());
    }
}
