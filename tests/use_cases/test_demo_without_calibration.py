"""What the histories of a demo teach is a matter of chance; the demo is whole all the same."""

import re
from dataclasses import replace

import pytest

from tests.core.measurement.calibration.site import made_answers, made_families
from tests.support.people import NOW, PASSWORDS, Someone
from trainer.core.draw import Draw
from trainer.store import calibrations, people, standards
from trainer.use_cases import demo_measures, fill_demo, keep_log, recalibrate
from trainer.use_cases.demo_cast import address_of
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.sign_in import belongings, viewer_of

RECKON = recalibrate.reckon


def too_few(*_):
    raise InputProblem("are too few", "answers", "Let people practise first.")


def unsettled(answers, before, dated):
    return replace(RECKON(answers, before, dated), converged=False)


def numberless(answers, before, dated):
    found = RECKON(answers, before, dated)
    return replace(found, outlook=replace(found.outlook, spread=float("nan")))


@pytest.fixture
def filled(sqlite_work, bank, tmp_path, monkeypatch):
    """Fill the demo, its histories left out and answers of an invented site in their place."""

    def fill(reckon):
        draw = Draw("demo without")
        answers = made_answers(draw, made_families(draw, 20), 20, 12)
        monkeypatch.setattr(fill_demo, "practise_for_weeks", lambda *_: None)
        monkeypatch.setattr(fill_demo, "certify_player", lambda *_: None)
        monkeypatch.setattr(demo_measures.recalibrate, "gather", lambda _: answers)
        monkeypatch.setattr(demo_measures.recalibrate, "reckon", reckon)
        fill_demo.fill(sqlite_work, bank, tmp_path, "", NOW, lambda *_: None, PASSWORDS)
        with sqlite_work.reading() as unit:
            row = people.by_email(unit, address_of("Ines Varga"))
            viewer = viewer_of(row.id, belongings(unit, row.id)[0])
        return Someone(row.id, row.email, viewer.organisation_id, viewer)

    return fill


@pytest.mark.parametrize(
    ("reckon", "kept"), [(RECKON, 1), (unsettled, 1), (too_few, 0), (numberless, 0)]
)
def test_the_demo_and_its_screens_are_whole_without(reckon, kept, filled, visit, sqlite_work):
    instructor = filled(reckon)
    with sqlite_work.reading(instructor.viewer) as unit:
        assert len(calibrations.newest(unit, 9)) == kept
        assert (calibrations.in_use(unit) is not None) == (reckon is RECKON)
        assert standards.in_force(unit, demo_measures.ADOPTED) is not None
        assert keep_log.check_log(unit)[1] == []
    html = visit(instructor).get("/methods/difficulty?method=tape_in")
    assert ("Still judged" in html) == (reckon is not RECKON)
    assert not re.search(r"(?<![\w.-])nan(?![\w-])", html)
