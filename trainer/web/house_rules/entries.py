"""What a salon manager sets."""

from flask_wtf import FlaskForm
from wtforms import BooleanField, IntegerField, SelectField
from wtforms.validators import InputRequired, NumberRange

from trainer.use_cases.keep_house_rules import MOST_CLIENTS, MOST_MONTHS


def _from_none(most: int) -> list[object]:
    words = f"Give a number from 0 to {most}."
    return [InputRequired(words), NumberRange(0, most, words)]


class RulesEntry(FlaskForm):
    """The rules of the house for one method or all."""

    method = SelectField("For")
    second_observation = BooleanField("A second person must have watched and signed it off")
    refresh_months = IntegerField("Months that a record may be old", _from_none(MOST_MONTHS))
    supervised_clients = IntegerField("First clients under supervision", _from_none(MOST_CLIENTS))
    grace_days = IntegerField("Days of supervised work after a record's end", [InputRequired()])
    status_days = IntegerField(
        "Days for which a look at the status of a record from elsewhere is enough",
        [InputRequired()],
    )
