"""An assessment from start to decision: no answer lost, none given away, time is the server's."""

from collections import Counter
from dataclasses import replace
from datetime import timedelta

import pytest

from tests.support.admitted import begun
from tests.support.people import NOW, a_person
from tests.support.plain_bank import BELIEF, METHOD, REASON, TEMPTS, answer_to, plain_bank
from trainer.core.marking.accommodation import NONE_NEEDED, Accommodation
from trainer.core.measurement.decision import decide
from trainer.store import competencies, events, practice, sittings
from trainer.use_cases import finish_sitting, see_result, sit_assessment
from trainer.use_cases.keep_log import check_log
from trainer.use_cases.refusals import InputProblem, NotFound

SOON = NOW + timedelta(minutes=10)
DAYS = 7


@pytest.fixture
def plain():
    return plain_bank()


class Sitter:
    """Somebody who sits the assessment of the plain method."""

    def __init__(self, work, bank, now=NOW, someone=None, granted=NONE_NEEDED):
        self.work, self.bank, self.granted = work, bank, granted
        self.someone = someone or a_person(work)
        self.id = self.open(now)

    def open(self, now):
        return begun(
            self.work, self.bank, self.someone, METHOD, now=now, granted=self.granted, days=DAYS
        )

    def items(self, phase="main"):
        with self.work.reading(self.someone.viewer) as unit:
            return [row for row in sittings.items(unit, self.id) if row.phase == phase]

    def save(self, row, right=True, submission="", now=SOON):
        sent = answer_to(row.kept, right)
        with self.work.writing(self.someone.viewer) as unit:
            sit_assessment.save_answer(
                unit, self.id, row.position, sent, submission or f"s{row.position}", now
            )

    def answer_all(self, right=lambda row: True, phase="main", now=SOON):
        for row in self.items(phase):
            self.save(row, right(row), f"{phase}{row.position}", now)

    def finish(self, now=SOON):
        with self.work.writing(self.someone.viewer) as unit:
            return finish_sitting.finish(unit, self.bank, self.id, now)

    def page(self, number=None, now=SOON):
        with self.work.reading(self.someone.viewer) as unit:
            return sit_assessment.page(unit, self.id, number, now)


def decisions(unit):
    return sum(event.kind == "sitting.decided" for event in events.all_in_order(unit))


def critical(row):
    return row.kept["critical"]


def test_a_form_is_what_its_blueprint_asks_for(work, plain):
    sitter = Sitter(work, plain)
    topics = Counter(row.kept["topic"] for row in sitter.items())
    main = {"contraindications": 12, "removal_safety": 10, "tension_risk": 10, "timings": 4}
    assert {topic: topics[topic] for topic in main} == main
    assert sum(topics.values()) == 40
    assert sum(map(critical, sitter.items())) >= 12
    stems = [row.kept["stem"] for row in sitter.items()]
    assert len(set(stems)) == 40


def test_all_right_passes_at_once(work, plain):
    sitter = Sitter(work, plain)
    sitter.answer_all()
    done = sitter.finish()
    assert (done.state, done.passed, done.score, done.most, done.cut) == ("done", True, 40, 40, 30)
    assert done.confidence > 0.95
    with work.reading(sitter.someone.viewer) as unit:
        assert sittings.passed(unit, sitter.someone.id, METHOD).id == sitter.id
        assert decisions(unit) == 1
        assert check_log(unit)[1] == []
        known = {row.topic: row.n for row in competencies.of_person(unit, sitter.someone.id)}
        assert known[""] == 40


def test_an_answer_may_change_until_the_end_and_a_repeat_does_not(work, plain):
    sitter = Sitter(work, plain)
    row = sitter.items()[0]
    sitter.save(row, right=False, submission="one")
    sitter.save(row, right=True, submission="two")
    sitter.save(row, right=False, submission="one")
    page = sitter.page(1)
    assert page.here.answered
    with work.reading(sitter.someone.viewer) as unit:
        assert (
            finish_sitting.type_of(finish_sitting.from_kept(row.kept))
            .mark(finish_sitting.from_kept(row.kept), sittings.item(unit, sitter.id, 1).answer)
            .score
            == 1.0
        )


def test_it_goes_on_where_it_was(work, plain):
    sitter = Sitter(work, plain)
    for row in sitter.items()[:3]:
        sitter.save(row)
    assert sitter.page().here.number == 4
    assert sitter.open(SOON) == sitter.id
    assert sitter.page().seconds_left == 50 * 60


def test_a_critical_error_brings_fresh_questions_and_right_answers_settle_it(work, plain):
    sitter = Sitter(work, plain)
    wrong = next(row for row in sitter.items() if critical(row))
    sitter.answer_all(lambda row: row.position != wrong.position)
    assert sitter.finish().state == "confirm"
    fresh = sitter.items("confirm")
    assert [row.family for row in fresh] == [wrong.family] * 4
    assert wrong.kept["stem"] not in [row.kept["stem"] for row in fresh]
    sitter.answer_all(phase="confirm")
    done = sitter.finish()
    assert done.passed and done.score == 39
    assert done.outcome["critical_errors"] == 1 and done.outcome["unresolved"] == 0


def test_an_unsettled_critical_error_stops_it_whatever_the_score(work, plain):
    sitter = Sitter(work, plain)
    wrong = next(row for row in sitter.items() if critical(row))
    sitter.answer_all(lambda row: row.position != wrong.position)
    sitter.finish()
    fresh = [row.position for row in sitter.items("confirm")]
    sitter.answer_all(lambda row: row.position == fresh[0], phase="confirm")
    done = sitter.finish()
    assert (done.passed, done.score) == (False, 39)
    assert done.outcome["topics"] == [wrong.kept["topic"]]
    with work.reading(sitter.someone.viewer) as unit:
        assert sittings.passed(unit, sitter.someone.id, METHOD) is None


def test_two_right_of_the_fresh_ones_settle_it(work, plain):
    sitter = Sitter(work, plain)
    wrong = next(row for row in sitter.items() if critical(row))
    sitter.answer_all(lambda row: row.position != wrong.position)
    sitter.finish()
    fresh = [row.position for row in sitter.items("confirm")]
    sitter.answer_all(lambda row: row.position in fresh[:2], phase="confirm")
    assert sitter.finish().passed


def test_the_main_part_is_closed_once_the_fresh_one_is_open(work, plain):
    sitter = Sitter(work, plain)
    sitter.answer_all(lambda row: not critical(row))
    sitter.finish()
    with pytest.raises(InputProblem, match="not kept"):
        sitter.save(sitter.items()[0], submission="late")


def test_the_result_is_drawn_as_the_decision_was_reckoned(work, plain):
    sitter = Sitter(work, plain)
    sitter.answer_all()
    sitter.finish()
    with work.reading(sitter.someone.viewer) as unit:
        row, reviewed = finish_sitting.review(unit, sitter.id)
    found = see_result.against_cut(plain, row, reviewed)
    assert found.standard < found.low < found.mid <= found.high
    decision = decide(
        tuple(one.answered.right for one in reviewed),
        tuple(one.difficulty for one in reviewed),
        row.cut / row.most,
        0,
    )
    assert decision.confidence == pytest.approx(row.confidence)
    gone = [replace(one, withdrawn=True) for one in reviewed]
    assert see_result.against_cut(plain, row, gone) is None


def test_finishing_twice_changes_nothing(work, plain):
    sitter = Sitter(work, plain)
    sitter.answer_all()
    first, second = sitter.finish(), sitter.finish(SOON + timedelta(days=1))
    assert first.finished_at == second.finished_at
    with work.reading(sitter.someone.viewer) as unit:
        assert decisions(unit) == 1


def test_time_is_the_servers_with_a_little_grace(work, plain):
    sitter = Sitter(work, plain)
    end = NOW + timedelta(minutes=60)
    first, second = sitter.items()[:2]
    sitter.save(first, now=end + timedelta(seconds=20))
    with pytest.raises(InputProblem, match="not kept"):
        sitter.save(second, now=end + timedelta(seconds=40))
    with work.reading(sitter.someone.viewer) as unit:
        assert sit_assessment.state_of(unit, sitter.id, end) == "open"
        late = end + timedelta(minutes=1)
        assert sit_assessment.state_of(unit, sitter.id, late) == "lapsed"
    done = sitter.finish(late)
    assert (done.passed, done.score, done.outcome["open"]) == (False, 1, 39)


def test_the_next_sitting_waits_and_has_new_questions(work, plain):
    sitter = Sitter(work, plain)
    before = {row.kept["stem"] for row in sitter.items()}
    sitter.finish()
    with pytest.raises(InputProblem, match="waiting time is not over"):
        sitter.open(SOON + timedelta(days=6))
    with work.reading(sitter.someone.viewer) as unit:
        offer = sit_assessment.offer(unit, plain, METHOD, DAYS, SOON)
    assert offer.from_when == SOON + timedelta(days=7)
    again = Sitter(work, plain, SOON + timedelta(days=7), sitter.someone)
    assert again.id != sitter.id
    assert len(before & {row.kept["stem"] for row in again.items()}) < 10


def test_what_was_granted_lengthens_the_time(work, plain):
    sitter = Sitter(work, plain, granted=Accommodation(50))
    assert sitter.page(now=NOW).seconds_left == 90 * 60


def test_nothing_is_given_away_before_the_decision(work, plain):
    sitter = Sitter(work, plain)
    for number in range(1, 41):
        said = repr(sitter.page(number))
        for secret in (REASON, BELIEF, TEMPTS, "'key'", "explanation"):
            assert secret not in said
    with work.reading(sitter.someone.viewer) as unit, pytest.raises(NotFound):
        finish_sitting.review(unit, sitter.id)
    sitter.answer_all()
    sitter.finish()
    with work.reading(sitter.someone.viewer) as unit:
        _, reviewed = finish_sitting.review(unit, sitter.id)
    assert len(reviewed) == 40
    assert finish_sitting.explain(plain, reviewed[0]).why == REASON


def test_a_sitting_belongs_to_its_person(work, plain):
    sitter, other = Sitter(work, plain), a_person(work)
    row = sitter.items()[0]
    with work.writing(other.viewer) as unit:
        for act in (
            lambda: sit_assessment.page(unit, sitter.id, 1, SOON),
            lambda: finish_sitting.finish(unit, plain, sitter.id, SOON),
            lambda: sit_assessment.flag(unit, sitter.id, 1, True, SOON),
            lambda: sit_assessment.save_answer(unit, sitter.id, 1, answer_to(row.kept), "x", SOON),
        ):
            with pytest.raises(NotFound):
                act()


def test_wrong_ideas_are_kept_for_those_who_teach(work, plain):
    sitter = Sitter(work, plain)
    sitter.answer_all(lambda row: row.kept["type"] != "choose_all")
    sitter.finish()
    with work.reading(sitter.someone.viewer) as unit:
        ideas = practice.wrong_ideas(unit, [sitter.someone.id])
    assert ideas and all(idea.times >= 1 for idea in ideas)


def test_too_few_questions_close_the_assessment_and_say_which(work, plain):
    only = {name: model for name, model in plain.item_models.items() if "removal" not in name}
    poor = plain_bank("poor")
    object.__setattr__(poor, "item_models", only)
    someone = a_person(work)
    with work.reading(someone.viewer) as unit:
        offer = sit_assessment.offer(unit, poor, METHOD, DAYS, NOW)
    assert "removal safety" in offer.unmet[0]
    with pytest.raises(InputProblem, match="removal safety"):
        sit_assessment.prepare(poor, METHOD)
