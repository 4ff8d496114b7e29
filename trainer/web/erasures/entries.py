"""What is filled in to take somebody out."""

from flask_wtf import FlaskForm
from wtforms import RadioField, StringField, TextAreaField
from wtforms.fields.choices import SelectChoice
from wtforms.validators import InputRequired, Length

from trainer.use_cases.ask_to_leave import REASON

LENGTH = Length(REASON.shortest, REASON.longest, REASON.told)
DAYS = ((0, "Today"), (7, "In 7 days"), (14, "In 14 days"), (28, "In 28 days"))


class DayEntry(FlaskForm):
    """From which day on it may be done, and why not sooner or later."""

    days = RadioField(
        "From when on?",
        [InputRequired("Choose one.")],
        choices=[SelectChoice(str(days), words) for days, words in DAYS],
    )
    why = TextAreaField("Why then?", [InputRequired("Say it in a sentence."), LENGTH])


class BackEntry(FlaskForm):
    """Why it is not done."""

    ended_why = TextAreaField("Why not?", [InputRequired("Say it in a sentence."), LENGTH])


class TypedEntry(FlaskForm):
    """Their address once more, so that it is them and nobody else."""

    typed = StringField("Their e-mail address", [InputRequired("Write it in full.")])
