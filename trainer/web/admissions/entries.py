"""What an instructor says to open an assessment for somebody."""

from flask_wtf import FlaskForm
from wtforms import BooleanField, RadioField, SelectField, TextAreaField
from wtforms.fields.choices import SelectChoice
from wtforms.validators import InputRequired, Length

from trainer.core.marking.accommodation import Accommodation
from trainer.use_cases.admit_candidate import REASON

GRANTS = (
    ("0", "No extra time"),
    ("25", "A quarter more"),
    ("50", "Half as much again"),
    ("100", "Double"),
)
PAUSES = ("0", "1", "2", "3", "4", "6")
LENGTHS = ("5", "10", "15", "20", "30")
SEEN = (
    ("known", "I know this person"),
    ("identity_card", "Identity card"),
    ("passport", "Passport"),
    ("driving_licence", "Driving licence"),
    ("other_photo", "Another document with a photo"),
)


class AccommodationEntry(FlaskForm):
    """What is made easier."""

    extra_percent = RadioField("Time", choices=[SelectChoice(*one) for one in GRANTS])
    pauses = SelectField(
        "How many pauses",
        choices=[SelectChoice(one, "None" if one == "0" else one) for one in PAUSES],
    )
    pause_minutes = SelectField(
        "Each up to", choices=[SelectChoice(one, f"{one} minutes") for one in LENGTHS]
    )
    larger_type = BooleanField("Larger type")

    def start_from(self, granted: Accommodation) -> None:
        """Show what was granted so far."""
        self.extra_percent.data = str(granted.extra_percent)
        self.pauses.data = str(granted.pauses)
        self.pause_minutes.data = str(granted.pause_minutes or 10)
        self.larger_type.data = granted.larger_type

    @property
    def asked(self) -> Accommodation:
        """What is asked for; read it once the entry is found valid."""
        return Accommodation(
            int(self.extra_percent.data),
            int(self.pauses.data),
            int(self.pause_minutes.data),
            bool(self.larger_type.data),
        )


class OpenEntry(AccommodationEntry):
    """Who it is, and what is made easier."""

    identity = RadioField(
        "How you know who this is",
        [InputRequired("Tick what you looked at, or that you know them.")],
        choices=[SelectChoice(*one) for one in SEEN],
    )


class ReviewEntry(FlaskForm):
    """Why a sitting is set aside."""

    reason = TextAreaField("What happened", [InputRequired("Say what happened.")])


class DeclineEntry(FlaskForm):
    """Not now, and why."""

    why = TextAreaField(
        "Why not now",
        [
            InputRequired("Say why."),
            Length(REASON.shortest, REASON.longest, REASON.told),
        ],
    )
