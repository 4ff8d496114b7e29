"""A sign drawn as line art, or its harmless look-alike, and what is told -> what to do."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from trainer.core.figures.signs import Sign, sign
from trainer.core.items.item import Draft, Offer, Sketch
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.drawn import drawn_of
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the method's attachment is drawn, where the recipe shows attachments."""
    return drawn_of(bank, method) is not None or not recipe.settings["shows_attachment"]


def work_out(case: Case) -> Sketch | None:
    """The one thing to do about what is drawn and told; the others belong to something else."""
    settings = case.recipe.settings
    names = sorted(settings["signs"])
    weights = [settings["signs"][name]["weight"] for name in names]
    shown = _shown(case, case.draw.branch("what").weighted(names, weights))
    left = settings["wrong_shown"] - len(shown.kin)
    others = [word for word in shown.row["wrong"] if word not in (*shown.kin, shown.do)]
    picked = [*shown.kin, *case.draw.branch("wrong").some(others, left)]
    offers = [Offer(case.say(shown.do), True, shown.do)]
    offers += [_wrong(case, shown.about, word) for word in picked]
    return Sketch(tuple(offers), lambda: _draft(case, shown, picked, tuple(offers)))


@dataclass(frozen=True, slots=True)
class _Shown:
    """What is drawn, what is told with it, and what is right then.

    `about`: what settles it, drawing or tale; notes and reasons go by it.
    """

    what: str
    row: Mapping[str, Any]
    tale: str
    about: str
    do: str
    kin: tuple[str, ...]
    facts: tuple[str, ...]
    seen: Mapping[str, Any]
    critical: bool


def _shown(case: Case, what: str) -> _Shown:
    """A tale may add a finding that turns what the drawing alone would ask for."""
    row: Mapping[str, Any] = case.recipe.settings["signs"][what]
    tale = case.draw.branch("tale").one(row["tales"])
    told: Mapping[str, Any] = case.recipe.settings["tales"].get(tale, {})
    seen = {**dict.fromkeys(row["seen"], True), **told.get("adds", {})}
    if told.get("turns", row["do"]) != row["do"]:
        do, facts = told["turns"], tuple(told["facts"])
        return _Shown(what, row, tale, tale, do, (row["do"],), facts, seen, True)
    tempts = [one for one in (told.get("tempts"),) if one in row["wrong"]]
    kin = tuple(dict.fromkeys((*tempts, *row["kin"])))
    return _Shown(what, row, tale, what, row["do"], kin, tuple(row["facts"]), seen, row["critical"])


def _draft(case: Case, shown: _Shown, picked: list[str], offers: tuple[Offer, ...]) -> Draft:
    settings = case.recipe.settings
    shape = drawn_of(case.bank, case.method.id)
    amount = case.draw.branch("amount").between(*settings["amounts"])
    figure = sign(
        Sign(
            shown.what,
            shape.kind if shape else "bead",
            case.method.attachment,
            amount,
            case.draw.branch("lie").below(settings["arrangements"]),
        )
    )
    client = case.somebody("client").words()
    place = case.draw.branch("place").one(shown.row["places"])
    told = case.say(f"told_{shown.tale}", **client)
    keyed = any(case.bank.facts[name].may_key_critical for name in shown.facts)
    return Draft(
        stem=case.say("stems", told=told, place=place, **client),
        explanation=case.say(f"why_{shown.about}"),
        givens={
            "method": case.method.id,
            "drawn": shown.what,
            "amount": amount,
            "place": place,
            "told": shown.tale,
            "seen": dict(shown.seen),
            "meanings": {case.say(w): settings["means"][w] for w in (shown.do, *picked)},
            "asked": "what to do",
        },
        facts=shown.facts,
        critical=shown.critical and keyed,
        features={"cues": 2.0, "closeness": 1.0, "nearness": 0.5 * case.step},
        offers=offers,
        figure=figure.as_json(),
    )


def _wrong(case: Case, about: str, word: str) -> Offer:
    """A wrong act: what stands behind it, and what it would do, may differ with what is drawn."""
    here = f"{word}_at_{about}"
    belief = case.named_belief(here if here in case.recipe.settings["beliefs"] else word)
    note = case.say(f"note_{here}") if f"note_{here}" in case.recipe.words else ""
    return wrong(case.say(word), word, belief, note)
