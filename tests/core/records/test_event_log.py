"""The log: every one of 1,000 random edits is found, and nothing is found where none was made."""

from dataclasses import dataclass, replace

import pytest

from trainer.core.draw import Draw
from trainer.core.problems import InputProblem
from trainer.core.records.event_log import ERASED, Entry, Said, body_hash, breaks, link, wrong_words
from trainer.core.records.keys import Signer
from trainer.core.records.log_head import (
    Head,
    Seal,
    announce,
    cuts,
    read_seal,
    settle,
    write_seal,
)

EDITS = 1000
LENGTH = 40
SITE, STRANGER = Signer(bytes(range(32))), Signer(bytes(32))


@dataclass
class Log:
    """A log as the database holds it."""

    entries: list[Entry]
    said: list[Said]


def a_log(length=LENGTH, start="a") -> Log:
    made, last = Log([], []), None
    for number in range(1, length + 1):
        about = {"person": f"p{number % 5}", "actor": "i", "organisation": "o", "moment": "m"}
        said = Said(number, f"{start}{number}", {"record": number, "reason": "Seen."}, about)
        last = link(last, "record.issued", "2026-03-03T09:00:00+00:00", body_hash(said))
        made.entries.append(last)
        made.said.append(said)
    return made


def end_of(log) -> Head:
    return Head(log.entries[-1].number, log.entries[-1].hash) if log.entries else Head()


def faults(log, seal) -> list[str]:
    hash_at = {entry.number: entry.hash for entry in log.entries}
    said = wrong_words(log.entries, log.said)
    return breaks(log.entries) + said + cuts(seal, end_of(log), hash_at)


WHOLE = a_log()
SEALED = settle(announce(None, Head(), end_of(WHOLE)))


def test_a_whole_log_has_no_faults():
    assert faults(WHOLE, SEALED) == []


def _edit_entry(log, draw):
    place = draw.below(len(log.entries))
    name = draw.one(("kind", "at", "body_hash", "before", "hash", "number"))
    value = getattr(log.entries[place], name)
    other = value + draw.between(1, 5) if name == "number" else value[:-1] + draw.one("xyz")
    log.entries[place] = replace(log.entries[place], **{name: other})


def _edit_words(log, draw):
    place = draw.below(len(log.said))
    one = log.said[place]
    changed = draw.one(
        (
            replace(one, body={**one.body, "reason": "Not seen."}),
            replace(one, body={**one.body, "note": "more"}),
            replace(one, body={"record": one.body["record"]}),
            replace(one, salt=one.salt + "0"),
            replace(one, about={**one.about, draw.one(sorted(one.about)): "other"}),
        )
    )
    log.said[place] = changed


def _delete_entry(log, draw):
    place = draw.below(len(log.entries))
    del log.entries[place]
    if draw.chance(0.5):
        del log.said[place]


def _delete_words(log, draw):
    del log.said[draw.below(len(log.said))]


def _truncate(log, draw):
    keep = draw.below(len(log.entries))
    del log.entries[keep:], log.said[keep:]


def _swap(log, draw):
    """Two entries change places; their numbers stay with the place, as an editor would do it."""
    a, b = draw.some(range(len(log.entries)), 2)
    one, other = log.entries[a], log.entries[b]
    log.entries[a] = replace(other, number=one.number)
    log.entries[b] = replace(one, number=other.number)


def _swap_words(log, draw):
    a, b = draw.some(range(len(log.said)), 2)
    one, other = log.said[a], log.said[b]
    log.said[a], log.said[b] = replace(other, number=one.number), replace(one, number=other.number)


def _reorder(log, draw):
    a, b = draw.some(range(len(log.entries)), 2)
    log.entries[a], log.entries[b] = log.entries[b], log.entries[a]


def _rewrite(log, draw):
    """The whole chain is made anew from a place on, with hashes that fit."""
    place = draw.below(len(log.entries))
    last = log.entries[place - 1] if place else None
    for number in range(place, len(log.entries)):
        log.said[number] = replace(log.said[number], body={"record": 0})
        last = link(last, "record.issued", "2026-03-04", body_hash(log.said[number]))
        log.entries[number] = last


def _add(log, draw):
    """Events that nobody sealed, with hashes that fit."""
    for _ in range(draw.between(1, 3)):
        said = Said(len(log.entries) + 1, "s", {"record": 7}, {"person": "p"})
        log.entries.append(link(log.entries[-1], "record.issued", "2026-03-04", body_hash(said)))
        log.said.append(said)


def _insert(log, draw):
    place = draw.between(1, len(log.entries) - 1)
    said = Said(place + 1, "s", {"record": 7})
    added = link(log.entries[place - 1], "record.withdrawn", "2026-03-04", body_hash(said))
    log.entries.insert(place, added)
    log.said.insert(place, said)


def _cut_and_go_on(log, draw):
    keep = draw.below(len(log.entries) - 1)
    length = len(log.entries)
    del log.entries[keep:], log.said[keep:]
    while len(log.entries) < length:
        last = log.entries[-1] if log.entries else None
        said = Said(len(log.entries) + 1, "t", {"record": 9})
        log.entries.append(link(last, "record.issued", "2026-03-04", body_hash(said)))
        log.said.append(said)


EDIT = (
    *(_edit_entry, _edit_words, _delete_entry, _delete_words, _truncate, _swap, _swap_words),
    *(_reorder, _rewrite, _add, _insert, _cut_and_go_on),
)


def test_every_one_of_a_thousand_random_edits_is_found():
    unfound = []
    for number in range(EDITS):
        draw = Draw("edit", number)
        log = Log(list(WHOLE.entries), list(WHOLE.said))
        kind = EDIT[number % len(EDIT)]
        kind(log, draw)
        assert log != WHOLE
        if not faults(log, SEALED):
            unfound.append((number, kind.__name__))
    assert unfound == []


@pytest.mark.parametrize("kind", [_truncate, _rewrite, _add, _cut_and_go_on])
def test_some_edits_show_only_against_the_signed_head(kind):
    log = Log(list(WHOLE.entries), list(WHOLE.said))
    kind(log, Draw("head", 1))
    assert breaks(log.entries) + wrong_words(log.entries, log.said) == []
    assert faults(log, SEALED)


def test_words_erased_by_an_event_are_no_fault():
    log = Log(list(WHOLE.entries), list(WHOLE.said))
    del log.said[4]
    told = Said(LENGTH + 1, "s", {"entries": [5]}, {"person": "p"})
    log.entries.append(link(log.entries[-1], ERASED, "2026-03-04", body_hash(told)))
    log.said.append(told)
    seal = settle(announce(SEALED, end_of(WHOLE), end_of(log)))
    assert faults(log, seal) == []
    log.said[-1] = replace(told, body={"entries": [5, 6]})
    assert faults(log, seal)


def test_a_stop_between_seal_and_commit_is_told_apart_from_truncation():
    longer = a_log(LENGTH + 2)
    coming = announce(SEALED, end_of(WHOLE), end_of(longer))
    assert faults(WHOLE, coming) == []
    assert faults(longer, coming) == []
    shorter = a_log(LENGTH - 1)
    assert any("cut off" in one for one in faults(shorter, coming))
    assert any("cut off" in one for one in faults(WHOLE, settle(coming)))


def test_writing_after_a_cut_does_not_wash_it_out():
    shorter = a_log(LENGTH - 3)
    longer = a_log(LENGTH - 2)
    seal = settle(announce(SEALED, end_of(shorter), end_of(longer)))
    assert any("cut off or rewritten" in one for one in faults(longer, seal))
    again = settle(announce(seal, end_of(longer), end_of(a_log(LENGTH))))
    assert any("cut off or rewritten" in one for one in faults(a_log(LENGTH), again))


def test_a_seal_is_read_back_and_only_the_sites_key_makes_one():
    seal = announce(settle(announce(None, Head(3, "x"), Head(4, "y"))), Head(2, "q"), Head(5, "z"))
    assert seal.doubts
    text = write_seal(seal, SITE)
    assert read_seal(text, SITE.public) == seal
    for wrong in (text.replace(b'"number": 5', b'"number": 6'), write_seal(seal, STRANGER)):
        with pytest.raises(InputProblem, match="did not sign"):
            read_seal(wrong, SITE.public)
    for wrong in (b"", b"{}", b"[]", text[:-20], b"\xff"):
        with pytest.raises(InputProblem):
            read_seal(wrong, SITE.public)


def test_a_log_sealed_late_says_so():
    seal = settle(announce(None, end_of(a_log(3)), end_of(WHOLE)))
    assert seal == Seal(end_of(WHOLE), None, 3)
