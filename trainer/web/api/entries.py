"""What is written about a new access code."""

from flask_wtf import FlaskForm
from wtforms import RadioField, StringField
from wtforms.fields.choices import SelectChoice
from wtforms.validators import InputRequired, Length

from trainer.use_cases.keep_access import LONGEST_LABEL

PURPOSE_WORDS = {
    "clearance": "Ask who may do which service today",
    "team": "See where everybody stands",
    "records": "Read completion records",
    "changes": "Be told what has changed",
}


class CodeEntry(FlaskForm):
    """A new access code."""

    label = StringField(
        "Which program is it for?",
        [
            InputRequired("Write the name of the program."),
            Length(max=LONGEST_LABEL, message=f"At most {LONGEST_LABEL} characters."),
        ],
    )
    purpose = RadioField(
        "What may it do?",
        [InputRequired("Choose one.")],
        choices=[SelectChoice(*one) for one in PURPOSE_WORDS.items()],
    )
