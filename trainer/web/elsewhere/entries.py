"""What is given: a record in any of its forms, whose it is; an issuer, and what for."""

from flask_wtf import FlaskForm
from flask_wtf.file import FileField
from wtforms import (
    BooleanField,
    HiddenField,
    SelectField,
    SelectMultipleField,
    StringField,
    SubmitField,
    TextAreaField,
)
from wtforms.validators import InputRequired, Length

from trainer.use_cases.accept_issuer import LONGEST_NAME


class RecordEntry(FlaskForm):
    """A record as text or link, as a file, or as a photo of its QR code."""

    text = TextAreaField("Link or text of the record", [Length(max=100_000)])
    record_file = FileField("Or its file")
    photo = FileField("Or a photo of its QR code")
    look = SubmitField("Look at it")


class KeepEntry(FlaskForm):
    """Whose record it is, and that they agreed."""

    document = HiddenField("Record")
    person = SelectField("Whose record is it?", [InputRequired("Choose a person.")])
    agreed = BooleanField("They agree that we keep it, and that its status is checked")
    keep = SubmitField("Keep this record")


class IssuerEntry(FlaskForm):
    """An issuer by did or key, under a name of the house's own, and what it is accepted for."""

    name = StringField(
        "What you call it", [InputRequired("Give a name."), Length(max=LONGEST_NAME)]
    )
    identity = TextAreaField(
        "What it signs with",
        [InputRequired("Give what it signs with."), Length(max=50_000)],
    )
    methods = SelectMultipleField("Methods")
    services = SelectMultipleField("Services")
    accept = SubmitField("Accept this issuer")
