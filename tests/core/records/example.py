"""One record of an academy that does not exist, for the tests of this room."""

import json
from datetime import UTC, date, datetime

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

SIGNER = Signer(bytes(range(32)))
PAGE = "https://quayside.example/issuers/1"
LIST = f"{PAGE}/status"
ISSUED = datetime(2026, 3, 2, 9, 30, tzinfo=UTC)
UNTIL = datetime(2027, 3, 2, 9, 30, tzinfo=UTC)
NOW = datetime(2026, 6, 1, 12, 0, tzinfo=UTC)

COMPLETION = Completion(
    id="urn:uuid:0b7e6a52-7a0c-4d3e-9d0e-1f6f5a4b3c2d",
    issuer=Issuer(SIGNER.public.did, "Quayside Academy", PAGE),
    holder=Holder("urn:uuid:5d9a3a2e-33a5-4c58-8f5b-7d1f0a9e8b7c", "Ines Dorval", "f3a1c0"),
    method="tape_in",
    method_name="Tape-in",
    assessment=AssessmentResult(date(2026, 2, 20), 35, 40, 31, "9c41f2", "a1b2c3", 0.97),
    observed=tuple(
        ObservedService(service, date(2026, 2, 27), "Petra Lindqvist")
        for service in ("fit", "maintain", "remove")
    ),
    valid_from=ISSUED,
    valid_until=UNTIL,
    status_list=LIST,
    status_index=4711,
)


def signed_record() -> dict:
    return sign(compose(COMPLETION), SIGNER, ISSUED)


def signed_list(*set_bits: int, signer: Signer = SIGNER) -> dict:
    address = ListAddress(LIST, signer.public.did)
    until = datetime(2026, 12, 31, tzinfo=UTC)
    return sign(compose_list(address, set_bits, ISSUED, until), signer, ISSUED)


def as_bytes(document: dict) -> bytes:
    return json.dumps(document).encode()
