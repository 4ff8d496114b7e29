"""Weeks as told, distance as measured -> whether growth bears the story out."""

from trainer.core.advice.growth import grown_mm
from trainer.core.items.item import Draft, Offer
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.fact import Fact
from trainer.core.knowledge.quantity import DAYS_IN
from trainer.core.scenarios.case import Case, has_key_role, wrong
from trainer.core.scenarios.family import Recipe

RATE = "hair.growth_um_per_day"
ZONES = ("fits", "longer", "shorter")


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the method is set at a usual distance from the scalp."""
    return has_key_role(bank, method, ["scalp_distance"])


def work_out(case: Case) -> Draft | None:
    """Growth between its slowest and its fastest, from where such attachments are placed."""
    settings, placed, rate = (
        case.recipe.settings,
        case.role("scalp_distance"),
        case.bank.facts[RATE],
    )
    zone = case.draw.one(ZONES)
    weeks = case.draw.between(*settings["weeks"])
    least, most = _span(placed, rate, weeks)
    apart = case.draw.branch("apart").between(*settings["apart_mm"])
    measured = {
        "fits": round(least + (most - least) * case.draw.branch("at").one(settings["inside"])),
        "longer": round(most) + apart,
        "shorter": round(least) - apart,
    }[zone]
    if measured < (placed.high or 0):
        return None
    who = case.somebody("client")
    told = {"weeks": weeks, "measured": measured}
    meanings = {case.say(one, **who.words()): one for one in (*ZONES, "nothing")}
    return Draft(
        stem=case.say("stems", **told, **who.words()),
        explanation=case.say(
            f"why_{zone}", least=round(least), most=round(most), placed=placed, rate=rate, **told
        ),
        givens={
            "weeks_told": weeks,
            "measured_mm": measured,
            "placed_fact": placed.id,
            "rate_fact": RATE,
            "meanings": meanings,
        },
        facts=(RATE, placed.id),
        critical=False,
        features={"steps": 2.0, "nearness": 1 / max(1, apart)},
        offers=tuple(
            _offer(case, other, zone, text, {"least": round(least), "most": round(most)})
            for text, other in meanings.items()
        ),
    )


def _span(placed: Fact, rate: Fact, weeks: int) -> tuple[float, float]:
    """Least and most distance [mm] after weeks: closest with slowest, furthest with fastest."""
    days = weeks * DAYS_IN["week"]
    least = (placed.low or 0) + grown_mm(days, rate.low or 0)
    most = (placed.high or 0) + grown_mm(days, rate.high or 0)
    return least, most


def _offer(case: Case, other: str, zone: str, text: str, words: dict[str, int]) -> Offer:
    if other == zone:
        return Offer(text, True, other)
    note = "reckon_nothing" if other == "nothing" else "reckon"
    return wrong(text, other, case.named_belief(other), case.say(note, **words))
