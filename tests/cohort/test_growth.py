"""Growth in practice and what is known of ability, from kept answers to the calibration in use."""

from datetime import timedelta

import numpy as np
import pytest

from tests.cohort.kept import NINETY, away, calibrate, keep_practice, people_of, site_scale
from tests.cohort.truth import Truth
from tests.support.people import NOW
from trainer.core.measurement.growth import JUDGED, STILL, Growth
from trainer.use_cases.work import Work

METHOD, WORLD = "tape_in", "growth"
PLANTED = Growth(0.03, 0.05, 0.05)
PILOT, EACH, NEW, SOON = 120, 40, 1000, 25
ERROR = 0.0031
"""SD of the gain found over worlds of so many people (`tests.benchmarks.cohort`)."""
LATER = NOW + timedelta(days=60)


@pytest.fixture(scope="module")
def site(tmp_path_factory, bank):
    """A site whose people have practised; the growth that came into use with its calibration."""
    work = Work(f"sqlite:///{tmp_path_factory.mktemp('growth') / 'trainer.db'}")
    work.prepare()
    keep_practice(work, bank, METHOD, people_of(WORLD, "pilot", PILOT, PLANTED), EACH)
    yield work, calibrate(work, bank, LATER)
    work.close()


def test_a_planted_growth_is_found_within_its_error(site, bank):
    work, found = site
    step = site_scale(work, bank, METHOD, Truth(WORLD)).step
    assert found.whole.gain / step == pytest.approx(PLANTED.gain, abs=2 * ERROR)
    for spread, planted in ((found.whole.sd, PLANTED.sd), (found.whole.sd_day, PLANTED.sd_day)):
        assert planted / 2 < spread < planted * 2


def test_on_a_topic_an_answer_stands_for_those_to_other_topics_too(site):
    """What is learnt elsewhere between two answers to a topic shows as growth on that topic."""
    _, found = site
    assert found.topic.gain > 2 * found.whole.gain


def test_intervals_of_ability_in_practice_hold_the_true_one_nine_times_in_ten(site, bank):
    work, _ = site
    far = away(work, bank, METHOD, people_of(WORLD, "new", NEW, PLANTED), SOON)
    assert 0.88 <= (np.abs(far) < NINETY).mean() <= 0.92


def test_who_does_not_grow_is_not_flattered(sqlite_work, bank):
    keep_practice(sqlite_work, bank, METHOD, people_of("still", "pilot", 60, STILL), 24)
    found = calibrate(sqlite_work, bank, LATER)
    assert abs(found.whole.gain) < 0.015
    assert found.whole.sd < 2 * JUDGED.sd
