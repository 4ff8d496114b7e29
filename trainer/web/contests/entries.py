"""What an instructor fills in to answer a contest."""

from flask_wtf import FlaskForm
from wtforms import RadioField, TextAreaField
from wtforms.fields.choices import SelectChoice
from wtforms.validators import InputRequired, Length

from trainer.use_cases.contest_question import ALIKE, ONE, WORDS

VERDICTS = (("no", "The question stands"), ("yes", "It is faulty: it counts no more"))
REACHES = (
    (ONE, "Only this question, in this sitting"),
    (ALIKE, "Every question of its kind, in every sitting here"),
)


class AnswerEntry(FlaskForm):
    """Whether the question stands, how far a withdrawal goes, and why."""

    upheld = RadioField(
        "What do you find?",
        [InputRequired("Choose one.")],
        choices=[SelectChoice(*one) for one in VERDICTS],
    )
    reach = RadioField(
        "If it is faulty, what is withdrawn?",
        choices=[SelectChoice(*one) for one in REACHES],
        default=ONE,
    )
    words = TextAreaField(
        "Why",
        [
            InputRequired("Say why, in a sentence or two."),
            Length(WORDS.shortest, WORDS.longest, WORDS.told),
        ],
    )
