"""What is written about people."""

from flask_wtf import FlaskForm
from wtforms import EmailField, SelectMultipleField, StringField
from wtforms.fields.choices import SelectChoice
from wtforms.validators import DataRequired, Email, InputRequired, Length

from trainer.web.words import ROLE_WORDS

A_NAME = [DataRequired("Write the name."), Length(max=120, message="At most 120 characters.")]


class InviteEntry(FlaskForm):
    """Somebody new."""

    name = StringField("Name", A_NAME)
    email = EmailField(
        "E-mail address",
        [InputRequired("Write the address."), Email("Write it in full, like name@example.org.")],
    )
    roles = SelectMultipleField("Roles", [InputRequired("Choose at least one role.")])
    groups = SelectMultipleField("Groups")


class MemberEntry(FlaskForm):
    """Roles and groups of a member."""

    roles = SelectMultipleField(
        "Roles",
        [InputRequired("Choose at least one role.")],
        choices=[SelectChoice(*one) for one in ROLE_WORDS.items()],
    )
    groups = SelectMultipleField("Groups")


class NameEntry(FlaskForm):
    """A new name for a member."""

    name = StringField("Name", A_NAME)


class GroupEntry(FlaskForm):
    """A new group."""

    name = StringField("Name of the group", A_NAME)
