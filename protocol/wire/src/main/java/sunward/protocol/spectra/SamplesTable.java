package sunward.protocol.spectra;

/** Where the bits of the samples tier start: chances of zero, 2^-16, of normal noise; {@code protocol/tables/samples-start.txt}. */
final class SamplesTable {
    static final int[][] START = {
        {45419, 65065},
        {43546, 64776},
        {41754, 64384},
        {39875, 63826},
        {37698, 62950},
        {34944, 61426},
        {31425, 58687},
        {26960, 53770},
        {21199, 44963},
        {14653, 32167},
        {8434, 18378},
        {4038, 8522}
    };

    private SamplesTable() {}
}
