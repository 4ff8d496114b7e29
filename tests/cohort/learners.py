"""How made-up people answer: by what they can, guess, believe, learn and forget.

The three models of learning have the parameters of their published examples (from memory, fixed
before anything was compared); only their common scale is ours.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from math import exp, log, sqrt

from tests.cohort.truth import Truth, normal
from trainer.core.draw import Draw
from trainer.core.items.item import Item
from trainer.core.measurement.growth import STILL, Growth

DAY = 86400.0


@dataclass
class Learner:
    """Somebody of one true ability, who neither learns nor forgets [theta].

    `beliefs`: misconceptions held; an item that offers one is answered by it three times in four.
    """

    name: str
    theta: float
    truth: Truth = field(default_factory=Truth)
    beliefs: frozenset[str] = frozenset()

    def can(self, item: Item, now: datetime) -> float:
        """The ability that this item meets."""
        return self.theta

    def chance(self, item: Item, now: datetime) -> float:
        """The probability of a right answer."""
        open_to = HELD if self.beliefs & set(item.misconceptions.values()) else 1.0
        return open_to * self.truth.chance(item, self.can(item, now))

    def learn(self, item: Item, right: bool, now: datetime) -> None:
        """What an answer and its reason leave behind."""


HELD = 0.25
"""How much of the chance of a right answer a belief leaves that the item plays on."""


@dataclass
class Growing(Learner):
    """Ability moves as the site takes it to: with each answer explained, and with each day."""

    moves: Growth = STILL
    at: datetime | None = None

    def pass_time(self, now: datetime) -> None:
        """Days pass before the next answer."""
        days = 0.0 if self.at is None else (now - self.at).total_seconds() / DAY
        drawn = normal(Draw("days", self.name, now.isoformat()))
        self.theta += self.moves.sd_day * sqrt(days) * drawn
        self.at = now

    def learn(self, item: Item, right: bool, now: datetime) -> None:
        drawn = normal(Draw("grows", self.name, now.isoformat(), item.heading.id))
        self.theta += self.moves.gain + self.moves.sd * drawn


@dataclass
class Guesser(Learner):
    """Somebody who reads nothing: right as often as chance."""

    def chance(self, item: Item, now: datetime) -> float:
        return self.truth.of(item).floor


@dataclass
class KnowsOrNot(Learner):
    """Each family is known or not, and may be learnt each time its reason is read.

    Corbett & Anderson 1995, User Modeling and User-Adapted Interaction 4, knowledge tracing: known
    before 0.4, learnt at an opportunity 0.3, slip 0.1, guess 0.2 (within their fitted ranges).
    """

    known: dict[str, bool] = field(default_factory=dict)
    BEFORE, LEARNT, SLIP, GUESS = 0.4, 0.3, 0.1, 0.2

    def knows(self, family: str) -> bool:
        if family not in self.known:
            self.known[family] = Draw("knows", self.name, family).chance(self.BEFORE)
        return self.known[family]

    def chance(self, item: Item, now: datetime) -> float:
        return 1 - self.SLIP if self.knows(item.heading.family) else self.GUESS

    def learn(self, item: Item, right: bool, now: datetime) -> None:
        family = item.heading.family
        draw = Draw("learns", self.name, family, item.heading.id, now.isoformat())
        self.known[family] = self.knows(family) or draw.chance(self.LEARNT)


@dataclass
class Counting(Learner):
    """Ability on a topic grows with each success, and less with each failure.

    Pavlik, Cen & Koedinger 2009, performance factors analysis: logit = ease + 0.11 successes +
    0.05 failures, the sizes of their fitted geometry skills; start N(theta, 0.8) by topic.
    """

    counts: dict[tuple[str, str], tuple[int, int]] = field(default_factory=dict)
    SUCCESS, FAILURE, APART = 0.11, 0.05, 0.8

    def can(self, item: Item, now: datetime) -> float:
        topic = (item.heading.method, item.heading.topic)
        successes, failures = self.counts.get(topic, (0, 0))
        own = self.APART * normal(Draw("topic", self.name, *topic))
        return self.theta + own + self.SUCCESS * successes + self.FAILURE * failures

    def learn(self, item: Item, right: bool, now: datetime) -> None:
        topic = (item.heading.method, item.heading.topic)
        successes, failures = self.counts.get(topic, (0, 0))
        self.counts[topic] = (successes + right, failures + (not right))


@dataclass
class Fading(Learner):
    """A family's memory is made of traces that decay, each faster the stronger memory was.

    Pavlik & Anderson 2005, Cognitive Science 29: activation m = ln(sum t^-d), d = c e^m + a with
    a 0.177, c 0.217; recall 1 / (1 + e^((tau - m) / s)) with tau -0.704, s 0.0786; time between
    sittings counts 0.025 of itself. What is not recalled is answered by general ability.
    """

    traces: dict[str, list[tuple[datetime, float]]] = field(default_factory=dict)
    A, C, TAU, S, BETWEEN = 0.177, 0.217, -0.704, 0.0786, 0.025

    def activation(self, family: str, now: datetime) -> float | None:
        """ln of the sum of what is left of each trace, None without any."""
        left = [
            max((now - at).total_seconds() * self.BETWEEN, 1.0) ** -decay
            for at, decay in self.traces.get(family, ())
        ]
        return log(sum(left)) if left else None

    def recall(self, family: str, now: datetime) -> float:
        """The probability that the reason once read comes to mind."""
        m = self.activation(family, now)
        return 0.0 if m is None else 1 / (1 + exp(min((self.TAU - m) / self.S, 700.0)))

    def chance(self, item: Item, now: datetime) -> float:
        recalled = self.recall(item.heading.family, now)
        return recalled + (1 - recalled) * super().chance(item, now)

    def learn(self, item: Item, right: bool, now: datetime) -> None:
        family = item.heading.family
        m = self.activation(family, now)
        decay = self.A if m is None else self.C * exp(m) + self.A
        self.traces.setdefault(family, []).append((now, decay))


LEARNING: Mapping[str, type[Learner]] = {
    "known or not": KnowsOrNot,
    "success counts": Counting,
    "memory fades": Fading,
}
