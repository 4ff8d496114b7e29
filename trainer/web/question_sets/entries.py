"""What is asked before a set of questions is given out."""

from flask_wtf import FlaskForm
from wtforms import IntegerField, SelectField, StringField
from wtforms.fields.choices import SelectChoice
from wtforms.validators import InputRequired, Length, NumberRange

from trainer.use_cases.give_out_questions import MOST

LONGEST_TITLE = 120
A_DAY = 24 * 60
SOME, NO_LIMIT = 20, 0
LEVELS = [("foundation", "Foundation"), ("working", "Working"), ("advanced", "Advanced")]
KINDS = [
    ("", "Any kind"),
    ("choose_one", "Choose one"),
    ("choose_all", "Choose all that apply"),
    ("put_in_order", "Put steps in order"),
    ("number", "Work out a number"),
    ("date", "Work out a day"),
    ("point_at_figure", "Point at a drawing"),
    ("consultation", "Consultation, step by step"),
]
A_COUNT = f"Write a number from 1 to {MOST}."
MINUTES = f"Write a number from 0 to {A_DAY}."


class QuestionSetEntry(FlaskForm):
    """Which questions, and what the set is called."""

    title = StringField(
        "Name of the set", [InputRequired("Write a name."), Length(max=LONGEST_TITLE)]
    )
    count = IntegerField(
        "How many questions",
        [InputRequired(A_COUNT), NumberRange(1, MOST, A_COUNT)],
        default=SOME,
    )
    method = SelectField("Method")
    topic = SelectField("Topic")
    kind = SelectField("Kind of question", choices=[SelectChoice(*one) for one in KINDS])
    level = SelectField(
        "How hard", choices=[SelectChoice(*one) for one in LEVELS], default="working"
    )
    minutes = IntegerField(
        "Time limit in minutes",
        [InputRequired(MINUTES), NumberRange(0, A_DAY, MINUTES)],
        default=NO_LIMIT,
    )
