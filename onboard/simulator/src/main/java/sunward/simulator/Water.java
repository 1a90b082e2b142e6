package sunward.simulator;

import java.nio.file.Path;
import sunward.protocol.schema.LightModel;

/**
 * Optical properties of the water column: pure seawater, phytoplankton, dissolved and detrital matter, and particles, all
 * bound to one chlorophyll profile (a constant background and a Gaussian deep maximum, or a user's file) and to the cast.
 */
public final class Water {
    private final sunward.protocol.schema.Water scene;
    private final Cast cast;
    private final double latitudeDeg;
    private final Truths truths;
    private final Constituents constituents;
    /** Stands instead of background and maximum; null: none. */
    private final DepthProfile profile;

    Water(sunward.protocol.schema.Water scene, Cast cast, double latitudeDeg, Truths truths) {
        this.scene = scene;
        this.cast = cast;
        this.latitudeDeg = latitudeDeg;
        this.truths = truths;
        constituents = scene.getLightModel() == LightModel.THREE_STREAMS ? new PigmentBands() : new ChlorophyllLaws();
        String file = scene.getChlorophyllProfile();
        profile = file.isEmpty() ? null : DepthProfile.read(Path.of(file), "chlorophyll_mg_per_m3", 0.001, 100);
    }

    /** The water by the published tables as they stand. */
    public static Water published(sunward.protocol.schema.Water scene, Cast cast, double latitudeDeg) {
        return new Water(scene, cast, latitudeDeg, Truths.published());
    }

    /**
     * What the water does to light of one wavelength at one depth, all per m.
     *
     * @param absorption total
     * @param phytoplankton part of the absorption by phytoplankton
     * @param backscatter total
     * @param particleScattering scattering by particles in all directions
     * @param scattering by water and particles in all directions
     */
    public record Properties(
            double absorption, double phytoplankton, double backscatter, double particleScattering, double scattering) {
        /** What light loses on its way straight up: absorption and backscatter. */
        double attenuation() {
            return absorption + backscatter;
        }
    }

    Constituents constituents() {
        return constituents;
    }

    /** Chlorophyll, mg m-3, at a depth. */
    public double chlorophyll(double depthM) {
        if (profile != null) {
            return profile.at(depthM);
        }
        double away = (depthM - scene.getMaximumDepthM()) / scene.getMaximumWidthM();
        return scene.getSurfaceChlorophyllMgPerM3()
                + scene.getMaximumChlorophyllMgPerM3() * Math.exp(-0.5 * away * away);
    }

    /** Temperature at a depth, degC. */
    public double temperatureDegC(double depthM) {
        return cast.temperatureDegC(Seawater.pressureDbar(depthM, latitudeDeg));
    }

    /** Practical salinity at a depth. */
    public double salinity(double depthM) {
        return cast.salinity(Seawater.pressureDbar(depthM, latitudeDeg));
    }

    /** What the water does to light of a wavelength (300 to 880 nm) at a depth. */
    public Properties at(double wavelengthNm, double depthM) {
        return line(wavelengthNm).at(chlorophyll(depthM), temperatureDegC(depthM), salinity(depthM));
    }

    /** Everything of one wavelength that does not change with depth, worked out once. */
    Line line(double wavelengthNm) {
        return new Line(wavelengthNm);
    }

    /** The water at one wavelength. */
    final class Line {
        private final double wavelengthNm;
        private final double pureFactor;
        private final double phytoplanktonFactor;
        private final double dissolvedFactor;
        private final double backscatterFactor;
        private final double molecularFactor;

        private Line(double wavelengthNm) {
            this.wavelengthNm = wavelengthNm;
            pureFactor = truths.pureWater(wavelengthNm, PureSeawater.absorptionUncertainty(wavelengthNm))
                    * PureSeawater.ultravioletFactor(scene.getPureWaterTable(), wavelengthNm);
            phytoplanktonFactor = truths.phytoplankton(wavelengthNm);
            dissolvedFactor =
                    scene.getDissolvedShare() * constituents.dissolvedShape(wavelengthNm, truths.dissolvedSlope());
            backscatterFactor = truths.backscatter(wavelengthNm);
            molecularFactor = truths.molecularScattering();
        }

        Properties at(double chlorophyll, double temperatureDegC, double salinity) {
            double pure = pureFactor * PureSeawater.absorption(wavelengthNm, temperatureDegC, salinity);
            double phytoplankton = phytoplanktonFactor * constituents.phytoplankton(wavelengthNm, chlorophyll);
            double dissolved = dissolvedFactor * constituents.phytoplankton(Constituents.REFERENCE_NM, chlorophyll);
            double molecular = molecularFactor * PureSeawater.scattering(wavelengthNm, temperatureDegC, salinity);
            double particleBack = backscatterFactor * constituents.particleBackscatter(wavelengthNm, chlorophyll);
            double particles = constituents.particleScattering(wavelengthNm, chlorophyll);
            return new Properties(
                    pure + phytoplankton + dissolved,
                    phytoplankton,
                    molecular / 2 + particleBack,
                    particles,
                    molecular + particles);
        }
    }
}
