"""Name everybody who works or trains in the viewer's organisation."""

from collections.abc import Sequence

from trainer.store import team
from trainer.store.unit import Unit
from trainer.use_cases.clear_for_service import ASKERS


def staff(unit: Unit) -> Sequence[tuple[str, str]]:
    """(id, name) of the team, by name. Raises Forbidden."""
    unit.viewer.must_be(*ASKERS)
    return [(one.id, one.name) for one in team.staff(unit)]
