"""What a person can mend: what is wrong, where, and what to do."""


class InputProblem(ValueError):
    """Input that cannot be used.

    `what` says what is wrong, `where` names the file, entry, line or field, `remedy` what to do.
    """

    def __init__(self, what: str, where: str, remedy: str) -> None:
        super().__init__(f"{where}: {what}. {remedy}")
        self.what = what
        self.where = where
        self.remedy = remedy

    @property
    def said(self) -> str:
        """What is wrong and what to do, as sentences for a page that shows where."""
        return f"{self.what[:1].upper()}{self.what[1:]}. {self.remedy}"


class NotFound(LookupError):
    """There is no such thing, or not for this viewer: both look the same from outside."""


class Forbidden(PermissionError):
    """The viewer may not do this. `why` is said to them."""

    def __init__(self, why: str = "Your role does not allow this.") -> None:
        super().__init__(why)
        self.why = why
