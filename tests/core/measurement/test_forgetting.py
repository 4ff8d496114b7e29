"""Memory against the published formulas, and what must hold of it whatever the answers."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.support.references import agrees, by_name, expected, rows_of
from trainer.core.measurement import forgetting
from trainer.core.measurement.forgetting import MODEL, Memory, after_answer, chance_of_recall

NOW = datetime(2026, 3, 3, 9, tzinfo=UTC)
ROWS = expected("memory_sequences_ab")
DAYS = st.lists(st.tuples(st.integers(0, 90), st.booleans()), min_size=1, max_size=12)


def walked():
    """(quantity, key) -> value, along both sequences."""
    found = {("weight", str(n)): weight for n, weight in enumerate(MODEL.parameters)}
    memory, now = None, NOW
    for row in rows_of("memory_sequences_ab"):
        key = f"{row['sequence']}{row['step']}"
        if row["step"] == "1":
            memory = None
        now += timedelta(days=int(row["elapsed_days"]))
        if memory:
            found["retrievability", key] = chance_of_recall(memory, now)
        memory = forgetting._after(memory, int(row["grade"]), now)
        found["stability", key] = memory.strength_days
        found["difficulty", key] = memory.hardness
        found["interval_at_0.9", key] = max(round(memory.strength_days), 1)
    return found


WALKED = walked()


@pytest.mark.parametrize("row", ROWS, ids=by_name)
def test_every_step_has_its_published_value(row):
    agrees(WALKED[row.quantity, row.key], row)


def test_answers_right_and_wrong_are_the_first_sequence():
    memory, now = None, NOW
    for days, recalled in ((0, True), (2, True), (8, True), (30, False), (3, True), (5, True)):
        now += timedelta(days=days)
        memory = after_answer(memory, recalled, now)
    assert memory.strength_days == pytest.approx(15.1666273124, abs=1e-6)


@given(DAYS)
def test_chance_falls_with_time_from_one(answers):
    memory, now = None, NOW
    for days, recalled in answers:
        now += timedelta(days=days)
        memory = after_answer(memory, recalled, now)
    assert memory.strength_days > 0 and 1 <= memory.hardness <= 10
    chances = [chance_of_recall(memory, now + timedelta(days=d)) for d in (0, 1, 5, 40, 400)]
    assert chances[0] == 1 and all(a > b > 0 for a, b in zip(chances, chances[1:], strict=False))


@given(DAYS, st.integers(1, 60))
def test_what_is_recalled_lasts_longer_than_what_is_not(answers, later):
    memory, now = None, NOW
    for days, recalled in answers:
        now += timedelta(days=days)
        memory = after_answer(memory, recalled, now)
    then = now + timedelta(days=later)
    kept, lost = (after_answer(memory, recalled, then) for recalled in (True, False))
    assert kept.strength_days > lost.strength_days
    assert kept.recalled and not lost.recalled


def test_another_zone_is_refused():
    with pytest.raises(ValueError, match="UTC"):
        after_answer(Memory(2.0, 5.0, NOW, True), True, NOW.replace(tzinfo=None))
