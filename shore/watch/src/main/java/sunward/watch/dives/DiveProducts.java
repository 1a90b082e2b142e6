package sunward.watch.dives;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.locks.ReentrantLock;
import sunward.profiles.Decoding;
import sunward.profiles.DiveProduct;
import sunward.profiles.ShoreInputs;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Message;
import sunward.protocol.plan.Digests;
import sunward.protocol.schema.Plan;
import sunward.watch.store.MessageStore;
import sunward.watch.store.StoreException;

/**
 * Profile and radiance of a dive from whatever of it is here: made when somebody looks, kept for as long as no further
 * message of the dive is accepted and {@value #KEPT} other dives have not been looked at since. For the page one is made at a
 * time, so that the intake keeps a processor to itself. Safe for many threads.
 */
public final class DiveProducts {
    /** A product of 720 channels takes about 8 MB. */
    private static final int KEPT = 8;

    private record Kept(String assembled, DiveProduct product) {}

    private final DerivedStore derived;
    private final DiveMessages messages;
    private final ShoreInputs inputs;
    private final List<Plan> otherPlans;

    /** Fair: whoever looks is not passed over for others who look. */
    private final ReentrantLock lock = new ReentrantLock(true);

    private final Map<DiveKey, Kept> kept = new LinkedHashMap<>(16, 0.75f, true) {
        @Override
        protected boolean removeEldestEntry(Map.Entry<DiveKey, Kept> eldest) {
            return size() > KEPT;
        }
    };

    /**
     * Products with these keys and inputs.
     *
     * @param otherPlans plans that a simulated float may have flown instead of the inputs' own
     */
    public DiveProducts(
            MessageStore store, DerivedStore derived, KeyRing keys, ShoreInputs inputs, List<Plan> otherPlans) {
        this.derived = derived;
        this.messages = new DiveMessages(store, derived, keys);
        this.inputs = inputs;
        this.otherPlans = List.copyOf(otherPlans);
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
    private ShoreInputs numbered(Plan plan, int floatNumber) {
        return new ShoreInputs(
                plan.toBuilder().setFloatNumber(Math.max(1, floatNumber)).build(),
                inputs.calibration(),
                inputs.ancillary());
    }

    /** Plan, calibration and ancillary data that this product was made with. */
    public ShoreInputs inputsOf(DiveProduct product) {
        for (Plan plan : otherPlans) {
            ShoreInputs other = numbered(plan, product.floatNumber());
            if (Digests.hex(Digests.of(other.plan())).equals(product.digests().plan())) {
                return other;
            }
        }
        return numbered(inputs.plan(), product.floatNumber());
    }

    /** The product of the dive as it stands; null when no message of the dive itself was accepted. */
    public DiveProduct product(DiveKey key) throws StoreException {
        lock.lock();
        try {
            DiveState state = derived.dive(key);
            if (state == null) {
                return null;
            }
            Kept last = kept.get(key);
            if (last != null && last.assembled.equals(state.assembled())) {
                return last.product;
            }
            DiveProduct product = decoded(key);
            kept.put(key, new Kept(state.assembled(), product));
            return product;
        } finally {
            lock.unlock();
        }
    }

    /** The same, made now and not kept; waits for nobody. */
    public DiveProduct decoded(DiveKey key) throws StoreException {
        List<Message> accepted = messages.accepted(key);
        DiveProduct product = decoded(accepted, numbered(inputs.plan(), key.floatNumber()));
        for (Plan plan : otherPlans) {
            if (product != null && product.simulated() && flewAnother(product)) {
                DiveProduct other = decoded(accepted, numbered(plan, key.floatNumber()));
                product = flewAnother(other) ? product : other;
            }
        }
        return product;
    }

    private static DiveProduct decoded(List<Message> accepted, ShoreInputs with) {
        List<DiveProduct> products = Decoding.products(accepted, with);
        return products.isEmpty() ? null : products.get(0);
    }

    private static boolean flewAnother(DiveProduct product) {
        return product.reasons().stream().anyMatch(reason -> reason.startsWith("other plan"));
    }
}
