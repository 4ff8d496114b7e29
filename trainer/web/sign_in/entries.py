"""What people write to sign in and to set a password."""

from flask_wtf import FlaskForm
from wtforms import EmailField, PasswordField
from wtforms.validators import InputRequired


class SignInEntry(FlaskForm):
    """Address and password."""

    email = EmailField("E-mail address", [InputRequired("Write your e-mail address.")])
    password = PasswordField("Password", [InputRequired("Write your password.")])


class ForgottenEntry(FlaskForm):
    """Where the link goes."""

    email = EmailField("E-mail address", [InputRequired("Write your e-mail address.")])


class SetPasswordEntry(FlaskForm):
    """A new password, typed once: it can be shown, pasted and kept by a password manager."""

    password = PasswordField("New password", [InputRequired("Write a new password.")])
