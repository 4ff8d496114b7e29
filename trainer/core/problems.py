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
