"""The day of the fitting, days open, hours -> the last day on which the skin test is in time."""

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
    """Count back in hours from the fitting, over closed days, to a day when the salon is open."""
    fact, settings = case.role("lead_time"), case.recipe.settings
    first, last = case.draw.branch("open").one(settings["weeks"])
    fitting = date.fromisoformat(settings["from"]) + timedelta(
        days=case.draw.between(0, settings["days"])
    )
    if not first <= fitting.weekday() <= last:
        return None
    at, visit = (case.draw.branch(w).one(settings["hours"]) for w in ("test", "fit"))
    wait_days = (fact.high or 0) * DAYS_IN[fact.unit]
    back = ceil(wait_days + (at - visit) * DAYS_IN["hour"])
    latest = _open_up_to(fitting - timedelta(days=back), first, last)
    nights = fitting - timedelta(days=round(wait_days))
    before = _open_up_to(fitting - timedelta(days=1), first, last)
    return Draft(
        stem=case.say(
            "stems",
            fitting=fitting,
            year=fitting.year,
            at=f"{at:02d}:00",
            visit=f"{visit:02d}:00",
            opening=[DAYS[first], DAYS[last]],
            **case.somebody("client").words(),
        ),
        explanation=case.say("why", fact=fact, latest=latest, at=f"{at:02d}:00"),
        givens={
            "fitting": fitting.isoformat(),
            "fit_hour": visit,
            "test_hour": at,
            "open_weekdays": [number + 1 for number in range(first, last + 1)],
            "wait_fact": fact.id,
        },
        facts=(fact.id, "skin_test.before"),
        critical=fact.critical,
        features={"steps": 2.0 + (last - first < 2 * 2 + 1), "nearness": float(abs(at - visit))},
        answer=date_answer(case, latest, {"day_before": before, "counts_nights": nights}),
    )


def _open_up_to(day: date, first: int, last: int) -> date:
    while not first <= day.weekday() <= last:
        day -= timedelta(days=1)
    return day
