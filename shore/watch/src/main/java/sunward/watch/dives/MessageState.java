package sunward.watch.dives;

/**
 * One message on a dive's page.
 *
 * @param id its number in the store
 * @param position in the sending order, -1 when not known
 * @param block number of the block
 * @param part part of the block
 * @param kind number of the kind
 * @param length bytes
 * @param arrivalMs ms since 2000-01-01T00:00:00Z
 * @param reason empty when accepted, otherwise why it is rejected, by name
 * @param sentence why, in one sentence
 */
public record MessageState(
        long id,
        int position,
        int block,
        int part,
        int kind,
        int length,
        long arrivalMs,
        String reason,
        String sentence) {}
