"""Assemble parallel forms from a table of families and a blueprint, beforehand."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from trainer.core.measurement.assembly import Assembled, assemble
from trainer.core.measurement.blueprint import Blueprint, blueprint_from, counts
from trainer.core.measurement.requirement import Demands
from trainer.core.measurement.response_model import ability_for_share, information
from trainer.core.problems import InputProblem
from trainer.use_cases.read_families import Pool, read_families


@dataclass(frozen=True, slots=True)
class Forms:
    """What was assembled. `cut`: ability at the cut [theta], where information is taken.

    `moved`: shares of topics without families, in words.
    """

    made: Assembled
    cut: float
    moved: tuple[str, ...]


def assemble_forms(bank: tuple[str, str], blueprint: tuple[str, str], forms: int) -> Forms:
    """Assemble forms that share no family from (file name, text) of a table and a blueprint.

    Raises InputProblem naming file, line or field. What the table cannot give stands in
    `made.unmet`.
    """
    pool = read_families(*bank)
    asked = _blueprint(*blueprint)
    there: dict[str, int] = {}
    for one in pool.families:
        there[one.topic] = there.get(one.topic, 0) + 1
    shared = counts(asked, there)
    cut = _cut(asked, pool, blueprint[0])
    at_cut = information(np.array([cut]), pool.a, pool.b, pool.floor)[0]
    made = assemble(pool.families, at_cut, _demands(asked, shared.by_topic), forms)
    return Forms(made, cut, shared.moved)


def _blueprint(name: str, text: str) -> Blueprint:
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as problem:
        raise InputProblem(f"is not TOML: {problem}", name, "Mend that line.") from None
    return blueprint_from(name, name, table)


def _cut(asked: Blueprint, pool: Pool, name: str) -> float:
    """The blueprint's own, or the ability whose expected share over the pool is the cut's."""
    if asked.cut_ability is not None:
        return asked.cut_ability
    try:
        return ability_for_share(asked.cut_share, pool.a, pool.b, pool.floor)
    except ValueError:
        what = f"{asked.cut_share} is no more than guessing gives in these families"
        raise InputProblem(what, f"{name}, cut_share", "Raise it, or give cut_ability.") from None


def _demands(asked: Blueprint, by_topic: Mapping[str, int]) -> Demands:
    return Demands(
        by_topic,
        asked.critical_least,
        asked.services,
        asked.types,
        asked.minutes * 60.0,
        asked.words_most,
        asked.lately_most,
    )
