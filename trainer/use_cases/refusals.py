"""What a use case refuses with."""

from trainer.core.problems import Forbidden, InputProblem, NotFound

__all__ = ["Forbidden", "InputProblem", "NotFound"]
