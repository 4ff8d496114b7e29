"""The shape of a record, by our schema: two validators agree, and the words name the place."""

import json
from importlib.resources import files
from pathlib import Path

import jsonschema
import pytest

from tests.core.records.example import signed_record
from tests.support.changes import changed
from tests.support.completions import completion, signer
from trainer.core.draw import Draw
from trainer.core.records.record import compose
from trainer.core.records.strict_json import _schema, shape_faults

SCHEMA = json.loads(
    files("trainer.core.records").joinpath("ob3-record.schema.json").read_text("utf-8")
)
OTHER = jsonschema.Draft202012Validator(SCHEMA)
RECORD = signed_record()
CASES = sorted((Path(__file__).parent / "cases/cases").glob("*.json"))


@pytest.mark.parametrize("file", CASES, ids=lambda file: file.stem)
def test_a_second_validator_says_the_same_of_every_case(file):
    document = json.loads(file.read_text())
    assert _schema().is_valid(document) is OTHER.is_valid(document)


def test_a_second_validator_says_the_same_of_random_changes():
    for number in range(300):
        document = changed(RECORD, Draw("shape", number))
        assert _schema().is_valid(document) is OTHER.is_valid(document), document


def test_everything_that_we_could_issue_has_the_shape():
    for number in range(100):
        draw = Draw("shapely", number)
        document = {**compose(completion(draw, signer(draw))), "proof": RECORD["proof"]}
        assert OTHER.is_valid(document)
        assert shape_faults(document) == []


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda one: one.pop("issuer"), "the record: issuer is missing"),
        (lambda one: one.update(note=1), "the record: note is there, which"),
        (lambda one: one.update(validFrom="yesterday"), "validFrom: not what the standard asks"),
        (lambda one: one.update(type=["VerifiableCredential"]), "type: not what"),
        (lambda one: one["evidence"][1].update(genre=7), "evidence[1].genre: not what"),
        (lambda one: one.update({"x" * 500: 1}), "is there, which the standard does not name"),
        (lambda one: one["evidence"].append(one["evidence"][0]), "the same thing twice"),
    ],
)
def test_the_words_name_the_place(change, said):
    document = json.loads(json.dumps(RECORD))
    change(document)
    (first, *_) = shape_faults(document)
    assert said in first
    assert len(first) < 200
