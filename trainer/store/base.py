"""What all tables share: names of constraints, times in UTC, ids."""

from datetime import UTC, datetime
from typing import Any
from uuid import uuid4

from sqlalchemy import JSON, DateTime, Dialect, MetaData, String, TypeDecorator
from sqlalchemy.orm import DeclarativeBase

ID_LENGTH = 32
NAMES = {
    "ix": "ix_%(column_0_N_label)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}


class Moment(TypeDecorator[datetime]):
    """A moment in UTC: aware on both sides, stored without a zone."""

    impl = DateTime
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Refuse a moment without a zone."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a moment needs its zone")
        return value.astimezone(UTC).replace(tzinfo=None)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Give the zone back."""
        return None if value is None else value.replace(tzinfo=UTC)


Id = String(ID_LENGTH)


class Base(DeclarativeBase):
    """Every table."""

    metadata = MetaData(naming_convention=NAMES)
    type_annotation_map = {datetime: Moment, dict[str, Any]: JSON, list[str]: JSON}


def new_id() -> str:
    """A new id: 32 hexadecimal digits at random."""
    return uuid4().hex
