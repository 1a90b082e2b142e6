package sunward.protocol.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.protobuf.Descriptors.FieldDescriptor;
import com.google.protobuf.Descriptors.FieldDescriptor.JavaType;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import sunward.protocol.order.PlanSetting;
import sunward.protocol.schema.Limits;
import sunward.protocol.schema.LimitsOuterClass;
import sunward.protocol.schema.Plan;

/** The dictionary of settings that orders may change, held to the plan's schema and to WIRE.md. */
class PlanSettingTest {
    @Test
    void numbersRangesAndTypesAreThoseOfTheSchema() {
        Set<Integer> numbers = new TreeSet<>();
        for (PlanSetting setting : PlanSetting.values()) {
            String[] path = setting.path().split("\\.", 2);
            FieldDescriptor part = Plan.getDescriptor().findFieldByName(path[0]);
            FieldDescriptor field = part.getMessageType().findFieldByName(path[1]);
            assertEquals(16 * part.getNumber() + field.getNumber(), setting.number(), setting.path());
            assertTrue(numbers.add(setting.number()));
            if (setting != PlanSetting.DECLINATION_DAY) {
                Limits limits = field.getOptions().getExtension(LimitsOuterClass.limits);
                assertEquals(limits.getMin(), setting.min(), setting.path());
                assertEquals(limits.getMax(), setting.max(), setting.path());
                assertEquals(field.getJavaType() != JavaType.DOUBLE, setting.whole(), setting.path());
            }
        }
    }

    @Test
    void wireMdHasThem() throws IOException {
        String text = Files.readString(Path.of("..", "WIRE.md"), StandardCharsets.UTF_8);
        for (PlanSetting setting : PlanSetting.values()) {
            String row = String.format(
                    Locale.ROOT,
                    "| %d | %s | %s | %s%s |\n",
                    setting.number(),
                    setting.path(),
                    Decimals.plain(setting.min()),
                    Decimals.plain(setting.max()),
                    setting.whole() ? ", whole" : "");
            assertTrue(text.contains(row), row);
        }
    }
}
