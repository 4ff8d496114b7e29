"""House rules: what a salon asks beyond a record. They can hold somebody back, never let in.

Whoever the records clear is at most set back to 'supervised only' by a house rule, and the days
after a record's end in which supervised work goes on can only become fewer, as can those for which
a look at the status of a record from elsewhere is enough. House rules are about hands on hair: fit,
maintain, remove. They are the salon's own; no finding about skill stands behind their figures.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from trainer.core.knowledge.words import OBSERVED_SERVICES
from trainer.core.records.asked import Ground, Question, Reason, day_words
from trainer.core.records.requirement import end_of
from trainer.core.records.top_up import TopUp


@dataclass(frozen=True, slots=True)
class HouseRules:
    """What is asked beyond a record.

    `grace_days`: days after a record's end when supervised work is still allowed, 0 or more.
    `second_observation`: the service signed off by two different observers. `refresh_months`: a
    record not older than that many calendar months; 0 asks nothing. `supervised_clients`: that many
    clients done under supervision first, for the method and service; 0 asks nothing. `status_days`:
    for so many days a look at the status of a record from elsewhere is enough, 0 for that day
    alone; None for as long as the site says.
    """

    grace_days: int
    second_observation: bool = False
    refresh_months: int = 0
    supervised_clients: int = 0
    status_days: int | None = None

    def __post_init__(self) -> None:
        counts = (self.grace_days, self.refresh_months, self.supervised_clients)
        if min(*counts, self.status_days or 0) < 0:
            raise ValueError(f"{self} asks for less than nothing")

    @property
    def asks_more(self) -> bool:
        """Whether it can hold back somebody whom a record in force clears."""
        return bool(self.second_observation or self.refresh_months or self.supervised_clients)


@dataclass(frozen=True, slots=True)
class Backing:
    """What stands behind a standing, for one person, method and service.

    `record_from`: first day of the record that it rests on. `second_on`: the day on which a second
    observer had signed the service off. `supervised`: clients done under supervision in this house.
    `top_ups`: those asked of them here that concern the method and service, finished or not.
    """

    record_from: date | None = None
    second_on: date | None = None
    supervised: int = 0
    top_ups: tuple[TopUp, ...] = ()


def strictest(rules: Sequence[HouseRules]) -> HouseRules:
    """Put rules that hold at once into one.

    Parameters
    ----------
    rules : At least one: those of the site, of the whole house, of a method.

    Returns
    -------
    In each point the strictest of them.

    Raises
    ------
    ValueError : If there are none.
    """
    return HouseRules(
        min(one.grace_days for one in rules),
        any(one.second_observation for one in rules),
        min((one.refresh_months for one in rules if one.refresh_months), default=0),
        max(one.supervised_clients for one in rules),
        min((one.status_days for one in rules if one.status_days is not None), default=None),
    )


def held_back(question: Question, rules: HouseRules, backing: Backing) -> tuple[Reason, ...]:
    """Say which house rules set somebody back whom a record clears.

    Parameters
    ----------
    question : What is asked.
    rules : The house's.
    backing : What stands behind the standing.

    Returns
    -------
    A reason for each rule that is not met on that day; none for services without hands on hair.
    """
    found = unmet(question.service, question.on, rules, backing)
    return tuple(SAID[ground](question, rules, backing) for ground in found)


def unmet(service: str, on: date, rules: HouseRules, backing: Backing) -> tuple[Ground, ...]:
    """Tell which house rules set somebody back, without words.

    Parameters
    ----------
    service, on : What is asked.
    rules, backing : As for `held_back`.

    Returns
    -------
    The ground of each rule that is not met.
    """
    if service not in OBSERVED_SERVICES or not rules.asks_more:
        return ()
    began = backing.record_from
    old = rules.refresh_months and began and on > end_of(began, rules.refresh_months)
    seen = backing.second_on is not None and backing.second_on <= on
    lacks: dict[Ground, bool] = {
        "house_second_observation": rules.second_observation and not seen,
        "house_refresh": bool(old),
        "house_first_clients": rules.supervised_clients > backing.supervised,
    }
    return tuple(ground for ground, is_so in lacks.items() if is_so)


def _second(question: Question, _rules: HouseRules, _backing: Backing) -> Reason:
    return Reason(
        "house_second_observation",
        "The house rule asks for two different observers, and a second has not signed this off.",
        f"A second observer watches {question.person} {_do(question.service)} and signs it off.",
    )


def _refresh(_question: Question, rules: HouseRules, backing: Backing) -> Reason:
    months = f"{rules.refresh_months} {'month' if rules.refresh_months == 1 else 'months'}"
    return Reason(
        "house_refresh",
        f"The house rule asks for a record of the last {months}; this one was issued on "
        f"{day_words(backing.record_from)}.",
        "A new record: the assessment and the observed work that renewing takes.",
    )


def _first_clients(_question: Question, rules: HouseRules, backing: Backing) -> Reason:
    left = rules.supervised_clients - backing.supervised
    return Reason(
        "house_first_clients",
        f"The house rule asks for {_clients(rules.supervised_clients)} under supervision first; "
        f"{backing.supervised} {'is' if backing.supervised == 1 else 'are'} done.",
        f"{_clients(left, 'more ')} done under supervision and counted here.",
    )


SAID: Mapping[Ground, Callable[[Question, HouseRules, Backing], Reason]] = {
    "house_second_observation": _second,
    "house_refresh": _refresh,
    "house_first_clients": _first_clients,
}


def _clients(count: int, more: str = "") -> str:
    return f"{count} {more}{'client' if count == 1 else 'clients'}"


def _do(service: str) -> str:
    return {"fit": "fit it", "maintain": "maintain it", "remove": "remove it"}[service]
