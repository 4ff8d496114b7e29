"""Pages of figures open on the method that was asked for, else on the one most practised here."""

from tests.support.people import NOW, a_person
from trainer.store import competencies
from trainer.use_cases.pick_method import pick_method


def known(person, method, n, topic=""):
    numbers = {"mean": 0.0, "sd": 1.0, "n": n, "right": n, "updated_at": NOW, "waiting_id": None}
    return {"person_id": person.id, "method": method, "topic": topic} | numbers


def test_the_most_practised_unless_another_is_asked_for(work, bank):
    boss = a_person(work, "instructor")
    learner = a_person(work, organisation=boss.organisation)
    with work.reading(boss.viewer) as unit:
        methods, chosen = pick_method(unit, bank, "")
        assert chosen == methods[0].id and len(methods) == len(bank.methods)
    rows = [known(learner, "tape_in", 3), known(learner, "micro_link", 5)]
    rows += [known(learner, "tape_in", 9, "timings"), known(a_person(work), "clip_in", 90)]
    with work.writing(learner.viewer) as unit:
        competencies.keep(unit, rows)
    with work.reading(boss.viewer) as unit:
        assert pick_method(unit, bank, "")[1] == "micro_link"
        assert pick_method(unit, bank, "tape_in")[1] == "tape_in"
        assert pick_method(unit, bank, "nonsense")[1] == "micro_link"
