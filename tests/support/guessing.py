"""Guessers who know nothing: by one look at the surface, by all looks together, by words.

Scores are shares of right picks and compare with chance, the share of right options.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from sklearn.feature_extraction.text import CountVectorizer
from sklearn.linear_model import LogisticRegression

from trainer.core.draw import Draw
from trainer.core.items.item import Item
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.audit import surface
from trainer.core.scenarios.family import families
from trainer.core.scenarios.generate import generate

STEPS = 1000


@dataclass(frozen=True)
class Score:
    """Right picks and chance, as shares of the items."""

    rate: float
    chance: float
    items: int

    @property
    def gain(self) -> float:
        return self.rate - self.chance


def some_items(bank: Bank, count: int, seed: int = 1) -> list[Item]:
    """Items with options, families in turn, each with a seed of its own."""
    there = [one for one in families(bank) if one.recipe.type in ("choose_one", "choose_all")]
    draw = Draw("guessing", seed)
    return [generate(bank, there[n % len(there)].id, draw.below(2**31)) for n in range(count)]


def model_of(item: Item) -> str:
    return item.heading.family.rpartition(".")[0]


def scored(items: Sequence[Item], picks: Sequence[dict[str, float]]) -> Score:
    """The score of guesses given as scores of options."""
    rates = [surface.success(item, pick) for item, pick in zip(items, picks, strict=True)]
    chances = [surface.chance(item) for item in items]
    return Score(float(np.mean(rates)), float(np.mean(chances)), len(items))


def by_way(items: Sequence[Item], name: str) -> Score:
    return scored(items, [surface.WAYS[name](item) for item in items])


def looks(item: Item) -> list[list[float]]:
    """For each option what every way sees, against the item's mean; stems make no difference."""
    seen = [surface.WAYS[name](item) for name in surface.WAYS]
    rows = np.array([[way[option.id] for way in seen] for option in item.options], dtype=float)
    spread = rows.std(axis=0)
    return ((rows - rows.mean(axis=0)) / np.where(spread > 0, spread, 1.0)).tolist()


def by_all_ways(
    train: Sequence[Item], test: Sequence[Item], seen: dict[str, list[list[float]]] | None = None
) -> Score:
    """The best weighing of all ways that can be learnt from some items, on others.

    `seen`: what `looks` gave, by item id, where it was worked out before.
    """
    seen = seen or {item.heading.id: looks(item) for item in (*train, *test)}
    learner = LogisticRegression(max_iter=STEPS)
    learner.fit([row for item in train for row in seen[item.heading.id]], _rights(train))
    values = [learner.decision_function(seen[item.heading.id]) for item in test]
    return scored(test, [_pick(item, own) for item, own in zip(test, values, strict=True)])


class WordGuesser:
    """Learns from options' words alone which are right (Joachims 1998: a bag of words)."""

    def __init__(self, train: Sequence[Item]) -> None:
        self._words = CountVectorizer(binary=True, min_df=3, token_pattern=r"[a-z]{2,}")
        texts = [option.text for item in train for option in item.options]
        self._learner = LogisticRegression(max_iter=STEPS, C=0.3)
        self._learner.fit(self._words.fit_transform(texts), _rights(train))

    def score(self, items: Sequence[Item]) -> Score:
        texts = [option.text for item in items for option in item.options]
        values = iter(self._learner.decision_function(self._words.transform(texts)))
        return scored(items, [_pick(item, [next(values) for _ in item.options]) for item in items])

    def telling(self, items: Sequence[Item], count: int = 6) -> list[str]:
        """The words that moved most picks among these items, '+' for the key, '-' against it."""
        names, weights = self._words.get_feature_names_out(), self._learner.coef_[0]
        texts = [option.text for item in items for option in item.options]
        signs = np.where(_rights(items), 1.0, -1.0)
        moved = np.asarray(signs @ self._words.transform(texts)).ravel() * weights
        return [f"{'+' if weights[n] > 0 else '-'}{names[n]}" for n in np.argsort(-moved)[:count]]


def by_line(bank: Bank, items: Sequence[Item]) -> dict[str, tuple[list[Item], list[Item]]]:
    """Line of reasoning -> (items of all others, its own items).

    Models of one line of reasoning share their signs and steps: who learnt these from one knows
    the trade in the other, and does not guess.
    """
    lines = {name: table["reasoning"] for name, table in bank.item_models.items()}
    there = sorted({lines[model_of(item)] for item in items})
    return {
        line: (
            [item for item in items if lines[model_of(item)] != line],
            [item for item in items if lines[model_of(item)] == line],
        )
        for line in there
    }


def by_all_ways_unseen(bank: Bank, items: Sequence[Item]) -> Score:
    """A weighing of all ways, each line of reasoning by what was learnt from the others."""
    seen = {item.heading.id: looks(item) for item in items}
    return together([by_all_ways(*sides, seen) for sides in by_line(bank, items).values()])


def by_words_unseen(bank: Bank, items: Sequence[Item]) -> dict[str, tuple[Score, list[str]]]:
    """Item model -> score of a word guesser who never saw its line of reasoning, and its words."""
    found = {}
    for train, own in by_line(bank, items).values():
        guesser, tests = WordGuesser(train), dict[str, list[Item]]()
        for item in own:
            tests.setdefault(model_of(item), []).append(item)
        for model, test in tests.items():
            found[model] = guesser.score(test), guesser.telling(test)
    return found


def together(scores: Sequence[Score]) -> Score:
    """One score over several."""
    n = sum(one.items for one in scores)
    rate, chance = (
        sum(getattr(one, name) * one.items for one in scores) / n for name in ("rate", "chance")
    )
    return Score(rate, chance, n)


def _rights(items: Sequence[Item]) -> list[bool]:
    return [option.id in item.key for item in items for option in item.options]


def _pick(item: Item, values: Sequence[float]) -> dict[str, float]:
    return {option.id: float(value) for option, value in zip(item.options, values, strict=True)}
