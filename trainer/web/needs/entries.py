"""What is chosen about letters."""

from flask_wtf import FlaskForm
from wtforms import RadioField
from wtforms.fields.choices import SelectChoice
from wtforms.validators import InputRequired

from trainer.use_cases.send_notices import DAILY, NEVER, WEEKLY

WORDS = ((NEVER, "Never"), (WEEKLY, "Once a week"), (DAILY, "Once a day"))


class LetterEntry(FlaskForm):
    """How often a letter is wanted."""

    every = RadioField(
        "Send me this by e-mail",
        [InputRequired("Choose one.")],
        coerce=int,
        choices=[SelectChoice(*one) for one in WORDS],
    )
