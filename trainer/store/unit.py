"""One unit of work: a session and who is looking. Every query is scoped by it."""

from dataclasses import dataclass, field
from typing import Any, Literal, Protocol, TypeVar, get_args

from sqlalchemy import Connection
from sqlalchemy.orm import Session

from trainer.core.problems import Forbidden, NotFound

Role = Literal["apprentice", "instructor", "salon_manager", "administrator"]
ROLES: tuple[Role, ...] = get_args(Role)


@dataclass(frozen=True, slots=True)
class Viewer:
    """Who is looking, for which organisation, in which roles. '' where nobody is signed in."""

    person_id: str = ""
    organisation_id: str = ""
    roles: frozenset[str] = field(default_factory=frozenset)

    def must_be(self, *roles: Role) -> None:
        """Raises Forbidden unless the viewer has one of the roles."""
        if not self.roles & set(roles):
            raise Forbidden

    def is_a(self, *roles: Role) -> bool:
        """Whether the viewer has one of the roles."""
        return bool(self.roles & set(roles))

    def must_see(self, organisation_id: str | None) -> None:
        """Raises NotFound for what belongs to another organisation."""
        if organisation_id != self.organisation_id or not self.organisation_id:
            raise NotFound


NOBODY = Viewer()
HELD: dict[str, Any] = {"key_share": True}


class OfHouse(Protocol):
    """A row that belongs to an organisation."""

    @property
    def organisation_id(self) -> str | None: ...


Row = TypeVar("Row")
Housed = TypeVar("Housed", bound=OfHouse)


class Unit:
    """What a use case works in: it all happens, or none of it.

    Statements built once run on `connection`; rows as objects come through `session`, which is
    made when it is first asked for and sees the same transaction. `log_began` is where the chained
    log ended before this unit appended to it (number, hash); None while it has not.
    """

    __slots__ = ("_session", "connection", "log_began", "viewer")

    def __init__(self, connection: Connection, viewer: Viewer) -> None:
        self.connection = connection
        self.viewer = viewer
        self._session: Session | None = None
        self.log_began: tuple[int, str] | None = None

    @property
    def session(self) -> Session:
        """Rows as objects; they stay readable after the commit."""
        if self._session is None:
            self._session = Session(self.connection, expire_on_commit=False)
        return self._session

    def one(self, table: type[Row], key: Any, to_change: bool = False) -> Row:
        """A row by its primary key; held until the unit ends if `to_change`. Raises NotFound.

        Others may still keep rows that name a held one: they would wait for it, and it for them.
        """
        row = self.session.get(table, key, with_for_update=HELD if to_change else None)
        if row is None:
            raise NotFound
        return row

    def ours(self, table: type[Housed], key: Any, to_change: bool = False) -> Housed:
        """The same, of the viewer's organisation."""
        row = self.one(table, key, to_change)
        self.viewer.must_see(row.organisation_id)
        return row

    def flush(self) -> None:
        """Write what the session still holds."""
        if self._session is not None:
            self._session.flush()

    def close(self) -> None:
        """Let go of the session's rows."""
        if self._session is not None:
            self._session.close()
