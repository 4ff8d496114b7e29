"""A week's bookings sorted: whose work is known, what needs no looking at, what to ask about."""

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field

from trainer.core.bookings.booking import Booking
from trainer.core.bookings.matching import Rule, RuleBook, by_names


@dataclass
class Sorted:
    """Bookings where they belong, by their place in the list.

    `work` and `people` are known, `unknown_work` and `unknown_people` are not: there stands what
    the booking says. `no_need`: so many need no clearance, `not_ours`: so many are with nobody of
    the team, both by a rule.
    """

    work: dict[int, Rule] = field(default_factory=dict)
    people: dict[int, str] = field(default_factory=dict)
    unknown_work: dict[int, str] = field(default_factory=dict)
    unknown_people: dict[int, str] = field(default_factory=dict)
    no_need: int = 0
    not_ours: int = 0
    _used: list[Rule] = field(default_factory=list)

    def read_as(self) -> Sequence[tuple[Rule, int]]:
        """Rules that were used and how often, the most used first; own names need no rule."""
        counts = Counter([one.id for one in self._used])
        rules = {one.id: one for one in self._used}
        found = [(rule, counts[key]) for key, rule in rules.items()]
        return sorted(found, key=lambda one: (-one[1], one[0].words))

    def put(self, place: int, booking: Booking, work: Rule | None, who: Rule | None) -> None:
        """Put a booking where it belongs; `who`: by a rule or a name in it."""
        if who is not None:
            if who.id:
                self._used.append(who)
            if not who.person:
                self.not_ours += 1
                return
            self.people[place] = who.person
        elif booking.staff:
            self.unknown_people[place] = booking.staff
        if work is None:
            self.unknown_work[place] = booking.title
        else:
            self._used.append(work)
            self.work[place] = work

    def put_aside(self, rule: Rule) -> None:
        """Count a booking that needs no clearance."""
        self._used.append(rule)
        self.no_need += 1


class _Whose(dict[str, Rule | None]):
    """A text -> whose booking it is, by the salon's rules, else by a full name in it."""

    def __init__(self, rules: Collection[Rule], team: Mapping[str, str]) -> None:
        super().__init__()
        self._said, self._names = RuleBook(rules), RuleBook(by_names(team))

    def __missing__(self, text: str) -> Rule | None:
        self[text] = found = self._said[text] or self._names[text]
        return found


def sorted_out(
    bookings: Sequence[Booking], rules: Sequence[Rule], team: Mapping[str, str]
) -> Sorted:
    """Sort bookings by what their words mean.

    Parameters
    ----------
    bookings : A week's.
    rules : Those of the salon that still hold: of methods that there are and people of the team.
    team : Id -> name.

    Returns
    -------
    Every booking counted in it once, or put into it by its place.
    """
    titles = [one.title for one in bookings]
    work = RuleBook([one for one in rules if one.kind == "work"], titles)
    whose = _Whose([one for one in rules if one.kind == "person"], team)
    found = Sorted()
    for place, booking in enumerate(bookings):
        rule = work[booking.title]
        if rule is not None and not rule.method:
            found.put_aside(rule)
        else:
            who = whose[booking.staff] or whose[booking.title]
            found.put(place, booking, rule, who)
    return found
