"""What the team's page is asked to show."""

from functools import lru_cache

from flask_wtf import FlaskForm
from markupsafe import Markup
from wtforms import Field, SelectField, StringField
from wtforms.fields.choices import SelectChoice
from wtforms.validators import Length

WORDS = (
    ("", "any standing"),
    ("competent", "competent"),
    ("working_towards", "working towards"),
    ("not_started", "not started"),
    ("expired", "expired"),
    ("suspended", "suspended"),
    ("withdrawn", "withdrawn"),
    ("marked", "marked"),
    ("unchecked", "unchecked"),
)
ENDS = (
    ("", "whenever"),
    ("30", "30 days"),
    ("60", "60 days"),
    ("90", "90 days"),
    ("180", "180 days"),
)
VIEWS = (("map", "picture"), ("table", "table"))


class FilterEntry(FlaskForm):
    """Filters change nothing, so they are asked by address and need no token."""

    class Meta:
        """An address that can be kept."""

        csrf = False

    q = StringField("Name", [Length(max=60)])
    method = SelectField("Method")
    service = SelectField("Service")
    word = SelectField("Standing", choices=[SelectChoice(*one) for one in WORDS])
    ends = SelectField("Ends within", choices=[SelectChoice(*one) for one in ENDS])
    view = SelectField("As", choices=[SelectChoice(*one) for one in VIEWS])


def drawn(field: Field) -> Markup:
    """A field as it stands on the page; a choice with the same ways to go is drawn once."""
    if field.type != "SelectField":
        html: Markup = field()
        return html
    return _select(field.id, tuple(one[:3] for one in field.iter_choices()))


@lru_cache(maxsize=256)
def _select(name: str, choices: tuple[tuple[str, str, bool], ...]) -> Markup:
    options = Markup("").join(
        Markup('<option{} value="{}">{}</option>').format(
            " selected" if chosen else "", value, words
        )
        for value, words, chosen in choices
    )
    return Markup('<select id="{0}" name="{0}">{1}</select>').format(name, options)
