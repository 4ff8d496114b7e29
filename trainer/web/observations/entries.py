"""What an observer fills in: whom and what they watch, and the sheet."""

from flask_wtf import FlaskForm
from flask_wtf.file import MultipleFileField
from wtforms import (
    BooleanField,
    HiddenField,
    PasswordField,
    SelectField,
    SelectMultipleField,
    TextAreaField,
)
from wtforms.validators import InputRequired, Length

from trainer.use_cases.sign_off import LONGEST_NOTES
from trainer.web.day_field import DayField


class WatchEntry(FlaskForm):
    """Whom, which method and which service. It changes nothing, so it is asked by address."""

    class Meta:
        """No token for a question."""

        csrf = False

    person = SelectField("Who", [InputRequired("Choose a person.")])
    method = SelectField("Method", [InputRequired("Choose a method.")])
    service = SelectField("Service", [InputRequired("Choose a service.")])


class SheetEntry(FlaskForm):
    """The sheet: what was met, notes, what to do next, photos, day, the observer's password."""

    met = SelectMultipleField("Criteria")
    notes = TextAreaField("Notes", [Length(max=LONGEST_NOTES, message="Write less.")])
    next_step = TextAreaField("What to do next", [Length(max=LONGEST_NOTES, message="Write less.")])
    photos = MultipleFileField("Photos")
    agreed = BooleanField(
        "The client agreed to the photo. No face can be seen, and nothing that names the client."
    )
    on = DayField("Watched on", [InputRequired("Choose the day.")])
    password = PasswordField("Your password", [InputRequired("Type your password to sign.")])
    submission_id = HiddenField()

    def sent_photos(self) -> list[bytes]:
        """The files that were chosen, as they came."""
        return [content for one in self.photos.data or [] if (content := one.read())]


class ReasonEntry(FlaskForm):
    """Why a photo is taken away."""

    reason = TextAreaField(
        "Why it goes",
        [InputRequired("Say why."), Length(10, 500, "Say why in 10 to 500 letters.")],
    )
