"""A service is offered only where the words plainly name one."""

import pytest

from trainer.core.bookings.matching import words_of
from trainer.core.bookings.service_said import service_said


@pytest.mark.parametrize(
    ("title", "service"),
    [
        ("Tapes full head", "fit"),
        ("New set, keratin bonds", "fit"),
        ("New client, keratin bonds", ""),
        ("Tape fitting", "fit"),
        ("Bond removal", "remove"),
        ("Micro links refit", "maintain"),
        ("Beaded row move-up", "maintain"),
        ("Weft consultation", "consult"),
        ("Removal and refit", ""),
        ("Re-fit", ""),
        ("Tapes", ""),
        ("Benefit day", ""),
        ("", ""),
    ],
)
def test_one_service_or_none(title, service):
    assert service_said(words_of(title)) == service
