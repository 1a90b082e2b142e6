package sunward.protocol.spectra;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

/** The table of a bin's fields in WIRE.md, section 4.3, held to the code: ranges and typical classes. */
class BinFieldsTableTest {
    @Test
    void rangesAndClassesStandInWireMd() throws IOException {
        List<String> lines = Files.readAllLines(Path.of("..", "WIRE.md"), StandardCharsets.UTF_8);
        int at = lines.indexOf("| no. | field | range | unit | typical class, first bin | later bins |") + 2;
        Set<Integer> seen = new HashSet<>();
        for (; lines.get(at).startsWith("|"); at++) {
            String[] cells = Arrays.stream(lines.get(at).split("\\|", -1))
                    .skip(1)
                    .map(String::strip)
                    .toArray(String[]::new);
            int[] numbers = numbers(cells[0]);
            int[] first = numbers(cells[4]);
            int[] later = numbers(cells[5]);
            for (int i = 0; i < numbers.length; i++) {
                int field = numbers[i];
                String range =
                        BinFields.MIN[field] + (BinFields.MAX[field] == 1 ? ", " : " .. ") + BinFields.MAX[field];
                boolean any = BinFields.MIN[field] == Integer.MIN_VALUE && BinFields.MAX[field] == Integer.MAX_VALUE;
                String said = cells[2].replace("2^23 - 1", String.valueOf((1 << 23) - 1))
                        .replace("-2^23", String.valueOf(-(1 << 23)));
                assertEquals(any ? "any" : range, said, lines.get(at));
                assertEquals(BinFields.TYPICAL_FIRST[field], first[i], lines.get(at));
                assertEquals(BinFields.TYPICAL_NEXT[field], later[i], lines.get(at));
                seen.add(field);
            }
        }
        assertEquals(BinFields.FIELDS, seen.size());
    }

    private static int[] numbers(String cell) {
        return Arrays.stream(cell.split(", ", -1))
                .flatMapToInt(text -> IntStream.of(Integer.parseInt(text)))
                .toArray();
    }
}
