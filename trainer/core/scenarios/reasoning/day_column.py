"""Gaps in a week's book -> the one that takes the fitting and the clearing up."""

from trainer.core.items.item import Draft, Offer
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.case import Case, has_key_role, wrong
from trainer.core.scenarios.family import Recipe
from trainer.core.scenarios.reasoning.latest_start import clock, minutes
from trainer.core.scenarios.wording import DAYS


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the time to fit is known and may be keyed."""
    return has_key_role(bank, method, ["fit_time"])


def work_out(case: Case) -> Draft | None:
    """The shortest gap that holds the longest usual time and the tidying; others hold slips."""
    fact, settings = case.role("fit_time"), case.recipe.settings
    hour = settings["minutes_in_hour"]
    tidy = case.draw.branch("tidy").one(settings["tidy_minutes"])
    low, high = (minutes(fact, end, hour) for end in ("low", "high"))
    lengths = _lengths(case, low, high, tidy)
    if max(lengths["shortest"], lengths["no_tidying"]) >= high + tidy:
        return None
    days = case.draw.branch("days").some(DAYS[1:-1], len(lengths))
    gaps = {word: _gap(case, word, long) for word, long in lengths.items()}
    if any(gap is None for gap in gaps.values()):
        return None
    texts = {w: f"{d}, {g}" for d, (w, g) in zip(days, gaps.items(), strict=True)}
    who = case.somebody("client")
    return Draft(
        stem=case.say("stems", tidy=tidy, **who.words()),
        explanation=case.say("why", fact=fact, tidy=tidy, gap=texts["right"]),
        givens={
            "gaps": {texts[word]: lengths[word] for word in lengths},
            "tidy_minutes": tidy,
            "time_fact": fact.id,
        },
        facts=(fact.id,),
        critical=False,
        features={"steps": 2.0, "closeness": float(high - low) / hour},
        offers=tuple(_offer(case, word, text) for word, text in texts.items()),
    )


def _lengths(case: Case, low: int, high: int, tidy: int) -> dict[str, int]:
    """How long the gaps are [min]: what the fitting needs and a little more, and slips."""
    settings, draw = case.recipe.settings, case.draw.branch("lengths")
    step, near = settings["step"], settings["near_steps"]
    right = high + tidy + draw.between(0, settings["spare_steps"]) * step
    return {
        "right": right,
        "shortest": low + tidy + draw.between(0, near) * step,
        "no_tidying": high + draw.between(0, tidy // step - 1) * step,
        "too_long": right + (settings["longer_steps"] + draw.between(0, near)) * step,
    }


def _gap(case: Case, word: str, long: int) -> str | None:
    """'10:15 to 12:30', within the day."""
    settings = case.recipe.settings
    hour, opens, closes = (settings[k] for k in ("minutes_in_hour", "opens", "closes"))
    last = (closes - long) // settings["step"]
    first = opens // settings["step"]
    if last < first:
        return None
    start = case.draw.branch(f"start {word}").between(first, last) * settings["step"]
    return f"{clock(start, hour)} to {clock(start + long, hour)}"


def _offer(case: Case, word: str, text: str) -> Offer:
    if word == "right":
        return Offer(text, True, text)
    return wrong(text, text, case.named_belief(word), case.say(word))
