"""Consultation: ask, look and test step by step, then decide, plan, and tell the client."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from trainer.core.draw import Draw
from trainer.core.items.exported import Exported
from trainer.core.items.item import Answer, Draft, Heading, Item, Json, Mark, Offer
from trainer.core.items.types.consultation_export import exported
from trainer.core.items.types.consultation_marks import ENOUGH, parts_of
from trainer.core.items.types.consultation_sheet import sheet
from trainer.core.items.types.date import day_in_words
from trainer.core.items.types.lettered import item_of, lettered, same_twice, text_of, wrongs
from trainer.core.knowledge.words import VERDICTS
from trainer.core.problems import InputProblem

VERDICT_WORDS = {
    "go_ahead": "go ahead",
    "adapt": "go ahead, but adapted",
    "wait": "wait",
    "refer": "refer first",
    "decline": "decline",
}
DATES = ("earliest", "return_from", "return_until")
MOST_GRAMS = 1000.0
FEWEST = 3


class Consultation:
    """Key: {findings, decision, plan}. Response: the same and `words`, the id of an option.

    findings: entries of the key, or the ids of the steps that were taken, in their order.
    decision: method -> verdict. plan: {method, grams, earliest, return_from, return_until} or
    None. Without `words` (the key has none) that part is not marked. A critical error: going
    ahead where a critical rule says otherwise, or before the skin test that a method needs.
    """

    name = "consultation"

    def compose(self, heading: Heading, draft: Draft, draw: Draw) -> Item:
        if draft.key is None:
            raise ValueError(f"{heading.id}: a consultation without its key")
        options = lettered(draft, draw)
        beliefs, notes = wrongs(options)
        more = draft.answer or Answer()
        return item_of(
            heading, draft, options, draft.key, {**more.slips, **beliefs}, {**more.notes, **notes}
        )

    def read(self, sent: Mapping[str, Sequence[str]], item: Item) -> Json:
        one = {name: (list(values) or [""])[0].strip() for name, values in sent.items()}
        methods = item.givens["methods"]
        planned = one.get("plan", "")
        if not planned:
            raise InputProblem("is missing", "your plan", "Choose what you fit, or 'Nothing yet'.")
        plan: Json = None
        if planned != "none":
            plan = {"method": planned, "grams": _number(one.get("grams", ""))}
            plan |= {name: one.get(name) or None for name in DATES}
        response: dict[str, Json] = {
            "findings": [step for value in sent.get("steps", ()) for step in value.split()],
            "decision": {m: one[f"verdict_{m}"] for m in methods if one.get(f"verdict_{m}")},
            "plan": plan,
        }
        if one.get("words"):
            response["words"] = one["words"]
        return self.accept(response, item)

    def accept(self, response: Json, item: Item) -> Json:
        if not isinstance(response, Mapping):
            raise InputProblem("is no answer", "response", "Give findings, decision and plan.")
        accepted = {
            "findings": _steps(response.get("findings"), item),
            "decision": _decision(response.get("decision"), item),
            "plan": _plan(response.get("plan"), item),
        }
        words = response.get("words")
        if words is not None:
            if words not in [option.id for option in item.options]:
                raise InputProblem("is not among the answers", "words", "Choose what you say.")
            accepted["words"] = words
        return accepted

    def mark(self, item: Item, response: Json) -> Mark:
        parts = parts_of(item, response)
        beliefs = (item.misconceptions.get(one, "") for one in parts.wrong)
        return Mark(
            parts.score,
            bool(parts.unsafe),
            tuple(dict.fromkeys(filter(None, beliefs))),
            parts.wrong,
            ENOUGH,
        )

    def unfit(self, offers: Sequence[Offer]) -> list[str]:
        return []

    def faults(self, item: Item) -> list[str]:
        found = same_twice(item.options)
        right = [option.id for option in item.options if option.id not in item.misconceptions]
        if len(right) != 1:
            found.append(f"{len(right)} right ways to tell the client")
        if len(item.options) < FEWEST:
            found.append(f"{len(item.options)} ways to tell the client")
        mute = [step["id"] for step in item.givens["steps"] if not step["finding"]]
        if mute:
            found.append(f"steps that find nothing to say: {', '.join(mute)}")
        if any(entry["found"] and entry["steps"] and not entry["said"] for entry in _found(item)):
            found.append("a deciding fact without words")
        return found

    def chance(self, item: Item) -> float:
        return 0.0

    def say_key(self, item: Item) -> list[str]:
        lines = _said_decision(item, item.key["decision"])
        lines += [plan_in_words(item, item.key["plan"])]
        for entry in _found(item):
            if entry["said"] and not any(entry["said"] in line for line in lines):
                lines.append(entry["said"])
        return lines

    def say_response(self, item: Item, response: Json) -> list[str]:
        lines = _said_decision(item, response["decision"])
        lines.append(plan_in_words(item, response["plan"]))
        if response.get("words"):
            lines.append(text_of(item, response["words"]))
        done = {row["id"]: row["words"] for row in item.givens["steps"]}
        steps = [done[step] for step in response["findings"] if step in done]
        return [*lines, f"Steps: {'; '.join(steps) or 'none'}"]

    def export(self, item: Item) -> Exported:
        return exported(item, sheet(item, VERDICT_WORDS))


def key_lines(key: Mapping[str, Json]) -> list[str]:
    """Decision and plan of a key as plain lines, for comparison."""
    lines = [f"{method}: {verdict}" for method, verdict in key["decision"].items()]
    plan = key["plan"]
    for one in (plan, *plan["or"]) if plan else ():
        low, high = one["grams"]["low"], one["grams"]["high"]
        ends = f"{one['return_from']} {one['return_until']}"
        lines.append(f"plan {one['method']} {low}-{high} g {one['earliest']} {ends}")
    return lines


def plan_in_words(item: Item, plan: Json) -> str:
    """A plan as one line."""
    if plan is None:
        return "Plan: nothing yet"
    grams = plan["grams"]
    told = f"{grams['low']} to {grams['high']}" if isinstance(grams, Mapping) else f"{grams:g}"
    parts = [f"Plan: {item.givens['names'].get(plan['method'], plan['method'])}, {told} g"]
    if plan["earliest"]:
        parts.append(f"from {day_in_words(plan['earliest'])}")
    if plan["return_from"] and plan["return_until"]:
        first, last = day_in_words(plan["return_from"]), day_in_words(plan["return_until"])
        parts.append(f"back between {first} and {last}")
    return ", ".join(parts)


def _found(item: Item) -> list[Mapping[str, Json]]:
    return [entry for entry in item.key["findings"] if entry["found"]]


def _said_decision(item: Item, decision: Mapping[str, str]) -> list[str]:
    names = item.givens["names"]
    return [f"{names[m]}: {VERDICT_WORDS[decision[m]]}" for m in item.givens["methods"]]


def _steps(said: Json, item: Item) -> list[str]:
    """Step ids in their order; an entry of the key stands for its first step."""
    known = [step["id"] for step in item.givens["steps"]]
    if not isinstance(said, list):
        raise InputProblem("is no list of steps", "findings", "Give the steps that were taken.")
    ids = [step for one in said for step in (_first(one) if isinstance(one, Mapping) else [one])]
    unknown = [one for one in ids if one not in known]
    if unknown:
        raise InputProblem(f"names no step: {unknown[0]}", "findings", "Use ids of the steps.")
    return list(dict.fromkeys(ids))


def _first(entry: Mapping[str, Any]) -> list[Any]:
    steps = entry.get("steps")
    return steps[:1] if isinstance(steps, list) else [entry]


def _decision(said: Json, item: Item) -> dict[str, str]:
    given = said if isinstance(said, Mapping) else {}
    for method in item.givens["methods"]:
        if given.get(method) not in VERDICTS:
            name = item.givens["names"][method]
            raise InputProblem("is not decided", name, "Decide for each method.")
    return {method: given[method] for method in item.givens["methods"]}


def _plan(said: Json, item: Item) -> Json:
    if said is None:
        return None
    if not isinstance(said, Mapping) or said.get("method") not in item.givens["methods"]:
        raise InputProblem("names no method that you offer", "plan", "Choose one of them.")
    earliest = _day(said.get("earliest"), "earliest day")
    if earliest is None:
        raise InputProblem("is missing", "earliest day", "Give the first day it may be fitted.")
    return {
        "method": said["method"],
        "grams": _grams(said.get("grams")),
        "earliest": earliest,
        "return_from": _day(said.get("return_from"), "return from"),
        "return_until": _day(said.get("return_until"), "return until"),
    }


def _grams(said: Json) -> float:
    if isinstance(said, Mapping):
        said = said.get("high")
    good = isinstance(said, int | float) and not isinstance(said, bool)
    if not good or not 0 < said <= MOST_GRAMS:
        raise InputProblem("is no weight", "grams", f"Give 1 to {MOST_GRAMS:g} grams.")
    return float(said)


def _day(said: Json, field: str) -> str | None:
    if said is None:
        return None
    try:
        return date.fromisoformat(said).isoformat()
    except (TypeError, ValueError):
        remedy = "Write it as year-month-day, like 2026-03-24."
        raise InputProblem("is not a date", field, remedy) from None


def _number(text: str) -> float | None:
    try:
        return float(text.replace(",", ".").removesuffix("g").strip())
    except ValueError:
        return None


TYPE = Consultation()
