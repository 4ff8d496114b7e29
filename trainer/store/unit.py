"""One unit of work: a session and who is looking. Every query is scoped by it."""

from dataclasses import dataclass, field

from sqlalchemy.orm import Session

from trainer.core.problems import Forbidden, NotFound


@dataclass(frozen=True, slots=True)
class Viewer:
    """Who is looking, for which organisation, in which roles. '' where nobody is signed in."""

    person_id: str = ""
    organisation_id: str = ""
    roles: frozenset[str] = field(default_factory=frozenset)

    def must_be(self, *roles: str) -> None:
        """Raises Forbidden unless the viewer has one of the roles."""
        if not self.roles & set(roles):
            raise Forbidden

    def is_a(self, *roles: str) -> bool:
        """Whether the viewer has one of the roles."""
        return bool(self.roles & set(roles))

    def must_see(self, organisation_id: str | None) -> None:
        """Raises NotFound for what belongs to another organisation."""
        if organisation_id != self.organisation_id or not self.organisation_id:
            raise NotFound


NOBODY = Viewer()


@dataclass(frozen=True, slots=True)
class Unit:
    """What a use case works in: it all happens, or none of it."""

    session: Session
    viewer: Viewer
