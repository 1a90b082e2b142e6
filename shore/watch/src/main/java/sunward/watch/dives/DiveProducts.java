package sunward.watch.dives;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import sunward.profiles.Decoding;
import sunward.profiles.DiveProduct;
import sunward.profiles.ShoreInputs;
import sunward.protocol.message.KeyRing;
import sunward.watch.store.MessageStore;
import sunward.watch.store.StoreException;

/**
 * Profile and radiance of a dive from whatever of it is here: made when somebody looks, kept for as long as no further
 * message of the dive is accepted and {@value #KEPT} other dives have not been looked at since. One is made at a time, so that
 * the intake keeps a processor to itself. Safe for many threads.
 */
public final class DiveProducts {
    /** A product of 720 channels takes about 8 MB. */
    private static final int KEPT = 8;

    private record Kept(String assembled, DiveProduct product) {}

    private final DerivedStore derived;
    private final DiveMessages messages;
    private final ShoreInputs inputs;
    private final Map<DiveKey, Kept> kept = new LinkedHashMap<>(16, 0.75f, true) {
        @Override
        protected boolean removeEldestEntry(Map.Entry<DiveKey, Kept> eldest) {
            return size() > KEPT;
        }
    };

    /** Products with these keys and inputs. */
    public DiveProducts(MessageStore store, DerivedStore derived, KeyRing keys, ShoreInputs inputs) {
        this.derived = derived;
        this.messages = new DiveMessages(store, derived, keys);
        this.inputs = inputs;
    }

    /** The messages that the products are made of. */
    public DiveMessages messages() {
        return messages;
    }

    /** What shore works with beside the messages. */
    public ShoreInputs inputs() {
        return inputs;
    }

    /** The plan that all floats share, with the number of this one; its digest is the one that the float's messages name. */
    public ShoreInputs inputsOf(int floatNumber) {
        return new ShoreInputs(
                inputs.plan().toBuilder()
                        .setFloatNumber(Math.max(1, floatNumber))
                        .build(),
                inputs.calibration(),
                inputs.ancillary());
    }

    /** The product of the dive as it stands; null when no message of the dive itself was accepted. */
    public synchronized DiveProduct product(DiveKey key) throws StoreException {
        DiveState state = derived.dive(key);
        if (state == null) {
            return null;
        }
        Kept last = kept.get(key);
        if (last != null && last.assembled.equals(state.assembled())) {
            return last.product;
        }
        List<DiveProduct> products = Decoding.products(messages.accepted(key), inputsOf(key.floatNumber()));
        DiveProduct product = products.isEmpty() ? null : products.get(0);
        kept.put(key, new Kept(state.assembled(), product));
        return product;
    }
}
