"""Another academy that runs this program: its key, its records, its status list."""

import json
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from tests.support.people import NOW
from trainer.core.exchange.outside_address import read_address
from trainer.core.records.keys import Signer
from trainer.core.records.proof import sign
from trainer.core.records.record import (
    AssessmentResult,
    Completion,
    Holder,
    Issuer,
    ObservedService,
    compose,
)
from trainer.core.records.status_list import ListAddress, compose_list
from trainer.use_cases import accept_issuer, check_status, keep_outside_record
from trainer.use_cases.accept_issuer import Wish
from trainer.use_cases.fetch_outside import Door, Fetched
from trainer.use_cases.refusals import InputProblem

LIST = "https://other.example/issuers/9/status"
PLACE = 7


@dataclass
class OtherAcademy:
    """It signs with a key of its own; `marked` are the places of records that no longer hold."""

    secret: bytes = bytes(range(32))
    address: str = LIST
    marked: set[int] = field(default_factory=set)

    @property
    def signer(self):
        return Signer(self.secret)

    @property
    def did(self):
        return self.signer.public.did

    def record(self, holder, method="tape_in", services=("fit", "remove"), since=NOW, place=PLACE):
        """A signed record as its file."""
        said = Completion(
            id=f"urn:uuid:00000000-0000-4000-8000-{place:012}",
            issuer=Issuer(self.did, "Other Academy", "https://other.example/issuers/9"),
            holder=Holder("urn:uuid:11111111-1111-4111-8111-111111111111", holder, "salt"),
            method=method,
            method_name="Tape-in",
            assessment=AssessmentResult(since.date(), 35, 40, 31, "9c41f2", "a1b2c3", 0.97),
            observed=tuple(ObservedService(one, since.date(), "Somebody") for one in services),
            valid_from=since,
            valid_until=since + timedelta(days=365),
            status_list=self.address,
            status_index=place,
        )
        return self.signed(compose(said), since)

    def signed(self, document, since=NOW):
        return json.dumps(sign(document, self.signer, since)).encode()

    def status_list(self, now: datetime):
        """Its list as it stands at a moment."""
        address = ListAddress(self.address, self.did)
        document = compose_list(address, self.marked, now, now + timedelta(days=1))
        return self.signed(document, now)


class FakeDoor:
    """An outside that holds these files and pages; whatever is fetched is noted."""

    ports = ()

    def __init__(self, files=None):
        self.files = dict(files or {})
        self.asked = []

    def fetch(self, text):

        address = read_address(text, ())
        self.asked.append(address.url)
        found = self.files.get(address.url)
        if found is None:
            raise InputProblem("The address cannot be reached", "address", "Try again later.")
        return Fetched(found() if callable(found) else found, "", address)


OTHER = OtherAcademy()
FOR_TAPES = Wish("Other Academy, Northside", ("tape_in",), ("fit", "remove", "consult"))
HOLDS = 14
"""Days for which a look at a status is enough."""


def accept(work, bank, desk, wish=FOR_TAPES, who=OTHER, now=NOW):
    """The desk's house counts an issuer's records for what is wished."""
    with work.writing(desk.viewer) as unit:
        identity = accept_issuer.identify(who.did, Door())
        return accept_issuer.accept(unit, bank, identity, wish, now)


def keep(work, bank, desk, stylist, content=None, agreed=True, now=NOW):
    """A record that the stylist agreed to have kept here: its id."""
    content = OTHER.record("Noor Haddad") if content is None else content
    with work.writing(desk.viewer) as unit:
        return keep_outside_record.keep(unit, bank, content, stylist.id, agreed, now)


def check(work, desk, record_id, who=OTHER, now=NOW):
    """Its status, looked at in the issuer's own list."""
    with work.writing(desk.viewer) as unit:
        lists = [who.status_list(now)]
        return check_status.check(unit, record_id, lists, now, HOLDS)


def kept_here(work, bank, desk, someone, other, now):
    """A record of theirs for fitting and removing tape-ins, kept, accepted and looked at."""
    wish = Wish("Other Academy, Northside", ("tape_in",), ("fit", "remove"))
    accept(work, bank, desk, wish, other, now)
    record = other.record("Noor Haddad", since=now.replace(microsecond=0))
    record_id = keep(work, bank, desk, someone, record, now=now)
    check(work, desk, record_id, other, now)
    return record_id
