package sunward.simulator;

/**
 * Light as three streams, the sun's beam and diffuse light down and up, that scatter into each other at every depth: the
 * equations of Aas (1987, Appl. Opt. 26, 2095) with the coefficients of Ackleson, Balch and Holligan (1994, J. Geophys. Res. 99,
 * 7483), both from memory. Within a layer the solution is exact (exponentials); layers are joined from the bottom up and
 * the light let in from the top, part of what comes up being thrown back down by the surface. Nadir radiance follows
 * from upward irradiance by the ratio Q of Morel, Antoine and Gentili (2002, Appl. Opt. 41, 6289, Appendix B), that of
 * the surface at every depth.
 */
final class ThreeStreams implements Transfer {
    private static final double DOWN_COSINE = 0.83;
    private static final double UP_COSINE = 0.4;
    /** How much more diffuse light down, and up, is scattered back than a beam. */
    private static final double DOWN_FACTOR = 1.5;

    private static final double UP_FACTOR = 3;
    /** Share of upward irradiance that the surface throws back, from memory. */
    private static final double INTERNAL_REFLECTANCE = 0.48;
    /** A beam that falls just as diffuse light does has no solution of its own; it is told apart by this share. */
    private static final double APART = 1e-5;

    private static final double SMALLEST = 1e-300;

    private static final Table Q = Table.read("upward-q.csv");
    private static final double[] Q_CHLOROPHYLL = {0.03, 0.1, 0.3, 1, 3, 10};

    private final double sunCosine;
    private final double zenithDeg;
    private final double chlorophyll;
    private final Truths truths;

    /**
     * Under this sun.
     *
     * @param sunCosine of the refracted beam's angle to the vertical
     * @param zenithDeg of the sun in the air
     * @param chlorophyll at the surface, mg m-3
     */
    ThreeStreams(double sunCosine, double zenithDeg, double chlorophyll, Truths truths) {
        this.sunCosine = sunCosine;
        this.zenithDeg = zenithDeg;
        this.chlorophyll = chlorophyll;
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
        int last = depthM.length - 1;
        Layer[] layers = new Layer[last + 1];
        layers[last] = new Layer(water[last], water[last], sunCosine);
        layers[last].endless();
        for (int z = last - 1; z >= 0; z--) {
            layers[z] = new Layer(water[z], water[z + 1], sunCosine);
            layers[z].above(layers[z + 1], depthM[z + 1] - depthM[z]);
        }
        double beam = sunShare;
        double down = (1 - sunShare + INTERNAL_REFLECTANCE * layers[0].beamBack * beam)
                / (1 - INTERNAL_REFLECTANCE * layers[0].diffuseBack);
        double ln = 0;
        double nadir = truths.reflectance(wavelengthNm) / q(wavelengthNm);
        for (int z = 0; z <= last; z++) {
            Layer layer = layers[z];
            double up = Math.max(SMALLEST, layer.diffuseBack * down + layer.beamBack * beam);
            double total = beam + down;
            light.lnDown[z] = ln + Math.log(total);
            light.lnElastic[z] = ln + Math.log(up * nadir);
            double level = incident * Math.exp(ln);
            double sun = level * beam / sunCosine;
            double sky = level * down / DOWN_COSINE;
            double back = level * up / UP_COSINE;
            light.scalar[z] = sun + sky + back;
            light.scalarRaman[z] =
                    sun * Raman.phase(sunCosine) + sky * Raman.phase(DOWN_COSINE) + back * Raman.phase(UP_COSINE);
            if (z < last) {
                double below = Math.max(SMALLEST, layer.diffuseBelow(beam, down));
                beam *= layer.beamKept;
                // Told anew as shares of one, so that nothing underflows.
                double sum = beam + below;
                ln += Math.log(sum);
                beam /= sum;
                down = below / sum;
            }
        }
    }

    /** Upward irradiance over nadir radiance, sr. */
    double q(double wavelengthNm) {
        double ln = Math.log(Math.max(Q_CHLOROPHYLL[0], Math.min(Q_CHLOROPHYLL[5], chlorophyll)));
        int i = 0;
        while (i < Q_CHLOROPHYLL.length - 2 && ln > Math.log(Q_CHLOROPHYLL[i + 1])) {
            i++;
        }
        double from = Math.log(Q_CHLOROPHYLL[i]);
        double share = (ln - from) / (Math.log(Q_CHLOROPHYLL[i + 1]) - from);
        return (1 - share) * q(i, wavelengthNm) + share * q(i + 1, wavelengthNm);
    }

    private double q(int row, double wavelengthNm) {
        double lowered = 1 - StrictMath.cos(StrictMath.toRadians(zenithDeg));
        return Q.at(1 + row, wavelengthNm) + Q.at(1 + Q_CHLOROPHYLL.length + row, wavelengthNm) * lowered;
    }

    /** A layer of even water and, at its top, what all below it sends back. */
    private static final class Layer {
        /** Diffuse light down loses, and gains from light up; light up loses, and gains from diffuse light down; per m. */
        private final double downLoss;

        private final double upToDown;
        private final double upLoss;
        private final double downToUp;
        /** The beam's fall, per m, and what it makes beside it for each unit of its own: diffuse light down and up. */
        private final double beamLoss;

        private final double beamDown;
        private final double beamUp;
        /** Rates of the falling and the rising solution, per m, and the other stream in each. */
        private final double falling;

        private final double fallingUp;
        private final double rising;
        private final double risingDown;

        /** What comes up at the layer's top for each unit of diffuse light and of beam going down there. */
        double diffuseBack;

        double beamBack;
        double beamKept;

        private double fallingKept;
        private double risingFromFalling;
        private double risingFromBeam;
        private double topOfFalling;
        private double topOfBeam;

        Layer(Water.Properties top, Water.Properties bottom, double sunCosine) {
            double a = 0.5 * (top.absorption() + bottom.absorption());
            double b = 0.5 * (top.scattering() + bottom.scattering());
            double bb = 0.5 * (top.backscatter() + bottom.backscatter());
            downLoss = (a + DOWN_FACTOR * bb) / DOWN_COSINE;
            upToDown = UP_FACTOR * bb / UP_COSINE;
            upLoss = (a + UP_FACTOR * bb) / UP_COSINE;
            downToUp = DOWN_FACTOR * bb / DOWN_COSINE;
            double half = (upLoss - downLoss) / 2;
            double middle = (upLoss + downLoss) / 2;
            double root = Math.sqrt(middle * middle - upToDown * downToUp);
            falling = root - half;
            rising = root + half;
            fallingUp = downToUp / (upLoss + falling);
            risingDown = upToDown / (downLoss + rising);
            double loss = (a + b) / sunCosine;
            beamLoss = Math.abs(loss / falling - 1) < APART ? falling * (1 + APART) : loss;
            double forward = (b - bb) / sunCosine;
            double backward = bb / sunCosine;
            beamDown = (forward * (upLoss + beamLoss) + upToDown * backward)
                    / ((downLoss - beamLoss) * (upLoss + beamLoss) - upToDown * downToUp);
            beamUp = (downToUp * beamDown + backward) / (upLoss + beamLoss);
        }

        /** The layer goes down for ever. */
        void endless() {
            diffuseBack = fallingUp;
            beamBack = beamUp - fallingUp * beamDown;
        }

        /** Lies so thick upon a layer that is already joined to all below it. */
        void above(Layer below, double thickM) {
            beamKept = Math.exp(-beamLoss * thickM);
            fallingKept = Math.exp(-falling * thickM);
            double risingKept = Math.exp(-rising * thickM);
            double open = 1 - below.diffuseBack * risingDown;
            risingFromFalling = fallingKept * (below.diffuseBack - fallingUp) / open;
            risingFromBeam = beamKept * (below.diffuseBack * beamDown + below.beamBack - beamUp) / open;
            topOfFalling = 1 + risingDown * risingKept * risingFromFalling;
            topOfBeam = beamDown + risingDown * risingKept * risingFromBeam;
            diffuseBack = (fallingUp + risingKept * risingFromFalling) / topOfFalling;
            beamBack = beamUp + risingKept * risingFromBeam - diffuseBack * topOfBeam;
        }

        /** Diffuse light down at the layer's bottom when so much goes down at its top. */
        double diffuseBelow(double beam, double diffuse) {
            double fall = (diffuse - beam * topOfBeam) / topOfFalling;
            double rise = risingFromFalling * fall + risingFromBeam * beam;
            return fall * fallingKept + risingDown * rise + beam * beamKept * beamDown;
        }
    }
}
