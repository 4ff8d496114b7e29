"""Photos of watched work: who is shown them, where the file lies, who took one away and why."""

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import ForeignKey, Text, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.core.problems import NotFound
from trainer.store.base import Base, Id, new_id
from trainer.store.observations import ObservationRow
from trainer.store.unit import Unit


class EvidencePhotoRow(Base):
    """One photo. `file`: its name in the folder of photos; `removed_at`: the file is gone."""

    __tablename__ = "evidence_photos"
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    observation_id: Mapped[str] = mapped_column(ForeignKey("observations.id"), index=True)
    file: Mapped[str] = mapped_column(unique=True)
    sha256: Mapped[str]
    width: Mapped[int]
    height: Mapped[int]
    added_by: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    added_at: Mapped[datetime]
    removed_at: Mapped[datetime | None]
    removed_by: Mapped[str | None] = mapped_column(Id)
    removed_why: Mapped[str] = mapped_column(Text, default="", server_default="")


def of_observation(unit: Unit, observation_id: str) -> Sequence[EvidencePhotoRow]:
    """The photos of a sheet that are still there, in the order in which they came."""
    return unit.session.scalars(
        select(EvidencePhotoRow)
        .where(
            EvidencePhotoRow.observation_id == observation_id,
            EvidencePhotoRow.removed_at.is_(None),
        )
        .order_by(EvidencePhotoRow.added_at, EvidencePhotoRow.id)
    ).all()


def photo(unit: Unit, photo_id: str) -> EvidencePhotoRow:
    """A photo that is still there. Raises NotFound."""
    row = unit.one(EvidencePhotoRow, photo_id)
    if row.removed_at is not None:
        raise NotFound
    return row


def files_about(unit: Unit, person_id: str) -> Sequence[str]:
    """The files of every photo of a person's work."""
    return unit.session.scalars(
        select(EvidencePhotoRow.file)
        .join(ObservationRow, ObservationRow.id == EvidencePhotoRow.observation_id)
        .where(ObservationRow.person_id == person_id, EvidencePhotoRow.removed_at.is_(None))
    ).all()


def keep(unit: Unit, row: EvidencePhotoRow) -> None:
    """Keep a new photo."""
    unit.session.add(row)
    unit.session.flush()
