"""What people fill in: a record to check, a reason to suspend or withdraw."""

from flask_wtf import FlaskForm
from flask_wtf.file import FileField
from wtforms import PasswordField, RadioField, SubmitField, TextAreaField
from wtforms.validators import InputRequired, Length

from trainer.use_cases.withdraw import REASON


class CheckEntry(FlaskForm):
    """A record as a file or as text, the issuer's key and a status list where needed."""

    record_file = FileField("Record file")
    record_text = TextAreaField("Or the record as text")
    issuer_key = TextAreaField("Issuer's public key")
    list_file = FileField("Status list file")
    check = SubmitField("Check this record")


class StateEntry(FlaskForm):
    """A decision about a record, with its reason."""

    decision = RadioField("Decision", validators=[InputRequired("Choose one.")])
    reason = TextAreaField(
        "Reason",
        validators=[
            InputRequired("Say in a sentence why."),
            Length(REASON.shortest, REASON.longest, REASON.told),
        ],
    )
    password = PasswordField("Your password", [InputRequired("Type your password to decide.")])
    decide = SubmitField("Record this decision")
