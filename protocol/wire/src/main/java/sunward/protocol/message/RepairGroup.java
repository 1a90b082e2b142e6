package sunward.protocol.message;

/**
 * The messages of a dive that one repair message helps to restore.
 *
 * @param firstPosition position of the first of them
 * @param messages how many there are, one after another, 1 to 255
 */
public record RepairGroup(int firstPosition, int messages) {}
