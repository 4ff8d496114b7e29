"""What is written to take an offer."""

from flask_wtf import FlaskForm
from wtforms import PasswordField
from wtforms.validators import InputRequired


class NewAccountEntry(FlaskForm):
    """The password of an account that is made by saying yes."""

    password = PasswordField("New password", [InputRequired("Write a new password.")])
