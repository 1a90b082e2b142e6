package sunward.protocol.spectra;

/** The registry of block codecs: a number on the wire, once given, is for ever. */
public final class Codecs {
    private static final BlockCodec DELTA = new DeltaCodec();
    private static final BlockCodec BASIS = new BasisCodec();

    private Codecs() {}

    /** The codec of a number, or null when this code has none of that number. */
    public static BlockCodec ofNumber(int number) {
        return switch (number) {
            case DeltaCodec.NUMBER -> DELTA;
            case BasisCodec.NUMBER -> BASIS;
            default -> null;
        };
    }

    /** The codec that a body names in its first four bits, or null when this code has none of that number. */
    public static BlockCodec ofBody(byte[] body) {
        return body.length == 0 ? null : ofNumber((body[0] & 0xff) >>> 4);
    }
}
