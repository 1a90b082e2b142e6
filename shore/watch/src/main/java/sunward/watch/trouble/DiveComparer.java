package sunward.watch.trouble;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.HexFormat;
import java.util.List;
import sunward.planning.ExpectedDive;
import sunward.profiles.DiveProduct;
import sunward.profiles.ShoreInputs;
import sunward.protocol.plan.Digests;
import sunward.protocol.schema.Scene;
import sunward.watch.dives.DerivedStore;
import sunward.watch.dives.DiveKey;
import sunward.watch.dives.DiveProducts;
import sunward.watch.dives.DiveState;
import sunward.watch.store.MessageStore;
import sunward.watch.store.StoreException;

/**
 * Compares dives with their rehearsals and with earlier dives of their floats, and keeps what comes of it: a function of the
 * messages, the plan file and the keys, so that it survives a restart and can be made again identically.
 */
public final class DiveComparer implements AutoCloseable {
    /** Changed when the same dive may be judged otherwise. */
    private static final int RULES = 1;

    private final DerivedStore derived;
    private final DiveProducts products;
    private final Scene scene;
    private final FindingStore kept;

    private DiveComparer(DerivedStore derived, DiveProducts products, Scene scene, FindingStore kept) {
        this.derived = derived;
        this.products = products;
        this.scene = scene;
        this.kept = kept;
    }

    /**
     * Opens {@code file}, where the comparisons are kept.
     *
     * @param scene the sea to rehearse in; its place and time are replaced
     */
    public static DiveComparer open(Path file, DerivedStore derived, DiveProducts products, Scene scene)
            throws StoreException {
        ShoreInputs inputs = products.inputs();
        String with = "rules " + RULES + ", product " + DiveProduct.VERSION + ", plan "
                + Digests.hex(Digests.of(inputs.plan())) + ", calibration "
                + Digests.hex(Digests.of(inputs.calibration())) + ", scene " + Digests.hex(Digests.of(scene));
        String name = HexFormat.of().formatHex(MessageStore.digest(with.getBytes(StandardCharsets.UTF_8)));
        return new DiveComparer(derived, products, scene, FindingStore.open(file, name));
    }

    /** True when the dive as it stands was not compared yet. */
    boolean due(DiveState state) throws StoreException {
        return !kept.has(new DiveKey(state.floatNumber(), state.dive()), state.assembled());
    }

    /** What is known of a dive; empty: nothing departs, or it was not compared yet. */
    List<Finding> of(DiveKey key) throws StoreException {
        return kept.of(key);
    }

    /**
     * Compares a dive as it stands, if that was not done yet.
     *
     * @throws IllegalArgumentException with one sentence when no rehearsal can be flown there; the dive counts as compared
     */
    void compare(DiveState state) throws StoreException {
        if (!due(state)) {
            return;
        }
        DiveKey key = new DiveKey(state.floatNumber(), state.dive());
        String assembled = state.assembled();
        try {
            boolean placed = state.surfacedS() != null && state.latitudeDeg() != null;
            kept.put(
                    key,
                    assembled,
                    placed ? compared(key, state) : null,
                    products.inputs().plan());
        } catch (IllegalArgumentException e) {
            kept.put(key, assembled, null, products.inputs().plan());
            throw e;
        }
    }

    private Compared compared(DiveKey key, DiveState state) throws StoreException {
        DiveProduct got = products.decoded(key);
        if (got == null) {
            return null;
        }
        ShoreInputs inputs = products.inputsOf(got);
        DiveProduct expected = ExpectedDive.of(
                inputs.plan(),
                inputs.calibration(),
                scene,
                state.latitudeDeg(),
                state.longitudeDeg(),
                state.surfacedS());
        return expected == null ? null : DiveCheck.compared(got, expected, inputs.plan());
    }

    /** Compares every dive that was not compared as it stands. */
    public void catchUp() throws StoreException {
        for (DiveKey key : derived.allDives()) {
            try {
                compare(derived.dive(key));
            } catch (IllegalArgumentException e) {
                // No rehearsal can be flown there: the watch says so when it comes to this dive, and nothing departs.
            }
        }
    }

    /** Digest of all that is kept: two are identical when these are. */
    public String contents() throws StoreException {
        return kept.contents();
    }

    @Override
    public void close() throws StoreException {
        kept.close();
    }
}
