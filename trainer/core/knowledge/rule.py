"""Conditions on a client profile that lead to a verdict."""

from typing import Literal

from pydantic.dataclasses import dataclass

from trainer.core.knowledge.profile_sheet import Condition
from trainer.core.knowledge.sheet import SHEET
from trainer.core.knowledge.words import Service, Topic, Verdict

ReferTo = Literal["doctor", "pharmacist", "treating_team", "prescriber", "parent"]
"""Whose word is needed before the work goes on."""


@dataclass(frozen=True, slots=True, config=SHEET)
class Wait:
    """Until when: days counted from an event in the profile.

    `attribute` holds the days since the event; `fact` is the id of the fact whose `end`
    ('low' or 'high', in days or weeks) says how long the wait is.
    """

    attribute: str
    fact: str
    end: str = "high"


@dataclass(frozen=True, slots=True, config=SHEET)
class Rule:
    """When every condition in `when` holds (and none in `unless`), the verdict applies.

    `methods` lists method ids, or is ('bonded',) or ('all',). `statement` is said to the
    stylist; `do` is what to do now; `change` is what would change the verdict. `facts` are
    what it rests on. `mirrors` names misconceptions that this rule answers. `refer_to`: whose word
    is needed, where it is somebody's.
    """

    id: str
    methods: tuple[str, ...]
    verdict: Verdict
    topic: Topic
    when: tuple[Condition, ...]
    statement: str
    do: str
    change: str
    facts: tuple[str, ...]
    critical: bool
    unless: tuple[Condition, ...] = ()
    service: Service = "fit"
    wait: Wait | None = None
    refer_to: ReferTo | None = None
    mirrors: tuple[str, ...] = ()
