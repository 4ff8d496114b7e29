"""A sketch promises what its draft then offers, and words are as the template library has them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jinja2 import Environment, StrictUndefined, UndefinedError

from trainer.core.draw import Draw
from trainer.core.items.item import Sketch
from trainer.core.scenarios.case import LEVELS, Case
from trainer.core.scenarios.family import families
from trainer.core.scenarios.wording import OURS, render
from trainer.use_cases.open_bank import open_bank

FAMILIES = {one.recipe.reasoning: one for one in families(open_bank())}
TEMPLATES = (
    "{{ one }}",
    "{{ one }} has 5 % of {{ two }}, and %s stays.",
    "{{ one | capitalize }} says: {{ two | lower_first | sentence }}",
    "{{ two | without_stop }}{{ one }}: {{ 'one' if one else 'none' }}",
)
PLAIN = Environment(undefined=StrictUndefined)  # noqa: S701  words, not pages
PLAIN.filters.update(OURS)
WORDS = st.text("aZé%{} .", max_size=8)


@pytest.mark.parametrize("reasoning", sorted(FAMILIES))
def test_a_draft_offers_what_its_sketch_did(bank, reasoning):
    one = FAMILIES[reasoning]
    for seed in range(40):
        draw = Draw("sketch", seed)
        case = Case(bank, bank.methods[one.method], one.recipe, draw, LEVELS[seed % 3])
        made = one.reasoning.work_out(case)
        if isinstance(made, Sketch):
            shown = [(offer.text, offer.right, offer.tag) for offer in made.offers]
            assert shown == [(o.text, o.right, o.tag) for o in made.draft().offers]


@given(st.sampled_from(TEMPLATES), WORDS, WORDS)
def test_gaps_are_filled_as_the_template_library_fills_them(text, one, two):
    values = {"one": one, "two": two}
    assert render(text, values) == " ".join(PLAIN.from_string(text).render(values).split())


def test_a_name_that_is_missing_is_refused():
    with pytest.raises(UndefinedError, match="two"):
        render(TEMPLATES[1], {"one": "Amara"})
