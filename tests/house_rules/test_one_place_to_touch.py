"""One place to touch: a made-up method needs its folder and nothing else."""

from datetime import date

import pytest

from tests.support.banks import with_method
from trainer.core.advice.advise import advise
from trainer.core.advice.profile import read_profile
from trainer.core.draw import Draw
from trainer.core.items.registry import ITEM_TYPES
from trainer.core.knowledge.read import read_bank
from trainer.core.knowledge.words import MAIN_TOPICS
from trainer.core.scenarios.audit import audit
from trainer.core.scenarios.family import families
from trainer.use_cases.draw_form import NOT_AT_ALL, form_of, unmet
from trainer.use_cases.know_competency import blueprint_of

NEW = "ribbon_loop"


@pytest.fixture(scope="module")
def larger():
    return read_bank(with_method(NEW, like="micro_link"))


def test_a_made_up_method_gives_sound_items_on_every_topic(larger):
    found = families(larger, method=NEW)
    assert set(MAIN_TOPICS) <= {one.topic for one in found}
    for one in found:
        assert audit(larger, one, 15).findings == ()


def test_it_gets_advice_and_a_plan(larger):
    found = advise(larger, read_profile(larger, {"density": "high"}), date(2026, 3, 3), [NEW])[NEW]
    assert found.verdict == "go_ahead"
    assert found.plan is not None and found.plan.dates


def test_it_gets_a_form_and_a_sign_off_sheet(larger):
    form = form_of(larger, NEW, NOT_AT_ALL, Draw("form"))
    assert unmet(larger, NEW) == () and len(form.families) == blueprint_of(larger, NEW).items
    for service in ("fit", "maintain", "remove"):
        assert larger.criteria_of(NEW, service)


def test_every_item_type_has_its_screen(app):
    for name in ITEM_TYPES:
        assert app.jinja_env.get_template(f"items/{name}.html")
