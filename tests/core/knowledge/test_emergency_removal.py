"""Removal that cannot wait: one rule a method, first aid that is published, who may as practice."""

import pytest

from tests.support.banks import with_change
from trainer.core.knowledge.complaint import BankProblems
from trainer.core.knowledge.read import read_bank

PATH = "shared/emergency_removal.toml"


def test_every_method_has_one_rule_and_says_what_it_rests_on(bank):
    for method in bank.methods:
        rule = bank.emergency_removal_of(method)
        assert [one.kind for one in rule.basis] == ["common_practice"]
        first = [bank.facts[name] for name in rule.first]
        assert [basis.kind for basis in first[0].basis] == ["published"]
        assert "ambulance" in first[0].statement


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        ('methods = ["all"]', 'methods = ["glue_gun"]', "methods"),
        ("ended_days = 90", "ended_days = -1", "ended_days"),
        ('"firstaid.anaphylaxis"', '"firstaid.nothing"', "first"),
        ('"firstaid.anaphylaxis"', '"emergency.signs"', "first"),
        ("basis = [{", "basis = []\n#", "basis"),
        ("after =", "afterwards =", "afterwards"),
    ],
)
def test_what_does_not_hold_is_named(old, new, field):
    with pytest.raises(BankProblems) as found:
        read_bank(with_change(PATH, old, new))
    assert (PATH, field) in [(one.file, one.field) for one in found.value.complaints]
