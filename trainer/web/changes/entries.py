"""What is filled in to offer a top-up."""

from flask_wtf import FlaskForm
from wtforms import BooleanField, IntegerField
from wtforms.validators import InputRequired

from trainer.web.day_field import DayField


class TopUpEntry(FlaskForm):
    """How many questions, by when, and whether the house holds people back without it."""

    length = IntegerField("How many questions", [InputRequired("Write a number.")])
    due_on = DayField("To be finished by", [InputRequired("Choose a day.")])
    required = BooleanField("After that day, supervised only until it is finished")
