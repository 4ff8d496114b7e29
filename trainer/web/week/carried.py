"""A week's bookings carried by the page itself, from one answer to the next.

The server keeps none of them. What the page sends back is signed by us, for one person of one
organisation, for an hour, and bounded in size.
"""

import zlib
from datetime import date, timedelta
from typing import Any

from flask import current_app
from itsdangerous import BadData, Serializer, URLSafeTimedSerializer
from itsdangerous.encoding import base64_encode

from trainer.core.bookings.booking import Booking, Diary, Week
from trainer.use_cases.refusals import InputProblem
from trainer.web.house import viewer

SALT = "bookings of a week"
HOLDS = timedelta(hours=1)
LARGEST = 400_000  # characters
AGAIN = "Give the file again."
MINUTE = timedelta(minutes=1)


def packed(week: Week, diary: Diary) -> str:
    """The bookings as text for a hidden field. Raises InputProblem where they are too many."""
    starts, ends, titles, staff = zip(*diary.bookings, strict=True)
    minutes = {one: (one - week.start) // MINUTE for one in {*starts, *ends}}
    said = {
        "for": _mine(),
        "monday": week.monday.isoformat(),
        "starts": [minutes[one] for one in starts],
        "ends": [minutes[one] for one in ends],
        "titles": titles,
        "staff": staff,
        "notes": list(diary.notes),
        "bare": diary.bare,
    }
    found = str(_signer().dumps(said))
    if len(found) > LARGEST:
        raise InputProblem("These are too many bookings", "bookings", "Give fewer at a time.")
    return found


def unpacked(text: str) -> tuple[Week, Diary]:
    """The same bookings again. Raises InputProblem for what we did not pack for this visitor."""
    try:
        if len(text) > LARGEST:
            raise BadData("too large")
        said = _signer().loads(text, max_age=int(HOLDS.total_seconds()))
    except BadData:
        raise InputProblem("This page was open too long", "bookings", AGAIN) from None
    if said["for"] != _mine():
        raise InputProblem("These bookings were somebody else's", "bookings", AGAIN)
    week = Week(date.fromisoformat(said["monday"]))
    starts, ends = ([week.start + one * MINUTE for one in said[key]] for key in ("starts", "ends"))
    each = zip(starts, ends, said["titles"], said["staff"], strict=True)
    bookings = [Booking(*one) for one in each]
    return week, Diary(bookings, tuple(said["notes"]), bare=said["bare"])


def _mine() -> list[str]:
    who = viewer()
    return [who.person_id, who.organisation_id]


class _Packer(URLSafeTimedSerializer):
    """Packed lightly: the text lives for one answer, and packing it well takes longer."""

    def dump_payload(self, obj: Any) -> bytes:
        """As the base class reads it: a dot, then what is compressed."""
        text = Serializer.dump_payload(self, obj)
        return b"." + base64_encode(zlib.compress(text, zlib.Z_BEST_SPEED))


def _signer() -> URLSafeTimedSerializer:
    return _Packer(current_app.secret_key or "", salt=SALT)
