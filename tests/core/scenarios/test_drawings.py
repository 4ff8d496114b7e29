"""Item models that draw, and their second checker, which goes by the givens alone."""

import ast
from dataclasses import replace
from pathlib import Path

import pytest

from tests.support.banks import with_change
from trainer.core.items.registry import type_of
from trainer.core.knowledge.read import read_bank
from trainer.core.scenarios import resolve as room
from trainer.core.scenarios.audit import item_findings, right_texts
from trainer.core.scenarios.family import families
from trainer.core.scenarios.generate import generate
from trainer.core.scenarios.resolve import resolve
from trainer.use_cases.open_bank import open_bank

BANK = open_bank()
MODELS = (
    *("fault_in_section", "safe_one_of_four", "fault_on_head_map", "read_distance"),
    *("section_against_strand", "signs_drawn", "found_at_removal"),
)
NAMES = [one.id for one in families(BANK) if one.recipe.id in MODELS]


def texts(item):
    return sorted(right_texts(item))


def test_the_second_checker_knows_nothing_of_drawings_or_reasoning():
    source = (Path(room.__file__).parent / "drawings.py").read_text(encoding="utf-8")
    named = {node.module for node in ast.walk(ast.parse(source)) if hasattr(node, "module")}
    assert not any("figures" in one or "reasoning" in one or "drawn" in one for one in named)


@pytest.mark.parametrize("name", NAMES)
def test_without_its_picture_the_key_is_still_reached(name):
    for seed in range(20):
        item = generate(BANK, name, seed)
        assert resolve(BANK, replace(item, figure=None)) == texts(item)


@pytest.mark.parametrize("name", [one for one in NAMES if "read_distance" not in one])
def test_another_key_is_found_out(name):
    item = generate(BANK, name, 2)
    other = next(option.id for option in item.options if option.id not in item.key)
    found = item_findings(BANK, replace(item, key=[other]))
    assert any("reached" in what for _, what in found)


@pytest.mark.parametrize("name", [one for one in NAMES if one.startswith("fault_in_section")])
def test_moved_givens_move_the_key(name):
    item = generate(BANK, name, 5)
    parts = dict(item.givens["measured"])
    other = next(letter for letter in parts if letter not in item.key)
    parts[other], parts[item.key[0]] = parts[item.key[0]], parts[other]
    moved = replace(item, givens={**item.givens, "measured": parts})
    label = next(option.text for option in item.options if option.id == other)
    assert resolve(BANK, moved) == [label]


def test_a_limit_that_moves_in_the_bank_moves_what_is_drawn():
    """Limits are read from the facts: with a wider gap asked for, other drawings are sound."""
    wider = read_bank(
        with_change("shared/tension.toml", "low = 5\nhigh = 10", "low = 12\nhigh = 15")
    )
    for seed in range(20):
        item = generate(wider, "fault_in_section.tape_in", seed)
        sound = [m for letter, m in item.givens["measured"].items() if letter not in item.key]
        assert all(12 <= measures["scalp_distance"] <= 15 for measures in sound)
        assert resolve(wider, item) == texts(item)


@pytest.mark.parametrize("name", NAMES)
def test_explanations_name_the_keyed_part_and_what_to_do(name):
    for seed in range(10):
        item = generate(BANK, name, seed)
        assert len(item.explanation.split(". ")) >= 3
        if item.heading.type == "point_at_figure":
            assert f" {item.key[0]}" in item.explanation
        kind = type_of(item)
        assert kind.say_key(item)


def test_stopping_and_going_on_are_right_about_as_often():
    keys = [generate(BANK, "signs_drawn.tape_in", seed).givens["seen"] for seed in range(200)]
    assert 0.35 < sum(bool(seen) for seen in keys) / 200 < 0.65


@pytest.mark.parametrize("name", NAMES)
def test_there_is_much_to_draw(name):
    drawn = {generate(BANK, name, seed).figure["svg"] for seed in range(40)}
    assert len(drawn) >= (25 if name.startswith(("found", "signs")) else 36)
