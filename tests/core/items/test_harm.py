"""A wrong answer that is only too careful wrongs a client, and injures nobody."""

from dataclasses import replace

import pytest

from tests.support.answers import as_sent
from trainer.core.items.codec import as_kept, from_kept
from trainer.core.items.registry import type_of
from trainer.core.scenarios.generate import generate

CAREFUL = "consult.every_mark_is_a_no"


def harmless(bank):
    """A critical question that offers the belief beside others."""
    for seed in range(200):
        item = generate(bank, "offer_verdict.tape_in", seed)
        ideas = item.misconceptions.values()
        if item.critical and CAREFUL in ideas and len(set(ideas)) > 1:
            return item
    raise AssertionError("no such question")


def test_only_the_dangerous_answer_is_a_critical_error(bank):
    item = harmless(bank)
    kind = type_of(item)
    for option, idea in item.misconceptions.items():
        mark = kind.mark(item, kind.read(as_sent(item, [option]), item))
        assert mark.score == 0
        assert mark.critical_error == (not bank.misconceptions[idea].too_careful)


def test_it_is_kept_with_the_item(bank):
    item = harmless(bank)
    assert item.too_careful == (CAREFUL,)
    assert from_kept(as_kept(item)) == item


@pytest.mark.parametrize(
    ("beliefs", "critical"),
    [((), True), ((CAREFUL,), False), ((CAREFUL, "other.idea"), True), (("other.idea",), True)],
)
def test_one_dangerous_belief_is_enough(bank, beliefs, critical):
    item = harmless(bank)
    assert item.injured_by(beliefs) is critical
    assert replace(item, critical=False).injured_by(beliefs) is False
