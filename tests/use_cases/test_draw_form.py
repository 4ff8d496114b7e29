"""Forms for sittings: what was used lately comes less, and every form meets its blueprint."""

from collections import Counter
from dataclasses import replace

import pytest

from tests.support.admitted import begun
from tests.support.people import NOW, a_person
from tests.support.plain_bank import METHOD, plain_bank
from trainer.core.draw import Draw
from trainer.core.measurement.calibration.recalibrate import Calibration
from trainer.core.measurement.priors import JUDGED
from trainer.core.measurement.sitting_form import UNUSED
from trainer.core.scenarios.family import family
from trainer.store import sittings
from trainer.use_cases import draw_form, finish_sitting, sit_assessment
from trainer.use_cases.know_competency import blueprint_of
from trainer.use_cases.open_bank import open_bank
from trainer.use_cases.refusals import InputProblem

BANK = open_bank()
SEEDS = range(6)


@pytest.fixture
def plain():
    return plain_bank()


def sit(work, bank, someone, now=NOW):
    with work.reading(someone.viewer) as unit:
        seen = draw_form.lately(unit, bank, METHOD)
    prepared = sit_assessment.prepare(bank, METHOD, seen)
    found = begun(work, bank, someone, METHOD, prepared, now)
    with work.writing(someone.viewer) as unit:
        finish_sitting.finish(unit, bank, found, now)
        return Counter(row.family for row in sittings.items(unit, found) if row.phase == "main")


def test_what_the_last_forms_used_is_known(work, plain):
    first, second = a_person(work), a_person(work)
    with work.reading(first.viewer) as unit:
        assert draw_form.lately(unit, plain, METHOD).used == {}
    used = sit(work, plain, first)
    with work.reading(first.viewer) as unit:
        seen = draw_form.lately(unit, plain, METHOD).used
        assert seen.keys() == used.keys()
        assert all(one.share == 1.0 and one.own for one in seen.values())
    with work.reading(second.viewer) as unit:
        assert draw_form.lately(unit, plain, METHOD).used == {}
    colleague = a_person(work, organisation=first.organisation)
    sit(work, plain, colleague)
    with work.reading(colleague.viewer) as unit:
        shares = {one.share for one in draw_form.lately(unit, plain, METHOD).used.values()}
    assert shares <= {0.5, 1.0}


@pytest.mark.parametrize("method", BANK.methods)
def test_forms_of_the_bank_meet_their_blueprint_and_are_alike(method):
    blueprint, wanted = blueprint_of(BANK, method), draw_form.wanted(BANK, method).by_topic
    forms = [draw_form.form_of(BANK, method, draw_form.NOT_AT_ALL, Draw(seed)) for seed in SEEDS]
    for form in forms:
        ours = [family(BANK, name) for name in form.families]
        topics = Counter(one.topic for one in ours)
        assert {topic: count for topic, count in wanted.items() if count} == topics
        assert sum(one.recipe.critical for one in ours) >= blueprint.critical_least
        types = Counter(one.recipe.type for one in ours)
        assert all(low <= types[kind] <= high for kind, (low, high) in blueprint.types.items())
        assert not {one.id for one in ours} & {enemy for one in ours for enemy in one.enemies}
    information = [form.information for form in forms]
    assert max(information) <= 1.05 * min(information)
    assert len({frozenset(form.families) for form in forms}) > 1


def test_the_same_sitting_has_the_same_form(plain):
    one, other = (
        draw_form.form_of(bank, METHOD, draw_form.NOT_AT_ALL, Draw("sitting", "x"))
        for bank in (plain, plain_bank())
    )
    assert one == other


def test_a_family_that_rested_comes_before_one_that_did_not():
    method = "tape_in"
    first = draw_form.form_of(BANK, method, draw_form.NOT_AT_ALL, Draw(1))
    used = {name: draw_form.Used(1.0, own=True) for name in first.families}
    again = draw_form.form_of(BANK, method, draw_form.Lately(used), Draw(2))
    other = draw_form.form_of(BANK, method, draw_form.NOT_AT_ALL, Draw(2))
    kept, by_chance = (len(set(first.families) & set(one.families)) for one in (again, other))
    assert kept < by_chance
    assert UNUSED.share == 0


def test_information_is_that_of_the_calibration_in_use():
    plain = draw_form.form_of(BANK, "tape_in", draw_form.NOT_AT_ALL, Draw(3))
    steep = replace(JUDGED, slope=2.0, spread=0.1)
    found = Calibration(NOW.date(), 100, 5000, {}, steep, -3000.0, True)
    seen = draw_form.Lately(calibration=found)
    told = draw_form.form_of(BANK, "tape_in", seen, Draw(3))
    assert told.information > 1.5 * plain.information


def test_a_bank_without_a_required_topic_says_so(plain):
    only = {name: model for name, model in plain.item_models.items() if "timings" not in name}
    poor = plain_bank("poorer")
    object.__setattr__(poor, "item_models", only)
    assert draw_form.unmet(poor, METHOD) == ("timings: 4 wanted, 0 there",)
    with pytest.raises(InputProblem, match="timings: 4 wanted, 0 there"):
        sit_assessment.prepare(poor, METHOD)
