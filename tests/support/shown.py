"""A scenario that is shown to somebody and not answered yet."""

from tests.support.people import NOW, Someone
from trainer.core.items.codec import as_kept
from trainer.core.items.item import Item
from trainer.core.scenarios.generate import generate
from trainer.store import practice
from trainer.store.base import new_id
from trainer.use_cases.open_bank import open_bank
from trainer.use_cases.work import Work


def shown(work: Work, someone: Someone, family: str, seed: int = 4) -> tuple[str, Item]:
    """The path of its page, and the scenario."""
    item, item_id = generate(open_bank(), family, seed), new_id()
    of = item.heading
    row = {"id": item_id, "method": of.method, "topic": of.topic, "family": of.family}
    row |= {"person_id": someone.id, "organisation_id": someone.organisation}
    with work.writing(someone.viewer) as unit:
        practice.show(unit, row | {"kept": as_kept(item), "shown_at": NOW})
    return f"/practice/item/{item_id}", item
