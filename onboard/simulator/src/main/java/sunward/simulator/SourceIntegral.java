package sunward.simulator;

/**
 * Downwelling irradiance as two beams, sun and sky, each falling along its own slant path, and upwelling radiance as a source
 * integral from below: light sent upward at each depth, weakened on its way up by absorption and backscatter. The source is
 * scaled so that water alike at all depths has the reflectance rrs = 0.0949 u + 0.0794 u^2, u = bb / (a + bb), of
 * Gordon et al. (1988, J. Geophys. Res. 93, 10909).
 */
final class SourceIntegral implements Transfer {
    /**
     * Share of the particles' scattering that counts as loss to the downwelling beams, beyond their backscatter: forward
     * scattering lengthens the path. Chosen so that the attenuation follows Morel and Maritorena (2001); no other source.
     */
    private static final double PATH_LENGTHENING = 0.04;
    /** Upward scalar irradiance over nadir radiance: Eu is about 4 Lu, and its mean cosine about 0.45 (from memory). */
    private static final double UPWARD_SCALAR = 8.8;

    private final double sunCosine;
    private final Truths truths;

    /**
     * Under this sun.
     *
     * @param sunCosine of the refracted beam's angle to the vertical
     */
    SourceIntegral(double sunCosine, Truths truths) {
        this.sunCosine = sunCosine;
        this.truths = truths;
    }

    @Override
    public void follow(
            double[] depthM,
            Water.Properties[] water,
            double wavelengthNm,
            double incident,
            double sunShare,
            Light light) {
        int levels = depthM.length;
        double change = truths.reflectance(wavelengthNm);
        double[] reflectance = new double[levels];
        double path = 0;
        double lossAbove = 0;
        for (int z = 0; z < levels; z++) {
            Water.Properties p = water[z];
            double u = p.backscatter() / p.attenuation();
            reflectance[z] = change * (0.0949 + 0.0794 * u) * u;
            double loss = p.attenuation() + PATH_LENGTHENING * p.particleScattering();
            path += z == 0 ? 0 : 0.5 * (lossAbove + loss) * (depthM[z] - depthM[z - 1]);
            lossAbove = loss;
            light.lnDown[z] = lnDown(sunShare, path);
            double sun = incident * sunShare * Math.exp(-path / sunCosine) / sunCosine;
            double sky = incident * (1 - sunShare) * Math.exp(-path / SKY_COSINE) / SKY_COSINE;
            light.scalar[z] = sun + sky;
            light.scalarRaman[z] = sun * Raman.phase(sunCosine) + sky * Raman.phase(SKY_COSINE);
        }
        upward(depthM, water, reflectance, light);
        for (int z = 0; z < levels; z++) {
            double up = UPWARD_SCALAR * incident * Math.exp(light.lnElastic[z]);
            light.scalar[z] += up;
            light.scalarRaman[z] += up;
        }
    }

    /** ln of downwelling irradiance relative to just below the surface, after an optical path (vertical) of loss. */
    private double lnDown(double sunShare, double path) {
        // Factored so that nothing underflows where both beams are long gone.
        double skyExcess = Math.min(700, path * (1 / sunCosine - 1 / SKY_COSINE));
        return -path / sunCosine + Math.log(sunShare + (1 - sunShare) * Math.exp(skyExcess));
    }

    /**
     * From the depth up: over a layer the ratio of radiance to irradiance relaxes towards the layer's own reflectance at the
     * rate of both attenuations together, which makes it exact in water alike at all depths.
     */
    private static void upward(double[] depthM, Water.Properties[] water, double[] reflectance, Light light) {
        int last = depthM.length - 1;
        double[] lnDown = light.lnDown;
        double ratio = reflectance[last];
        light.lnElastic[last] = Math.log(ratio) + lnDown[last];
        for (int z = last - 1; z >= 0; z--) {
            double thick = depthM[z + 1] - depthM[z];
            double decay =
                    lnDown[z] - lnDown[z + 1] + 0.5 * (water[z].attenuation() + water[z + 1].attenuation()) * thick;
            double kept = Math.exp(-decay);
            ratio = ratio * kept + 0.5 * (reflectance[z] + reflectance[z + 1]) * (1 - kept);
            light.lnElastic[z] = Math.log(ratio) + lnDown[z];
        }
    }
}
