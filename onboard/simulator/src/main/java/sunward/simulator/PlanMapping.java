package sunward.simulator;

import java.time.LocalDate;
import sunward.firmware.FloatPlan;
import sunward.protocol.plan.Digests;
import sunward.protocol.plan.FlownChannels;
import sunward.protocol.schema.BinZone;
import sunward.protocol.schema.Calibration;
import sunward.protocol.schema.Head;
import sunward.protocol.schema.HeadKind;
import sunward.protocol.schema.Plan;
import sunward.protocol.schema.Safety;

/** From the plan of the file to the plain numbers that the firmware keeps. */
public final class PlanMapping {
    private static final LocalDate EPOCH = LocalDate.of(2000, 1, 1);

    /** So long the float listens for orders once it has sent everything (assumed). */
    private static final long LISTEN_MS = 300_000;

    private PlanMapping() {}

    /**
     * The firmware's plan.
     *
     * @param plan read and checked
     * @param calibration for the channel grid and its digest only
     * @param simulated true when a simulator flies it
     * @param sealKey key of the float's messages, or null
     */
    public static FloatPlan floatPlan(Plan plan, Calibration calibration, boolean simulated, byte[] sealKey) {
        FloatPlan to = new FloatPlan();
        to.floatNumber = plan.getFloatNumber();
        to.simulated = simulated;
        to.sealKey = sealKey == null ? null : sealKey.clone();
        to.heads = new FloatPlan.Head[plan.getHeadsCount()];
        for (int i = 0; i < to.heads.length; i++) {
            to.heads[i] = head(
                    plan.getHeads(i), FlownChannels.of(plan, calibration, i).count());
        }
        to.thinned = plan.getFlyWavelengthsNmCount() > 0;
        to.hullRadiusM = plan.getHull().getRadiusM();
        to.hullTopM = plan.getHull().getTopAboveHeadsM();
        to.hullBottomM = plan.getHull().getBottomBelowHeadsM();
        to.portAboveM = plan.getHull().getPortAboveHeadsM();
        ascent(plan, to);
        bins(plan, to);
        exposure(plan, to);
        safety(plan, to);
        headChoice(plan, to);
        to.declinationDeg = plan.getDeclination().getDegrees();
        to.declinationDay =
                (int) (LocalDate.parse(plan.getDeclination().getDate()).toEpochDay() - EPOCH.toEpochDay());
        to.messageBytes = plan.getLink().getMessageBytes();
        to.dataMessages = plan.getPacking().getDataMessages();
        to.repairMessages = plan.getPacking().getParityMessages();
        to.mostBytes = plan.getPacking().getMostBytes();
        to.mostJoules = plan.getPacking().getMostJoules();
        to.mostSurfaceS = plan.getLink().getSessionS();
        to.messageS = plan.getLink().getMessageS();
        to.channelsPerSample = plan.getPacking().getChannelsPerSample();
        to.nearSurfaceDbar = plan.getPacking().getNearSurfaceDbar();
        System.arraycopy(Digests.of(plan), 0, to.planDigest, 0, to.planDigest.length);
        System.arraycopy(Digests.of(calibration), 0, to.calibrationDigest, 0, to.calibrationDigest.length);
        to.pumpJ = plan.getEnergy().getPumpJPerDive();
        to.headsW = plan.getEnergy().getHeadsW();
        to.sleepW = plan.getEnergy().getSleepW();
        to.batteryJ = 1000 * plan.getEnergy().getBatteryKj();
        to.sensorsW = plan.getEnergy().getSensorsW();
        to.computerW = plan.getEnergy().getComputerW();
        to.messageJ = plan.getLink().getJoulesPerMessage();
        return to;
    }

    private static FloatPlan.Head head(Head from, int channels) {
        FloatPlan.Head to = new FloatPlan.Head();
        to.upwelling = from.getKind() == HeadKind.UPWELLING_RADIANCE;
        to.armXM = from.getArmXM();
        to.armYM = from.getArmYM();
        to.armZM = from.getArmZM();
        to.halfFieldDeg = from.getHalfFieldOfViewDeg();
        to.channels = channels;
        to.gainElectronsPerCount = from.getGainElectronsPerCount();
        to.readNoiseCounts = from.getReadNoiseCounts();
        to.fullScaleCounts = from.getFullScaleCounts();
        return to;
    }

    private static void ascent(Plan plan, FloatPlan to) {
        to.startDbar = plan.getAscent().getStartDbar();
        to.parkDbar = plan.getAscent().getParkDbar();
        to.slowAboveDbar = plan.getAscent().getSlowAboveDbar();
        to.speedMPerS = plan.getAscent().getSpeedMPerS();
        to.slowSpeedMPerS = plan.getAscent().getSlowSpeedMPerS();
        to.dwellDbar = plan.getAscent().getDwellDbar();
        to.dwellS = plan.getAscent().getDwellS();
    }

    private static void safety(Plan plan, FloatPlan to) {
        Safety safety = plan.getSafety();
        to.deepestDbar = safety.getDeepestDbar();
        to.descentLimitMs = Math.round(safety.getDescentLimitH() * 3_600_000);
        to.riseLimitMs = Math.round(safety.getRiseLimitH() * 3_600_000);
        to.notMovingMs = Math.round(safety.getNotMovingMin() * 60_000);
        to.fixWaitMs = Math.round(safety.getFixWaitMin() * 60_000);
        to.retryMs = Math.round(safety.getRetryMin() * 60_000);
        to.retryForMs = Math.round(safety.getRetryForH() * 3_600_000);
        to.lowBatteryPercent = (int) Math.ceil(safety.getLowBatteryPercent());
        to.betweenDivesMs = Math.round(plan.getEnergy().getDaysBetweenDives() * 86_400_000);
        to.sessionMs = Math.round(plan.getLink().getSessionS() * 1000);
        to.messageMs = Math.round(plan.getLink().getMessageS() * 1000);
        to.listenMs = LISTEN_MS;
        to.listenRounds = 1;
    }

    private static void bins(Plan plan, FloatPlan to) {
        to.zoneToDbar = plan.getBins().getZonesList().stream()
                .mapToDouble(BinZone::getToDbar)
                .toArray();
        to.zoneWidthDbar = plan.getBins().getZonesList().stream()
                .mapToDouble(BinZone::getWidthDbar)
                .toArray();
        to.maxTiltDeg = plan.getBins().getMaxTiltDeg();
        to.rejectSigma = plan.getBins().getRejectSigma();
    }

    private static void exposure(Plan plan, FloatPlan to) {
        to.shortestMs = plan.getExposure().getShortestMs();
        to.octaves = plan.getExposure().getOctaves();
        to.scanIntervalMs = (int) Math.round(plan.getExposure().getScanIntervalS() * 1000);
        to.longScanIntervalMs = (int) Math.round(plan.getExposure().getLongScanIntervalS() * 1000);
        to.longAboveMs = plan.getExposure().getLongExposureAboveMs();
        to.raiseBelowShare = plan.getExposure().getRaiseBelowShare();
        to.lowerAboveShare = plan.getExposure().getLowerAboveShare();
        to.darkEvery = plan.getExposure().getDarkEvery();
        to.darkEveryCdeg = (int) Math.round(plan.getExposure().getDarkEveryDegc() * 100);
        to.flashEvery = plan.getEmitters().getEvery();
        to.flashMs = plan.getEmitters().getFlashMs();
    }

    private static void headChoice(Plan plan, FloatPlan to) {
        to.shadedLoss = plan.getHeadChoice().getShadedLossPercent() / 100;
        to.hysteresisLoss = plan.getHeadChoice().getHysteresisPercent() / 100;
        to.sunDownDeg = plan.getHeadChoice().getSunDownElevationDeg();
        to.sunNearZenithDeg = plan.getHeadChoice().getSunNearZenithDeg();
        to.tiltDisagreementDeg = plan.getHeadChoice().getTiltDisagreementDeg();
        to.staleFixS = plan.getHeadChoice().getStaleFixH() * 3600;
        to.staleDeclinationDays = plan.getHeadChoice().getStaleDeclinationDays();
        to.attenuation555PerM = plan.getHeadChoice().getAttenuation555PerM();
    }
}
