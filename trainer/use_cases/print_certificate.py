"""A record as a certificate, with the parts that its view shows."""

from trainer.core.records.certificate import Certificate, draw
from trainer.core.records.instants import for_people
from trainer.core.records.record import BANK_WORDS, FORM_WORDS
from trainer.use_cases.certify import credential_id
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.share_record import View

FINGERPRINTS = (BANK_WORDS, FORM_WORDS)


def certificate(view: View, address: str) -> bytes:
    """The certificate as PDF; `address` is where this view stands, for the QR.

    Raises InputProblem for a record that does not hold: paper would outlive it.
    """
    shown = view.shown
    if not shown.verification.valid:
        raise InputProblem(
            "This record does not hold today", "certificate", "Its page says why and since when."
        )
    row = shown.row
    number = [("Record number", credential_id(row.id))] if view.whole else []
    rows = [
        ("In force", f"{for_people(row.valid_from)} to {for_people(row.valid_until)}"),
        *((name, value) for name, value in shown.told if name not in FINGERPRINTS),
        *((name, text) for name, text in shown.evidence),
        *(("Answers to", standard) for standard in shown.standards),
        *number,
    ]
    return draw(
        Certificate(
            name=shown.holder,
            issuer=shown.issuer,
            attests=f"passed the assessment and showed at the chair how to "
            f"{_listed(row.services)} {shown.method} extensions.",
            rows=rows,
            address=address,
            made=row.issued_at,
            record=row.document if view.whole else None,
        )
    )


def _listed(services: list[str]) -> str:
    return " and ".join([", ".join(services[:-1]), services[-1]] if services[1:] else services)
