"""Whatever is changed in a signed record, anywhere, it no longer verifies."""

import copy

import pytest

from tests.core.records.example import LIST, NOW, SIGNER, as_bytes, signed_list, signed_record
from trainer.core.records.verify import verify

RECORD = signed_record()
LISTS = [as_bytes(signed_list(1, 2))]


def places(value, path=()):
    """Every member and every item of every list, from the top down."""
    inside = value.items() if isinstance(value, dict) else enumerate(value)
    for name, part in inside:
        yield (*path, name)
        if isinstance(part, dict | list):
            yield from places(part, (*path, name))


def holder_of(document, path):
    for name in path[:-1]:
        document = document[name]
    return document


def altered(value):
    """A different value of the same kind, that still looks like one."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, dict):
        return {**value, "id": "urn:uuid:00000000-0000-4000-8000-000000000000"}
    if isinstance(value, list):
        return [*value, copy.deepcopy(value[-1])] if isinstance(value[-1], dict) else value[:-1]
    last = value[-1]
    return value[:-1] + ("8" if last == "7" else "7" if last.isdigit() else "Y")


def said(document):
    return verify(as_bytes(document), SIGNER.public, LISTS, NOW)


def label(path):
    return ".".join(map(str, path))


def test_the_record_itself_is_valid():
    assert said(RECORD).valid, said(RECORD)


PLACES = list(places(RECORD))


def test_the_walk_reaches_the_whole_record():
    assert len(PLACES) > 100
    assert ("credentialSubject", "achievement", "resultDescription", 0, "valueMax") in PLACES


@pytest.mark.parametrize("path", PLACES, ids=label)
def test_a_changed_part_is_refused(path):
    changed = copy.deepcopy(RECORD)
    holder = holder_of(changed, path)
    holder[path[-1]] = altered(holder[path[-1]])
    assert not said(changed).valid


@pytest.mark.parametrize("path", PLACES, ids=label)
def test_a_missing_part_is_refused(path):
    changed = copy.deepcopy(RECORD)
    del holder_of(changed, path)[path[-1]]
    assert not said(changed).valid


OBJECTS = [(), *(path for path in PLACES if isinstance(holder_of(RECORD, path)[path[-1]], dict))]


@pytest.mark.parametrize("path", OBJECTS, ids=label)
@pytest.mark.parametrize(
    "added",
    [
        {"note": "also for wig pieces"},
        {"https://schema.org/name": "someone else"},
        {"@included": [{"id": "urn:x:1"}]},
        {"@context": {"note": "https://example.org/note"}},
    ],
    ids=lambda added: next(iter(added)),
)
def test_an_added_member_is_refused(path, added):
    changed = copy.deepcopy(RECORD)
    target = holder_of(changed, path)[path[-1]] if path else changed
    target.update(added)
    assert not said(changed).valid


def test_a_member_that_stands_twice_is_refused():
    text = as_bytes(RECORD).replace(b'{"@context"', b'{"name": "Wig piece", "@context"', 1)
    found = verify(text, SIGNER.public, LISTS, NOW)
    assert (found.valid, found.checks["shape"]) == (False, "failed")


@pytest.mark.parametrize("proof", [None, [], "none"])
def test_no_proof_is_refused(proof):
    assert not said({**RECORD, "proof": proof}).valid


def test_two_proofs_are_refused_and_a_list_of_one_is_read():
    assert not said({**RECORD, "proof": [RECORD["proof"]] * 2}).valid
    assert said({**RECORD, "proof": [RECORD["proof"]]}).valid


def test_another_context_is_refused_even_when_it_means_the_same():
    older = RECORD["@context"][1].replace("3.0.3", "3.0.2")
    assert not said({**RECORD, "@context": [RECORD["@context"][0], older]}).valid


def test_a_status_entry_of_another_list_is_not_answered_by_this_one():
    record = {**RECORD["credentialStatus"], "statusListCredential": LIST + "/2"}
    found = said({**RECORD, "credentialStatus": record})
    assert not found.valid


def test_one_thing_told_in_two_halves_is_refused():
    changed = copy.deepcopy(RECORD)
    described = changed["credentialSubject"]["achievement"]["resultDescription"]
    whole = described[0]
    described[0] = {name: part for name, part in whole.items() if name != "valueMax"}
    described.append({name: part for name, part in whole.items() if name != "valueMin"})
    assert not said(changed).valid
