"""Tell people of one name apart: the desk must never answer for the wrong one of two."""

from collections import Counter
from collections.abc import Mapping, Sequence

from trainer.store import people
from trainer.store.unit import Unit

Named = Sequence[tuple[str, str]]
"""(id, name) of several people."""


def addresses_of_namesakes(unit: Unit, named: Named) -> Mapping[str, str]:
    """Id -> address of each whose name another of them has too."""
    counts = Counter(name for _, name in named)
    alike = [person_id for person_id, name in named if counts[name] > 1]
    return {row.id: row.email for row in people.named(unit, alike, ())} if alike else {}


def tell_apart(unit: Unit, named: Named) -> list[tuple[str, str]]:
    """The same in the same order; to a name that comes more than once its address is added."""
    addresses = addresses_of_namesakes(unit, named)
    return [
        (one, f"{name} ({addresses[one]})" if one in addresses else name) for one, name in named
    ]
