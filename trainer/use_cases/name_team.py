"""Name those who work or train in the viewer's organisation."""

from collections.abc import Sequence

from trainer.store import team
from trainer.store.unit import Unit
from trainer.use_cases.refusals import NotFound
from trainer.use_cases.roles import ASKERS
from trainer.use_cases.tell_apart import addresses_of_namesakes


def staff(unit: Unit) -> Sequence[tuple[str, str]]:
    """(id, name) of the team, by name. Raises Forbidden."""
    unit.viewer.must_be(*ASKERS)
    return [(one.id, one.name) for one in team.staff(unit)]


def address_if_shared(unit: Unit, person_id: str, name: str) -> str:
    """Somebody's address where another of the team has the same name, else ''. Raises Forbidden."""
    unit.viewer.must_be(*ASKERS)
    return addresses_of_namesakes(unit, team.called(unit, name)).get(person_id, "")


def name_of(unit: Unit, person_id: str) -> str:
    """What somebody who belongs there is called. Raises NotFound, Forbidden."""
    unit.viewer.must_be(*ASKERS)
    names = team.names(unit, [person_id])
    if not names:
        raise NotFound
    return names[person_id]
