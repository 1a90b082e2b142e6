package sunward.watch.trouble;

import java.util.List;

/**
 * A dive beside its rehearsal, in numbers and in words.
 *
 * @param dive number of the dive
 * @param blue water-leaving radiance at 410 to 450 nm over the rehearsed one; not-a-number: not known
 * @param green the same at 540 to 570 nm
 * @param heads the first head over each further one, over the same as rehearsed; not-a-number: not known
 * @param findings what departs
 */
record Compared(int dive, double blue, double green, List<Double> heads, List<Finding> findings) {}
