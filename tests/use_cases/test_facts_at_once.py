"""Two processes that start on a newer bank at once."""

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

from tests.support.changed import CHANGED, leaning, older
from tests.support.people import NOW
from tests.use_cases.test_changed_facts import changes
from trainer.store import events
from trainer.use_cases import note_facts
from trainer.use_cases.keep_log import check_log


def test_two_that_start_at_once_note_it_once(work, bank, monkeypatch):
    """Both have read what was in use, and found what leans on it, before either writes."""
    both = Barrier(2, timeout=60)

    def found(_bank, facts, _families):
        both.wait()
        return leaning() if facts else {}

    monkeypatch.setattr(note_facts, "lean_on", lambda _bank, facts, _families: {})
    note_facts.note(work, older(bank), CHANGED)
    leaning()
    monkeypatch.setattr(note_facts, "lean_on", found)
    with ThreadPoolExecutor(2) as pool:
        counts = list(pool.map(lambda _: note_facts.note(work, bank, NOW), range(2)))
    assert sorted(counts) == [0, 1] and len(changes(work)) == 1
    with work.reading() as unit:
        assert [one.kind for one in events.all_in_order(unit)].count("fact.changed") == 1
        assert check_log(unit)[1] == []
