"""A named wrong belief, what it leads to, and the fact that answers it."""

from pydantic.dataclasses import dataclass

from trainer.core.knowledge.sheet import SHEET
from trainer.core.knowledge.words import Topic


@dataclass(frozen=True, slots=True, config=SHEET)
class Misconception:
    """`belief` is how its holder would say it; `leads_to` the harm or mistake; `answer` a fact id.

    `methods` as in a rule. `remedy` is what to do at the chair instead. `does` is what its
    holder would decide about a booking, said as an order, where the belief leads to one.
    `too_careful`: it wrongs a client or wastes work, but injures nobody; never a critical error.
    """

    id: str
    methods: tuple[str, ...]
    topic: Topic
    belief: str
    leads_to: str
    answer: str
    remedy: str
    does: str = ""
    too_careful: bool = False
