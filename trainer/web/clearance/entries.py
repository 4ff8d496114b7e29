"""What the desk asks: who, which method, which service, when."""

from flask_wtf import FlaskForm
from wtforms import BooleanField, HiddenField, SelectField, StringField
from wtforms.validators import InputRequired, Length

from trainer.web.day_field import DayField


class QuestionEntry(FlaskForm):
    """One question. It changes nothing, so it is asked by address and needs no token."""

    class Meta:
        """Without a token, so that the answer's address can be kept and printed."""

        csrf = False

    person = HiddenField("Who")
    method = SelectField("Method", [InputRequired("Choose a method.")])
    service = SelectField("Service", [InputRequired("Choose a service.")])
    on = DayField("On", [InputRequired("Give the day.")])
    urgent = BooleanField("It cannot wait: a reaction, burning or pain")


class DayEntry(FlaskForm):
    """The day asked about, for everything one person does."""

    class Meta:
        """Asked by address, as above."""

        csrf = False

    on = DayField("Another day", [InputRequired("Give the day.")])


class DoneEntry(FlaskForm):
    """One client, done beside somebody."""

    person = HiddenField("Who")
    method = HiddenField("Method")
    service = HiddenField("Service")
    on = DayField("Day", [InputRequired("Give the day.")])
    supervisor = SelectField("Supervised by", [InputRequired("Choose who stood beside them.")])
    submission_id = StringField("", [InputRequired(), Length(max=32)])
