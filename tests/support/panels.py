"""Panels that rate through the use cases, as far as a test needs them."""

from tests.support.people import NOW, Someone, a_person, an_organisation
from tests.support.plain_bank import METHOD
from trainer.store import standards
from trainer.use_cases import set_standard
from trainer.use_cases.work import Work

LEANING = (7, 8, 6)
"""How many of ten each rater tends to say."""


class APanel:
    """An academy with raters and an administrator, and a panel on the plain method."""

    def __init__(self, work: Work, bank, raters: int = 2, method: str = METHOD) -> None:
        self.work, self.bank, self.method = work, bank, method
        self.organisation = an_organisation(work)
        self.raters = [
            a_person(work, "instructor", organisation=self.organisation, name=f"Rater {n}")
            for n in range(1, raters + 1)
        ]
        self.boss = a_person(
            work, "administrator", organisation=self.organisation, name="Ada Morrow"
        )
        self.id = self.open()

    def open(self, by: Someone | None = None) -> str:
        by = by or self.raters[0]
        prepared = set_standard.prepare(self.bank, self.method)
        with self.work.writing(by.viewer) as unit:
            return set_standard.open_panel(unit, self.bank, prepared, NOW)

    def questions(self) -> int:
        with self.work.reading(self.boss.viewer) as unit:
            return len(standards.items(unit, self.id))

    def rate(self, rater: Someone, said, now=NOW) -> None:
        """`said(position)` of ten, for every question."""
        with self.work.writing(rater.viewer) as unit:
            for position in range(1, len(standards.items(unit, self.id)) + 1):
                set_standard.rate(unit, self.id, position, said(position), now)

    def rate_all(self, shift: int = 0) -> None:
        """Everybody rates, each with a leaning of their own."""
        for n, rater in enumerate(self.raters):
            self.rate(rater, lambda place, n=n: min(10, LEANING[n % 3] + shift + place % 3 - 1))

    def end_round(self) -> None:
        with self.work.writing(self.raters[0].viewer) as unit:
            set_standard.end_round(unit, self.id, NOW)

    def both_rounds(self, shift: int = 0) -> None:
        for _ in range(2):
            self.rate_all(shift)
            self.end_round()

    def propose(self, by: Someone | None = None) -> None:
        with self.work.writing((by or self.raters[0]).viewer) as unit:
            set_standard.propose(unit, self.bank, self.id, NOW)

    def adopt(self, by: Someone | None = None, now=NOW) -> None:
        with self.work.writing((by or self.boss).viewer) as unit:
            set_standard.adopt(unit, self.bank, self.id, now)

    def adopted(self, shift: int = 0) -> None:
        self.both_rounds(shift)
        self.propose()
        self.adopt()
