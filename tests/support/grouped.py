"""Many people who answered some of a method's questions, written straight into the store."""

from dataclasses import dataclass, field

import numpy as np
from sqlalchemy import insert

from tests.support.chance import many
from tests.support.people import NOW, Someone, a_person, an_organisation
from tests.support.stored_answers import an_answer, keep_all
from trainer.store.base import new_id
from trainer.store.competencies import CompetencyRow
from trainer.store.people import GroupMemberRow, GroupRow, MembershipRow, PersonRow
from trainer.use_cases.work import Work

KEPT = {"level": "working"}
SIZE = 1.8
"""How much harder a planted question is for the group [logits]: far more than slight."""


@dataclass
class Academy:
    """People of one academy, the first half of them in a group of their own.

    `planted`: family -> how much harder it is for that group [logits].
    """

    work: Work
    method: str
    families: tuple[str, ...]
    planted: dict[str, float] = field(default_factory=dict)
    name: str = ""
    group: str = ""

    def __post_init__(self) -> None:
        self.id = an_organisation(self.work, self.name)
        self.boss: Someone = a_person(self.work, "instructor", organisation=self.id)
        self.group_id = new_id()
        with self.work.writing() as unit:
            unit.session.add(
                GroupRow(id=self.group_id, organisation_id=self.id, name=self.group or "Evening")
            )

    def join(self, count: int, each: int, seed: int = 1, group=lambda n: n % 2 == 0) -> list[str]:
        """`count` people join, `group(n)` into the group; each answers `each` questions once."""
        chance = many(seed)
        names = [new_id() for _ in range(count)]
        inside = np.array([group(n) for n in range(count)])
        theta = chance.normal(size=count) - 0.5 * inside
        of = np.array([chance.permutation(len(self.families))[:each] for _ in range(count)])
        hard = np.array([self.planted.get(one, 0.0) for one in self.families])
        easy = np.linspace(-1, 1, len(self.families))
        at = theta[:, None] - easy[of] - hard[of] * inside[:, None]
        right = chance.random(of.shape) < 0.2 + 0.8 / (1 + np.exp(-at))
        answers = [
            an_answer(person, self.id, (self.families[f], self.method, "timings"), mark, KEPT)
            for person, some, marks in zip(names, of.tolist(), right.tolist(), strict=True)
            for f, mark in zip(some, marks, strict=True)
        ]
        with self.work.writing() as unit:
            self._join(unit, names, inside)
            keep_all(unit, answers)
        return names

    def _join(self, unit, names, inside):
        member = {"organisation_id": self.id, "roles": ["apprentice"], "since": NOW}
        ours = [one for one, there in zip(names, inside, strict=True) if there]
        named = [{"id": one, "name": one, "email": one, "created_at": NOW} for one in names]
        for table, rows in (
            (PersonRow, named),
            (MembershipRow, [member | {"person_id": one} for one in names]),
            (GroupMemberRow, [{"group_id": self.group_id, "person_id": one} for one in ours]),
            (CompetencyRow, [self._known(one) for one in names]),
        ):
            if rows:
                unit.session.execute(insert(table), rows)

    def _known(self, person):
        known = {"person_id": person, "method": self.method, "topic": "", "mean": 0.0, "sd": 0.5}
        return known | {"n": 1, "right": 1, "updated_at": NOW, "waiting_id": None}
