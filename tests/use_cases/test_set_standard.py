"""From an opened panel to an adopted standard: who may, what is kept, what it changes."""

from collections import Counter
from datetime import timedelta

import numpy as np
import pytest

from tests.support.admitted import begun
from tests.support.panels import APanel
from tests.support.people import NOW, a_person
from tests.support.plain_bank import METHOD, plain_bank
from tests.support.practised import answer
from trainer.core.draw import Draw
from trainer.core.items.codec import from_kept
from trainer.core.measurement.decision import parameters
from trainer.core.measurement.response_model import expected_score, information, probability
from trainer.core.scenarios.generate import generate
from trainer.store import events, sittings, standards
from trainer.use_cases import (
    draw_form,
    finish_sitting,
    refresh_record,
    see_competency,
    see_standard,
    set_standard,
    sit_assessment,
)
from trainer.use_cases.keep_log import check_log
from trainer.use_cases.know_difficulty import difficulty_of
from trainer.use_cases.know_standard import cut_of_the_rest
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound
from trainer.use_cases.weigh_ratings import difficulties


@pytest.fixture(scope="module")
def plain():
    return plain_bank()


@pytest.fixture
def panel(work, plain):
    return APanel(work, plain)


def kinds(work, viewer):
    with work.reading(viewer) as unit:
        assert check_log(unit)[1] == []
        return Counter(event.kind for event in events.all_in_order(unit))


def items(panel):
    with panel.work.reading(panel.boss.viewer) as unit:
        return standards.items(unit, panel.id)


def test_a_panel_asks_about_families_in_the_blueprint_s_proportions(panel):
    rows = items(panel)
    topics = Counter(row.kept["topic"] for row in rows)
    assert len(rows) == len({row.family for row in rows}) > 15
    assert topics["contraindications"] >= topics["removal_safety"] >= topics["timings"] >= 1
    assert all(row.a > 0 and row.b_sd > 0 for row in rows)


def test_one_panel_a_method_at_a_time(panel):
    assert panel.open() == panel.id
    assert kinds(panel.work, panel.boss.viewer)["panel.opened"] == 1
    with panel.work.writing(panel.raters[1].viewer) as unit:
        set_standard.drop(unit, panel.id, NOW)
        set_standard.drop(unit, panel.id, NOW)
    assert panel.open() != panel.id
    assert kinds(panel.work, panel.boss.viewer)["panel.dropped"] == 1


def test_a_rating_may_change_until_the_round_ends(panel):
    one = panel.raters[0]
    for said in (3, 9):
        with panel.work.writing(one.viewer) as unit:
            set_standard.rate(unit, panel.id, 1, said, NOW)
    with panel.work.reading(one.viewer) as unit:
        assert see_standard.ask(unit, panel.id, 1).said == 9
        assert see_standard.first_open(unit, panel.id) == 2
        assert see_standard.see_panel(unit, panel.id).mine == 1


@pytest.mark.parametrize("said", [None, -1, 11])
def test_no_rating_is_refused(panel, said):
    with panel.work.writing(panel.raters[0].viewer) as unit, pytest.raises(InputProblem) as caught:
        set_standard.rate(unit, panel.id, 1, said, NOW)
    assert caught.value.where == "rating"


def test_a_round_needs_two_who_have_rated_everything(panel):
    panel.rate(panel.raters[0], lambda place: 7)
    with panel.work.writing(panel.raters[1].viewer) as unit:
        set_standard.rate(unit, panel.id, 1, 5, NOW)
    with pytest.raises(InputProblem, match="Two instructors"):
        panel.end_round()
    panel.rate(panel.raters[1], lambda place: 6)
    panel.end_round()
    with panel.work.reading(panel.boss.viewer) as unit:
        assert standards.panel(unit, panel.id).state == "second"


def test_nobody_sees_the_others_ratings_before_the_first_round_is_over(work, plain):
    panel = APanel(work, plain, raters=3)
    panel.rate_all()
    with work.reading(panel.raters[0].viewer) as unit:
        asked = see_standard.ask(unit, panel.id, 1)
    assert asked.others == () and asked.before is None
    panel.end_round()
    with work.reading(panel.raters[0].viewer) as unit:
        asked = see_standard.ask(unit, panel.id, 1)
    assert asked.before == 7 and asked.others == (6, 8) and asked.said is None


def test_between_the_rounds_they_see_how_people_did(work, plain):
    panel = APanel(work, plain)
    learner = a_person(work, organisation=panel.organisation)
    for right in (True, True, False):
        answer(work, plain, learner, right)
    panel.rate_all()
    panel.end_round()
    counted = [(row.answered, row.right) for row in items(panel)]
    shown = [one for one in counted if one != (0, 0)]
    assert all(row.answered >= row.right for row in items(panel))
    with work.reading(panel.boss.viewer) as unit:
        families = [row.family for row in items(panel)]
        assert standards.counted(unit, families, NOW + timedelta(days=1)) == {}
        whole = standards.counted(unit, families, NOW - timedelta(days=1))
    assert sorted(whole.values()) == sorted(shown)


def test_the_second_round_is_for_those_who_finished_the_first(work, plain):
    panel = APanel(work, plain, raters=3)
    for rater in panel.raters[:2]:
        panel.rate(rater, lambda place: 6)
    panel.end_round()
    with work.writing(panel.raters[2].viewer) as unit, pytest.raises(Forbidden, match="first"):
        set_standard.rate(unit, panel.id, 1, 5, NOW)
    with work.reading(panel.raters[2].viewer) as unit, pytest.raises(Forbidden):
        see_standard.ask(unit, panel.id, 1)


def test_what_comes_of_it(panel, plain):
    panel.both_rounds()
    with panel.work.reading(panel.raters[0].viewer) as unit:
        found = see_standard.result(unit, plain, panel.id)
    rows = items(panel)
    assert found.cut / found.items == pytest.approx(0.75, abs=0.02)
    assert found.se == pytest.approx(0.5 * 40 / 10, abs=0.05)
    slopes = parameters(difficulties(rows))
    score = expected_score(found.weighed.cut.ability, *slopes)
    assert score == pytest.approx(found.weighed.round.cut)
    assert [one.is_me for one in found.judges].count(True) == 1
    assert sum(one.stricter for one in found.judges) == pytest.approx(0)
    quality = found.weighed.quality
    assert quality.items == 40 and 0.5 < quality.shares.accuracy < 1
    assert quality.estimate_accuracy == pytest.approx(quality.shares.accuracy, abs=0.06)
    p = probability(np.array([found.weighed.cut.ability]), *slopes)[0]
    assert quality.error_at_cut == pytest.approx(np.sqrt(40 * (p * (1 - p)).mean()), rel=0.05)
    assert not quality.of_sitters and quality.shares.marginal == pytest.approx(0.5, abs=0.1)
    assert found.steps[found.place].cut == found.needed == round(found.cut)
    assert found.steps[0].people == 0


def test_the_result_waits_for_both_rounds(panel, plain):
    panel.rate_all()
    panel.end_round()
    with panel.work.reading(panel.raters[0].viewer) as unit, pytest.raises(NotFound):
        see_standard.result(unit, plain, panel.id)
    with pytest.raises(InputProblem, match="rounds"):
        panel.propose()


def test_an_instructor_proposes_and_another_adopts(panel, plain):
    panel.both_rounds()
    with pytest.raises(InputProblem, match="propose"):
        panel.adopt()
    panel.propose()
    with pytest.raises(Forbidden):
        panel.adopt(panel.raters[1])
    panel.adopt(now=NOW + timedelta(days=1))
    with panel.work.reading(panel.boss.viewer) as unit:
        (past,) = see_standard.history(unit, plain, METHOD)
        holding = standards.in_force(unit, METHOD)
    assert (past.proposer, past.adopter) == ("Rater 1", "Ada Morrow")
    assert past.row.adopted_at == NOW + timedelta(days=1)
    assert sorted(past.raters) == ["Rater 1", "Rater 2"]
    assert holding.id == past.row.id and holding.share_se > 0
    said = kinds(panel.work, panel.boss.viewer)
    assert said["panel.round_ended"] == 2
    assert said["standard.proposed"] == said["standard.adopted"] == 1


def test_nobody_adopts_what_they_proposed(work, plain):
    panel = APanel(work, plain)
    both = a_person(work, "instructor", "administrator", organisation=panel.organisation)
    panel.both_rounds()
    panel.propose(both)
    with pytest.raises(Forbidden, match="Another administrator"):
        panel.adopt(both)


def test_ratings_that_ask_no_more_than_guessing_cannot_be_adopted(panel, plain):
    for _ in range(2):
        for rater in panel.raters:
            panel.rate(rater, lambda place: 0)
        panel.end_round()
    with panel.work.reading(panel.boss.viewer) as unit:
        found = see_standard.result(unit, plain, panel.id)
    assert found.weighed.cut is None and found.weighed.quality is None
    with pytest.raises(InputProblem, match="guessing"):
        panel.propose()


def test_a_new_standard_ends_the_one_before(panel, plain):
    panel.adopted()
    later = NOW + timedelta(days=30)
    panel.id = panel.open()
    panel.both_rounds(shift=1)
    panel.propose()
    panel.adopt(now=later)
    with panel.work.reading(panel.boss.viewer) as unit:
        latest, first = see_standard.history(unit, plain, METHOD)
        assert standards.in_force(unit, METHOD).panel_id == panel.id == latest.row.panel_id
    assert (first.row.ended_at, latest.row.ended_at) == (later, None)
    assert latest.row.share > first.row.share + 0.05 and latest.needed > first.needed


def test_other_places_and_roles_see_nothing_of_it(panel, plain):
    panel.both_rounds()
    learner = a_person(panel.work, organisation=panel.organisation)
    with panel.work.writing(learner.viewer) as unit:
        for act in (
            lambda: see_standard.overview(unit, plain),
            lambda: see_standard.result(unit, plain, panel.id),
            lambda: set_standard.rate(unit, panel.id, 1, 5, NOW),
            lambda: set_standard.end_round(unit, panel.id, NOW),
        ):
            with pytest.raises(Forbidden):
                act()
    stranger = a_person(panel.work, "instructor", "administrator")
    with panel.work.writing(stranger.viewer) as unit:
        for act in (
            lambda: see_standard.see_panel(unit, panel.id),
            lambda: see_standard.result(unit, plain, panel.id),
            lambda: set_standard.rate(unit, panel.id, 1, 5, NOW),
            lambda: set_standard.propose(unit, plain, panel.id, NOW),
            lambda: set_standard.adopt(unit, plain, panel.id, NOW),
        ):
            with pytest.raises(NotFound):
                act()
    with panel.work.reading(stranger.viewer) as unit:
        assert all(one.panel is None for one in see_standard.overview(unit, plain))


def test_ratings_after_the_rounds_are_refused(panel):
    panel.both_rounds()
    with panel.work.writing(panel.raters[0].viewer) as unit, pytest.raises(InputProblem):
        set_standard.rate(unit, panel.id, 1, 5, NOW)
    with panel.work.reading(panel.raters[0].viewer) as unit, pytest.raises(NotFound):
        see_standard.ask(unit, panel.id, 1)


def sit(panel, plain):
    learner = a_person(panel.work, organisation=panel.organisation)
    return learner, begun(panel.work, plain, learner, METHOD)


def opened(panel, learner, sitting_id):
    with panel.work.reading(learner.viewer) as unit:
        row = sittings.own(unit, sitting_id)
        families = [
            difficulty_of(from_kept(one.kept), one.difficulty)
            for one in sittings.items(unit, sitting_id)
        ]
    return row, families


def test_before_any_panel_the_blueprint_s_share_is_the_cut(panel, plain):
    row, _ = opened(panel, *sit(panel, plain))
    assert row.cut == 30 and "standard" not in row.outcome
    assert len(row.outcome["expected"]) == 33


def test_an_adopted_standard_is_the_same_ability_on_every_form(panel, plain):
    panel.adopted()
    with panel.work.reading(panel.boss.viewer) as unit:
        standard = standards.in_force(unit, METHOD)
    for _ in range(3):
        row, families = opened(panel, *sit(panel, plain))
        score = expected_score(standard.ability, *parameters(families))
        assert row.cut == int(np.floor(score + 1e-6))
        assert row.outcome["standard"] == {"id": standard.id, "ability": standard.ability}
    other = a_person(panel.work)
    elsewhere = begun(panel.work, plain, other, METHOD)
    with panel.work.reading(other.viewer) as unit:
        assert sittings.own(unit, elsewhere).cut == 30


def test_what_is_offered_says_about_how_many(panel, plain):
    learner = a_person(panel.work, organisation=panel.organisation)
    with panel.work.reading(learner.viewer) as unit:
        plainly = sit_assessment.offer(unit, plain, METHOD, 7, NOW)
    panel.adopted(shift=1)
    with panel.work.reading(learner.viewer) as unit:
        by_panel = sit_assessment.offer(unit, plain, METHOD, 7, NOW)
        again = refresh_record.offer(unit, plain, METHOD, NOW)
        share = standards.in_force(unit, METHOD).share
    assert (plainly.needed, plainly.by_panel) == (30, False)
    assert by_panel.by_panel and by_panel.needed == round(share * 40) > 30
    assert again.by_panel and again.needed == round(share * again.blueprint.items)


def test_the_decision_uses_the_cut_the_sitting_was_opened_with(panel, plain):
    panel.adopted()
    learner, sitting_id = sit(panel, plain)
    row, _ = opened(panel, learner, sitting_id)
    panel.id = panel.open()
    panel.adopted(shift=1)
    with panel.work.writing(learner.viewer) as unit:
        done = finish_sitting.finish(unit, plain, sitting_id, NOW)
    assert (done.state, done.score, done.passed, done.cut) == ("done", 0, False, row.cut)
    assert done.confidence > 0.99


def test_sittings_that_are_over_show_what_each_cut_would_do(panel, plain):
    learner, sitting_id = sit(panel, plain)
    with panel.work.writing(learner.viewer) as unit:
        finish_sitting.finish(unit, plain, sitting_id, NOW)
        sittings.own(unit, sitting_id).score = 31
    panel.both_rounds()
    with panel.work.reading(panel.boss.viewer) as unit:
        found = see_standard.result(unit, plain, panel.id)
    shares = [one.share for one in found.steps]
    assert found.steps[0].people == 1
    assert shares[0] == 1.0 and shares[-1] == 0.0
    assert shares == sorted(shares, reverse=True)


def test_decisions_are_reckoned_for_those_who_sat_lately(panel, plain):
    for n in range(22):
        learner, sitting_id = sit(panel, plain)
        with panel.work.writing(learner.viewer) as unit:
            row = sittings.own(unit, sitting_id)
            row.state, row.unfinished, row.finished_at, row.score = "done", None, NOW, 14 + n
    panel.both_rounds()
    with panel.work.reading(panel.boss.viewer) as unit:
        found = see_standard.result(unit, plain, panel.id)
    quality = found.weighed.quality
    assert quality.of_sitters
    assert quality.shares.marginal == pytest.approx(found.steps[found.place].share, abs=0.12)


def test_a_form_that_loses_a_faulty_question_is_equated_again(panel, plain):
    panel.adopted()
    row, families = opened(panel, *sit(panel, plain))
    rest = families[1:]
    ability = row.outcome["standard"]["ability"]
    score = expected_score(ability, *parameters(rest))
    assert cut_of_the_rest(row.outcome, rest, 30, 40) == int(np.floor(score + 1e-6))
    assert cut_of_the_rest({}, rest, 30, 40) == 30


def test_practice_is_held_against_the_same_standard(panel, plain):
    learner = a_person(panel.work, organisation=panel.organisation)
    answer(panel.work, plain, learner, True)

    def drawn():
        with panel.work.reading(learner.viewer) as unit:
            (one,) = see_competency.standings(unit, plain, learner.id)
            topic = see_competency.standing_of(unit, plain, learner.id, METHOD, "timings")
        assert topic.drawn.standard == one.whole.drawn.standard
        return one.whole.drawn.standard

    before = drawn()
    panel.adopted(shift=1)
    with panel.work.reading(panel.boss.viewer) as unit:
        ability = standards.in_force(unit, METHOD).ability
    assert drawn() == pytest.approx((ability + 3) / 6) != before


def test_forms_are_alike_at_the_cut_that_the_panel_set(panel, bank):
    """On the shipped bank: the same information at the adopted ability, within 5 %."""
    panel = APanel(panel.work, bank, method="tape_in")
    panel.adopted()
    learner = a_person(panel.work, organisation=panel.organisation)
    with panel.work.reading(learner.viewer) as unit:
        seen = draw_form.lately(unit, bank, "tape_in")
        ability = standards.in_force(unit, "tape_in").ability
    assert seen.cut == pytest.approx(ability, abs=0.05)
    found = []
    for seed in range(5):
        form = draw_form.form_of(bank, "tape_in", seen, Draw("form", seed))
        typical = [difficulty_of(generate(bank, one, 0, "working")) for one in form.families]
        found.append(information(np.array([seen.cut]), *parameters(typical)).sum())
    assert max(found) / min(found) < 1.05
