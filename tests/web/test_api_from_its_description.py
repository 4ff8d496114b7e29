"""Requests written from the description by an outside program, right ones and wrong ones.

schemathesis holds each answer against the description and against HTTP: no server error, only
declared statuses, types and shapes, wrong data refused, right data taken, no access without code.
openapi-spec-validator holds the description against the schema of OpenAPI 3.1.
"""

import json
from typing import get_args
from urllib.request import urlopen

import pytest
import schemathesis
import schemathesis.engine
from openapi_spec_validator import OpenAPIV31SpecValidator
from schemathesis.engine.events import FatalError, NonFatalError, ScenarioFinished

from tests.support.elsewhere import OtherAcademy, kept_here
from tests.support.people import a_person
from tests.support.programs import a_code
from tests.support.records import Earned, a_record
from tests.support.site import running_site
from trainer import clock
from trainer.core.knowledge.words import SERVICES
from trainer.core.records.asked import Answer, Ground
from trainer.core.records.standing import Word
from trainer.use_cases import follow_changes, keep_access
from trainer.use_cases.certify import Issuing
from trainer.use_cases.keep_access import STANDS_FOR
from trainer.use_cases.work import Viewer

EXAMPLES = 20


@pytest.fixture(scope="module")
def place(tmp_path_factory, bank):
    """A running site with people, a record, one from elsewhere and a code for each purpose."""
    folder = tmp_path_factory.mktemp("described")
    with running_site(folder, api_calls=10**6) as site, pytest.MonkeyPatch.context() as put:
        earned = Earned({})
        earned.put_in_place(put)
        boss = a_person(site.work, "administrator")
        stylist = a_person(site.work, organisation=boss.organisation)
        issuing = Issuing(folder / "keys", site.address)
        record = a_record(site.work, bank, earned, issuing, stylist, now=clock.now())
        kept_here(site.work, bank, boss, stylist, OtherAcademy(), clock.now())
        codes = {purpose: a_code(site.work, boss, purpose) for purpose in keep_access.PURPOSES}
        yield site, codes, {"person": stylist.id, "record": record}


def described(site):
    with urlopen(f"{site.address}/api/v1/openapi.json") as answer:  # noqa: S310  our own
        return json.load(answer)


def test_the_description_is_openapi_3_1(place):
    assert list(OpenAPIV31SpecValidator(described(place[0])).iter_errors()) == []


def test_a_description_that_is_none_is_found(place):
    broken = described(place[0])
    del broken["info"]["title"]
    assert list(OpenAPIV31SpecValidator(broken).iter_errors())


def test_its_words_are_those_of_the_core(place, bank):
    shapes = described(place[0])["components"]["schemas"]
    assert shapes["Method"]["enum"] == list(bank.methods)
    assert shapes["Service"]["enum"] == list(SERVICES)
    assert set(shapes["Reason"]["properties"]["ground"]["enum"]) == set(get_args(Ground))
    assert set(shapes["Clearance"]["properties"]["answer"]["enum"]) == set(get_args(Answer))
    assert set(shapes["Standing"]["properties"]["standing"]["enum"]) == set(get_args(Word))
    kinds = set(shapes["Change"]["properties"]["kind"]["enum"])
    assert kinds == set(follow_changes.TOLD.values())


@pytest.fixture(scope="module")
def judged(place):
    """What schemathesis tried, and what it found: all its phases, all its checks."""
    site, codes, known = place
    document = described(site)
    shapes, parameters = (document["components"][part] for part in ("schemas", "parameters"))
    shapes["Id"]["examples"] = list(known.values())
    shapes["Cursor"]["examples"] = [a_place_in_the_log(site)]
    for name, value in known.items():
        parameters[name.capitalize()]["example"] = value
    operations = [one for verbs in document["paths"].values() for one in verbs.values()]
    settings = {
        "base-url": f"{site.address}/api/v1",
        "request-timeout": 60,
        "suppress-health-check": ["too_slow"],  # a slow machine is no fault of the description
        "generation": {
            "max-examples": EXAMPLES,
            "deterministic": True,
            "database": "none",
            "with-security-parameters": False,  # each request gets its code from the line below
        },
        "operations": [
            {
                "include-operation-id": one["operationId"],
                "headers": {"Authorization": f"Bearer {codes[one['x-purpose'][0]]}"},
            }
            for one in operations
        ],
    }
    config = schemathesis.Config.from_dict(settings)
    schema = schemathesis.openapi.from_dict(document, config=config)
    return list(schemathesis.engine.from_schema(schema).execute())


def a_place_in_the_log(site):
    with site.work.reading(Viewer("", "", STANDS_FOR)) as unit:
        return follow_changes.follow(unit, "", 1).next


def test_what_is_described_is_what_is_done(judged):
    wrong = [str(one.info) for one in judged if isinstance(one, NonFatalError | FatalError)]
    for scenario in finished(judged):
        for case_id, checks in scenario.recorder.checks.items():
            failed = [one for one in checks if one.failure_info is not None]
            case = scenario.recorder.cases[case_id].value
            wrong += [f"{one.failure_info.failure}: {case.as_curl_command()}" for one in failed]
    assert not wrong, "\n\n".join(wrong)


def test_enough_was_tried_and_every_operation_also_answered(judged):
    statuses = {}
    for scenario in finished(judged):
        for interaction in scenario.recorder.interactions.values():
            if interaction.response is not None:
                statuses.setdefault(scenario.label, []).append(interaction.response.status_code)
    assert sum(map(len, statuses.values())) > 400
    silent = [name for name, codes in statuses.items() if 200 not in codes]
    assert silent == []
    assert {401, 404, 405, 422} <= {code for codes in statuses.values() for code in codes}


def finished(judged):
    return [one for one in judged if isinstance(one, ScenarioFinished)]
