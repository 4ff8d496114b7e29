"""Access codes for other programs: made for one purpose, shown once, ended at once."""

import hashlib
import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from trainer.store import access_tokens, people
from trainer.store.access_tokens import AccessTokenRow
from trainer.store.unit import Unit, Viewer
from trainer.use_cases.keep_log import log
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.roles import SETTERS

PURPOSES = ("clearance", "team", "records", "changes")
STANDS_FOR = frozenset({"salon_manager"})
"""What a code may see at most: what a salon's desk sees. Its purpose narrows that."""
BEGINS = "trainer_"
"""So that a code that was published by mistake can be found by whoever looks for such."""
MOST = 20
LONGEST_LABEL = 60


@dataclass(frozen=True, slots=True)
class Code:
    """An open code as its makers see it. The secret itself is not known any more.

    `maker_left`: whoever made it does not belong here any more, and may have kept a copy.
    """

    id: str
    purpose: str
    label: str
    made_by: str
    made_at: datetime
    last_used_on: date | None
    maker_left: bool


@dataclass(frozen=True, slots=True)
class Access:
    """What a code opens: as whom its program looks, and for what."""

    token_id: str
    viewer: Viewer
    purpose: str


def make(unit: Unit, purpose: str, label: str, now: datetime) -> str:
    """A new code; only its hash is kept. Raises Forbidden, InputProblem naming the field."""
    unit.viewer.must_be(*SETTERS)
    if purpose not in PURPOSES:
        raise InputProblem("is not one of the purposes", "purpose", "Choose one of the list.")
    if not 0 < len(label.strip()) <= LONGEST_LABEL:
        remedy = f"Write 1 to {LONGEST_LABEL} characters."
        raise InputProblem("needs the name of the program", "label", remedy)
    if len(access_tokens.open_ones(unit)) >= MOST:
        raise InputProblem(f"There are {MOST} access codes already", "label", "End one first.")
    token = BEGINS + secrets.token_urlsafe()
    row = AccessTokenRow(
        token_hash=_hashed(token),
        organisation_id=unit.viewer.organisation_id,
        purpose=purpose,
        label=label.strip(),
        made_by=unit.viewer.person_id,
        made_at=now,
    )
    access_tokens.keep(unit, row)
    log(unit, "access.made", {"code": row.id, "purpose": purpose, "label": row.label}, now)
    return token


def end(unit: Unit, token_id: str, now: datetime) -> None:
    """End a code: it opens nothing from now on. Raises NotFound, Forbidden."""
    unit.viewer.must_be(*SETTERS)
    row = access_tokens.open_one(unit, token_id)
    row.ended_at = now
    log(unit, "access.ended", {"code": row.id, "purpose": row.purpose}, now)


def listed(unit: Unit) -> Sequence[Code]:
    """The open codes of the viewer's organisation. Raises Forbidden."""
    unit.viewer.must_be(*SETTERS)
    return [
        Code(
            row.id,
            row.purpose,
            row.label,
            people.person(unit, row.made_by).name,
            row.made_at,
            row.last_used_on,
            _gone(unit, row.made_by),
        )
        for row in access_tokens.open_ones(unit)
    ]


def opened(unit: Unit, token: str) -> Access | None:
    """What a code opens; None where it is unknown or ended."""
    found = access_tokens.opened(unit, _hashed(token))
    if found is None:
        return None
    return Access(found.id, Viewer("", found.organisation_id, STANDS_FOR), found.purpose)


def set_aside(unit: Unit, token_id: str, calls: int, most: int, now: datetime) -> bool:
    """Set aside some of the `most` calls that a code has in this minute; False where too few are
    left."""
    minute = int(now.timestamp()) // 60
    return access_tokens.set_aside(unit, token_id, minute, calls, most, now.date())


def _gone(unit: Unit, person_id: str) -> bool:
    belongs = people.membership(unit, person_id, unit.viewer.organisation_id)
    closed = people.person(unit, person_id).disabled_at is not None
    return closed or belongs is None or belongs.ended_at is not None


def _hashed(token: str) -> str:
    return hashlib.sha256(token.encode("utf-8", "surrogatepass")).hexdigest()
