"""Made-up records of every kind that we could issue: the same draw, the same record."""

from datetime import UTC, datetime, timedelta
from uuid import UUID

from trainer.core.draw import Draw
from trainer.core.records.did_web import did_web
from trainer.core.records.keys import Signer
from trainer.core.records.record import (
    Alignment,
    AssessmentResult,
    Completion,
    Holder,
    Issuer,
    ObservedService,
)
from trainer.core.records.status_list import SIZE, ListAddress, compose_list

START = datetime(2026, 1, 1, tzinfo=UTC)
SERVICES = ("fit", "maintain", "remove")
METHODS = ("tape_in", "clip_in", "fusion_bond", "sewn_weft", "micro_link", "beaded_row")
# Letters of many scripts, marks that JSON, N-Quads or markup could stumble over, and outer planes.
LETTERS = (
    "abcxyzABC äéßøŁőçñ Ελένη Ольга שרה ليلى नेहा 李娜 ゆい 민지 \u0301\u00a0\u200d\u2028\ufeff"
    "'\"\\/<>&{}[]#*_`$@%^~|;:,.!?-–— \U0001f469\U00010348 0123456789"
)


def signer(draw: Draw) -> Signer:
    return Signer(bytes(draw.below(256) for _ in range(32)))


def _words(draw: Draw, most: int = 24) -> str:
    return "".join(draw.one(LETTERS) for _ in range(draw.between(1, most)))


def _uuid(draw: Draw) -> str:
    return f"urn:uuid:{UUID(bytes=bytes(draw.below(256) for _ in range(16)), version=4)}"


def _hex(draw: Draw, digits: int) -> str:
    return "".join(draw.one("0123456789abcdef") for _ in range(digits))


def completion(draw: Draw, key: Signer) -> Completion:
    """A record's contents; the issuer is a did:key or a did:web, the words are wild."""
    place = draw.one(("https://quayside.example", "http://127.0.0.1:8000", "https://a.example/b"))
    page = f"{place}/issuers/{_hex(draw, 32)}"
    issuer = did_web(page) if draw.chance(0.5) else key.public.did
    since = START + timedelta(seconds=draw.below(80_000_000))
    observed = draw.some(SERVICES, draw.between(1, 3))
    most = draw.between(10, 60)
    return Completion(
        id=_uuid(draw),
        issuer=Issuer(issuer, _words(draw), page),
        holder=Holder(_uuid(draw), _words(draw), _hex(draw, 32)),
        method=draw.one(METHODS),
        method_name=_words(draw),
        assessment=AssessmentResult(
            since.date(),
            draw.between(0, most),
            most,
            draw.between(0, most),
            _hex(draw, 64),
            _hex(draw, 12),
            draw.fraction() if draw.chance(0.8) else None,
        ),
        observed=tuple(ObservedService(one, since.date(), _words(draw)) for one in observed),
        valid_from=since,
        valid_until=since + timedelta(days=draw.between(0, 900)),
        status_list=f"{page}/status",
        status_index=draw.below(SIZE),
        alignment=tuple(
            Alignment(_words(draw, 8), _words(draw), _words(draw), f"{place}/{number}")
            for number in range(draw.below(3))
        ),
    )


def status_list(draw: Draw, key: Signer) -> dict:
    """A status list without proof."""
    page = f"https://quayside.example/issuers/{_hex(draw, 32)}"
    address = ListAddress(f"{page}/status", did_web(page) if draw.chance(0.5) else key.public.did)
    bits = {draw.below(SIZE) for _ in range(draw.below(40))}
    since = START + timedelta(seconds=draw.below(80_000_000))
    return compose_list(address, bits, since, since + timedelta(days=1))
