package sunward.protocol.plan;

import com.google.protobuf.Descriptors.Descriptor;
import com.google.protobuf.Descriptors.EnumValueDescriptor;
import com.google.protobuf.Descriptors.FieldDescriptor;
import com.google.protobuf.Message;
import java.math.BigDecimal;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.snakeyaml.engine.v2.common.ScalarStyle;
import org.snakeyaml.engine.v2.nodes.MappingNode;
import org.snakeyaml.engine.v2.nodes.Node;
import org.snakeyaml.engine.v2.nodes.NodeTuple;
import org.snakeyaml.engine.v2.nodes.ScalarNode;
import org.snakeyaml.engine.v2.nodes.SequenceNode;
import sunward.protocol.schema.Limits;
import sunward.protocol.schema.LimitsOuterClass;
import sunward.protocol.schema.PlanFile;

/** Fills Protocol Buffers builders from YAML nodes, field by field through the descriptors, and remembers lines. */
final class NodeReader {
    private static final Pattern NUMBER = Pattern.compile("[-+]?(\\d+(\\.\\d*)?|\\.\\d+)([eE][-+]?\\d{1,3})?");
    private static final Pattern NUMBER_WITH_UNIT = Pattern.compile("[-+]?[\\d.]+([eE][-+]?\\d+)?\\s*[A-Za-z%°µ].*");
    private static final int LONGEST_WORD = 60;

    private final String source;
    private final Map<String, Integer> lines = new HashMap<>();

    NodeReader(String source) {
        this.source = source;
    }

    /** Line of a path, or of the nearest section above it that the text holds; 0 when it holds none. */
    int lineOf(String path) {
        for (String at = path; !at.isEmpty(); at = parent(at)) {
            Integer line = lines.get(at);
            if (line != null) {
                return line;
            }
        }
        return 0;
    }

    /** Line of a node, from 1. */
    static int lineOf(Node node) {
        return node.getStartMark().map(mark -> mark.getLine() + 1).orElse(0);
    }

    /**
     * Reads the fields of a section into a builder.
     *
     * @param prefix path of the section with a dot at its end, or empty
     * @param whole true when every field must be there; otherwise what is absent stays as the builder has it
     */
    void fields(MappingNode node, String prefix, Message.Builder into, boolean whole) {
        Descriptor section = into.getDescriptorForType();
        Set<String> seen = new HashSet<>();
        for (NodeTuple entry : node.getValue()) {
            String name = key(entry.getKeyNode());
            String path = prefix + name;
            if (!seen.add(name)) {
                throw problem(entry.getKeyNode(), path + " is given twice; delete one of the two");
            }
            FieldDescriptor field = section.findFieldByName(name);
            if (field == null) {
                throw problem(
                        entry.getKeyNode(),
                        path + " is an unknown field; "
                                + FieldHints.forUnknown(name, section, PlanFile.getDescriptor()));
            }
            lines.put(path, lineOf(entry.getKeyNode()));
            if (field.isRepeated()) {
                list(entry.getValueNode(), path, field, into);
            } else {
                single(entry.getValueNode(), path, field, into, whole);
            }
        }
        if (whole) {
            requireAll(node, prefix, section, seen);
        }
    }

    private void requireAll(Node node, String prefix, Descriptor section, Set<String> seen) {
        for (FieldDescriptor field : section.getFields()) {
            if (!seen.contains(field.getName())) {
                String why = prefix.endsWith("].") ? "; an entry of a list needs every field, so add it" : "; add it";
                throw problem(node, prefix + field.getName() + " is missing" + why);
            }
        }
    }

    private void single(Node node, String path, FieldDescriptor field, Message.Builder into, boolean whole) {
        if (field.getJavaType() != FieldDescriptor.JavaType.MESSAGE) {
            into.setField(field, scalar(node, path, field));
            return;
        }
        if (!(node instanceof MappingNode section)) {
            throw problem(node, path + " is a section; write its fields below it, indented, one a line");
        }
        Message.Builder inner = into.getFieldBuilder(field);
        fields(section, path + '.', inner, whole);
        into.setField(field, inner.build());
    }

    private void list(Node node, String path, FieldDescriptor field, Message.Builder into) {
        if (!(node instanceof SequenceNode sequence)) {
            throw problem(node, path + " is a list; write its entries below it with a dash each, or as [1, 2, 3]");
        }
        into.clearField(field);
        List<Node> entries = sequence.getValue();
        for (int i = 0; i < entries.size(); i++) {
            Node entry = entries.get(i);
            String entryPath = path + '[' + i + ']';
            lines.put(entryPath, lineOf(entry));
            if (field.getJavaType() != FieldDescriptor.JavaType.MESSAGE) {
                into.addRepeatedField(field, scalar(entry, entryPath, field));
            } else if (entry instanceof MappingNode section) {
                Message.Builder inner = into.newBuilderForField(field);
                fields(section, entryPath + '.', inner, true);
                into.addRepeatedField(field, inner.build());
            } else {
                throw problem(
                        entry, entryPath + " is a list entry with fields; write 'name: value' lines after its dash");
            }
        }
    }

    private Object scalar(Node node, String path, FieldDescriptor field) {
        if (!(node instanceof ScalarNode scalar)) {
            throw problem(node, path + " holds a list or a section, expected " + expected(field) + "; write one value");
        }
        String text = scalar.getValue();
        boolean plain = scalar.getScalarStyle() == ScalarStyle.PLAIN;
        if (plain && (text.isEmpty() || text.equals("~") || text.equals("null"))) {
            throw problem(node, path + " has no value, expected " + expected(field) + "; give one or delete the line");
        }
        return switch (field.getJavaType()) {
            case INT, LONG -> whole(node, path, field, text);
            case DOUBLE, FLOAT -> number(node, path, field, text);
            case BOOLEAN -> truth(node, path, field, text);
            case ENUM -> word(node, path, field, text);
            default -> string(node, path, field, text);
        };
    }

    private Object whole(Node node, String path, FieldDescriptor field, String text) {
        double value = (Double) number(node, path, field, text);
        if (value != Math.rint(value)) {
            throw wrong(node, path, field, text, "write it without decimals");
        }
        return (int) (long) value;
    }

    private Object number(Node node, String path, FieldDescriptor field, String text) {
        if (!NUMBER.matcher(text).matches()) {
            boolean unit = NUMBER_WITH_UNIT.matcher(text).matches();
            throw wrong(
                    node,
                    path,
                    field,
                    text,
                    unit
                            ? "convert it and write the number alone, without a unit"
                            : "write digits with a decimal point");
        }
        // The sum turns minus zero into zero, so that equal plans have equal digests.
        double value = new BigDecimal(text).doubleValue() + 0.0;
        Limits limits = limits(field);
        if (!(value >= limits.getMin() && value <= limits.getMax())) {
            throw wrong(node, path, field, text, "change the value");
        }
        return value;
    }

    private Object truth(Node node, String path, FieldDescriptor field, String text) {
        if (!text.equals("true") && !text.equals("false")) {
            throw wrong(node, path, field, text, "write one of the two");
        }
        return text.equals("true");
    }

    private Object word(Node node, String path, FieldDescriptor field, String text) {
        EnumValueDescriptor value = field.getEnumType().findValueByName(text);
        if (value == null || value.getNumber() == 0) {
            throw wrong(node, path, field, text, "write one of these words");
        }
        return value;
    }

    private Object string(Node node, String path, FieldDescriptor field, String text) {
        List<String> words = limits(field).getWordsList();
        if (!words.isEmpty() && !words.contains(text)) {
            throw wrong(node, path, field, text, "write one of these words");
        }
        return text;
    }

    private String key(Node node) {
        if (node instanceof ScalarNode scalar) {
            return scalar.getValue();
        }
        throw problem(node, "a list or section stands where a field's name was expected; write 'name: value'");
    }

    /** What a field takes, in words. */
    private static String expected(FieldDescriptor field) {
        Limits limits = limits(field);
        return switch (field.getJavaType()) {
            case BOOLEAN -> "true or false";
            case ENUM ->
                field.getEnumType().getValues().stream()
                        .filter(value -> value.getNumber() != 0)
                        .map(EnumValueDescriptor::getName)
                        .collect(Collectors.joining(" or "));
            case STRING -> limits.getWordsCount() > 0 ? String.join(" or ", limits.getWordsList()) : "a text";
            default ->
                (field.getJavaType() == FieldDescriptor.JavaType.DOUBLE ? "a number" : "a whole number")
                        + FieldHints.unit(field.getName())
                                .map(unit -> " in " + unit)
                                .orElse("")
                        + " from " + Decimals.plain(limits.getMin()) + " to " + Decimals.plain(limits.getMax());
        };
    }

    private static Limits limits(FieldDescriptor field) {
        return field.getOptions().getExtension(LimitsOuterClass.limits);
    }

    private PlanException wrong(Node node, String path, FieldDescriptor field, String text, String remedy) {
        String shown = text.length() > LONGEST_WORD ? text.substring(0, LONGEST_WORD) + "..." : text;
        return problem(
                node,
                path + " is \"" + shown.replaceAll("\\s+", " ") + "\", expected " + expected(field) + "; " + remedy);
    }

    private PlanException problem(Node node, String sentence) {
        return PlanException.at(source, lineOf(node), sentence);
    }

    private static String parent(String path) {
        int cut = Math.max(path.lastIndexOf('.'), path.lastIndexOf('['));
        return cut < 0 ? "" : path.substring(0, cut);
    }
}
