"""What a salon asks beyond a record: read it, set it, see what was set before."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from trainer.core.knowledge.bank import Bank
from trainer.core.records.house_rules import HouseRules, strictest
from trainer.store import house_rules, people, team_summaries
from trainer.store.house_rules import WHOLE_HOUSE, HouseRuleRow
from trainer.store.statements import Found
from trainer.store.unit import Unit
from trainer.use_cases.keep_log import log
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.roles import ASKERS, SETTERS

MOST_MONTHS = 60
MOST_CLIENTS = 50


@dataclass(frozen=True)
class SetRules:
    """Rules as they were set for a method ('' for all): by whom and when."""

    method: str
    rules: HouseRules
    in_force: bool
    by: str
    at: datetime


def rules_here(unit: Unit, bank: Bank, grace_days: int) -> Mapping[str, HouseRules]:
    """Method -> what the viewer's house asks beyond a record, in one statement.

    `grace_days`: the site's own; a house can only shorten it.
    """
    usual = HouseRules(grace_days)
    kept = {row.method: _rules(row, usual) for row in house_rules.in_force(unit)}
    whole = kept.get(WHOLE_HOUSE, usual)
    return {
        method: strictest([usual, whole, kept[method]]) if method in kept else whole
        for method in bank.methods
    }


def status_days_here(unit: Unit) -> Callable[[str], int | None]:
    """Method -> for how many days a look at a status is enough in the house; None: as the site."""
    kept = {row.method: row.status_days for row in house_rules.in_force(unit)}

    def days(method: str) -> int | None:
        said = (kept.get(one) for one in (WHOLE_HOUSE, method))
        return min((one for one in said if one is not None), default=None)

    return days


def set_here(unit: Unit, site: HouseRules) -> Sequence[SetRules]:
    """What is set now, the whole house first, then each method that has its own."""
    unit.viewer.must_be(*ASKERS)
    return _told(unit, house_rules.in_force(unit), site)


def history(unit: Unit, site: HouseRules, most: int = 50) -> Sequence[SetRules]:
    """What was set, newest first."""
    unit.viewer.must_be(*ASKERS)
    return _told(unit, house_rules.history(unit, most), site)


def set_rules(
    unit: Unit, bank: Bank, method: str, rules: HouseRules, site: HouseRules, now: datetime
) -> None:
    """Put rules in force for a method, or for all of them with ''; kept with history, and logged.

    Raises Forbidden, InputProblem naming the field where a rule would be looser than the site's.
    """
    unit.viewer.must_be(*SETTERS)
    _check(bank, method, rules, site)
    row = HouseRuleRow(
        organisation_id=unit.viewer.organisation_id,
        method=method,
        grace_days=None if rules.grace_days == site.grace_days else rules.grace_days,
        second_observation=rules.second_observation,
        refresh_months=rules.refresh_months,
        supervised_clients=rules.supervised_clients,
        status_days=None if rules.status_days == site.status_days else rules.status_days,
        in_force=True,
        set_by=unit.viewer.person_id,
        set_at=now,
    )
    house_rules.keep(unit, row)
    team_summaries.forget(unit)
    said = {
        "method": method,
        "grace_days": rules.grace_days,
        "second_observation": rules.second_observation,
        "refresh_months": rules.refresh_months,
        "supervised_clients": rules.supervised_clients,
        "status_days": rules.status_days,
    }
    log(unit, "house_rules.set", said, now)


def _check(bank: Bank, method: str, rules: HouseRules, site: HouseRules) -> None:
    if method != WHOLE_HOUSE and method not in bank.methods:
        raise InputProblem("This method is not known", "method", "Choose one of the list.")
    _no_looser("grace_days", rules.grace_days, site.grace_days)
    _no_looser("status_days", rules.status_days, site.status_days)
    if rules.refresh_months > MOST_MONTHS:
        raise InputProblem(
            "That is longer than records hold", "refresh_months", f"Give up to {MOST_MONTHS}."
        )
    if rules.supervised_clients > MOST_CLIENTS:
        raise InputProblem("That is too many", "supervised_clients", f"Give up to {MOST_CLIENTS}.")


def _no_looser(name: str, days: int | None, most: int | None) -> None:
    if days is not None and most is not None and days > most:
        raise InputProblem("A house rule can only be stricter", name, f"Give {most} days or fewer.")


def _told(unit: Unit, rows: Sequence[Found], site: HouseRules) -> Sequence[SetRules]:
    names = {one: people.person(unit, one).name for one in {row.set_by for row in rows}}
    return [
        SetRules(row.method, _rules(row, site), row.in_force, names[row.set_by], row.set_at)
        for row in rows
    ]


def _rules(row: Found, site: HouseRules) -> HouseRules:
    """The rules of a row; days that it does not name are the site's, and never more than these."""
    own = HouseRules(
        site.grace_days if row.grace_days is None else row.grace_days,
        row.second_observation,
        row.refresh_months,
        row.supervised_clients,
        row.status_days,
    )
    return strictest([own, site])
