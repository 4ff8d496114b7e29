"""How much added hair a plan may hold."""

from collections.abc import Iterable
from math import ceil, floor

from trainer.core.advice.profile import Profile
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.rule import Rule

WISH, LIGHTER = "consult.grams_of_wish", "consult.grams_lighter"


def grams(bank: Bank, profile: Profile, rules: Iterable[Rule]) -> tuple[int, int]:
    """Least and most added hair [g] for a wish, whole grams, low <= high.

    Shares of the wish come from facts consult.grams_of_wish and consult.grams_lighter (our own
    rule: no source gives grams for a head). Where a rule about pull speaks, the lighter range;
    where only other rules speak, both together; never more than was asked for.
    """
    wished = profile.get("wanted_grams")
    wish = float(wished) if isinstance(wished, int | float) else 0.0
    topics = {rule.topic for rule in rules}
    facts = [LIGHTER] if "tension_risk" in topics else [WISH, LIGHTER] if topics else [WISH]
    low = min(bank.bound(f"{fact}/low") for fact in facts)
    high = max(bank.bound(f"{fact}/high") for fact in facts)
    return ceil(wish * low / 100), floor(wish * high / 100)
