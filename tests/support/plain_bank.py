"""A bank of one made-up method and plain scenarios whose right answers a test knows.

Item models reason through the module below: the right option says 'right', the wrong one's
belief is 'plain.belief'. Nothing here depends on the shipped content but its vocabulary.
"""

import sys
import tomllib
from dataclasses import fields, replace
from importlib.resources import files
from types import ModuleType

from trainer.core.items.item import Answer, Draft, Offer
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.method import Method, Roles
from trainer.core.knowledge.misconception import Misconception
from trainer.core.knowledge.words import TOPICS

METHOD = "plain_method"
REASON = "the reason is plain"
BELIEF = "plain.belief"
TEMPTS = "it looks quicker than it is"
TYPES = ("choose_one", "choose_all", "put_in_order", "number", "date", "point_at_figure")

FIGURE = {
    "svg": '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 30 10" role="img" '
    'aria-label="Three parts"></svg>',
    "alt": "Three parts.\nA: left.\nB: middle.\nC: right.",
    "regions": [
        {"id": letter, "label": f"part {letter}", "boxes": [[left, 0, 10, 10]]}
        for letter, left in (("A", 0), ("B", 10.5), ("C", 21))
    ],
}


def _lettered(right: int, wrong: int) -> tuple[Offer, ...]:
    return tuple(
        Offer(f"right {n}" if n < right else f"wrong {n}", n < right, f"t{n}", *_belief(n < right))
        for n in range(right + wrong)
    )


def _parts() -> tuple[Offer, ...]:
    return tuple(Offer(f"part {tag}", tag == "B", tag, *_belief(tag == "B")) for tag in "ABC")


def _belief(right: bool) -> tuple[str, str]:
    return ("", "") if right else (BELIEF, TEMPTS)


def work_out(case) -> Draft:
    number = case.draw.branch("number").between(10, 99999)
    plain = Draft(
        f"Case {number} of {case.recipe.id}. What now?",
        REASON,
        {"number": number},
        (),
        case.recipe.critical,
        {"cues": 1.0},
    )
    kind = case.recipe.type
    if kind == "choose_one":
        return replace(plain, offers=_lettered(1, 3))
    if kind == "choose_all":
        return replace(plain, offers=_lettered(2, 2))
    if kind == "put_in_order":
        steps = tuple(Offer(f"step {n}", True, f"t{n}", BELIEF) for n in range(4))
        return replace(plain, offers=steps, pairs=(("t0", "t1"), ("t1", "t2"), ("t2", "t3")))
    if kind == "point_at_figure":
        return replace(plain, offers=_parts(), figure=FIGURE)
    if kind == "number":
        return replace(plain, answer=Answer(value=42.0, unit="g", tolerance=1.0))
    return replace(plain, answer=Answer(first="2026-03-24"))


def _reasoning() -> str:
    module = ModuleType("plain_for_tests")
    module.applies = lambda bank, method, recipe: True
    module.work_out = work_out
    sys.modules[f"trainer.core.scenarios.reasoning.{module.__name__}"] = module
    return module.__name__


def _models() -> dict[str, dict]:
    """For each topic one family of each type; those that choose one are critical."""
    reasoning = _reasoning()
    return {
        f"{topic}_{kind}": {
            "id": f"{topic}_{kind}",
            "title": "Plain",
            "topic": topic,
            "service": "fit",
            "type": kind,
            "reasoning": reasoning,
            "methods": ["all"],
            "critical": kind == "choose_one",
            "words": {},
        }
        for topic in TOPICS
        for kind in TYPES
    }


def plain_bank(version: str = "plain") -> Bank:
    """One made-up bonded method, plain item models, the shipped blueprints, and nothing else."""
    method = Method(
        id=METHOD,
        name="Plain method",
        summary="",
        bonded=True,
        order=1,
        attachment="tie",
        attachments="ties",
        services=("fit", "maintain", "remove"),
        roles=Roles(),
        noun="plain hair",
    )
    belief = Misconception(
        BELIEF, ("all",), "timings", "It can wait.", TEMPTS, "", "Look at the card first."
    )
    nothing = {field.name: {} for field in fields(Bank)}
    return Bank(
        **nothing
        | {
            "version": version,
            "impossible": (),
            "methods": {METHOD: method},
            "misconceptions": {BELIEF: belief},
            "item_models": _models(),
            "blueprints": _tables("blueprints", "bonded", "loose"),
            "wording": {
                f"en/{name}": table
                for name, table in _tables("wording/en", "agreement", "warm_up").items()
            },
        }
    )


def _tables(room: str, *names: str) -> dict[str, dict]:
    """Shipped tables of one room, by name."""
    folder = files("question_bank") / room
    return {
        name: tomllib.loads((folder / f"{name}.toml").read_text(encoding="utf-8")) for name in names
    }


def answer_to(kept: dict, right: bool = True) -> dict[str, list[str]]:
    """What a page would send as a right or wrong answer to a kept item."""
    key, kind = kept["key"], kept["type"]
    if kind in ("choose_one", "choose_all", "point_at_figure"):
        others = [o["id"] for o in kept["options"] if o["id"] not in key]
        return {"choice": list(key) if right else others[:1]}
    if kind == "put_in_order":
        order = sorted(kept["options"], key=lambda option: option["text"], reverse=not right)
        return {f"place_{o['id']}": [str(n)] for n, o in enumerate(order, 1)}
    if kind == "number":
        return {"value": [str(key["value"] if right else key["value"] + 9)]}
    return {"date": [key if right else "2020-01-01"]}
