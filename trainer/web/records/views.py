"""My records, the public check, the issuer's page, and what an academy has issued."""

from flask import Blueprint, Response, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.core.problems import Forbidden, InputProblem
from trainer.use_cases import (
    print_certificate,
    see_records,
    share_record,
    verify_record,
    withdraw,
)
from trainer.use_cases.issuer_names import site_document
from trainer.use_cases.roles import DECIDERS
from trainer.web.access import ANYONE, who_may
from trainer.web.house import house, prove, reading, writing
from trainer.web.records.entries import CheckEntry, StateEntry
from trainer.web.records.issuing import issuing
from trainer.web.telling import tell

pages = Blueprint("records", __name__)
RECORD_TYPE = "application/vc+ld+json"
DID_TYPE = "application/did+json"
LIST_AGE = "public, max-age=300"
DECISIONS = {
    "in_force": [("suspended", "Suspend"), ("withdrawn", "Withdraw for good")],
    "suspended": [("reinstated", "Lift the suspension"), ("withdrawn", "Withdraw for good")],
    "withdrawn": [],
    "replaced": [],
}
ANEW = ("reissued", "Issue it again under the present name")


@pages.get("/records")
@who_may("apprentice")
def mine() -> str:
    """My completion records and what is still missing for more."""
    with reading() as unit:
        found = see_records.mine(unit, house().bank, clock.now())
    return render_template("records/mine.html", found=found)


@pages.get("/records/<record_id>.json")
@who_may(ANYONE)
def download(record_id: str) -> Response:
    """The record's file, as it was issued. Whoever holds its link may have it."""
    with reading() as unit:
        document = see_records.document(unit, record_id)
    answer = Response(document, mimetype=RECORD_TYPE)
    answer.headers["Content-Disposition"] = f'attachment; filename="record-{record_id}.json"'
    return answer


@pages.get("/check/<record_id>")
@who_may(ANYONE)
def check(record_id: str) -> str:
    """Whether one record of ours holds, for anyone with its link."""
    with reading() as unit:
        left = see_records.left(unit, house().bank, record_id, clock.now())
        if left is not None:
            return render_template("records/left.html", line=left)
        view = share_record.everything(unit, house().bank, record_id, issuing(), clock.now())
    paper = url_for("records.certificate", record_id=record_id)
    return render_template("records/check.html", view=view, shown=view.shown, paper=paper)


@pages.get("/records/<record_id>/certificate.pdf")
@who_may(ANYONE)
def certificate(record_id: str) -> Response:
    """The certificate of a record, for anyone with its link."""
    with reading() as unit:
        view = share_record.everything(unit, house().bank, record_id, issuing(), clock.now())
    return paper_of(view, f"{issuing().base_url}/check/{record_id}")


def paper_of(view: share_record.View, address: str) -> Response:
    """A certificate as the answer."""
    answer = Response(print_certificate.certificate(view, address), mimetype="application/pdf")
    answer.headers["Content-Disposition"] = 'inline; filename="certificate.pdf"'
    return answer


@pages.route("/check", methods=["GET", "POST"])
@who_may(ANYONE)
def check_file() -> ResponseReturnValue:
    """Check a record from its file, from any issuer."""
    entry = CheckEntry()
    if not entry.validate_on_submit():
        return render_template("records/check_file.html", entry=entry, found=None)
    try:
        with reading() as unit:
            found = verify_record.check_file(
                unit,
                _sent(entry),
                entry.issuer_key.data or "",
                _lists(entry),
                issuing(),
                clock.now(),
            )
    except InputProblem as problem:
        page = render_template("records/check_file.html", entry=entry, found=None, problem=problem)
        return page, 400
    return render_template("records/check_file.html", entry=entry, found=found)


@pages.get("/issuers/<organisation_id>")
@who_may(ANYONE)
def issuer(organisation_id: str) -> str:
    """An academy as issuer: its key, and how to check its records without us."""
    with reading() as unit:
        shown = verify_record.issuer(unit, organisation_id, issuing())
    return render_template("records/issuer.html", shown=shown)


@pages.get("/issuers/<organisation_id>/key.json")
@who_may(ANYONE)
def issuer_key(organisation_id: str) -> ResponseReturnValue:
    """The issuer's public key as Multikey, with the JWK beside it."""
    with reading() as unit:
        shown = verify_record.issuer(unit, organisation_id, issuing())
    return shown.key.multikey, {"Cache-Control": LIST_AGE}


@pages.get("/records/<record_id>/key.json")
@who_may(ANYONE)
def record_key(record_id: str) -> ResponseReturnValue:
    """The public key that signed this record, which may be older than the issuer's newest."""
    with reading() as unit:
        key = verify_record.key_of_record(unit, record_id, issuing())
    return key.multikey, {"Cache-Control": LIST_AGE}


@pages.get("/issuers/<organisation_id>/did.json")
@who_may(ANYONE)
def issuer_did(organisation_id: str) -> ResponseReturnValue:
    """Every public key of the issuer, at the address where did:web looks for it."""
    with reading() as unit:
        listed = verify_record.did_document(unit, organisation_id, issuing())
    return listed, {"Content-Type": DID_TYPE, "Cache-Control": LIST_AGE}


@pages.get("/.well-known/did.json")
@who_may(ANYONE)
def site_did() -> ResponseReturnValue:
    """The site's own key, and where each issuer's keys stand."""
    with reading() as unit:
        listed = site_document(unit, issuing())
    return listed, {"Content-Type": DID_TYPE, "Cache-Control": LIST_AGE}


@pages.get("/issuers/<organisation_id>/status")
@pages.get("/issuers/<organisation_id>/status/<tail>")
@who_may(ANYONE)
def issuer_status(organisation_id: str, tail: str = "") -> ResponseReturnValue:
    """A signed status list of the issuer; the same for everyone, and nobody is recorded."""
    with reading() as unit:
        listed = verify_record.status_list(unit, organisation_id, issuing(), clock.now(), tail)
    return listed, {"Content-Type": RECORD_TYPE, "Cache-Control": LIST_AGE}


@pages.get("/records/issued")
@who_may(*DECIDERS)
def issued() -> str:
    """What the academy has issued, newest first."""
    with reading() as unit:
        found = see_records.issued(unit, house().bank, request.args.get("after", ""), clock.now())
    return render_template("records/issued.html", found=found)


@pages.route("/records/<record_id>/state", methods=["GET", "POST"])
@who_may(*DECIDERS)
def state(record_id: str) -> ResponseReturnValue:
    """Suspend, withdraw or reinstate one record."""
    with reading() as unit:
        line = see_records.one_issued(unit, house().bank, record_id, clock.now())
    entry = StateEntry()
    entry.decision.choices = [*([ANEW] if line.other_name else []), *DECISIONS[line.state]]
    if entry.validate_on_submit():
        try:
            return _decided(record_id, entry)
        except InputProblem as problem:
            tell(entry, problem, entry.decision)
        except Forbidden as problem:
            entry.decision.errors = (problem.why,)
            return render_template("records/state.html", entry=entry, line=line), 403
    page = render_template("records/state.html", entry=entry, line=line)
    return page, 400 if entry.errors else 200


def _decided(record_id: str, entry: StateEntry) -> ResponseReturnValue:
    """The decision, once whoever decides has proved again who they are."""
    prove(entry.password.data)
    now, reason = clock.now(), entry.reason.data or ""
    with writing() as unit:
        if entry.decision.data == "suspended":
            withdraw.suspend(unit, record_id, reason, now)
        elif entry.decision.data == "withdrawn":
            withdraw.withdraw(unit, record_id, reason, now)
        elif entry.decision.data == "reissued":
            withdraw.reissue(unit, record_id, reason, issuing(), now)
        else:
            withdraw.reinstate(unit, record_id, reason, issuing(), now)
    flash("The decision is recorded. The public page and the status list say so at once.")
    return redirect(url_for("records.issued"))


def _sent(entry: CheckEntry) -> bytes:
    file = entry.record_file.data
    content: bytes = file.read() if file else b""
    content = content or (entry.record_text.data or "").strip().encode("utf-8", "surrogatepass")
    if not content:
        raise InputProblem("There is no record to check", "record", "Choose a file or paste text.")
    return content


def _lists(entry: CheckEntry) -> list[bytes]:
    file = entry.list_file.data
    content = file.read() if file else b""
    return [content] if content else []
