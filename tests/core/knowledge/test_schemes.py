"""A scheme that cannot be met is named by file, entry and field."""

import pytest

from tests.support.banks import with_change
from trainer.core.knowledge.complaint import BankProblems
from trainer.core.knowledge.read import read_bank
from trainer.core.knowledge.scheme import Refresh, Scheme

PATH = "methods/tape_in/method.toml"
OBSERVED = 'observed = ["fit", "maintain", "remove"]'


@pytest.mark.parametrize(
    ("old", "new", "field", "said"),
    [
        (OBSERVED, "observed = []", "scheme.observed", "is empty"),
        (OBSERVED, 'observed = ["consult"]', "scheme.observed", "not signed off"),
        (OBSERVED, 'observed = ["remove"]', "scheme.refresh.observed", "not among"),
        ("renew_days = 60 ", "renew_days = -1", "scheme.renew_days", "below 0"),
        ("renew_days = 60 ", "valid_months = 0", "scheme.valid_months", "below 1"),
        ("share = 0.5 ", "share = 1.5", "scheme.refresh.share", "at most 1"),
        ("short_share = 0.25", "short_share = 0.75", "scheme.refresh.short_share", "at most share"),
        ("late_days = 30", "late_days = -3", "scheme.refresh.late_days", "below 0"),
        ("late_days = 30", "grace = 3", "scheme.refresh.grace", "is not a field"),
    ],
)
def test_what_cannot_be_is_named(old, new, field, said):
    with pytest.raises(BankProblems) as caught:
        read_bank(with_change(PATH, old, new))
    assert any(
        one.file == PATH and one.field == field and said in one.what
        for one in caught.value.complaints
    ), caught.value


def test_a_method_may_say_how_long_its_record_holds():
    found = read_bank(with_change(PATH, "renew_days = 60 ", "valid_months = 6\nrenew_days = 60 "))
    assert found.methods["tape_in"].scheme.valid_months == 6


def test_what_stands_in_the_bank_is_what_holds_without_it(bank):
    for method in bank.methods.values():
        assert method.scheme == Scheme(refresh=Refresh())
