"""The demo's changed fact: tape-ins were once said to stay in for longer. An invented history."""

from dataclasses import replace
from datetime import timedelta

from trainer.store import fact_changes
from trainer.use_cases import note_facts, offer_top_up
from trainer.use_cases.demo_history import Story
from trainer.use_cases.offer_top_up import USUAL, Wish

FACT, LONGEST_BEFORE = "tape_in.wear", 10
CHANGED, OFFERED, DUE = timedelta(days=6), timedelta(days=5), timedelta(days=8)


def change_a_fact(story: Story) -> None:
    """Some days ago a newer bank came into use, and the instructor offered a top-up on it."""
    bank, now = story.bank, story.now
    before = replace(bank.facts[FACT], high=LONGEST_BEFORE)
    older = replace(bank, version="demo-before", facts={**bank.facts, FACT: before})
    note_facts.note(story.work, older, now - timedelta(days=400))
    note_facts.note(story.work, bank, now - CHANGED)
    with story.work.writing(story.observer) as unit:
        (change,) = fact_changes.in_order(unit)
        wish = Wish(USUAL, (now + DUE).date())
        offer_top_up.offer(unit, change.id, wish, now - OFFERED)
