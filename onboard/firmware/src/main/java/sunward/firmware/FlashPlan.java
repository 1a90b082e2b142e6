package sunward.firmware;

import sunward.firmware.port.Flash;

/** Who owns which sectors: journal, orders, two outbox banks, bins, and all the rest for scans. */
final class FlashPlan {
    private static final int JOURNAL_SECTORS = 2;
    private static final int ORDER_SECTORS = 2;
    private static final int BANK_SHARE = 8;

    final Region journal;
    final Region orders;
    final Region firstBank;
    final Region secondBank;
    final Region bins;
    final Region scans;

    /**
     * Shares out the flash.
     *
     * @throws IllegalArgumentException when the flash is too small for the plan
     */
    FlashPlan(FloatPlan plan, Flash flash, int maxChannels, int mostBins) {
        int sector = flash.sectorBytes();
        long bank = Math.min(
                Outbox.bankBytes(plan.dataMessages + plan.repairMessages, plan.messageBytes),
                flash.sizeBytes() / BANK_SHARE);
        int bankBytes = whole(bank, sector);
        int binBytes = whole((long) mostBins * BinStore.slotBytes(maxChannels), sector);
        int at = (JOURNAL_SECTORS + ORDER_SECTORS) * sector;
        long scanBytes = (long) flash.sizeBytes() / sector * sector - at - 2L * bankBytes - binBytes;
        if (scanBytes < ScanStore.slotBytes(maxChannels)) {
            throw new IllegalArgumentException("flash of " + flash.sizeBytes() + " bytes leaves " + scanBytes
                    + " for scans after outbox and bins; take a larger flash or fewer bins");
        }
        journal = new Region(flash, 0, JOURNAL_SECTORS * sector);
        orders = new Region(flash, JOURNAL_SECTORS * sector, ORDER_SECTORS * sector);
        firstBank = new Region(flash, at, bankBytes);
        secondBank = new Region(flash, at + bankBytes, bankBytes);
        bins = new Region(flash, at + 2 * bankBytes, binBytes);
        scans = new Region(flash, at + 2 * bankBytes + binBytes, (int) scanBytes);
    }

    private static int whole(long bytes, int sector) {
        return (int) ((bytes + sector - 1) / sector * sector);
    }
}
