package sunward.bench;

import java.util.function.Predicate;

/** The tiers in which every bin travels, and what each asks. */
enum Tier {
    BINS("bins", Judgement::meetsBins),
    SAMPLES("samples", Judgement::meetsSamples);

    final String word;

    @SuppressWarnings("ImmutableEnumChecker") // a reference to a method without state
    final Predicate<Judgement> target;

    Tier(String word, Predicate<Judgement> target) {
        this.word = word;
        this.target = target;
    }
}
