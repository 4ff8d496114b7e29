"""How long the fitting usually takes -> the latest start that still ends in time."""

from trainer.core.items.item import Draft, Offer
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.fact import Fact
from trainer.core.knowledge.quantity import DAYS_IN
from trainer.core.scenarios.case import Case, has_key_role, wrong
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the time to fit is known and may be keyed."""
    return has_key_role(bank, method, ["fit_time"])


def work_out(case: Case) -> Draft | None:
    """Count back by the longest usual time; slips: shortest time, a neighbour's, the middle."""
    fact, settings = case.role("fit_time"), case.recipe.settings
    hour = settings["minutes_in_hour"]
    close = case.draw.between(*settings["closing_steps"]) * settings["step"]
    tidy = case.draw.branch("tidy").one(settings["tidy_minutes"])
    low, high = (minutes(fact, end, hour) for end in ("low", "high"))
    starts = {
        "right": close - high - tidy,
        "shortest": close - low - tidy,
        "no_tidying": close - high,
        "neither": close - low,
        "tidied_twice": close - high - 2 * tidy,
        "too_early": close - 2 * high - tidy,
    }
    neighbour = _neighbour(case, fact)
    if neighbour is not None:
        starts["neighbour"] = close - minutes(neighbour, "high", hour) - tidy
    apart = {start: word for word, start in reversed(starts.items()) if start > 0}
    starts = {word: start for start, word in apart.items()}
    picked = _picked(case, starts)
    if picked is None:
        return None
    who = case.somebody("client")
    return Draft(
        stem=case.say("stems", close=clock(close, hour), tidy=tidy, **who.words()),
        explanation=case.say("why", fact=fact, tidy=tidy, start=clock(starts["right"], hour)),
        givens={
            "done_by": clock(close, hour),
            "tidy_minutes": tidy,
            "time_fact": fact.id,
            "asked": "latest start by the longest usual time",
        },
        facts=(fact.id,),
        critical=False,
        features={"steps": 2.0, "closeness": float(high - low) / hour},
        offers=tuple(_offer(case, word, clock(starts[word], hour)) for word in picked),
    )


def _picked(case: Case, starts: dict[str, int]) -> list[str] | None:
    """The right start and three slips, so many of them earlier that its place tells nothing."""
    draw, right = case.draw.branch("slips"), starts["right"]
    earlier = [word for word, start in starts.items() if start < right]
    later = [word for word, start in starts.items() if start > right]
    before = draw.between(0, min(len(earlier), 2 + 1))
    after = 2 + 1 - before
    if len(later) < after:
        return None
    return ["right", *draw.some(earlier, before), *draw.some(later, after)]


def minutes(fact: Fact, end: str, hour: int) -> int:
    """One end of a length of time in minutes."""
    value = (fact.low if end == "low" else fact.high) or 0
    if fact.unit == "minute":
        return round(value)
    return round(value * DAYS_IN[fact.unit] / DAYS_IN["hour"] * hour)


def clock(minute: int, hour: int) -> str:
    """'16:05'."""
    return f"{minute // hour:02d}:{minute % hour:02d}"


def _neighbour(case: Case, fact: Fact) -> Fact | None:
    others = [
        case.bank.role(method, "fit_time")
        for method in case.bank.methods
        if method != case.method.id
    ]
    known = [one for one in others if one and one.high != fact.high]
    return case.draw.branch("neighbour").one(known) if known else None


def _offer(case: Case, word: str, start: str) -> Offer:
    if word == "right":
        return Offer(start, True, start)
    return wrong(start, start, case.named_belief(word), case.say(word))
