"""A holder's links to a record, and what they open."""

from flask import Blueprint, Response, flash, redirect, render_template, url_for
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.use_cases import see_records, share_record
from trainer.web.access import ANYONE, SIGNED_IN, who_may
from trainer.web.house import house, reading, writing
from trainer.web.records.issuing import issuing
from trainer.web.records.views import paper_of
from trainer.web.sharing.entries import ShareEntry

pages = Blueprint("sharing", __name__)


@pages.route("/records/<record_id>/links", methods=["GET", "POST"])
@who_may(SIGNED_IN)
def links(record_id: str) -> ResponseReturnValue:
    """My links to one of my records: what each shows, a new one."""
    with reading() as unit:
        found = share_record.links(unit, record_id)
        line = see_records.one_mine(unit, house().bank, record_id, clock.now())
    entry = ShareEntry()
    if not entry.validate_on_submit():
        words = {choice.value: choice.label for choice in entry.shows.choices}
        page = render_template(
            "sharing/links.html", entry=entry, line=line, links=found, words=words
        )
        return page, 400 if entry.errors else 200
    label, shows = entry.label.data or "", entry.shows.data or []
    with writing() as unit:
        share_record.make_link(unit, record_id, label, shows, clock.now())
    flash("The link is made. It opens until you end it.")
    return redirect(url_for("sharing.links", record_id=record_id))


@pages.post("/records/<record_id>/links/<link_id>/end")
@who_may(SIGNED_IN)
def end(record_id: str, link_id: str) -> ResponseReturnValue:
    """End one link."""
    with writing() as unit:
        share_record.end_link(unit, record_id, link_id, clock.now())
    flash("The link is ended. Whoever has it sees nothing any more.")
    return redirect(url_for("sharing.links", record_id=record_id))


@pages.get("/shared/<token>")
@who_may(ANYONE)
def shared(token: str) -> str:
    """A record by a holder's link: whether it holds, and the parts that the link shows."""
    with reading() as unit:
        view = share_record.shared(unit, house().bank, token, issuing(), clock.now())
    paper = url_for("sharing.certificate", token=token)
    return render_template("records/check.html", view=view, shown=view.shown, paper=paper)


@pages.get("/shared/<token>/certificate.pdf")
@who_may(ANYONE)
def certificate(token: str) -> Response:
    """The certificate with the parts that the link shows."""
    with reading() as unit:
        view = share_record.shared(unit, house().bank, token, issuing(), clock.now())
    return paper_of(view, f"{issuing().base_url}/shared/{token}")
