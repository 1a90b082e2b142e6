package sunward.profiles;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Against the netCDF classic format specification (Unidata), by hand-laid bytes and by the tools that read it. */
class NetcdfWriterTest {
    @Test
    void smallestFileIsTheOneOfTheSpecification() {
        byte[] empty = new NetcdfWriter().toBytes();
        byte[] expected = new byte[32];
        System.arraycopy(new byte[] {'C', 'D', 'F', 2}, 0, expected, 0, 4);
        assertArrayEquals(expected, empty);
    }

    @Test
    void oneVariableLiesWhereTheSpecificationSays() {
        NetcdfWriter writer = new NetcdfWriter().dimension("dim", 5);
        writer.variable("vx", NetcdfWriter.Type.SHORT, "dim").values(3.0, 1, 4, 1, 5);
        byte[] bytes = writer.toBytes();
        ByteBuffer b = ByteBuffer.wrap(bytes);
        assertEquals(0x43444602, b.getInt());
        assertEquals(0, b.getInt());
        assertEquals(0x0A, b.getInt());
        assertEquals(1, b.getInt());
        assertEquals(3, b.getInt());
        assertEquals(0x64696d00, b.getInt());
        assertEquals(5, b.getInt());
        assertEquals(0L, b.getLong());
        assertEquals(0x0B, b.getInt());
        assertEquals(1, b.getInt());
        assertEquals(2, b.getInt());
        assertEquals(0x76780000, b.getInt());
        assertEquals(1, b.getInt());
        assertEquals(0, b.getInt());
        assertEquals(0L, b.getLong());
        assertEquals(3, b.getInt());
        assertEquals(12, b.getInt());
        long begin = b.getLong();
        assertEquals(b.position(), begin);
        assertArrayEquals(
                new byte[] {0, 3, 0, 1, 0, 4, 0, 1, 0, 5, 0, 0}, Arrays.copyOfRange(bytes, (int) begin, bytes.length));
    }

    @Test
    void wrongUseIsRefusedInWords() {
        NetcdfWriter writer = new NetcdfWriter().dimension("x", 2);
        assertTrue(assertThrows(IllegalArgumentException.class, () -> writer.variable("v", NetcdfWriter.Type.INT, "y"))
                .getMessage()
                .contains("dimension y"));
        assertThrows(IllegalArgumentException.class, () -> writer.dimension("x", 3));
        assertThrows(IllegalArgumentException.class, () -> writer.dimension("z", 0));
        assertThrows(IllegalArgumentException.class, () -> writer.attribute("a b", "text"));
        NetcdfWriter.Variable v = writer.variable("v", NetcdfWriter.Type.BYTE, "x");
        assertThrows(IllegalArgumentException.class, () -> v.values(1.0, 2, 3));
        assertThrows(IllegalArgumentException.class, () -> v.values(1.0, 128));
        assertThrows(IllegalArgumentException.class, () -> v.values(1, Double.NaN));
        assertThrows(IllegalStateException.class, writer::toBytes);
    }

    @Test
    void integersAreRoundedAndReachBothEndsOfTheirRange() {
        NetcdfWriter writer = new NetcdfWriter().dimension("x", 4);
        writer.variable("v", NetcdfWriter.Type.BYTE, "x").values(-128, 127, 1.6, -1.6);
        byte[] bytes = writer.toBytes();
        assertArrayEquals(new byte[] {-128, 127, 2, -2}, Arrays.copyOfRange(bytes, bytes.length - 4, bytes.length));
    }

    @Test
    void ncdumpReadsEveryTypeBack(@TempDir Path folder) throws IOException, InterruptedException {
        Path file = everyType(folder);
        String text = Tools.run("ncdump", "ncdump", file.toString());
        for (String part : List.of(
                "x = 3 ;",
                "b = -1, _, 3 ;",
                "s = -300, 0, 300 ;",
                "i = -70000, 0, 70000 ;",
                "f = 0.5, 1.5, 2.5 ;",
                "d = 0.1, 0.2, NaN ;",
                "\"one\"",
                "\"two\"",
                ":title = \"t\" ;",
                "b:_FillValue = 0b ;",
                "scalar = 7 ;")) {
            assertTrue(text.contains(part), part + " not in\n" + text);
        }
    }

    @Test
    void wideIntegersMakeTheWideVariantThatNcdumpReads(@TempDir Path folder) throws IOException, InterruptedException {
        NetcdfWriter writer = new NetcdfWriter().dimension("x", 2).attribute("limit", NetcdfWriter.Type.INT, 5, 6);
        writer.variable("big", NetcdfWriter.Type.LONG, "x").values(1L << 60, -5L);
        writer.variable("odd", NetcdfWriter.Type.BYTE).values(1.0);
        Path file = folder.resolve("wide.nc");
        writer.write(file);
        assertEquals(5, Files.readAllBytes(file)[3]);
        String text = Tools.run("ncdump", "ncdump", file.toString());
        assertTrue(text.contains("big = 1152921504606846976, -5 ;"), text);
        assertTrue(text.contains("limit = 5, 6 ;"), text);
        assertEquals(
                "64-bit data",
                Tools.run("ncdump", "ncdump", "-k", file.toString()).trim().replace("cdf5", "64-bit data"));
    }

    @Test
    void xarrayReadsValuesAndGaps(@TempDir Path folder) throws IOException, InterruptedException {
        Path file = everyType(folder);
        String script = "import xarray,sys; d=xarray.open_dataset(sys.argv[1]);"
                + "print(d.b.values.tolist(), d.d.values.tolist(), float(d.scalar), d.title)";
        String text = Tools.run("python3-xarray", "/usr/bin/python3", "-c", script, file.toString());
        assertEquals("[-1.0, nan, 3.0] [0.1, 0.2, nan] 7.0 t", text.trim());
    }

    private static Path everyType(Path folder) throws IOException {
        NetcdfWriter writer =
                new NetcdfWriter().dimension("x", 3).dimension("w", 5).attribute("title", "t");
        writer.variable("b", NetcdfWriter.Type.BYTE, "x").fill(0).values(-1.0, 0, 3);
        writer.variable("s", NetcdfWriter.Type.SHORT, "x").values(-300.0, 0, 300);
        writer.variable("i", NetcdfWriter.Type.INT, "x").values(-70000.0, 0, 70000);
        writer.variable("f", NetcdfWriter.Type.FLOAT, "x").values(0.5, 1.5, 2.5);
        writer.variable("d", NetcdfWriter.Type.DOUBLE, "x").values(0.1, 0.2, Double.NaN);
        writer.variable("c", NetcdfWriter.Type.CHAR, "x", "w").texts(List.of("one", "two", ""), 5);
        writer.variable("scalar", NetcdfWriter.Type.INT).values(7.0);
        Path file = folder.resolve("every.nc");
        writer.write(file);
        assertArrayEquals(Files.readAllBytes(file), writer.toBytes());
        return file;
    }
}
