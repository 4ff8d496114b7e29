"""Which results are wanted."""

from flask_wtf import FlaskForm
from wtforms import SelectField
from wtforms.fields.choices import SelectChoice

WHOLE, TOPICS = "whole", "topics"
LINES = ((TOPICS, "A line for each topic too"), (WHOLE, "Only whole methods"))


class ResultsEntry(FlaskForm):
    """Whose results, of what."""

    group = SelectField("Whose")
    method = SelectField("Method")
    lines = SelectField("How fine", choices=[SelectChoice(*one) for one in LINES])
