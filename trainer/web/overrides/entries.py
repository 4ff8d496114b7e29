"""What is written to ask for other evidence to count, and to decide about it."""

from flask_wtf import FlaskForm
from wtforms import PasswordField, RadioField, SelectField, TextAreaField
from wtforms.fields.choices import SelectChoice
from wtforms.validators import InputRequired, Length

from trainer.use_cases.accept_evidence import REASON

LENGTH = Length(REASON.shortest, REASON.longest, REASON.told)


class AskEntry(FlaskForm):
    """Which service, and what was seen instead."""

    service = SelectField("Service", [InputRequired("Choose a service.")])
    reason = TextAreaField(
        "What you have seen instead",
        [InputRequired("Say what you have seen."), LENGTH],
    )


class DecideEntry(FlaskForm):
    """Yes or no, and why."""

    decision = RadioField(
        "Decision",
        [InputRequired("Choose one.")],
        choices=[SelectChoice("yes", "It counts"), SelectChoice("no", "It does not count")],
    )
    reason = TextAreaField("Reason", [InputRequired("Say why."), LENGTH])
    password = PasswordField("Your password", [InputRequired("Type your password to decide.")])
