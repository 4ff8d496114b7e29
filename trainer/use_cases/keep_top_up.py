"""Count an answer in the top-up that its question stands in."""

from dataclasses import dataclass
from datetime import datetime

from trainer.store import team_summaries, top_ups
from trainer.store.unit import Unit
from trainer.use_cases.keep_log import log


@dataclass(frozen=True, slots=True)
class HowFar:
    """A top-up as it stands: questions of which the latest answer is right, of `length`.

    It is finished once every one is, since one wrong answer to a safety fact can injure: a share
    would let somebody through who still believes the old words. A wrong one comes again with
    another case, after its reasons were read, so nobody is stopped for good.
    """

    change_id: str
    right: int
    length: int

    @property
    def done(self) -> bool:
        """Whether it is finished."""
        return self.right >= self.length


def so_far(unit: Unit, change_id: str) -> HowFar | None:
    """How far the viewer is; None where they have not begun."""
    row = top_ups.how_far(unit, change_id)
    return HowFar(change_id, row.right, row.length) if row else None


def count(unit: Unit, change_id: str, now: datetime) -> HowFar | None:
    """Work out how far the viewer is, after an answer in the same unit; keep it, log the end."""
    row = top_ups.how_far(unit, change_id, to_change=True)
    if row is None:
        return None
    row.right = sum(bool(one.right) for one in top_ups.questions(unit, change_id))
    found = HowFar(change_id, row.right, row.length)
    if found.done and row.done_on is None:
        row.done_on = now.date()
        said = {"change": change_id, "questions": row.length}
        log(unit, "top_up.finished", said, now, person_id=row.person_id)
        team_summaries.forget_about(unit, row.person_id)
    unit.flush()
    return found
