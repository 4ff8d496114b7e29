"""Try changes against the verifier: what verifies although it says something else."""

import json

from tests.support.changes import bytes_changed, changed, same
from trainer.core.draw import Draw
from trainer.core.problems import InputProblem
from trainer.core.records.verify import verify


def altered_that_verify(record: dict, keys, lists, now, count: int, seed: str):
    """Changes to what a record says: how many altered it, and those that verified."""
    altered, passed = 0, []
    for number in range(count):
        document = changed(record, Draw(seed, "parsed", number))
        if same(document, record):
            continue
        altered += 1
        if _valid(json.dumps(document).encode(), keys, lists, now):
            passed.append(document)
    return altered, passed


def bytes_that_verify(text: bytes, keys, lists, now, count: int, seed: str):
    """Changes to a file's bytes: how many altered the record or its text, and those that passed."""
    record, altered, passed = json.loads(text), 0, []
    for number in range(count):
        sent = bytes_changed(text, Draw(seed, "bytes", number))
        if _says(sent, record):
            continue
        altered += 1
        if _valid(sent, keys, lists, now):
            passed.append(sent)
    return altered, passed


def _says(text: bytes, record: dict) -> bool:
    try:
        return same(json.loads(text), record)
    except (ValueError, RecursionError):
        return False


def _valid(text: bytes, keys, lists, now) -> bool:
    try:
        return verify(text, keys, lists, now).valid
    except InputProblem:
        return False
