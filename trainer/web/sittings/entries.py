"""What the assessment screens ask of an instructor."""

from flask_wtf import FlaskForm
from wtforms import RadioField
from wtforms.fields.choices import SelectChoice

GRANTS = (
    ("0", "No extra time"),
    ("25", "A quarter more"),
    ("50", "Half as much again"),
    ("100", "Double"),
)


class ExtraTimeEntry(FlaskForm):
    """How much longer somebody may take."""

    percent = RadioField("Time in assessments", choices=[SelectChoice(*one) for one in GRANTS])
