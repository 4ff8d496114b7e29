"""Choose British or American spelling: for oneself, or for everybody of an organisation."""

from datetime import datetime

from trainer.core.knowledge.spelling import SPELLINGS
from trainer.store import people
from trainer.store.unit import Unit
from trainer.use_cases.keep_log import log
from trainer.use_cases.refusals import Forbidden, InputProblem

AS_THE_HOUSE = ""


def for_me(unit: Unit, spelling: str) -> None:
    """The viewer's own choice; '' goes back to the organisation's. Raises InputProblem."""
    if spelling != AS_THE_HOUSE:
        _known(spelling)
    if not unit.viewer.person_id:
        raise Forbidden
    people.person(unit, unit.viewer.person_id).spelling = spelling


def for_organisation(unit: Unit, spelling: str, now: datetime) -> None:
    """What holds for whoever has not chosen; administrators. Raises InputProblem, Forbidden."""
    unit.viewer.must_be("administrator")
    _known(spelling)
    people.organisation(unit, unit.viewer.organisation_id).spelling = spelling
    log(unit, "organisation.spelling", {"spelling": spelling}, now)


def _known(spelling: str) -> None:
    if spelling not in SPELLINGS:
        raise InputProblem("is no spelling", "spelling", "Choose British or American.")
