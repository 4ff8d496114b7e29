"""What is filled in to appeal or complain, and to answer."""

from flask_wtf import FlaskForm
from wtforms import (
    HiddenField,
    PasswordField,
    RadioField,
    SelectField,
    SelectMultipleField,
    TextAreaField,
)
from wtforms.fields.choices import SelectChoice
from wtforms.validators import InputRequired, Length, Optional

from trainer.use_cases.appeal import WORDS

ABOUT_WORDS = {
    "assessment": "The result of an assessment",
    "sign_off": "A sign-off of work that was watched",
    "record": "A completion record: not issued, suspended or withdrawn",
    "other_evidence": "Other evidence that was not accepted",
    "something_else": "Something else: a complaint",
}
LENGTH = Length(WORDS.shortest, WORDS.longest, WORDS.told)


class SendEntry(FlaskForm):
    """What it is about, what happened, whom it names."""

    submission_id = HiddenField(validators=[InputRequired("Load the page again.")])
    about = RadioField(
        "What is it about?",
        [InputRequired("Choose one.")],
        choices=[SelectChoice(*one) for one in ABOUT_WORDS.items()],
    )
    method = SelectField("Which method?", choices=[])
    words = TextAreaField(
        "What happened, and what would you have expected?",
        [InputRequired("Say what happened."), LENGTH],
    )
    concerns = SelectMultipleField("Who took part?", choices=[])


class AnswerEntry(FlaskForm):
    """What was found."""

    upheld = RadioField(
        "What do you find?",
        [InputRequired("Choose one.")],
        choices=[
            SelectChoice("yes", "They are right, and something changes"),
            SelectChoice("no", "What was done stands"),
        ],
    )
    remedy = RadioField("If they are right, what follows?", [Optional()], choices=[])
    password = PasswordField("Your password, if you decide about a record")
    words = TextAreaField(
        "What you looked at, what you found, what follows",
        [InputRequired("Say what you found."), LENGTH],
    )
