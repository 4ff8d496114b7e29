"""The real paths: practise a scenario, sit an assessment, as the web would have it done."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from tests.cohort.learners import Learner
from tests.support.admitted import begun
from tests.support.people import Someone
from trainer.core.draw import Draw
from trainer.core.items.codec import from_kept
from trainer.core.items.item import Item
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.family import families
from trainer.store import practice, sittings
from trainer.store.sittings import SittingRow
from trainer.use_cases import choose_practice, finish_sitting, practise, sit_assessment
from trainer.use_cases.demo_learner import Sent, answer
from trainer.use_cases.practise import CONSULTATION, SEEDS, Planned
from trainer.use_cases.sit_assessment import places_of
from trainer.use_cases.work import Unit, Work

Plan = Callable[[Unit, "Walk", str, datetime], Planned]


@dataclass
class Walk:
    """One learner on the site: who they are there, and how they answer."""

    work: Work
    bank: Bank
    someone: Someone
    learner: Learner
    answered: int = 0

    def sent(self, item: Item, now: datetime) -> tuple[Sent, bool]:
        """What this learner sends, and whether it is meant to be right."""
        draw = Draw("answers", self.learner.name, item.heading.id, self.answered)
        self.answered += 1
        right = draw.chance(self.learner.chance(item, now))
        held = [key for key, idea in item.misconceptions.items() if idea in self.learner.beliefs]
        if not right and held and item.heading.type == "choose_one":
            return {"choice": [held[0]]}, False
        return answer(item, right, draw), right


def helped(unit: Unit, walk: Walk, method: str, now: datetime) -> Planned:
    """The next scenario as the site chooses it: what to do now, then the family."""
    asked = [
        choose_practice.Wanted(method, topic, None)
        for topic in choose_practice.topics_there(walk.bank)[method]
    ]
    chosen = choose_practice.do_now(unit, walk.bank, asked, now, practise.SHORT)
    assert chosen is not None
    return practise.plan_next(unit, walk.bank, chosen.method, chosen.topic, now, practise.SHORT)


def at_random(unit: Unit, walk: Walk, method: str, now: datetime) -> Planned:
    """The next scenario by lot: any family of the method, as likely as another."""
    draw = Draw("random practice", walk.learner.name, walk.answered)
    there = [one for one in families(walk.bank, method=method) if one.recipe.type != CONSULTATION]
    family = draw.one(there)
    level = draw.one(("foundation", "working", "advanced"))
    return Planned(method, family.topic, None, family.id, draw.below(SEEDS), level)


def practise_once(walk: Walk, method: str, now: datetime, plan: Plan = helped) -> bool:
    """Practise one scenario; gives whether it was right."""
    viewer = walk.someone.viewer
    with walk.work.reading(viewer) as unit:
        planned = plan(unit, walk, method, now)
    made = practise.make(walk.bank, planned)
    with walk.work.writing(viewer) as unit:
        item_id = practise.show_next(unit, planned, made, now)
        item = from_kept(practice.shown(unit, item_id).kept)
        sent, _ = walk.sent(item, now)
        marked = practise.respond(unit, item_id, sent, now)
    walk.learner.learn(item, marked.mark.right, now)
    return marked.mark.right


def sit(walk: Walk, method: str, now: datetime) -> SittingRow:
    """Sit an assessment to its decision, fresh questions after critical errors included."""
    viewer = walk.someone.viewer
    sitting_id = begun(walk.work, walk.bank, walk.someone, method, now=now)
    for _ in ("main", "confirm"):
        with walk.work.writing(viewer) as unit:
            for place in places_of(unit, sittings.own(unit, sitting_id)):
                item = from_kept(sittings.item(unit, sitting_id, place.position).kept)
                sent, _ = walk.sent(item, now)
                sit_assessment.save_answer(unit, sitting_id, place.position, sent, "", now)
            row = finish_sitting.finish(unit, walk.bank, sitting_id, now + timedelta(minutes=30))
        if row.state == sittings.DONE:
            break
    return row
