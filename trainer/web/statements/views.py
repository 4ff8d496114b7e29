"""Statements as a file, and the store that they are sent to."""

import json
from collections.abc import Iterator
from datetime import UTC, datetime, time, timedelta

from flask import (
    Blueprint,
    Response,
    flash,
    redirect,
    render_template,
    request,
    stream_with_context,
    url_for,
)
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.use_cases import set_learning_target, tell_learning
from trainer.use_cases.refusals import InputProblem
from trainer.web.access import who_may
from trainer.web.house import house, reading, writing
from trainer.web.records.issuing import issuing
from trainer.web.statements.entries import DaysEntry, StoreEntry
from trainer.web.telling import tell

pages = Blueprint("statements", __name__, url_prefix="/programs/statements")
A_MONTH = timedelta(days=30)


@pages.get("")
@who_may("administrator")
def home() -> ResponseReturnValue:
    """Take a file out, and say where statements are sent."""
    return _home(StoreEntry())


@pages.get("/file")
@who_may("administrator")
def file() -> ResponseReturnValue:
    """The statements of some days, as one JSON list."""
    entry = DaysEntry(request.args)
    if not entry.validate():
        return _home(StoreEntry(formdata=None), entry), 400
    since = datetime.combine(entry.since.data, time(), UTC)
    until = datetime.combine(entry.until.data + timedelta(days=1), time(), UTC)
    if since >= until:
        entry.until.errors = ("The last day comes before the first.",)
        return _home(StoreEntry(formdata=None), entry), 400
    answer = Response(stream_with_context(_written(since, until)), mimetype="application/json")
    named = f"statements-{entry.since.data}-{entry.until.data}.json"
    answer.headers["Content-Disposition"] = f'attachment; filename="{named}"'
    return answer


@pages.post("")
@who_may("administrator")
def name_store() -> ResponseReturnValue:
    """Name the store and begin to send."""
    entry = StoreEntry()
    if not entry.validate_on_submit():
        return _home(entry), 400
    try:
        with writing() as unit:
            set_learning_target.name_target(
                unit,
                house().settings.keys,
                entry.address.data or "",
                entry.name.data or "",
                entry.secret.data or "",
                clock.now(),
            )
    except InputProblem as problem:
        tell(entry, problem, entry.address)
        return _home(entry), 400
    flash("Kept. What happens from now on will be sent.", "good")
    return redirect(url_for("statements.home"), 303)


@pages.post("/stop")
@who_may("administrator")
def stop() -> ResponseReturnValue:
    """Send nothing any more."""
    with writing() as unit:
        set_learning_target.stop(unit, house().settings.keys, clock.now())
    flash("Nothing is sent any more, and the secret is forgotten.", "good")
    return redirect(url_for("statements.home"), 303)


def _home(store: StoreEntry, days: DaysEntry | None = None) -> str:
    today = clock.today()
    if days is None:
        days = DaysEntry(formdata=None, since=today - A_MONTH, until=today)
    with reading() as unit:
        target = set_learning_target.see(unit)
    if target and not store.is_submitted():
        store.address.data, store.name.data = target.address, target.name
    return render_template("statements/home.html", store=store, days=days, target=target)


def _written(since: datetime, until: datetime) -> Iterator[str]:
    """One list, written as it is read: it may be long."""
    with reading() as unit:
        place = tell_learning.home_of(unit, issuing().base_url)
        yield "["
        for number, one in enumerate(tell_learning.tell(unit, place, since, until)):
            yield (",\n" if number else "\n") + json.dumps(one, ensure_ascii=False)
        yield "\n]\n"
