"""The load of an attachment and the air of a room, worked by hand and by a published factor."""

from math import pi

import pytest

from tests.support.banks import with_change
from trainer.core.advice.air import air
from trainer.core.advice.load import loads
from trainer.core.advice.profile import read_profile
from trainer.core.knowledge.complaint import BankProblems
from trainer.core.knowledge.read import read_bank


def test_each_own_hair_carries_one_added_hair(bank):
    """Section and lightest bond have equally many hairs: one weighs length x pi r² x density."""
    profile = read_profile(bank, {"wanted_length_cm": 50, "strand_um": 70, "hair_length_cm": 30})
    light, heavy = loads(bank, "fusion_bond", profile)
    milligrams = 50 * pi * 0.0035**2 * 1.32 * 1000
    assert light.dry_mg == pytest.approx(milligrams)
    assert light.wet_mg == pytest.approx(milligrams * 1.3)
    assert heavy.dry_mg == pytest.approx(2 * milligrams)
    assert light.breaks_gf == pytest.approx(122e6 * pi * 35e-6**2 / 9.80665e-3, rel=1e-6)


BANDS = ["light", "watch", "too heavy"]


@pytest.mark.parametrize(
    ("own", "bands"),
    [(110, ["light", "watch"]), (60, ["light", "too heavy"]), (30, ["watch", "too heavy"])],
)
def test_shorter_own_hair_is_lighter_and_bears_less(bank, own, bands):
    """Added hair is 50 cm: the heavy bond weighs as much as 100 cm of the section's own hair."""
    profile = read_profile(bank, {"wanted_length_cm": 50, "hair_length_cm": own})
    found = loads(bank, "fusion_bond", profile)
    assert [one.band for one in found] == bands
    assert [BANDS[one.heavier + one.more] for one in found] == bands


def test_no_figure_no_load(bank):
    assert loads(bank, "tape_in", read_profile(bank, {})) == ()


def test_a_spill_of_remover_by_the_published_factor(bank):
    """NIOSH Pocket Guide, isopropyl alcohol: specific gravity 0.79, 1 ppm = 2.46 mg/m³."""
    (found,) = air(bank, "fusion_bond")
    assert found.ppm == pytest.approx(50 * 0.79 * 1000 / 30 / 2.46, rel=0.01)
    assert found.above
    assert "solvent.never_near_heat" in found.cautions
    assert (found.amount, found.room) == ("50 ml", "30 m³")


def test_a_solvent_without_figures_still_has_its_cautions(bank):
    (found,) = air(bank, "tape_in")
    assert found.ppm is None and not found.above
    assert "solvent.limonene_rags" in found.cautions


def test_what_is_no_solvent_has_none(bank):
    assert air(bank, "micro_link") == () == air(bank, "clip_in")


def test_a_vapour_that_names_nothing_known_is_refused():
    path = "shared/products.toml"
    files = with_change(path, 'density = "solvent.alcohol_density"', 'density = "solvent.none"')
    with pytest.raises(BankProblems, match="vapour"):
        read_bank(files)
