"""What a line of reasoning works with: bank, method, recipe, level and its own chance."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from trainer.core.advice.profile import Profile
from trainer.core.advice.waits import days_of
from trainer.core.draw import Draw
from trainer.core.items.item import Offer
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.fact import Fact
from trainer.core.knowledge.method import Method
from trainer.core.knowledge.misconception import Misconception
from trainer.core.knowledge.quantity import DAYS_IN
from trainer.core.scenarios.family import Recipe
from trainer.core.scenarios.people import Person, person
from trainer.core.scenarios.wording import render, with_article

LEVELS = ("foundation", "working", "advanced")


@dataclass(frozen=True, slots=True)
class Case:
    """One try at an item."""

    bank: Bank
    method: Method
    recipe: Recipe
    draw: Draw
    level: str

    @property
    def step(self) -> int:
        """0 foundation, 1 working, 2 advanced."""
        return LEVELS.index(self.level)

    def somebody(self, word: str, other_than: str = "") -> Person:
        """An invented person of their own draw."""
        return person(self.bank, self.draw.branch(word), other_than)

    def client(self, profile: Profile) -> Person:
        """An invented client who fits the profile."""
        return person(self.bank, self.draw.branch("client"), profile=profile)

    def say(self, key: str, **values: Any) -> str:
        """One phrasing of the recipe's words under `key`, with the method's words at hand."""
        words = self.recipe.words[key]
        text = words if isinstance(words, str) else self.draw.branch(f"say {key}").one(words)
        return render(text, self.around() | values)

    def render(self, text: str, **values: Any) -> str:
        """Words that stand in the recipe's settings, with the method's words at hand."""
        return render(text, self.around() | values)

    def around(self) -> dict[str, Any]:
        """What every template may use of the method. Not to be changed."""
        return self.bank.once(("around", self.method.id), self._around)

    def _around(self) -> dict[str, Any]:
        noun = self.method.noun
        return {
            "method": self.method.name.lower(),
            "Method": self.method.name,
            "hair": noun,
            "some_hair": with_article(noun) if self.method.countable else noun,
            "away": self.method.away,
            "renewal": self.method.renewal,
            "attachment": self.method.attachment,
            "attachments": self.method.attachments,
        }

    def belief(self, word: str, topic: str | None = None) -> Misconception:
        """A wrong belief about the method on the recipe's topic, or any where it has none."""
        there = self.bank.misconceptions_of(self.method.id, topic or self.recipe.topic)
        return self.draw.branch(f"belief {word}").one(
            there or self.bank.misconceptions_of(self.method.id)
        )

    def named_belief(self, setting: str, topic: str | None = None) -> Misconception:
        """The belief that the recipe's settings name for a slip, or a fitting one.

        A setting may be one id, or a table of ids by method.
        """
        named = self.recipe.settings.get("beliefs", {}).get(setting, "")
        if isinstance(named, dict):
            named = named.get(self.method.id, named.get("default", ""))
        known = self.bank.misconceptions.get(named)
        return known or self.belief(setting, topic)

    def role(self, role: str) -> Fact:
        """The fact that plays a part for the method. Raises LookupError if there is none."""
        fact = self.bank.role(self.method.id, role)
        if fact is None:
            raise LookupError(role)
        return fact


def wrong(text: str, tag: str, belief: Misconception, note: str = "") -> Offer:
    """A wrong offer with the belief behind it; its note says where the belief leads."""
    return Offer(text, False, tag, belief.id, note or belief.leads_to)


def longest_weeks(case: Case) -> int:
    """How many weeks a set may have been worn in a case that is not about wearing it too long."""
    if has_key_role(case.bank, case.method.id, ["move_up"]):
        return int(days_of(case.role("move_up"), "high") // DAYS_IN["week"])
    return int(case.recipe.settings["most_weeks"])


def has_key_role(bank: Bank, method: str, roles: Sequence[str]) -> bool:
    """Whether the method has facts that may be keyed in all these roles, with figures."""
    facts = [bank.role(method, role) for role in roles]
    return all(fact is not None and fact.may_key and fact.low is not None for fact in facts)
