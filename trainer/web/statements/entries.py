"""What is written about statements: the days of a file, and the store they are sent to."""

from flask_wtf import FlaskForm
from wtforms import PasswordField, StringField
from wtforms.validators import InputRequired, Length

from trainer.web.day_field import DayField

SHORT = Length(max=200, message="At most 200 characters.")


class DaysEntry(FlaskForm):
    """The days of a file. It changes nothing, so it is asked by address and needs no token."""

    class Meta:
        """Without a token."""

        csrf = False

    since = DayField("From", validators=[InputRequired("Give the first day.")])
    until = DayField("To", validators=[InputRequired("Give the last day.")])


class StoreEntry(FlaskForm):
    """A store of statements elsewhere."""

    address = StringField("Address of the store", [InputRequired("Copy the address."), SHORT])
    name = StringField("Name it knows us by", [InputRequired("Copy the name."), SHORT])
    secret = PasswordField("Secret", [SHORT])
