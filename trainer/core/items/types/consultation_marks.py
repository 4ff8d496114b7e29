"""What a consultation is worth, part by part.

Parts of the whole: findings 0.4, decision 0.3, plan 0.2, words 0.1 (left out of the reckoning
where a response gives none). Two needless steps are free, each more costs 0.02, at most 0.1.
Whoever would fit a method with something critical about it not looked into was lucky at best:
the whole is then at most 0.8, which is not enough. From 0.85 on a consultation counts as right.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from trainer.core.items.consulting import days_gone, first_open
from trainer.core.items.item import Item, Json
from trainer.core.knowledge.words import VERDICTS

FITS = ("go_ahead", "adapt")
SHARES = {"findings": 0.4, "decision": 0.3, "plan": 0.2, "words": 0.1}
PLAN_SHARES = {"method": 0.4, "grams": 0.15, "earliest": 0.25, "returns": 0.2}
ENOUGH = 0.85
HALF = 0.5
LUCKY = 0.8
FREE_STEPS, EACH_STEP, MOST_STEPS = 2, 0.02, 0.1
SLACK = timedelta(days=2)
A_WEEK = timedelta(days=7)


@dataclass(frozen=True, slots=True)
class Parts:
    """Shares 0..1 of each part; `words` None where none were given.

    `missed`: entries of the key that no step found. `needless`: steps that could change nothing.
    `wrong`: ids of what was wrong, as `Item.misconceptions` and `Item.notes` know them.
    """

    findings: float
    decision: float
    plan: float
    words: float | None
    missed: tuple[Mapping[str, Json], ...]
    needless: tuple[str, ...]
    unsafe: tuple[str, ...]
    wrong: tuple[str, ...]
    lucky: tuple[str, ...] = ()
    """Methods that would be fitted though something critical was not looked into."""

    @property
    def score(self) -> float:
        """The whole, 0..1."""
        given = {name: getattr(self, name) for name in SHARES if getattr(self, name) is not None}
        whole = sum(SHARES[name] * share for name, share in given.items())
        whole /= sum(SHARES[name] for name in given)
        extra = max(0, len(self.needless) - FREE_STEPS) * EACH_STEP
        most = LUCKY if self.lucky else 1.0
        return float(round(max(0.0, min(most, whole - min(MOST_STEPS, extra))), 6))


def parts_of(item: Item, response: Json) -> Parts:
    """Mark every part of a response that was accepted."""
    steps: list[str] = response["findings"]
    entries: Sequence[Mapping[str, Json]] = item.key["findings"]
    missed = tuple(one for one in entries if not satisfied(one, steps))
    due = expected(item, steps)
    said: Mapping[str, str] = response["decision"]
    plan, plan_wrong, too_early = _plan(item, response["plan"], steps)
    lax = [m for m in due if is_unsafe(item, m, said[m], due[m])]
    words = response.get("words")
    right_words = words not in item.misconceptions
    wrong = [f"{m}:{said[m]}" for m in due if said[m] != due[m]]
    wrong += [f"{m}:untested" for m in lax if due[m] != item.key["decision"][m]]
    wrong += ["missed"] if any(one["critical"] for one in missed) else []
    wrong += plan_wrong + ([] if right_words or words is None else [words])
    return Parts(
        findings=_found_share(entries, missed),
        decision=_decision(item, said, due),
        plan=plan,
        words=None if words is None else float(right_words),
        missed=missed,
        needless=needless(item, steps),
        unsafe=tuple(dict.fromkeys((*lax, *too_early))),
        wrong=tuple(wrong),
        lucky=tuple(m for m in due if said[m] in FITS and _blind(m, missed)),
    )


def _blind(method: str, missed: Sequence[Mapping[str, Json]]) -> bool:
    return any(one["critical"] and method in one["methods"] for one in missed)


def satisfied(entry: Mapping[str, Json], steps: Sequence[str]) -> bool:
    """Whether one of these steps finds it, or it could be seen from the start."""
    return not entry["steps"] or bool(set(entry["steps"]) & set(steps))


def expected(item: Item, steps: Sequence[str]) -> dict[str, str]:
    """The verdict for each method on what could be known: without its skin test, wait."""
    due = dict(item.key["decision"])
    if item.givens["skin_test"]["step"] in steps:
        return due
    for entry in item.key["findings"]:
        if entry["steps"] == [item.givens["skin_test"]["step"]]:
            due |= dict.fromkeys(entry["methods"], "wait")
    return due


def needless(item: Item, steps: Sequence[str]) -> tuple[str, ...]:
    """Steps that no rule asks about, and those taken once nothing more could change."""
    found: list[str] = []
    taken: list[str] = []
    for step in steps:
        settled = all(satisfied(one, taken) for one in item.key["findings"])
        if settled or step not in item.givens["bear"]:
            found.append(step)
        taken.append(step)
    return tuple(found)


def _found_share(
    entries: Sequence[Mapping[str, Json]], missed: Sequence[Mapping[str, Json]]
) -> float:
    """Half for the facts that decide, half for what had to be ruled out; all of one alone."""
    shares = []
    for found in (True, False):
        whole = sum(weight_of(one) for one in entries if one["steps"] and one["found"] == found)
        if whole:
            gone = sum(weight_of(one) for one in missed if one["found"] == found)
            shares.append(1 - gone / whole)
    return sum(shares) / len(shares) if shares else 1.0


def weight_of(entry: Mapping[str, Json]) -> float:
    """What an entry of the key counts among the others: 1, or half where nothing critical."""
    return 1.0 if entry["critical"] else HALF


def _decision(item: Item, said: Mapping[str, str], due: Mapping[str, str]) -> float:
    """The booked method counts twice."""
    weights = {m: 1 + (m == item.givens["booked"]) for m in due}
    earned = sum(weights[m] * verdict_credit(said[m], due[m]) for m in due)
    return float(earned / sum(weights.values()))


def verdict_credit(said: str, due: str) -> float:
    """What a verdict is worth, 0..1, where another was due."""
    if said == due:
        return 1.0
    both_off = said not in FITS and due not in FITS
    return HALF if both_off or (said, due) == ("adapt", "go_ahead") else 0.0


def is_unsafe(item: Item, method: str, said: str, due: str) -> bool:
    """Fitting, or fitting unchanged, where a critical rule says otherwise."""
    if said not in FITS or VERDICTS.index(said) >= VERDICTS.index(due):
        return False
    if due != item.key["decision"][method]:
        return True
    return any(
        one["found"] and one["critical"] and method in one["methods"]
        for one in item.key["findings"]
    )


def _plan(item: Item, said: Json, steps: Sequence[str]) -> tuple[float, list[str], list[str]]:
    """Its share, what was wrong, and the method if it is planned too early to be safe."""
    key = item.key["plan"]
    if said is None or key is None:
        return float(said is None and key is None), [] if said == key else ["plan:method"], []
    mine = [one for one in (key, *key["or"]) if one["method"] == said["method"]]
    if not mine:
        return 0.0, ["plan:method"], []
    earned = {
        "method": 1.0,
        "grams": float(mine[0]["grams"]["low"] <= said["grams"] <= mine[0]["grams"]["high"]),
        "earliest": _earliest(item, mine[0], said, steps),
        "returns": _returns(mine[0], said),
    }
    wrong = [f"plan:{name}" for name, share in earned.items() if share < 1]
    early = said["earliest"] < mine[0]["earliest"] and tests_for(item, said["method"])
    return (
        sum(PLAN_SHARES[name] * share for name, share in earned.items()),
        wrong,
        [said["method"]] if early else [],
    )


def tests_for(item: Item, method: str) -> bool:
    """Whether the key asks for a skin test for a method."""
    step = item.givens["skin_test"]["step"]
    return any(e["steps"] == [step] and method in e["methods"] for e in item.key["findings"])


def _earliest(
    item: Item, key: Mapping[str, Json], said: Mapping[str, Json], steps: Sequence[str]
) -> float:
    """The first day it may be, or by now can be; a later day within a week is worth half."""
    start = date.fromisoformat(item.givens["today"])
    first = date.fromisoformat(key["earliest"])
    now = max(first, first_open(item, start + timedelta(days=days_gone(item, steps))))
    day = date.fromisoformat(said["earliest"])
    if first <= day <= now:
        return 1.0
    return HALF if now < day <= now + A_WEEK else 0.0


def _returns(key: Mapping[str, Json], said: Mapping[str, Json]) -> float:
    """A window inside the key's, two days' slack at each end, moved with a later fitting.

    Where the key names none (the method comes off daily, or no source gives a figure), nothing
    is asked.
    """
    if key["return_from"] is None:
        return 1.0
    if said["return_from"] is None or said["return_until"] is None:
        return 0.0
    planned = date.fromisoformat(said["earliest"]) - date.fromisoformat(key["earliest"])
    moved = max(timedelta(0), planned)
    low, high = (date.fromisoformat(key[f"return_{end}"]) + moved for end in ("from", "until"))
    first, last = (date.fromisoformat(said[f"return_{end}"]) for end in ("from", "until"))
    in_time = first <= last <= high + SLACK
    return 1.0 if in_time and first >= low - SLACK else HALF if in_time else 0.0
