"""What the team's page is asked to show."""

from flask_wtf import FlaskForm
from wtforms import SelectField, StringField
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
