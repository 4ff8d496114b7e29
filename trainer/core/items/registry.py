"""Every item type by name: a module of `types` with a `TYPE` is one."""

from collections.abc import Mapping
from importlib import import_module
from pkgutil import iter_modules

from trainer.core.items import types
from trainer.core.items.item import Item, ItemType


def _found() -> dict[str, ItemType]:
    modules = (import_module(f"{types.__name__}.{m.name}") for m in iter_modules(types.__path__))
    kinds = (module.TYPE for module in modules if hasattr(module, "TYPE"))
    return {kind.name: kind for kind in kinds}


ITEM_TYPES: Mapping[str, ItemType] = _found()


def type_of(item: Item) -> ItemType:
    """The type of an item. Raises KeyError if it is no longer known."""
    return ITEM_TYPES[item.heading.type]
