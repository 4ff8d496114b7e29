"""Somebody who has earned a completion record, without sitting through it."""

from dataclasses import dataclass
from datetime import date, datetime

import pytest

from tests.support.people import NOW, Someone
from trainer.core.records.record import AssessmentResult, ObservedService
from trainer.use_cases import certify, withdraw
from trainer.use_cases.certify import Issuing
from trainer.use_cases.evidence import Evidence
from trainer.use_cases.keep_photos import Album
from trainer.use_cases.sign_off import Signing
from trainer.use_cases.work import Work

ALL = ("fit", "maintain", "remove")
ADDRESS = "https://quayside.example"


def evidence(
    sitting: str = "s1",
    passed_on: date | None = date(2026, 2, 20),
    observed: tuple[str, ...] = ALL,
    observed_on: date = date(2026, 2, 27),
) -> Evidence:
    result = AssessmentResult(passed_on, 35, 40, 31, "9c41f2", "a1b2c3", 0.97)
    return Evidence(
        sitting if passed_on else "",
        result if passed_on else None,
        {name: ObservedService(name, observed_on, "Petra Lindqvist") for name in observed},
    )


@dataclass
class Earned:
    """What each person and method has to show, instead of sittings and sign-offs."""

    known: dict[tuple[str, str], Evidence]

    def gather(self, _unit, person_id: str, method: str) -> Evidence:
        return self.known.get((person_id, method), evidence(passed_on=None, observed=()))

    def put_in_place(self, monkeypatch) -> None:
        for module in (certify, withdraw):
            monkeypatch.setattr(module, "gather", self.gather)


def signing_with(issuing: Issuing, share: float = 0.8) -> Signing:
    return Signing(share, issuing, Album(issuing.keys.parent / "evidence"))


def issuing_in(folder) -> Issuing:
    return Issuing(folder / "keys", ADDRESS)


def a_record(
    work: Work,
    bank,
    earned: Earned,
    issuing: Issuing,
    someone: Someone,
    method: str = "tape_in",
    now: datetime = NOW,
) -> str:
    """Issue a record to a person; gives back its id."""
    earned.known.setdefault((someone.id, method), evidence(f"s-{someone.id}-{method}"))
    with work.writing(someone.viewer) as unit:
        found = certify.consider(unit, bank, someone.id, someone.organisation, method, issuing, now)
    assert found is not None
    return found


@pytest.fixture
def earned(monkeypatch):
    """What somebody has earned, put in place of what the store would gather."""
    made = Earned({})
    made.put_in_place(monkeypatch)
    return made


@pytest.fixture
def issuing(tmp_path):
    """Keys in a folder of the test's own."""
    return issuing_in(tmp_path)
