package sunward.planning;

import sunward.profiles.Seawater;
import sunward.protocol.schema.Ascent;
import sunward.protocol.schema.Energy;
import sunward.protocol.schema.Plan;

/**
 * What one dive costs by the plan's own figures, which are assumed: plain sums, nothing flown.
 *
 * @param profileS time from the start of radiometry to the surface, s
 * @param sendingS time of sending, s; waiting for a fix and for the network comes on top
 * @param pumpJ joules, like all that follow
 * @param headsJ heads while profiling
 * @param sensorsJ other sensors while profiling
 * @param computerJ computer while profiling and sending
 * @param modemJ modem
 * @param sleepJ from dive to dive
 * @param surfaceJ of all these, at the surface: the modem, and the computer while sending
 * @param price of the messages, in the plan's currency
 * @param dives that the battery is good for, to the last joule: keep a reserve
 */
public record DiveCost(
        double profileS,
        double sendingS,
        double pumpJ,
        double headsJ,
        double sensorsJ,
        double computerJ,
        double modemJ,
        double sleepJ,
        double surfaceJ,
        double price,
        double dives) {
    private static final double SECONDS_PER_DAY = 86_400;

    /**
     * The cost of a dive that sends so many messages.
     *
     * @param latitudeDeg for the depth at a pressure
     * @param messages a mean over dives need not be whole
     */
    static DiveCost of(Plan plan, double latitudeDeg, double messages) {
        Energy energy = plan.getEnergy();
        double profile = profileS(plan, latitudeDeg);
        double sending = messages * plan.getLink().getMessageS();
        double pump = energy.getPumpJPerDive();
        double heads = energy.getHeadsW() * profile;
        double sensors = energy.getSensorsW() * profile;
        double computer = energy.getComputerW() * (profile + sending);
        double modem = plan.getLink().getJoulesPerMessage() * messages;
        double sleep = energy.getSleepW() * energy.getDaysBetweenDives() * SECONDS_PER_DAY;
        double total = pump + heads + sensors + computer + modem + sleep;
        return new DiveCost(
                profile,
                sending,
                pump,
                heads,
                sensors,
                computer,
                modem,
                sleep,
                modem + energy.getComputerW() * sending,
                plan.getLink().getPricePerMessage() * messages,
                energy.getBatteryKj() * 1000 / total);
    }

    /** Joules of the whole dive. */
    public double totalJ() {
        return pumpJ + headsJ + sensorsJ + computerJ + modemJ + sleepJ;
    }

    /** Of these, the pump and the rise with its radiometry. */
    public double riseJ() {
        return totalJ() - sleepJ - surfaceJ;
    }

    private static double profileS(Plan plan, double latitudeDeg) {
        Ascent ascent = plan.getAscent();
        double port = plan.getHull().getPortAboveHeadsM();
        double top = plan.getHull().getTopAboveHeadsM();
        double start = Math.max(top, Seawater.depthM(ascent.getStartDbar(), latitudeDeg) + port);
        double slow = Seawater.depthM(ascent.getSlowAboveDbar(), latitudeDeg) + port;
        double turn = Math.max(top, Math.min(start, slow));
        double dwell = Seawater.depthM(ascent.getDwellDbar(), latitudeDeg) + port;
        double stay = dwell > top && dwell < start ? ascent.getDwellS() : 0;
        return (start - turn) / ascent.getSpeedMPerS() + (turn - top) / ascent.getSlowSpeedMPerS() + stay;
    }
}
