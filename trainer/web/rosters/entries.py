"""What is sent with a roster."""

from flask_wtf import FlaskForm
from flask_wtf.file import FileField, FileRequired
from wtforms import HiddenField


class RosterEntry(FlaskForm):
    """The file."""

    file = FileField("The zip file", [FileRequired("Choose the file.")])


class TakeEntry(FlaskForm):
    """A yes to what was seen."""

    seen = HiddenField()
