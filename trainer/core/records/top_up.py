"""Top-ups: a critical fact has changed, and whoever was assessed on its old words is asked anew.

A house may require it by a day. Until then nobody is held back, and the desk says when it is due;
after that day whoever has not finished it is cleared under supervision only, for the method and
service that the fact is about. As with house rules, nobody is let in by it, and a removal that
cannot wait is not held back.
"""

from dataclasses import dataclass
from datetime import date

from trainer.core.records.asked import Ground, Question, Reason, day_words

OVERDUE: Ground = "top_up_overdue"
DUE: Ground = "top_up_due"


@dataclass(frozen=True, slots=True)
class TopUp:
    """What is asked of one person. `said`: the new words of the fact, a whole sentence.

    `since`: day on which they came into use. `by`: last day in which it is in time. `required`:
    the house holds back whoever has not finished it by then. `done_on`: day on which it was.
    """

    said: str
    since: date
    by: date
    required: bool
    done_on: date | None = None

    def open_on(self, on: date) -> bool:
        """Whether it is not finished yet on a day."""
        return self.done_on is None or self.done_on > on

    def holds_back(self, on: date) -> bool:
        """Whether it sets somebody back on a day."""
        return self.required and on > self.by and self.open_on(on)

    def is_due(self, on: date) -> bool:
        """Whether it is still to be finished in time, and will set somebody back else."""
        return self.required and self.since <= on <= self.by and self.open_on(on)


def leaned_on(learned_on: date | None, since: date) -> bool:
    """Tell whether what a person has to show rests on the old words of a fact.

    Parameters
    ----------
    learned_on : Day on which the assessment that counts was begun; for a record from elsewhere its
        first day. None where neither is known.
    since : Day on which the new words came into use.

    Returns
    -------
    True up to that day, included: nobody can tell which words that day's questions had. True where
    nothing is known.
    """
    return learned_on is None or learned_on <= since


def overdue(question: Question, one: TopUp) -> Reason:
    """Say why somebody is set back.

    Parameters
    ----------
    question, one : What is asked, and the top-up that is not finished.

    Returns
    -------
    The reason, with what would change it.
    """
    return Reason(
        OVERDUE,
        f"A safety fact has changed since {question.person} was assessed. The house asked for a "
        f"short top-up on it by {day_words(one.by)}, and it is not finished. The fact is now: "
        f"{one.said}",
        f"{question.person} answers the top-up's questions, until all are right.",
    )


def due(question: Question, one: TopUp) -> Reason:
    """Say by when a top-up is to be finished.

    Parameters
    ----------
    question, one : What is asked, and the top-up that is still in time.

    Returns
    -------
    The line that goes with the answer, with what would change it.
    """
    return Reason(
        DUE,
        f"A safety fact has changed since {question.person} was assessed, and a short top-up on it "
        f"is to be finished by {day_words(one.by)}.",
        f"After {day_words(one.by)} it is supervised only, until the top-up is finished.",
    )
