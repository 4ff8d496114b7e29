"""The words beside a drawing tell what is seen, in one pattern, and never which part is wrong."""

import re

import pytest

from trainer.core.scenarios.family import families
from trainer.core.scenarios.generate import generate
from trainer.use_cases.open_bank import open_bank

BANK = open_bank()
DRAWN = [one.id for one in families(BANK) if generate(BANK, one.id, 0).figure is not None]
POINTED = [name for name in DRAWN if len(generate(BANK, name, 0).figure["regions"]) > 1]
TELLING = re.compile(
    r"wrong|fault|too |unsafe|safe|danger|harm|bad|must|should|crooked|mistake|poor|right answer"
    r"|refer|stop|mat\b|matted|shed|cast|flake|traction|dandruff|tight|overdirect|caught|correct",
    re.IGNORECASE,
)


def test_drawings_are_there_for_every_method_that_is_drawn():
    for method in BANK.methods.values():
        models = {name.split(".")[0] for name in DRAWN if name.endswith(f".{method.id}")}
        assert len(models) >= (4 if method.drawn else 1), method.id
    assert len({name.split(".")[0] for name in DRAWN}) >= 7


@pytest.mark.parametrize("name", DRAWN)
def test_words_give_nothing_away(name):
    for seed in range(12):
        item = generate(BANK, name, seed)
        assert not TELLING.search(item.figure["alt"]), item.figure["alt"]
        assert not TELLING.search(re.search('aria-label="([^"]*)"', item.figure["svg"]).group(1))
        for region in item.figure["regions"]:
            assert not TELLING.search(region["label"])


@pytest.mark.parametrize("name", POINTED)
def test_every_part_is_told_in_the_same_words(name):
    """With figures and the names of places taken out, all parts read alike."""
    for seed in range(12):
        item = generate(BANK, name, seed)
        told = item.figure["alt"].split("\n")[1:]
        assert [line[0] for line in told] == [one["id"] for one in item.figure["regions"]]
        bare = {re.sub(r"\d+(\.\d+)?", "#", line[3:]) for line in told}
        if item.heading.family.startswith("fault_on_head_map"):
            bare = {line.split("; ", 1)[1] for line in bare}
        assert len(bare) == 1


@pytest.mark.parametrize("name", [one for one in DRAWN if one.startswith("read_distance")])
def test_a_reading_is_never_said(name):
    """The words give both marks; the difference is the learner's to take."""
    for seed in range(30):
        item = generate(BANK, name, seed)
        edge, near, far = (item.givens[k] for k in ("edge_at_mm", "near_at_mm", "far_at_mm"))
        figures = {float(one) for one in re.findall(r"\d+(?:\.\d+)?", item.figure["alt"])}
        assert figures == {float(edge), float(near), float(far)}


@pytest.mark.parametrize("name", POINTED)
def test_no_letter_is_keyed_much_more_often(name):
    keyed = [generate(BANK, name, seed).key[0].upper() for seed in range(60)]
    assert max(keyed.count(letter) for letter in "ABCD") < 30
    assert set(keyed) == set("ABCD")
