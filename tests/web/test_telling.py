"""What is refused stands beside the field it names; what names none is not lost."""

import pytest
from flask_wtf import FlaskForm
from wtforms import StringField

from trainer.use_cases.refusals import InputProblem
from trainer.web.telling import tell


class Entry(FlaskForm):
    """Two fields."""

    first = StringField()
    second = StringField()


@pytest.mark.parametrize(
    ("where", "otherwise", "beside"),
    [
        ("second", "first", "second"),
        ("line 4", "second", "second"),
        ("line 4", "", "first"),
        ("data", "", "first"),  # a form has one, but it is no field
    ],
)
def test_it_stands_beside_its_field(app, where, otherwise, beside):
    with app.test_request_context():
        entry = Entry()
        problem = InputProblem("is wrong", where, "Mend it.")
        tell(entry, problem, entry[otherwise] if otherwise else None)
        assert {name: list(said) for name, said in entry.errors.items()} == {
            beside: ["Is wrong. Mend it."]
        }
