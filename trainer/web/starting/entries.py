"""What is written to sign the agreement, and to ask to sit."""

from flask_wtf import FlaskForm
from wtforms import BooleanField, HiddenField, PasswordField, TextAreaField
from wtforms.validators import InputRequired, Length

from trainer.use_cases.ask_to_sit import LONGEST


class AgreeEntry(FlaskForm):
    """A signature under the text of a version."""

    version = HiddenField()
    agreed = BooleanField("Agreed", [InputRequired("Tick it to sign.")])
    password = PasswordField("Your password", [InputRequired("Type your password to sign.")])


class AskEntry(FlaskForm):
    """What somebody needs, if anything."""

    needs = TextAreaField(
        "Anything you need (only if you do)", [Length(max=LONGEST, message=f"Keep to {LONGEST}.")]
    )
