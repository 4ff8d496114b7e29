"""What an observer fills in: whom and what they watch, and the sheet."""

from flask_wtf import FlaskForm
from wtforms import (
    DateField,
    HiddenField,
    PasswordField,
    SelectField,
    SelectMultipleField,
    TextAreaField,
)
from wtforms.validators import InputRequired, Length

from trainer.use_cases.sign_off import LONGEST_NOTES


class WatchEntry(FlaskForm):
    """Whom, which method and which service. It changes nothing, so it is asked by address."""

    class Meta:
        """No token for a question."""

        csrf = False

    person = SelectField("Who", [InputRequired("Choose a person.")])
    method = SelectField("Method", [InputRequired("Choose a method.")])
    service = SelectField("Service", [InputRequired("Choose a service.")])


class SheetEntry(FlaskForm):
    """The sheet: what was met, notes, day, and the observer's password."""

    met = SelectMultipleField("Criteria")
    notes = TextAreaField("Notes", [Length(max=LONGEST_NOTES, message="Write less.")])
    on = DateField("Watched on", [InputRequired("Choose the day.")])
    password = PasswordField("Your password", [InputRequired("Type your password to sign.")])
    submission_id = HiddenField()
