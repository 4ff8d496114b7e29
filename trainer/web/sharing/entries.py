"""What a holder fills in to share a record."""

from flask_wtf import FlaskForm
from wtforms import SelectMultipleField, StringField, SubmitField
from wtforms.fields.choices import SelectChoice
from wtforms.validators import Length

from trainer.use_cases.share_record import LONGEST_LABEL, NAME, OBSERVERS, SCORE


class ShareEntry(FlaskForm):
    """A new link: whom it is for, and what it shows."""

    label = StringField(
        "Whom it is for", validators=[Length(0, LONGEST_LABEL, "Keep it under 60 characters.")]
    )
    shows = SelectMultipleField(
        "What it shows",
        choices=[
            SelectChoice(NAME, "My name"),
            SelectChoice(SCORE, "My score, and how sure the decision is"),
            SelectChoice(OBSERVERS, "Who watched my work, and when"),
        ],
        default=[NAME],
    )
    make = SubmitField("Make this link")
