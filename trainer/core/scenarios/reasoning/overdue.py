"""How long the set has been in -> what to tell the client. Keyed by window and limit."""

from datetime import date, timedelta

from trainer.core.advice.waits import days_of
from trainer.core.items.item import Draft, Offer, Sketch
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.quantity import DAYS_IN
from trainer.core.scenarios.case import Case, has_key_role, wrong
from trainer.core.scenarios.family import Recipe

ZONES = ("early", "due", "late")


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the method has a window that may be keyed."""
    return has_key_role(bank, method, ["move_up"])


def work_out(case: Case) -> Sketch | None:
    """Draw a day well before, well inside or well past the window; never near its edges."""
    fact = case.role("move_up")
    low, high = days_of(fact, "low"), days_of(fact, "high")
    zone = case.draw.one(ZONES)
    days = _days(case, zone, low, high)
    if days is None:
        return None
    today = date.fromisoformat(case.recipe.settings["from"]) + timedelta(
        days=case.draw.between(0, case.recipe.settings["days"])
    )
    fitted, who = today - timedelta(days=days), case.somebody("client")
    given = {"fitted": fitted, "today": today, "look": case.say("looks", **who.words())}
    meanings = {case.say(one, **who.words()): one for one in _told(case, zone)}
    offers = tuple(_offer(case, other, text, zone) for text, other in meanings.items())
    return Sketch(
        offers,
        lambda: Draft(
            stem=case.say("stems", **given, **who.words()),
            explanation=case.say(f"why_{zone}", weeks=int(days // DAYS_IN["week"]), fact=fact),
            givens={
                "fitted": fitted.isoformat(),
                "today": today.isoformat(),
                "window_fact": fact.id,
                "meanings": meanings,
                "asked": "before the window: wait; inside: move up; past it: take out",
            },
            facts=tuple(dict.fromkeys((fact.id, *_limit(case)))),
            critical=zone == "late" and fact.critical,
            features={"nearness": abs(days - high) / high, "steps": 2.0},
            offers=offers,
        ),
    )


def _told(case: Case, zone: str) -> list[str]:
    """What is offered: every zone and no zone at all; but not two words for one act."""
    same = case.method.renewal in case.recipe.settings["out_either_way"]
    twin = {"due": "late", "late": "due"}.get(zone) if same else None
    return [other for other in (*ZONES, "check") if other != twin]


def _days(case: Case, zone: str, low: float, high: float) -> int | None:
    """A margin keeps clear of the edges, which no source draws to the day; 'due' is the window's
    second half, for in its first a booking within it is as right."""
    margin = case.recipe.settings["margin_days"]
    spans = {
        "early": (case.recipe.settings["earliest_days"], int(low) - margin),
        "due": (int(low + high) // 2 + 1, int(high) - 1),
        "late": (int(high) + margin, int(high * 2)),
    }
    first, last = spans[zone]
    if last < first:
        return None
    days = case.draw.between(first, last)
    return None if _disputed(case, days) else days


def _disputed(case: Case, days: int) -> bool:
    """Whether sources differ on this length of wear."""
    return any(
        d.low is not None
        and d.high is not None
        and d.unit in DAYS_IN
        and d.low * DAYS_IN[d.unit] < days <= d.high * DAYS_IN[d.unit]
        for d in case.bank.differing(case.method.id)
    )


def _limit(case: Case) -> tuple[str, ...]:
    limit = case.bank.role(case.method.id, "outer_limit")
    return (limit.id,) if limit and limit.may_key else ()


def _offer(case: Case, other: str, text: str, zone: str) -> Offer:
    if other == zone:
        return Offer(text, True, other)
    return wrong(text, other, case.named_belief(f"{zone}_{other}"))
