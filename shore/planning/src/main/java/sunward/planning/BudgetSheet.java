package sunward.planning;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import sunward.firmware.FloatComputer;
import sunward.firmware.Footprint;
import sunward.firmware.port.Modem;
import sunward.profiles.Decoding;
import sunward.profiles.DiveProduct;
import sunward.profiles.SurfaceRadiance;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.Verdict;
import sunward.protocol.schema.HeadCounts;
import sunward.protocol.schema.LinkTruth;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.Dive;
import sunward.simulator.DiveResult;
import sunward.simulator.NorFlash;
import sunward.simulator.PlanMapping;
import sunward.simulator.Seeds;

/**
 * What a dive of a plan costs, and what more messages would buy. Times, joules and money are sums over the plan's figures;
 * scans and bytes are counted in a few dives of the plan, flown in the plan file's scene over a link that loses nothing;
 * bins and uncertainties are those of the first of them, its scans packed again into each number of messages and decoded.
 *
 * @param cost by the plan's figures
 * @param counted what the dives used
 * @param bins bins made, all heads
 * @param binsSent bins sent, all heads
 * @param ramByPart bytes of RAM in the firmware's arrays, by what they serve
 * @param flashByPart bytes of flash set apart, by what they serve
 * @param wavelengthsNm where {@code steps} give uncertainties, nm
 * @param steps by rising number of messages allowed
 */
public record BudgetSheet(
        DiveCost cost,
        CountedDives counted,
        int bins,
        int binsSent,
        Map<String, Integer> ramByPart,
        Map<String, Integer> flashByPart,
        List<Integer> wavelengthsNm,
        List<Step> steps) {
    private static final int[] ALLOWED = {3, 6, 12, 26, 52, 104, 200};

    /** Dives counted, with seeds from 1 on: the sheet is a function of the plan file. */
    private static final int DIVES = 4;

    private static final double NEAREST_NM = 10;

    /**
     * What so many messages of data buy.
     *
     * @param allowed messages of data allowed; none of repair, none lost
     * @param sent messages that the dive took
     * @param uncertaintyPercent stated relative standard uncertainty of water-leaving radiance at each wavelength, percent;
     *     not-a-number where there is no value
     */
    public record Step(int allowed, int sent, List<Double> uncertaintyPercent) {}

    /**
     * Flies the dives and works the sheet out.
     *
     * @param progress told how far it is
     */
    public static BudgetSheet of(PlanFile planFile, Dive.Progress progress) {
        PlanFile.Builder quiet = planFile.toBuilder();
        quiet.getSceneBuilder().setLink(LinkTruth.getDefaultInstance());
        PlanFile file = quiet.build();
        List<DiveResult> dives = new ArrayList<>();
        for (int seed = 1; seed <= DIVES; seed++) {
            progress.at("dives", (seed - 1) / (double) DIVES);
            dives.add(Dive.fly(
                    file.getPlan(), file.getCalibration(), file.getScene(), Seeds.all(seed), null, Dive.Progress.NONE));
        }
        progress.at("dives", 1);
        DiveResult dive = dives.get(0);
        CountedDives counted = CountedDives.of(dives);
        int made = 0;
        int sent = 0;
        DiveProduct product = product(dive.sent(), file);
        if (product != null && product.ledger() != null) {
            made = product.ledger().getHeadsList().stream()
                    .mapToInt(HeadCounts::getBinsMade)
                    .sum();
            sent = product.ledger().getHeadsList().stream()
                    .mapToInt(HeadCounts::getBinsSent)
                    .sum();
        }
        Map<String, Integer> ram = new LinkedHashMap<>();
        Map<String, Integer> flash = new LinkedHashMap<>();
        footprint(file, ram, flash);
        return new BudgetSheet(
                DiveCost.of(file.getPlan(), file.getScene().getLatitudeDeg(), counted.messages()),
                counted,
                made,
                sent,
                ram,
                flash,
                Coverage.NAMED_NM,
                steps(file, dive, progress));
    }

    /** Asks a float of this plan. */
    private static void footprint(PlanFile file, Map<String, Integer> ram, Map<String, Integer> flash) {
        NorFlash chip = NorFlash.reference();
        Modem none = new Modem() {
            @Override
            public boolean send(byte[] message, int offset, int length) {
                return false;
            }

            @Override
            public int receive(byte[] into, int offset, int limit) {
                return 0;
            }
        };
        new FloatComputer(
                        PlanMapping.floatPlan(file.getPlan(), file.getCalibration(), true, null),
                        chip,
                        none,
                        (head, exposureCode, shutterClosed) -> {})
                .tell(new Footprint() {
                    @Override
                    public void ram(String part, int bytes) {
                        ram.put(part, bytes);
                    }

                    @Override
                    public void flash(String part, int bytes) {
                        flash.put(part, bytes);
                    }
                });
    }

    private static List<Step> steps(PlanFile file, DiveResult dive, Dive.Progress progress) {
        int most = (int) (file.getPlan().getLink().getSessionS()
                / file.getPlan().getLink().getMessageS());
        TreeSet<Integer> allowed = new TreeSet<>();
        for (int messages : ALLOWED) {
            allowed.add(messages);
        }
        allowed.add(file.getPlan().getPacking().getDataMessages());
        allowed.removeIf(messages -> messages > Math.max(most, ALLOWED[0]));
        List<Step> steps = new ArrayList<>();
        for (int messages : allowed) {
            progress.at("packing again", steps.size() / (double) allowed.size());
            PlanFile.Builder other = file.toBuilder();
            other.getPlanBuilder().getPackingBuilder().setDataMessages(messages).setParityMessages(0);
            List<byte[]> sent = Dive.replay(other.getPlan(), file.getCalibration(), dive.recording(), null);
            steps.add(new Step(messages, sent.size(), uncertainties(product(sent, other.build()))));
        }
        progress.at("packing again", 1);
        return List.copyOf(steps);
    }

    private static List<Double> uncertainties(DiveProduct product) {
        SurfaceRadiance surface = product == null ? null : product.surface();
        return Coverage.NAMED_NM.stream()
                .map(nm -> surface == null ? Double.NaN : uncertainty(surface, nm))
                .toList();
    }

    private static double uncertainty(SurfaceRadiance surface, double nm) {
        int nearest = nearest(surface, nm);
        boolean near = Math.abs(surface.wavelengthNm().at(nearest) - nm) < NEAREST_NM;
        return near ? 100 * surface.lwRelative().at(nearest) : Double.NaN;
    }

    /** The wavelength of a surface spectrum nearest to this one. */
    static int nearest(SurfaceRadiance surface, double nm) {
        int nearest = 0;
        for (int k = 1; k < surface.wavelengthNm().size(); k++) {
            double away = Math.abs(surface.wavelengthNm().at(k) - nm);
            nearest = away < Math.abs(surface.wavelengthNm().at(nearest) - nm) ? k : nearest;
        }
        return nearest;
    }

    /** The dive of some unsealed messages decoded; null when there is none. */
    static DiveProduct product(List<byte[]> sent, PlanFile file) {
        List<Message> accepted = new ArrayList<>();
        for (byte[] bytes : sent) {
            if (MessageReader.read(bytes, KeyRing.none()) instanceof Verdict.Accepted sound) {
                accepted.add(sound.message());
            }
        }
        List<DiveProduct> products = Decoding.products(accepted, RehearsedDive.shore(file));
        return products.isEmpty() ? null : products.get(0);
    }
}
