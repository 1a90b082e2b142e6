package sunward.protocol.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.protobuf.Descriptors.FieldDescriptor;
import com.google.protobuf.Message;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import sunward.protocol.schema.BinZone;
import sunward.protocol.schema.Bins;
import sunward.protocol.schema.Head;
import sunward.protocol.schema.HeadKind;
import sunward.protocol.schema.Limits;
import sunward.protocol.schema.LimitsOuterClass;
import sunward.protocol.schema.PlanFile;
import sunward.protocol.schema.Scene;

class DigestsTest {
    @Test
    void textIsSortedLinesWithDefaultsFilledIn() {
        Bins bins = Bins.newBuilder()
                .addZones(BinZone.newBuilder().setToDbar(10).setWidthDbar(0.2))
                .setRejectSigma(6)
                .build();
        assertEquals(
                "max_tilt_deg=0\nreject_sigma=6\nzones[0].to_dbar=10\nzones[0].width_dbar=0.2\n", Digests.text(bins));
        // Second implementation: printf of the text above into sha256sum (GNU coreutils).
        assertEquals("cae68bf184e3d4e84e401a3c12bf0100e52fdc5abf5d5e6e7b22950513995692", Digests.hex(Digests.of(bins)));
    }

    @Test
    void wordsTruthValuesAndTextsAreSpelledOut() {
        String head = Digests.text(Head.newBuilder()
                .setName("a\\b\nchannels=7")
                .setKind(HeadKind.DOWNWELLING_IRRADIANCE)
                .setChannels(720)
                .build());
        assertTrue(head.contains("\nkind=DOWNWELLING_IRRADIANCE\n"), head);
        assertTrue(head.contains("\nname=a\\\\b\\nchannels=7\n"), head);
        assertTrue(head.contains("\nchannels=720\n"), head);
        assertTrue(Digests.text(Scene.getDefaultInstance()).contains("instrument.hull_shading=false\n"));
    }

    @ParameterizedTest
    @CsvSource({
        "0, 0",
        "-0.0, 0",
        "1e6, 1000000",
        "0.1, 0.1",
        "-2.50, -2.5",
        "1e23, 100000000000000000000000",
        "2e-3, 0.002",
        "5.6843418860808015e-14, 0.000000000000056843418860808015",
        "0.30000000000000004, 0.30000000000000004"
    })
    void numbersArePlainDecimals(double value, String text) {
        assertEquals(text, Decimals.plain(value));
    }

    @Test
    void numbersReadBackTheSame() {
        Random random = new Random(1);
        for (int i = 0; i < 20_000; i++) {
            double value = Double.longBitsToDouble(random.nextLong());
            if (Double.isFinite(value)) {
                assertEquals(value + 0.0, Double.parseDouble(Decimals.plain(value)), "number " + i + " of seed 1");
            }
        }
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 2, 3, 4, 5, 6, 7, 8})
    void randomPlansReadBackEqual(int seed) {
        Random random = new Random(seed);
        PlanFile file = PlanReader.defaults();
        int changed = 0;
        for (int i = 0; i < 300; i++) {
            PlanFile.Builder next = file.toBuilder();
            change(next, random);
            if (PlanCheck.firstProblem(next.build()).isEmpty()) {
                file = next.build();
                changed++;
            }
        }
        assertTrue(changed > 50, "changed only " + changed + " with seed " + seed);
        PlanFile back = PlanReader.read(PlanWriter.yaml(file), "seed " + seed);
        assertEquals(file, back, "seed " + seed);
        assertEquals(Digests.hex(Digests.of(file)), Digests.hex(Digests.of(back)), "seed " + seed);
        assertNotEquals(Digests.hex(Digests.of(PlanReader.defaults())), Digests.hex(Digests.of(back)), "seed " + seed);
    }

    /** Changes one field somewhere below a section. */
    private static void change(Message.Builder section, Random random) {
        List<FieldDescriptor> fields = section.getDescriptorForType().getFields();
        FieldDescriptor field = fields.get(random.nextInt(fields.size()));
        if (field.isRepeated()) {
            int count = section.getRepeatedFieldCount(field);
            if (count > 0 && field.getJavaType() == FieldDescriptor.JavaType.MESSAGE) {
                change(section.getRepeatedFieldBuilder(field, random.nextInt(count)), random);
            } else if (count > 0) {
                int at = random.nextInt(count);
                section.setRepeatedField(field, at, value(field, section.getRepeatedField(field, at), random));
            }
        } else if (field.getJavaType() == FieldDescriptor.JavaType.MESSAGE) {
            change(section.getFieldBuilder(field), random);
        } else {
            section.setField(field, value(field, section.getField(field), random));
        }
    }

    private static Object value(FieldDescriptor field, Object old, Random random) {
        Limits limits = field.getOptions().getExtension(LimitsOuterClass.limits);
        double share = random.nextDouble();
        double between = limits.getMin() + share * (limits.getMax() - limits.getMin());
        return switch (field.getJavaType()) {
            case DOUBLE -> random.nextBoolean() ? between : clamp((Double) old * (1 + share / 1000), limits);
            case INT -> (int) Math.round(between);
            case BOOLEAN -> random.nextBoolean();
            case STRING ->
                field.getName().equals("title") || field.getName().equals("laboratory") ? words(random) : old;
            default -> old;
        };
    }

    private static double clamp(double value, Limits limits) {
        return Math.max(limits.getMin(), Math.min(limits.getMax(), value));
    }

    private static String words(Random random) {
        String letters = "aé \"\\'#:-\n\t\u0085\u2028\ud83c\udf0a{}[]&*!%@|>ıİ\u0007~";
        List<String> picked = new ArrayList<>();
        int[] points = letters.codePoints().toArray();
        for (int i = random.nextInt(12); i >= 0; i--) {
            picked.add(Character.toString(points[random.nextInt(points.length)]));
        }
        return String.join("", picked);
    }
}
