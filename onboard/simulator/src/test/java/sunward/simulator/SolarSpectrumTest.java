package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class SolarSpectrumTest {
    /**
     * Wavelengths in air of solar absorption lines, nm, as handbooks print them (from memory): Ca II K, Ca II H,
     * H beta, Na D2, H alpha, Ca II. The darkest cell within 0.4 nm lies on the line.
     */
    @ParameterizedTest
    @ValueSource(doubles = {393.366, 396.847, 486.134, 588.995, 656.281, 854.209})
    void linesLieOnAirWavelengths(double line) {
        double darkest = line;
        for (double wavelength = line - 0.4; wavelength <= line + 0.4; wavelength += 0.02) {
            if (SolarSpectrum.at(wavelength) < SolarSpectrum.at(darkest)) {
                darkest = wavelength;
            }
        }
        assertEquals(line, darkest, 0.11);
    }

    /**
     * Gregg and Carder (1990, Table 1) give a mean extraterrestrial irradiance over 400 to 700 nm of 1.770 W m-2 nm-1
     * (mean of their table); modern spectra lie about 1 % above.
     */
    @Test
    void levelIsThatOfPublishedSpectra() {
        double sum = 0;
        for (int i = 0; i < 3000; i++) {
            sum += SolarSpectrum.at(400.05 + 0.1 * i);
        }
        assertEquals(1.770, sum / 3000, 0.03 * 1.770);
    }

    /** Through a wide line the spectrum is smooth; through a narrow one it is the cell; a constant factor stays. */
    @Test
    void lineShapeIsNormalised() {
        assertEquals(SolarSpectrum.at(500), SolarSpectrum.through(500, 0.05), 1e-4);
        double[] parts = SolarSpectrum.through(500, 3, 7, wavelength -> 0.25);
        assertEquals(0.25 * SolarSpectrum.through(500, 3), Arrays.stream(parts).sum(), 1e-12);
        // Of a normal distribution, 0.3829 lies within half a standard deviation; the sun's lines leave it near that.
        assertEquals(0.3829, parts[3] / Arrays.stream(parts).sum(), 0.03);
        double narrow = SolarSpectrum.through(396.8, 0.3);
        double wide = SolarSpectrum.through(396.8, 3);
        assertTrue(narrow < 0.7 * wide, narrow + " against " + wide);
        assertThrows(IllegalArgumentException.class, () -> SolarSpectrum.through(200, 3));
        assertThrows(IllegalArgumentException.class, () -> SolarSpectrum.through(Double.NaN, 3));
    }

    /**
     * Second implementation, over another fine solar spectrum: a shift of 0.1 nm changes what a 3-nm line sees between 340 and
     * 400 nm by 0.6 % rms and 1.9 % at worst (light shaped as below water would only change the figures slightly).
     */
    @Test
    void smallShiftsMatterAmongTheLines() {
        double squares = 0;
        double worst = 0;
        int channels = 0;
        for (double nm = 340; nm <= 400; nm += 0.75) {
            double change = SolarSpectrum.through(nm + 0.1, 3) / SolarSpectrum.through(nm, 3) - 1;
            squares += change * change;
            worst = Math.max(worst, Math.abs(change));
            channels++;
        }
        assertEquals(0.006, Math.sqrt(squares / channels), 0.001);
        assertEquals(0.019, worst, 0.004);
    }
}
