"""When the skin test went on, when appointments begin -> the first day the full wait is over."""

from datetime import date, timedelta
from math import ceil

from trainer.core.items.item import Draft
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.quantity import DAYS_IN
from trainer.core.scenarios.answers import date_answer
from trainer.core.scenarios.case import Case, has_key_role
from trainer.core.scenarios.family import Recipe
from trainer.core.scenarios.wording import DAYS


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the method has a wait after a skin test that may be keyed."""
    return has_key_role(bank, method, ["lead_time"])


def work_out(case: Case) -> Draft | None:
    """Count hours, not nights; then find a day on which the salon works."""
    fact, settings = case.role("lead_time"), case.recipe.settings
    first, last = case.draw.branch("open").one(settings["weeks"])
    tested = date.fromisoformat(settings["from"]) + timedelta(
        days=case.draw.between(0, settings["days"])
    )
    if not first <= tested.weekday() <= last:
        return None
    at, visit = (case.draw.branch(w).one(settings["hours"]) for w in ("at", "visit"))
    wait_hours = (fact.high or 0) * DAYS_IN[fact.unit] / DAYS_IN["hour"]
    free = _open_from(tested, ceil((wait_hours + at - visit) * DAYS_IN["hour"]), first, last)
    slips = {
        "one_night": _open_from(tested, 1, first, last),
        "counts_nights": tested + timedelta(days=round(wait_hours * DAYS_IN["hour"])),
    }
    who = case.somebody("client")
    return Draft(
        stem=case.say(
            "stems",
            tested=tested,
            at=f"{at:02d}:00",
            visit=f"{visit:02d}:00",
            year=tested.year,
            opening=[DAYS[first], DAYS[last]],
            **who.words(),
        ),
        explanation=case.say("why", fact=fact, free=free, visit=f"{visit:02d}:00"),
        givens={
            "tested": tested.isoformat(),
            "tested_hour": at,
            "visit_hour": visit,
            "open_weekdays": [number + 1 for number in range(first, last + 1)],
            "wait_fact": fact.id,
            "asked": "first open day on which the full wait is over at the visit's hour",
        },
        facts=(fact.id, "skin_test.before"),
        critical=fact.critical,
        features={"steps": 2.0, "nearness": float(abs(at - visit))},
        answer=date_answer(case, free, slips),
    )


def _open_from(start: date, days: int, first: int, last: int) -> date:
    day = start + timedelta(days=days)
    while not first <= day.weekday() <= last:
        day += timedelta(days=1)
    return day
