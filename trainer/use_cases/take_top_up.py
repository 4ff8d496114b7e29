"""Read what has changed in a fact, and answer the questions on it until all are right."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from trainer.core.draw import Draw
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.content import fingerprint
from trainer.core.scenarios.family import Family, families
from trainer.core.scenarios.generate import generate
from trainer.store import fact_changes, practice, top_ups
from trainer.store.base import new_id
from trainer.store.statements import Found
from trainer.store.unit import Unit
from trainer.use_cases.keep_top_up import HowFar
from trainer.use_cases.practise import NEW_FOR, SEEDS, Made, keep_shown
from trainer.use_cases.refusals import InputProblem, NotFound
from trainer.use_cases.weigh_clearance import read_kept

WHY = "A fact behind this question has changed since you were assessed."
TRIES = 40
"""Questions made with one family, until one rests on the fact and can injure."""
SHARE = 0.2


@dataclass(frozen=True, slots=True)
class Asked:
    """One top-up that the viewer is asked for. `was` and `now`: the fact's old and new words.

    `was_critical`: it counted as a safety fact before.
    """

    change_id: str
    methods: tuple[str, ...]
    was: str
    now: str
    was_critical: bool
    rests_on: str
    changed_on: date
    due_on: date
    required: bool
    how_far: HowFar
    begun: bool
    done_on: date | None

    def late(self, today: date) -> bool:
        """Whether its day is over and it is not finished."""
        return self.done_on is None and self.due_on < today


@dataclass(frozen=True, slots=True)
class Planned:
    """The next question: one that waits for its answer, or a place to make one for."""

    change_id: str
    waiting_id: str = ""
    position: int = 0
    fact: str = ""
    families: tuple[str, ...] = ()
    seed: int = 0
    seen: tuple[str, ...] = ()


def mine(unit: Unit, bank: Bank, now: datetime) -> tuple[Asked, ...]:
    """What the viewer is asked for in this house, finished or not, the first day first.

    Asked is whoever holds a record in force, or has passed the assessment, from before the change.
    """
    rows = top_ups.here(unit)
    if not rows:
        return ()
    person_id, today = unit.viewer.person_id, now.date()
    kept = read_kept(unit, bank, [person_id], 0, with_records=False)
    begun = {row.change_id: row for row in top_ups.all_mine(unit)}
    found = []
    for row in rows:
        about = [m for m in row.methods if m in bank.methods]
        asked = [
            method
            for method in about
            if row.change_id in kept.asked_anew(person_id, method, row.service, today)
        ]
        mine_ = begun.get(row.change_id)
        if asked or (mine_ and mine_.done_on):
            found.append(_asked(row, asked or about, mine_))
    return tuple(found)


def one(unit: Unit, bank: Bank, change_id: str, now: datetime) -> Asked:
    """One of them. Raises NotFound."""
    found = next((one for one in mine(unit, bank, now) if one.change_id == change_id), None)
    if found is None:
        raise NotFound
    return found


def plan_next(unit: Unit, bank: Bank, change_id: str, now: datetime) -> Planned | None:
    """Settle the next question: one open, then the places not asked yet, then those gone wrong.

    None once all are right. Raises NotFound where the viewer is not asked for it.
    """
    asked = one(unit, bank, change_id, now)
    if asked.done_on is not None:
        return None
    there = {row.position: row for row in top_ups.questions(unit, change_id)}
    waiting = next((row.item_id for row in there.values() if row.right is None), "")
    if waiting:
        return Planned(change_id, waiting)
    places = range(asked.how_far.length)
    left = [n for n in places if n not in there] or [n for n in places if not there[n].right]
    if not left:
        return None
    lately = [row.content for row in practice.lately(unit, NEW_FOR)]
    change = fact_changes.change(unit, change_id)
    draw = Draw("top-up", change_id, unit.viewer.person_id, new_id())
    used = [row.family for row in there.values()]
    return Planned(
        change_id,
        position=left[0],
        fact=change.fact,
        families=tuple(_in_turn(bank, change, asked.methods, used, draw)),
        seed=draw.below(SEEDS),
        seen=tuple(lately),
    )


def _in_turn(
    bank: Bank,
    change: fact_changes.FactChangeRow,
    methods: Sequence[str],
    used: Sequence[str],
    draw: Draw,
) -> list[str]:
    """Families to ask from: those of the person's methods, if there are any, used least first.

    Those that hardly ever rest on the fact (less than `SHARE` of the most) ask about other things.
    """
    askable = change.askable
    there = [one for one in families(bank) if one.id in askable]
    own = [one for one in there if one.method in methods] or there
    most = max((askable[one.id] for one in own), default=0)
    found = [one for one in own if askable[one.id] >= SHARE * most]

    def turn(one: Family) -> tuple[int, int]:
        return used.count(one.id), -askable[one.id]

    return [one.id for one in sorted(draw.shuffled(found), key=turn)]


def make(bank: Bank, planned: Planned) -> Made | None:
    """Make the question that was planned; None where one waits. Do it outside units that write.

    Raises InputProblem where the bank has no question on the fact any more.
    """
    if planned.waiting_id:
        return None
    first: Made | None = None
    for made in _fitting(bank, planned):
        if made.content not in planned.seen:
            return made
        first = first or made
    if first is None:
        raise InputProblem(
            "There is no question on this fact at present", "", "Tell your instructor."
        )
    return first


def _fitting(bank: Bank, planned: Planned) -> Iterator[Made]:
    """Questions that rest on the fact: of each family first those in which a mistake can injure."""
    for name in planned.families:
        draw, others = Draw("top-up question", planned.seed, name), []
        for _ in range(TRIES):
            item = generate(bank, name, draw.below(SEEDS))
            if planned.fact in item.facts:
                made = Made(item, fingerprint(bank, item))
                if item.critical:
                    yield made
                else:
                    others.append(made)
        yield from others


def show_next(unit: Unit, bank: Bank, planned: Planned, made: Made | None, now: datetime) -> str:
    """Keep the question that is shown next, in its place, and give its id.

    Two presses at once show one question. Raises NotFound.
    """
    if planned.waiting_id or made is None:
        return planned.waiting_id
    asked = one(unit, bank, planned.change_id, now)
    begun = {"change_id": planned.change_id, "length": asked.how_far.length, "began_at": now}
    top_ups.begin(unit, begun)
    top_ups.how_far(unit, planned.change_id, to_change=True)
    there = top_ups.questions(unit, planned.change_id)
    waiting = next((row.item_id for row in there if row.right is None), "")
    if waiting:
        return str(waiting)
    item_id = keep_shown(unit, made, now, why=WHY)
    top_ups.put(unit, planned.change_id, planned.position, made.item.heading.family, item_id)
    return item_id


def _asked(row: Found, methods: Sequence[str], begun: top_ups.TopUpPersonRow | None) -> Asked:
    right, length = (begun.right, begun.length) if begun else (0, row.length)
    return Asked(
        row.change_id,
        tuple(methods),
        row.before["said"],
        row.after["said"],
        row.before["critical"],
        row.after["rests_on"],
        row.at.date(),
        row.due_on,
        row.required,
        HowFar(row.change_id, right, length),
        begun is not None,
        begun.done_on if begun else None,
    )
