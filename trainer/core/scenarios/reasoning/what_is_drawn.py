"""A sign drawn as line art, or its harmless look-alike -> what to do about it."""

from collections.abc import Mapping
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
    """The one thing to do about what is drawn; the others belong to something else."""
    settings = case.recipe.settings
    names = sorted(settings["signs"])
    weights = [settings["signs"][name]["weight"] for name in names]
    what = case.draw.branch("what").weighted(names, weights)
    row: Mapping[str, Any] = settings["signs"][what]
    left = settings["wrong_shown"] - len(row["kin"])
    picked = [*row["kin"], *case.draw.branch("wrong").some(row["wrong"], left)]
    offers = [Offer(case.say(row["do"]), True, row["do"])]
    offers += [_wrong(case, what, word) for word in picked]
    return Sketch(tuple(offers), lambda: _draft(case, what, row, picked, tuple(offers)))


def _draft(
    case: Case, what: str, row: Mapping[str, Any], picked: list[str], offers: tuple[Offer, ...]
) -> Draft:
    settings = case.recipe.settings
    shape = drawn_of(case.bank, case.method.id)
    amount = case.draw.branch("amount").between(*settings["amounts"])
    figure = sign(
        Sign(
            what,
            shape.kind if shape else "bead",
            case.method.attachment,
            amount,
            case.draw.branch("lie").below(settings["arrangements"]),
        )
    )
    client = case.somebody("client").words()
    facts = tuple(row["facts"])
    return Draft(
        stem=case.say("stems", told=case.say(row["told"], **client), **client),
        explanation=case.say(f"why_{what}"),
        givens={
            "method": case.method.id,
            "drawn": what,
            "amount": amount,
            "seen": dict.fromkeys(row["seen"], True),
            "meanings": {case.say(w): settings["means"][w] for w in (row["do"], *picked)},
            "asked": "what to do",
        },
        facts=facts,
        critical=row["critical"] and any(case.bank.facts[name].may_key_critical for name in facts),
        features={"cues": 1.0, "closeness": 1.0, "nearness": 0.5 * case.step},
        offers=offers,
        figure=figure.as_json(),
    )


def _wrong(case: Case, what: str, word: str) -> Offer:
    """A wrong act: what stands behind it, and what it would do, may differ with what is drawn."""
    here = f"{word}_at_{what}"
    belief = case.named_belief(here if here in case.recipe.settings["beliefs"] else word)
    note = case.say(f"note_{here}") if f"note_{here}" in case.recipe.words else ""
    return wrong(case.say(word), word, belief, note)
