"""What the week check asks for: a file and a week, an address and a clock, words and meanings."""

from zoneinfo import available_timezones

from flask_wtf import FlaskForm
from flask_wtf.file import FileField
from wtforms import RadioField, SelectField, StringField, SubmitField
from wtforms.validators import InputRequired, Length, Optional

from trainer.use_cases.keep_matching_rules import LONGEST
from trainer.web.day_field import DayField

NOTHING = "nothing"
NOBODY = "nobody"


class FileEntry(FlaskForm):
    """A file of bookings, and a day of the week that is meant."""

    bookings = FileField("Bookings")
    week = DayField("Any day of the week to check", validators=[Optional()])
    check = SubmitField("Check this week")


class AddressEntry(FlaskForm):
    """Where the bookings stand, and the clock they go by."""

    address = StringField("Address of your calendar", validators=[Length(max=2000)])
    zone = SelectField("Time zone of the salon")
    keep = SubmitField("Keep this")

    def __init__(self, *given: object, **named: object) -> None:
        super().__init__(*given, **named)
        places = sorted(one for one in available_timezones() if "/" in one and one[:4] != "Etc/")
        self.zone.choices = [("", "As the calendar says"), *((one, one) for one in places)]


class RuleEntry(FlaskForm):
    """A rule typed by hand."""

    words = StringField(
        "Words in the booking", [InputRequired("Give the words."), Length(max=LONGEST)]
    )
    kind = RadioField("What they say", default="work")
    method = SelectField("Method")
    service = SelectField("Service")
    who = SelectField("Person")
    keep = SubmitField("Keep this rule")
