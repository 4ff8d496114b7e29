"""What an instructor fills in to build a module."""

from flask_wtf import FlaskForm
from wtforms import (
    BooleanField,
    HiddenField,
    IntegerField,
    SelectField,
    SelectMultipleField,
    StringField,
)
from wtforms.fields.choices import SelectChoice
from wtforms.validators import InputRequired, Length, Optional

from trainer.use_cases.assign_module import LONGEST_TITLE
from trainer.web.day_field import DayField

LEVEL_WORDS = (
    ("", "What suits each person"),
    ("foundation", "Foundation"),
    ("working", "Working"),
    ("advanced", "Advanced"),
)


class ModuleEntry(FlaskForm):
    """A new module, and whom it is for."""

    methods = SelectMultipleField("Methods", [InputRequired("Choose at least one method.")])
    topics = SelectMultipleField("Topics", [InputRequired("Choose at least one topic.")])
    length = IntegerField("How many scenarios", [InputRequired("Write a number.")])
    due_on = DayField("Due on", [InputRequired("Choose a day.")])
    groups = SelectMultipleField("Groups")
    people = SelectMultipleField("People")
    title = StringField("Name of the module", [Length(max=LONGEST_TITLE), Optional()])
    level = SelectField("How hard", choices=[SelectChoice(*one) for one in LEVEL_WORDS])
    before_assessment = BooleanField("Must be done before the assessment")
    submission_id = HiddenField()


class DueEntry(FlaskForm):
    """Another due day."""

    due_on = DayField("Due on", [InputRequired("Choose a day.")])
