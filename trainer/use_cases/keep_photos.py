"""Photos of watched work: made anew, kept outside what the web serves, shown to few."""

import hashlib
import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from trainer.core.marking.photo import Photo, clean
from trainer.store import evidence_photos, observations
from trainer.store.evidence_photos import EvidencePhotoRow
from trainer.store.unit import Unit
from trainer.use_cases import private_file
from trainer.use_cases.keep_log import log
from trainer.use_cases.reasons import Letters
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound

MOST = 3
NAME_BYTES = 24
REASON = Letters(10, 500)


class Album:
    """The folder of photos. What was put in can be taken back while nothing is settled yet."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._new: list[Path] = []

    def put(self, content: bytes) -> str:
        """Keep a file under a name that nobody can guess; gives back the name."""
        path = self._folder / f"{secrets.token_hex(NAME_BYTES)}.jpg"
        self._new.append(path)
        private_file.put(path, content)
        return path.name

    def get(self, name: str) -> bytes:
        """A kept file. Raises NotFound."""
        path = self._folder / Path(name).name
        if not path.is_file():
            raise NotFound
        return path.read_bytes()

    def drop(self, name: str) -> None:
        """Delete a file for good."""
        (self._folder / Path(name).name).unlink(missing_ok=True)

    def take_back(self) -> None:
        """Delete what was put in: the unit that was to speak of it has failed."""
        for path in self._new:
            path.unlink(missing_ok=True)


@dataclass(frozen=True, slots=True)
class Shot:
    """A kept photo, as a page shows it."""

    id: str
    width: int
    height: int
    added_at: datetime


def prepare(files: Sequence[bytes], agreed: bool) -> tuple[Photo, ...]:
    """Make sent pictures anew. Slow: do it before the unit that keeps them.

    `agreed`: the observer says that the client agreed and that no face is seen. Raises
    InputProblem naming the field.
    """
    if len(files) > MOST:
        raise InputProblem(f"There are {len(files)} photos", "photos", f"Choose at most {MOST}.")
    if files and not agreed:
        raise InputProblem(
            "A photo needs the client's consent",
            "agreed",
            "Ask first, tick this, and choose the photo again. Or sign without a photo.",
        )
    return tuple(clean(one) for one in files)


def keep(
    unit: Unit, album: Album, observation_id: str, photos: Sequence[Photo], now: datetime
) -> None:
    """Keep photos with a sheet that the viewer has just signed."""
    for photo in photos:
        digest = hashlib.sha256(photo.content).hexdigest()
        row = EvidencePhotoRow(
            observation_id=observation_id,
            file=album.put(photo.content),
            sha256=digest,
            width=photo.width,
            height=photo.height,
            added_by=unit.viewer.person_id,
            added_at=now,
        )
        evidence_photos.keep(unit, row)
        about = observations.observation(unit, observation_id).person_id
        body = {"photo": row.id, "observation": observation_id, "sha256": digest}
        log(unit, "evidence.photo_added", body, now, person_id=about)


def shots(unit: Unit, observation_id: str) -> tuple[Shot, ...]:
    """The photos of a sheet. Ask only for a sheet that the viewer may see."""
    return tuple(
        Shot(row.id, row.width, row.height, row.added_at)
        for row in evidence_photos.of_observation(unit, observation_id)
    )


def content(unit: Unit, album: Album, photo_id: str) -> bytes:
    """A photo's file, for instructors of its organisation and for whom it is about.

    Raises NotFound, Forbidden.
    """
    row = evidence_photos.photo(unit, photo_id)
    sheet = observations.observation(unit, row.observation_id)
    if sheet.person_id != unit.viewer.person_id:
        unit.viewer.must_be("instructor")
    return album.get(row.file)


def remove(unit: Unit, album: Album, photo_id: str, reason: str, now: datetime) -> str:
    """Delete a photo for good, by an instructor, with the reason; gives back its sheet's id.

    Raises NotFound, Forbidden, InputProblem naming the field.
    """
    unit.viewer.must_be("instructor")
    row = evidence_photos.photo(unit, photo_id)
    sheet = observations.observation(unit, row.observation_id)
    unit.viewer.must_see(sheet.organisation_id)
    if sheet.person_id == unit.viewer.person_id:
        raise Forbidden("This is about your own work. Ask another instructor.")
    said = REASON.read(reason, "reason", "Say in a sentence why")
    row.removed_at, row.removed_by, row.removed_why = now, unit.viewer.person_id, said
    body = {"photo": row.id, "observation": sheet.id, "reason": said}
    log(unit, "evidence.photo_removed", body, now, person_id=sheet.person_id)
    album.drop(row.file)
    return sheet.id
