"""Item models, and the families that they have: an item model on one method."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import import_module
from types import ModuleType
from typing import Any

from pydantic import TypeAdapter, ValidationError
from pydantic.dataclasses import dataclass as sheet

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.sheet import SHEET
from trainer.core.knowledge.words import Service, Topic
from trainer.core.problems import InputProblem


@sheet(frozen=True, slots=True, config=SHEET)
class Recipe:
    """An item model as content: what it asks about, how it reasons, in which words.

    `reasoning` names a module of scenarios/reasoning. `settings` are its own. `words` are
    templates; lists hold phrasings of which one is drawn. `enemies`: models that may not stand
    in the same form. `capacity`: how many different cases each family promises to hold, one
    number or one by method ('default' for those not named); 0 where nothing is promised.
    """

    id: str
    title: str
    topic: Topic
    service: Service
    type: str
    reasoning: str
    methods: tuple[str, ...]
    words: Mapping[str, str | tuple[str, ...]]
    settings: Mapping[str, Any]
    critical: bool = False
    enemies: tuple[str, ...] = ()
    capacity: int | Mapping[str, int] = 0


@dataclass(frozen=True, slots=True)
class Family:
    """An item model on one method: the unit that is measured. `id` is '<model>.<method>'."""

    id: str
    recipe: Recipe
    method: str
    reasoning: ModuleType

    @property
    def topic(self) -> Topic:
        """The topic its items belong to."""
        return self.recipe.topic

    @property
    def capacity(self) -> int:
        """How many different cases it promises to hold; 0 where nothing is promised."""
        promised = self.recipe.capacity
        if isinstance(promised, int):
            return promised
        return promised.get(self.method, promised.get("default", 0))

    @property
    def enemies(self) -> tuple[str, ...]:
        """Families that may not stand in the same form."""
        return tuple(f"{model}.{self.method}" for model in self.recipe.enemies)


READ = TypeAdapter(Recipe)
CONSULTATION = {
    "topic": "consultation",
    "service": "consult",
    "type": "consultation",
    "reasoning": "consultation",
}
"""What every model of question_bank/consultations is."""


def _all(bank: Bank) -> Mapping[str, Family]:
    return bank.once(("families",), lambda: _read(bank))


def _read(bank: Bank) -> Mapping[str, Family]:
    found = {}
    for name, table in _models(bank).items():
        recipe = _recipe(bank, name, table)
        module = import_module(f"trainer.core.scenarios.reasoning.{recipe.reasoning}")
        for method in bank.methods:
            if bank.covers(recipe.methods, method) and module.applies(bank, method, recipe):
                family = Family(f"{recipe.id}.{method}", recipe, method, module)
                found[family.id] = family
    return found


def _models(bank: Bank) -> Mapping[str, Mapping[str, Any]]:
    """Item models, and consultations, which are item models of one kind."""
    return {
        **bank.item_models,
        **{name: {**CONSULTATION, **table} for name, table in bank.consultations.items()},
    }


def _recipe(bank: Bank, name: str, table: Mapping[str, Any]) -> Recipe:
    try:
        return READ.validate_json(json.dumps({"settings": {}, **table}))
    except ValidationError as problem:
        first = problem.errors(include_url=False)[0]
        field = ".".join(str(part) for part in first["loc"])
        folder = "consultations" if name in bank.consultations else "item_models"
        where = f"{folder}/{name}.toml: {field}"
        raise InputProblem(first["msg"], where, "Mend that field.") from None


def families(
    bank: Bank, method: str | None = None, topic: str | None = None, type: str | None = None
) -> tuple[Family, ...]:
    """Every family of the bank, or those of a method, topic or item type."""
    return tuple(
        family
        for family in _all(bank).values()
        if method in (None, family.method)
        and topic in (None, family.topic)
        and type in (None, family.recipe.type)
    )


def family(bank: Bank, name: str) -> Family:
    """A family by id. Raises InputProblem if there is none."""
    found = _all(bank).get(name)
    if found is None:
        raise InputProblem("is no family", name, "See `trainer audit` for all of them.")
    return found
