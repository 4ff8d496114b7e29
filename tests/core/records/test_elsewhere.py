"""For how long the last look at the status of a record from elsewhere is enough."""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from trainer.core.records.elsewhere import known_until
from trainer.core.records.house_rules import HouseRules, strictest

LOOKED = date(2026, 3, 3)
DAYS = st.none() | st.integers(0, 30)


def test_the_house_or_the_site_whichever_is_earlier():
    site = LOOKED + timedelta(days=14)
    assert known_until(LOOKED, site, None) == site
    assert known_until(LOOKED, site, 3) == date(2026, 3, 6)
    assert known_until(LOOKED, site, 0) == LOOKED
    assert known_until(LOOKED, site, 30) == site, "a house can only be stricter"
    assert known_until(None, None, 3) is None


@given(st.integers(0, 30), DAYS, DAYS)
def test_rules_that_hold_together_are_never_looser(site, one, other):
    both = strictest([HouseRules(30, status_days=one), HouseRules(30, status_days=other)])

    def until(days):
        return known_until(LOOKED, LOOKED + timedelta(days=site), days)

    assert until(both.status_days) == min(until(one), until(other))
