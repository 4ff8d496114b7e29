"""Answers to an item: right, wrong and half right, as the outside gives them and as we do."""

from datetime import date

from tests.support.consulted import right_answer
from tests.support.qti_marking import Session
from trainer.core.items.types.put_in_order import one_right_order
from trainer.core.knowledge.words import VERDICTS

VERDICTS = list(VERDICTS)


def marked_outside(text, item, response):
    """(score, critical error) by the package's own marking."""
    session = Session(text)
    if item.heading.type == "consultation":
        _consult(session, item, response)
        assert session.ended
    else:
        session.attempt(RESPONSE=_given(item, response))
    return session.values["SCORE"], bool(session.values["CRITICAL_ERROR"])


def _given(item, response):
    if item.heading.type in ("choose_one", "point_at_figure"):
        return response[0]
    return response


def _consult(session, item, response):
    for step in response["findings"]:
        session.attempt(**{f"STEP_{step}": True})
    days = {
        name.upper(): (date.fromisoformat(plan) - date.fromisoformat(item.givens["today"])).days
        for name, plan in (response["plan"] or {}).items()
        if name in ("earliest", "return_from", "return_until") and plan
    }
    plan = response["plan"]
    session.attempt(
        DECIDED=True,
        PLAN=plan["method"] if plan else "none",
        GRAMS=plan["grams"] if plan else None,
        WORDS=response.get("words"),
        **{f"VERDICT_{m}": v for m, v in response["decision"].items()},
        **days,
    )


def some_responses(item, chance):
    """Responses to an item: the key's, and others as a `Draw` has it."""
    return _MAKERS[item.heading.type](item, chance)


def _letters(item, chance):
    return [[option.id] for option in item.options]


def _sets(item, chance):
    ids = [option.id for option in item.options]
    return [item.key] + [[i for i in ids if chance.chance(0.5)] or ids[:1] for _ in range(12)]


def _orders(item, chance):
    right, found = one_right_order(item), []
    ids = [option.id for option in item.options]
    for _ in range(8):
        swapped = right[:]
        at = chance.below(len(right) - 1)
        swapped[at : at + 2] = reversed(swapped[at : at + 2])
        found += [swapped, chance.some(ids, chance.between(1, len(ids)))]
    return [right, *found, right[:-1], right + [i for i in ids if i not in right][:1]]


def _numbers(item, chance):
    value, room = item.key["value"], item.key["tolerance"]
    edges = [value, value + room, value - room, value + room * 1.01 + 0.001, value * 2 + 1]
    return edges + [float(slip) for slip in item.misconceptions] + [chance.fraction() * value * 2]


def _days(item, chance):
    key = item.key
    ends = [key, key] if isinstance(key, str) else [key["first"], key["last"]]
    first, last = (date.fromisoformat(one).toordinal() for one in ends)
    around = [
        first - 1,
        first,
        (first + last) // 2,
        last,
        last + 1,
        first + chance.between(-40, 40),
    ]
    return [date.fromordinal(one).isoformat() for one in around] + list(item.misconceptions)


def _consultations(item, chance):
    best = right_answer(item)
    return [best, *(_worse(item, best, chance) for _ in range(12))]


def _worse(item, best, chance):
    steps = [row["id"] for row in item.givens["steps"]]
    kept = [s for s in best["findings"] if chance.chance(0.8)]
    more = [s for s in steps if s not in kept and chance.chance(0.2)]
    decision = {
        m: v if chance.chance(0.6) else chance.one(VERDICTS) for m, v in best["decision"].items()
    }
    made = {"findings": kept + more, "decision": decision, "plan": _plan(item, best, chance)}
    if chance.chance(0.8):
        made["words"] = chance.one(item.options).id
    return made


def _plan(item, best, chance):
    if chance.chance(0.15):
        return None
    start = date.fromisoformat(item.givens["today"]).toordinal()
    plan = best["plan"]
    day = date.fromisoformat(plan["earliest"]).toordinal() if plan else start + 3
    made = {
        "method": plan["method"] if plan else chance.one(item.givens["methods"]),
        "grams": float(plan["grams"] if plan and chance.chance(0.6) else chance.between(40, 300)),
        "earliest": date.fromordinal(max(start, day + chance.one([0, 0, 0, -2, 3, 9]))).isoformat(),
        "return_from": None,
        "return_until": None,
    }
    if plan and plan["return_from"] and chance.chance(0.9):
        for end in ("return_from", "return_until"):
            on = date.fromisoformat(plan[end]).toordinal() + chance.one([0, 0, 2, -3, 9])
            made[end] = date.fromordinal(max(start, on)).isoformat()
    return made


_MAKERS = {
    "choose_one": _letters,
    "choose_all": _sets,
    "point_at_figure": _letters,
    "put_in_order": _orders,
    "number": _numbers,
    "date": _days,
    "consultation": _consultations,
}
