"""What somebody who knows nothing gains: by each look at the surface, by all, and by words.

Run: python -m tests.benchmarks.guess [items]. Per item model it says which ways gain, and which
words give keys away to a learner who never saw that line of reasoning: what to mend in the wording.
"""

import sys

from tests.support.guessing import (
    by_all_ways,
    by_all_ways_unseen,
    by_way,
    by_words_unseen,
    model_of,
    some_items,
    together,
)
from trainer.core.scenarios.audit import surface
from trainer.use_cases.open_bank import open_bank

WORTH_A_LINE = 0.1


def main(count: int) -> None:
    bank = open_bank()
    items = some_items(bank, count)
    models = sorted({model_of(item) for item in items})
    print(f"Points over chance, {count} items of {len(models)} item models\n")
    for name in surface.WAYS:
        print(f"  {name:28} {100 * by_way(items, name).gain:+6.1f}")
    half = len(items) // 2
    everything = by_all_ways(items[:half], items[half:])
    print(f"  {'all together, learnt on half':28} {100 * everything.gain:+6.1f}")
    unseen = by_all_ways_unseen(bank, items)
    print(f"  {'all together, not seen':28} {100 * unseen.gain:+6.1f}")
    words = by_words_unseen(bank, items)
    whole = together([score for score, _ in words.values()])
    print(f"  {'words, reasoning not seen':28} {100 * whole.gain:+6.1f}\n")
    for model in models:
        _of_model(model, [item for item in items if model_of(item) == model], words[model])


def _of_model(model, items, words) -> None:
    score, telling = words
    print(f"{model}: words {100 * score.gain:+.0f} ({' '.join(telling)})")
    for name in surface.WAYS:
        gain = by_way(items, name).gain
        if gain > WORTH_A_LINE:
            print(f"    {name}: {100 * gain:+.0f}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5000)
