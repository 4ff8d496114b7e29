"""What a rater fills in."""

from flask_wtf import FlaskForm
from wtforms import RadioField
from wtforms.fields.choices import SelectChoice
from wtforms.validators import InputRequired

from trainer.use_cases.weigh_ratings import TEN

HOW_MANY = tuple(SelectChoice(str(n), str(n)) for n in range(TEN + 1))


class RatingEntry(FlaskForm):
    """Of ten who are just good enough, how many get it right."""

    of_ten = RadioField(
        "Of ten stylists who are just good enough, how many get this right?",
        [InputRequired("Choose how many of ten.")],
        choices=HOW_MANY,
    )
