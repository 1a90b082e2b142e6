package sunward.protocol.spectra;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import org.junit.jupiter.api.Test;

/** Sample centres by hand, and the limits. */
class WavelengthGridTest {
    @Test
    void samplesLieAtTheMeanOfTheirChannels() {
        WavelengthGrid grid = new WavelengthGrid(320, 0.75, 718, 4);
        assertEquals(180, grid.samples());
        // Channels 0 to 3 lie at 320, 320.75, 321.5 and 322.25 nm.
        assertEquals(321.125, grid.sampleNm(0), 1e-12);
        // The last sample holds channels 716 and 717: 857 and 857.75 nm.
        assertEquals(857.375, grid.sampleNm(179), 1e-12);
        assertEquals(716, grid.firstChannel(179));
        assertEquals(718, grid.endChannel(179));
    }

    @Test
    void everyChannelIsInExactlyOneSample() {
        for (int channels = 16; channels <= 1024; channels += 7) {
            for (int group = 1; group <= 64; group++) {
                WavelengthGrid grid = new WavelengthGrid(300, 1, channels, group);
                int next = 0;
                for (int sample = 0; sample < grid.samples(); sample++) {
                    assertEquals(next, grid.firstChannel(sample));
                    next = grid.endChannel(sample);
                }
                assertEquals(channels, next);
            }
        }
    }

    @Test
    void limitsHold() {
        assertThrows(IllegalArgumentException.class, () -> new WavelengthGrid(320, 0.75, 15, 1));
        assertThrows(IllegalArgumentException.class, () -> new WavelengthGrid(320, 0.75, 1025, 1));
        assertThrows(IllegalArgumentException.class, () -> new WavelengthGrid(320, 0, 100, 1));
        assertThrows(IllegalArgumentException.class, () -> new WavelengthGrid(Double.NaN, 1, 100, 1));
        assertThrows(IllegalArgumentException.class, () -> new WavelengthGrid(320, 0.75, 100, 65));
    }
}
