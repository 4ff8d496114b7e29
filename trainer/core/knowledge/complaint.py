"""What is wrong with the content, and where."""

from collections.abc import Sequence
from dataclasses import dataclass

from trainer.core.problems import InputProblem


@dataclass(frozen=True, slots=True)
class Complaint:
    """One thing to mend: file, entry ('fact tape_in.wear'), field, and what is wrong with it."""

    file: str
    entry: str
    field: str
    what: str

    def __str__(self) -> str:
        return ": ".join(part for part in (self.file, self.entry, self.field, self.what) if part)


class BankProblems(InputProblem):
    """All complaints about a bank. Nothing of a bank with complaints is used."""

    def __init__(self, complaints: Sequence[Complaint]) -> None:
        self.complaints = tuple(complaints)
        lines = "\n".join(str(complaint) for complaint in complaints)
        super().__init__(lines, "question bank", "Mend each entry named.")
