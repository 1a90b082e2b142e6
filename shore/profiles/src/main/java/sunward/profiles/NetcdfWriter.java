package sunward.profiles;

import java.io.ByteArrayOutputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/**
 * Writes classic netCDF files with fixed dimensions (Unidata, NetCDF Classic Format Specification): the 64-bit offset
 * variant (CDF-2), or the 64-bit data variant (CDF-5) where a variable holds 64-bit integers or is longer than 4 GiB.
 *
 * <pre>
 *   "CDF" version | records = 0 | dimensions | attributes | variables, each with its offset | data of each variable
 *   every list: tag, count, entries (two zeros when empty); every name and value padded to four bytes; big-endian
 * </pre>
 *
 * <p>The bytes depend on nothing but the calls made, in their order.
 */
public final class NetcdfWriter {
    /** Types of the classic format, with their number, size and the fill value that readers expect by default. */
    public enum Type {
        /** Signed 8 bits. */
        BYTE(1, 1),
        /** One byte of text. */
        CHAR(2, 1),
        /** Signed 16 bits. */
        SHORT(3, 2),
        /** Signed 32 bits. */
        INT(4, 4),
        /** IEEE 754, 32 bits. */
        FLOAT(5, 4),
        /** IEEE 754, 64 bits. */
        DOUBLE(6, 8),
        /** Signed 64 bits; makes the file CDF-5. */
        LONG(10, 8);

        private final int number;
        private final int bytes;

        Type(int number, int bytes) {
            this.number = number;
            this.bytes = bytes;
        }
    }

    private static final int DIMENSIONS = 0x0A;
    private static final int VARIABLES = 0x0B;
    private static final int ATTRIBUTES = 0x0C;
    private static final long CDF2_LONGEST_VARIABLE = 0xFFFF_FFFCL;

    private final Map<String, Integer> dimensions = new LinkedHashMap<>();
    private final Map<String, Attribute> attributes = new LinkedHashMap<>();
    private final List<Variable> variables = new ArrayList<>();

    // Bytes laid out once and never handed out: the array is as good as immutable here.
    @SuppressWarnings("ArrayRecordComponent")
    private record Attribute(Type type, int count, byte[] bytes) {}

    /** Declares a dimension of 1 or more. */
    public NetcdfWriter dimension(String name, int length) {
        if (length < 1) {
            throw new IllegalArgumentException(
                    "Dimension " + name + " has length " + length + "; at least 1 is needed.");
        }
        if (dimensions.putIfAbsent(checked(name), length) != null) {
            throw new IllegalArgumentException("Dimension " + name + " is declared twice.");
        }
        return this;
    }

    /** Sets a global attribute: text. */
    public NetcdfWriter attribute(String name, String text) {
        attributes.put(checked(name), text(text));
        return this;
    }

    /** Sets a global attribute: numbers of one type. */
    public NetcdfWriter attribute(String name, Type type, double... values) {
        attributes.put(checked(name), numbers(type, values));
        return this;
    }

    /** Adds a variable over dimensions declared before; none makes it a scalar. */
    public Variable variable(String name, Type type, String... dimensionNames) {
        int[] ids = new int[dimensionNames.length];
        long count = 1;
        List<String> known = new ArrayList<>(dimensions.keySet());
        for (int i = 0; i < ids.length; i++) {
            ids[i] = known.indexOf(dimensionNames[i]);
            if (ids[i] < 0) {
                throw new IllegalArgumentException(
                        "Variable " + name + " needs dimension " + dimensionNames[i] + ", which is not declared.");
            }
            count *= dimensions.get(dimensionNames[i]);
        }
        if (variables.stream().anyMatch(v -> v.name.equals(name))) {
            throw new IllegalArgumentException("Variable " + name + " is declared twice.");
        }
        if (count > Integer.MAX_VALUE / type.bytes) {
            throw new IllegalArgumentException(
                    "Variable " + name + " holds " + count + " values, more than one array can.");
        }
        Variable variable = new Variable(checked(name), type, ids, (int) count);
        variables.add(variable);
        return variable;
    }

    /** One variable; its values are set once, row-major, the last dimension fastest. */
    public static final class Variable {
        private final String name;
        private final Type type;
        private final int[] dimensionIds;
        private final int count;
        private final Map<String, Attribute> attributes = new LinkedHashMap<>();
        private byte[] data;

        private Variable(String name, Type type, int[] dimensionIds, int count) {
            this.name = name;
            this.type = type;
            this.dimensionIds = dimensionIds;
            this.count = count;
        }

        /** Sets an attribute: text. */
        public Variable attribute(String attribute, String text) {
            attributes.put(checked(attribute), text(text));
            return this;
        }

        /** Sets an attribute: numbers of one type. */
        public Variable attribute(String attribute, Type numberType, double... values) {
            attributes.put(checked(attribute), numbers(numberType, values));
            return this;
        }

        /** Names the value that stands for "missing", in the variable's own type, as readers demand. */
        public Variable fill(double value) {
            return attribute("_FillValue", type, value);
        }

        /** Sets the values; integers are rounded to the nearest, and refused outside the type's range. */
        public Variable values(double... values) {
            return data(values.length, numbers(type, values).bytes);
        }

        /** Sets 64-bit values exactly. */
        public Variable values(long... values) {
            double[] doubles = new double[values.length];
            if (type != Type.LONG) {
                for (int i = 0; i < values.length; i++) {
                    doubles[i] = values[i];
                }
                return values(doubles);
            }
            Output out = new Output(true);
            for (long value : values) {
                out.eight(value);
            }
            return data(values.length, out.bytes());
        }

        /** Sets text of a CHAR variable: fixed width, padded with zero bytes; longer text is refused. */
        public Variable texts(List<String> texts, int width) {
            byte[] all = new byte[texts.size() * width];
            for (int i = 0; i < texts.size(); i++) {
                byte[] bytes = texts.get(i).getBytes(StandardCharsets.UTF_8);
                if (bytes.length > width) {
                    throw new IllegalArgumentException(
                            name + ": text of " + bytes.length + " bytes; room for " + width);
                }
                System.arraycopy(bytes, 0, all, i * width, bytes.length);
            }
            return data(all.length, all);
        }

        private Variable data(int values, byte[] bytes) {
            if (values != count) {
                throw new IllegalArgumentException(name + ": " + values + " values given, " + count + " needed");
            }
            data = bytes;
            return this;
        }

        private long paddedBytes() {
            return (data.length + 3L) & ~3L;
        }
    }

    /** The whole file. */
    public byte[] toBytes() {
        boolean large = false;
        for (Variable variable : variables) {
            if (variable.data == null) {
                throw new IllegalStateException("Variable " + variable.name + " has no values.");
            }
            large |= variable.type == Type.LONG || variable.paddedBytes() > CDF2_LONGEST_VARIABLE;
        }
        long headerBytes = header(large, 0).length;
        Output out = new Output(large);
        out.raw(header(large, headerBytes));
        for (Variable variable : variables) {
            out.padded(variable.data);
        }
        return out.bytes();
    }

    /** Writes the file: to a temporary sibling first, then renamed into place. */
    public void write(Path file) throws IOException {
        writeWhole(file, toBytes());
    }

    static void writeWhole(Path file, byte[] bytes) throws IOException {
        Path sibling = file.resolveSibling(file.getFileName() + ".part");
        Files.write(sibling, bytes);
        Files.move(sibling, file, StandardCopyOption.REPLACE_EXISTING, StandardCopyOption.ATOMIC_MOVE);
    }

    private byte[] header(boolean large, long firstOffset) {
        Output out = new Output(large);
        out.raw(new byte[] {'C', 'D', 'F', (byte) (large ? 5 : 2)});
        out.count(0);
        out.listHead(DIMENSIONS, dimensions.size());
        dimensions.forEach((name, length) -> {
            out.name(name);
            out.count(length);
        });
        attributes(out, attributes);
        out.listHead(VARIABLES, variables.size());
        long offset = firstOffset;
        for (Variable variable : variables) {
            out.name(variable.name);
            out.count(variable.dimensionIds.length);
            for (int id : variable.dimensionIds) {
                out.count(id);
            }
            attributes(out, variable.attributes);
            out.four(variable.type.number);
            out.count(variable.paddedBytes());
            out.eight(offset);
            offset += variable.paddedBytes();
        }
        return out.bytes();
    }

    private static void attributes(Output out, Map<String, Attribute> attributes) {
        out.listHead(ATTRIBUTES, attributes.size());
        attributes.forEach((name, attribute) -> {
            out.name(name);
            out.four(attribute.type.number);
            out.count(attribute.count);
            out.padded(attribute.bytes);
        });
    }

    private static String checked(String name) {
        if (!name.matches("[A-Za-z_][A-Za-z0-9_.+@-]*")) {
            throw new IllegalArgumentException("\"" + name + "\" is not a portable netCDF name.");
        }
        return name;
    }

    private static Attribute text(String text) {
        byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
        return new Attribute(Type.CHAR, bytes.length, bytes);
    }

    private static Attribute numbers(Type type, double... values) {
        Output out = new Output(true);
        for (double value : values) {
            switch (type) {
                case FLOAT -> out.four(Float.floatToIntBits((float) value));
                case DOUBLE -> out.eight(Double.doubleToLongBits(value));
                default -> whole(out, type, value);
            }
        }
        return new Attribute(type, values.length, out.bytes());
    }

    private static void whole(Output out, Type type, double value) {
        double rounded = Math.rint(value);
        double limit = Math.scalb(1.0, 8 * type.bytes - 1);
        if (!(rounded >= -limit && rounded < limit) || type == Type.CHAR) {
            throw new IllegalArgumentException(value + " does not fit type " + type + ".");
        }
        long bits = (long) rounded;
        for (int shift = 8 * (type.bytes - 1); shift >= 0; shift -= 8) {
            out.one((int) (bits >>> shift));
        }
    }

    /** Bytes in the order of the format; counts are 4 bytes in CDF-2 and 8 in CDF-5. */
    private static final class Output {
        private final ByteArrayOutputStream sink = new ByteArrayOutputStream();
        private final DataOutputStream out = new DataOutputStream(sink);
        private final boolean large;

        Output(boolean large) {
            this.large = large;
        }

        void raw(byte[] bytes) {
            sink.writeBytes(bytes);
        }

        void one(int value) {
            sink.write(value);
        }

        void four(int value) {
            try {
                out.writeInt(value);
            } catch (IOException e) {
                throw new UncheckedIOException(e);
            }
        }

        void eight(long value) {
            try {
                out.writeLong(value);
            } catch (IOException e) {
                throw new UncheckedIOException(e);
            }
        }

        void count(long value) {
            if (large) {
                eight(value);
            } else {
                four((int) value);
            }
        }

        void listHead(int tag, int entries) {
            four(entries == 0 ? 0 : tag);
            count(entries);
        }

        void name(String name) {
            byte[] bytes = name.getBytes(StandardCharsets.UTF_8);
            count(bytes.length);
            padded(bytes);
        }

        void padded(byte[] bytes) {
            raw(bytes);
            for (int i = bytes.length; i % 4 != 0; i++) {
                one(0);
            }
        }

        byte[] bytes() {
            return sink.toByteArray();
        }
    }
}
