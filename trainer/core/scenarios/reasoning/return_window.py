"""Fitting day, move-up window, absence, days off -> the first day to see the client."""

from datetime import date, timedelta

from trainer.core.advice.waits import Window, window
from trainer.core.items.item import Draft
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.answers import date_answer
from trainer.core.scenarios.case import Case, has_key_role
from trainer.core.scenarios.family import Recipe
from trainer.core.scenarios.wording import DAYS


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the method has a move-up window that may be keyed."""
    return has_key_role(bank, method, ["move_up"])


def work_out(case: Case) -> Draft | None:
    """Draw a calendar in which exactly one day is the answer and careless reading misses it."""
    fact, settings = case.role("move_up"), case.recipe.settings
    fitted = date.fromisoformat(settings["from"]) + timedelta(
        days=case.draw.between(0, settings["days"])
    )
    open_days = _open_days(case)
    if fitted.weekday() not in open_days:
        return None
    span = window(fitted, fact)
    away_from, away_to = _absence(case, span)
    free = _first_free(span.first, away_from, away_to, open_days)
    if free not in span or away_from <= fitted:
        return None
    who = case.somebody("client")
    return Draft(
        stem=case.say(
            "stems",
            fitted=fitted,
            away_from=away_from,
            away_to=away_to,
            year=fitted.year,
            opening=[DAYS[number] for number in open_days],
            **who.words(),
        ),
        explanation=case.say("why", span=span, free=free, fact=fact),
        givens={
            "fitted": fitted.isoformat(),
            "away": [away_from.isoformat(), away_to.isoformat()],
            "open_weekdays": [number + 1 for number in open_days],
            "asked": "first open day in the move-up window, client present",
            "window_fact": fact.id,
        },
        facts=(fact.id,),
        critical=False,
        features={
            "steps": 2.0 + (len(open_days) < len(DAYS)),
            "nearness": float(_width(span)),
        },
        answer=date_answer(case, free, _slips(span, away_to)),
    )


def _slips(span: Window, away_to: date) -> dict[str, date]:
    """Where careless reading leads: forgot the absence, followed it, took the last day."""
    return {
        "forgets_absence": span.first,
        "waits_for_return": away_to + timedelta(days=1),
        "takes_longest": span.last,
    }


def _absence(case: Case, span: Window) -> tuple[date, date]:
    """Away over the window's first day, or before it opens, or later in it: only whoever knows
    the window can tell which."""
    width, draw = _width(span), case.draw.branch("away")
    long = draw.between(2, case.recipe.settings["away_days"])
    where = draw.one(["over", "before", "later"])
    if where == "over":
        start = span.first - timedelta(days=draw.between(1, long - 1))
    elif where == "before":
        start = span.first - timedelta(days=long + draw.between(2, case.recipe.settings["apart"]))
    else:
        start = span.first + timedelta(days=draw.between(width // 2 + 1, width))
    return start, start + timedelta(days=long)


def _width(span: Window) -> int:
    return (span.last - span.first).days


def _open_days(case: Case) -> list[int]:
    first, last = case.draw.branch("open").one(case.recipe.settings["weeks"])
    return list(range(first, last + 1))


def _first_free(start: date, away_from: date, away_to: date, open_days: list[int]) -> date:
    day = start
    while day.weekday() not in open_days or away_from <= day <= away_to:
        day += timedelta(days=1)
    return day
