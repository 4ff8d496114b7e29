"""Who is signed in, as Flask-Login wants them, and the organisation they look for."""

from flask import current_app, session
from flask_login import LoginManager

from trainer.use_cases.sign_in import Belonging, SignedIn, viewer_of, visiting
from trainer.use_cases.work import Viewer

CHOSEN = "organisation"
BRITISH = "british"


class Visitor:
    """A signed-in person. Flask-Login asks for the four members below."""

    is_authenticated = True
    is_active = True
    is_anonymous = False

    def __init__(self, person: SignedIn, places: list[Belonging], chosen: str | None) -> None:
        self.person = person
        self.places = places
        here = [place for place in places if place.organisation_id == chosen]
        self.place: Belonging | None = (here or places or [None])[0]  # type: ignore[list-item]
        self.viewer: Viewer = viewer_of(person.person_id, self.place)

    @property
    def spelling(self) -> str:
        """'british' or 'american': their own choice, else that of the place they look for."""
        return self.person.spelling or (self.place.spelling if self.place else BRITISH)

    def get_id(self) -> str:
        """What the cookie holds: the person and their visit."""
        return f"{self.person.person_id}:{self.person.visit}"


def settle_sign_in(login: LoginManager) -> None:
    """Tell Flask-Login how a cookie becomes a visitor."""

    login.session_protection = None  # nothing here asks whether a visit is fresh

    @login.user_loader  # type: ignore[untyped-decorator]
    def load(kept: str) -> Visitor | None:
        person_id, _, visit = kept.partition(":")
        with current_app.extensions["trainer"].work.reading() as unit:
            found = visiting(unit, person_id, int(visit)) if visit.isdigit() else None
        return Visitor(*found, session.get(CHOSEN)) if found else None
