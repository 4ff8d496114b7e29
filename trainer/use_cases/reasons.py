"""What somebody writes to decide or to disagree: enough to be understood, and to be read."""

from dataclasses import dataclass

from trainer.use_cases.refusals import InputProblem


@dataclass(frozen=True, slots=True)
class Letters:
    """How many letters there may be, from and up to."""

    shortest: int
    longest: int

    @property
    def told(self) -> str:
        """The same in words, for a form."""
        return f"Write {self.shortest} to {self.longest} letters."

    def cut(self, said: str) -> str:
        """As much as fits, for a place that repeats what stands whole elsewhere."""
        return said if len(said) <= self.longest else f"{said[: self.longest - 1]}…"

    def read(self, said: str, field: str, ask: str) -> str:
        """The words without the spaces around. `ask`: what to write. Raises InputProblem."""
        words = said.strip()
        if not self.shortest <= len(words) <= self.longest:
            count = "1 letter is" if len(words) == 1 else f"{len(words)} letters are"
            remedy = f"{ask}, in {self.shortest} to {self.longest} letters."
            raise InputProblem(f"{count} written", field, remedy)
        return words
