package sunward.firmware;

/** How many messages a dive may take: the plan's, held to what flash, bytes, joules and time at the surface allow. */
final class Allowance {
    private Allowance() {}

    /**
     * Messages of data and repair together.
     *
     * @param free messages that the outbox has room for
     * @return at least 1: a dive always reports
     */
    static int all(FloatPlan plan, int free) {
        double most = free;
        most = held(most, plan.mostBytes, plan.messageBytes);
        most = held(most, plan.mostJoules, plan.messageJ);
        most = held(most, plan.mostSurfaceS, plan.messageS);
        return (int) Math.max(1, most);
    }

    /** {@code most}, or fewer when a limit that is set pays for fewer. */
    private static double held(double most, double limit, double each) {
        return limit > 0 && each > 0 ? Math.min(most, Math.floor(limit / each)) : most;
    }

    /** Messages of data that leave room for their repair messages among so many. */
    static int data(FloatPlan plan, int all, RepairWriter repair) {
        int data = Math.min(plan.dataMessages, all);
        while (data > 1 && data + repair.count(data, all) > all) {
            data--;
        }
        return data;
    }
}
