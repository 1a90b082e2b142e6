package sunward.simulator;

import java.util.List;

/** Whoever answers a float at the surface: all that the simulator sees of shore. */
public interface Shore {
    /** Never answers. */
    Shore SILENT = delivered -> List.of();

    /**
     * Asked once for each time that the float listens after sending.
     *
     * @param delivered what shore received of this dive so far, spoilt or not, in order of arrival
     * @return orders for the float, whole messages, in the order in which they are sent; the link may lose or spoil them
     */
    List<byte[]> orders(List<Delivery> delivered);
}
