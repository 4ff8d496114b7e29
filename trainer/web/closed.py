"""What answers questions is closed to whoever is sitting an assessment, and to nobody else.

First aid stays open to everybody at all times: somebody may be hurt while the clock runs.
"""

from flask import Blueprint, render_template
from flask.typing import ResponseReturnValue

from trainer.use_cases import sit_assessment
from trainer.web.house import reading, viewer


def closed_while_sitting(pages: Blueprint) -> None:
    """Close a room to people with a sitting that is not finished, paused and lapsed ones too."""
    pages.before_request(instead_while_sitting)


def instead_while_sitting() -> ResponseReturnValue | None:
    """The page that stands in the place of any other for now, or None."""
    if not viewer().person_id:
        return None
    with reading() as unit:
        sitting = sit_assessment.under_way(unit)
    if sitting is None:
        return None
    return render_template("sittings/closed.html", sitting=sitting), 403
