"""What the managers of the demo's salons have set: who works when, the house rules, an offer."""

from collections.abc import Mapping
from datetime import datetime, timedelta

from trainer.core.knowledge.bank import Bank
from trainer.core.records.house_rules import HouseRules
from trainer.use_cases import offer_membership
from trainer.use_cases.demo_cast import MANAGERS, SITE, WORKS, Player, address_of
from trainer.use_cases.keep_house_rules import set_rules
from trainer.use_cases.keep_working_days import set_days
from trainer.use_cases.offer_membership import Wanted
from trainer.use_cases.work import Viewer, Work

SET = timedelta(days=25)
RULES: tuple[tuple[tuple[str, HouseRules], ...], ...] = (
    (
        ("", HouseRules(14, status_days=7)),
        ("sewn_weft", HouseRules(SITE.grace_days, second_observation=True)),
    ),
    (("", HouseRules(SITE.grace_days, refresh_months=9)),),
)
"""Of each salon: method ('' for all) and rules. They set one stylist back, and say why."""

ASKED, ASKS = "Mina Torvald", 0
"""Who is asked to join as well, and by which salon; she has not answered."""
WAITS = timedelta(days=14)


def settle(
    work: Work,
    bank: Bank,
    salons: tuple[str, ...],
    ids: Mapping[str, str],
    team: tuple[Player, ...],
    now: datetime,
) -> None:
    """Set days and rules in every salon; `ids`: of people by their names."""
    for manager in MANAGERS:
        salon = salons[manager.salon]
        viewer = Viewer(ids[manager.name], salon, frozenset(manager.roles))
        here = [one.name for one in team if one.salon == manager.salon]
        with work.writing(viewer) as unit:
            set_days(unit, {ids[name]: WORKS[name] for name in here if name in WORKS})
            for method, rules in RULES[manager.salon]:
                set_rules(unit, bank, method, rules, SITE, now - SET)
            if manager.salon == ASKS:
                wanted = Wanted(ASKED, address_of(ASKED), ["apprentice"])
                offer_membership.offer(unit, wanted, WAITS, now - timedelta(days=1))
