"""What a use case refuses, told beside the field that it names."""

from flask_wtf import FlaskForm
from wtforms import Field

from trainer.use_cases.refusals import InputProblem


def tell(entry: FlaskForm, problem: InputProblem, otherwise: Field | None = None) -> None:
    """Put it beside its field; what concerns none beside `otherwise`, or the first."""
    fields = {one.short_name: one for one in entry}
    field = fields.get(problem.where, otherwise)
    if field is None:
        field = next(iter(entry))
    field.errors = (*field.errors, problem.said)
