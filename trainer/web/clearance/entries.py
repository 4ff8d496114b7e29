"""What the desk asks: who, which method, which service, when."""

from flask_wtf import FlaskForm
from wtforms import DateField, SelectField, SubmitField
from wtforms.validators import InputRequired


class QuestionEntry(FlaskForm):
    """One question. It changes nothing, so it is asked by address and needs no token."""

    class Meta:
        """Without a token, so that the answer's address can be kept and printed."""

        csrf = False

    person = SelectField("Who", validators=[InputRequired("Choose a person.")])
    method = SelectField("Method", validators=[InputRequired("Choose a method.")])
    service = SelectField("Service", validators=[InputRequired("Choose a service.")])
    on = DateField("On", validators=[InputRequired("Give the day.")])
    ask = SubmitField("May they do it?")
