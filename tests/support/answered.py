"""People of known ability and their answers, put where the store keeps them."""

from tests.support.people import NOW, a_person, an_organisation
from tests.support.plain_bank import BELIEF, METHOD
from tests.support.stored_answers import an_answer, keep_all
from trainer.store import competencies
from trainer.use_cases import see_answers

FAMILY = f"timings_choose_one.{METHOD}"


class Place:
    """An academy whose people differ in ability, and their answers as the store keeps them."""

    def __init__(self, work, method=METHOD, belief=BELIEF) -> None:
        self.work, self.method, self.belief = work, method, belief
        self.id = an_organisation(work)
        self.boss = a_person(work, "instructor", organisation=self.id)
        self.people = [a_person(work, organisation=self.id) for _ in range(9)]
        for n, someone in enumerate(self.people):
            with work.writing(someone.viewer) as unit:
                row = {
                    "person_id": someone.id,
                    "method": self.method,
                    "topic": "",
                    "mean": (n - 4) / 2,
                    "sd": 0.4,
                    "n": 10,
                    "right": 5,
                    "updated_at": NOW,
                    "waiting_id": None,
                }
                competencies.keep(unit, [row])

    def answered(self, right, content=lambda n, k: "", each=3, family=FAMILY):
        """Everybody answers `each` times: right(n, k) for person n, answer k."""
        given = [
            an_answer(
                someone.id,
                self.id,
                (family, self.method, "timings"),
                right(n, k),
                {},
                content=content(n, k),
                misconceptions=[] if right(n, k) else [self.belief],
            )
            for n, someone in enumerate(self.people)
            for k in range(each)
        ]
        with self.work.writing() as unit:
            keep_all(unit, given)

    def see(self, plain, who=None):
        with self.work.reading((who or self.boss).viewer) as unit:
            return see_answers.see(unit, plain, METHOD)
