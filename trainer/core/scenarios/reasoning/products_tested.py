"""Products, when each was tried on this skin and with what result -> which may be used now."""

from trainer.core.items.item import Draft, Offer, Sketch
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.quantity import DAYS_IN
from trainer.core.scenarios.case import Case, has_key_role, wrong
from trainer.core.scenarios.family import Recipe
from trainer.core.scenarios.wording import DAYS


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the method has a wait after a skin test that may be keyed."""
    return has_key_role(bank, method, ["lead_time"])


def work_out(case: Case) -> Sketch | None:
    """Each product needs its own test, its full time and a clear skin."""
    fact, settings = case.role("lead_time"), case.recipe.settings
    wait_hours = round((fact.high or 0) * DAYS_IN[fact.unit] / DAYS_IN["hour"])
    visit_day = case.draw.between(0, len(DAYS) - 1)
    visit_hour = case.draw.branch("visit").one(settings["hours"])
    letters = settings["letters"][: settings["shown"][case.step]]
    offers, told = [], {}
    for letter in letters:
        draw = case.draw.branch(f"product {letter}")
        kind = draw.one(settings["kinds"])
        days, hour = _when(case, letter, kind, wait_hours, visit_hour)
        on = DAYS[(visit_day - days) % len(DAYS)]
        text = case.say(kind, letter=letter, on=on, at=f"{hour:02d}:00")
        gone = days / DAYS_IN["hour"] + visit_hour - hour
        told[text] = {"hours": round(gone), "result": settings["results"][kind]}
        offers.append(_offer(case, text, kind))
    right = sum(offer.right for offer in offers)
    if right == 0 or right == len(letters):
        return None
    who = case.somebody("client")
    return Sketch(
        tuple(offers),
        lambda: Draft(
            stem=case.say("stems", on=DAYS[visit_day], at=f"{visit_hour:02d}:00", **who.words()),
            explanation=case.say("why", fact=fact),
            givens={"products": told, "wait_fact": fact.id},
            facts=(fact.id, "skin_test.before"),
            critical=fact.critical,
            features={"cues": float(len(letters)), "causes": float(right), "nearness": 1.0},
            offers=tuple(offers),
        ),
    )


def _when(case: Case, letter: str, kind: str, wait: int, visit: int) -> tuple[int, int]:
    """Days before the visit and hour of the test: in full time, or a little short of it."""
    draw, hours = case.draw.branch(f"when {letter}"), case.recipe.settings["hours"]
    day = round(1 / DAYS_IN["hour"])
    least = wait // day
    if kind == "fresh":
        later = [hour for hour in hours if hour > visit]
        late = draw.chance(0.5) and later
        return (least, draw.one(later)) if late else (draw.between(1, least - 1), draw.one(hours))
    sooner = [hour for hour in hours if hour <= visit]
    return least + draw.between(0, 1 + 2), draw.one(sooner)


def _offer(case: Case, text: str, kind: str) -> Offer:
    if kind == "clear":
        return Offer(text, True, text)
    return wrong(text, text, case.named_belief(kind), case.say(f"why_{kind}"))
