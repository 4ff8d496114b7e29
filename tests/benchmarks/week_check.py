"""How long a check of 1,000 bookings takes, against a bare signed-in page of the same app: the
frame of the site around nothing.

Both go through the same app in this process; rounds alternate. The week to come is asked about in a
house of 30 people, first as nothing is known of its words, then with every word explained. Prints
the ratio of processor times (20 is the most that is asked of it), never a time: what else the
machine does and how fast its disk writes do not count. A week that has begun takes about three bare
pages more, for the records of the days gone by.

Run: python -m tests.benchmarks.week_check [bookings] [rounds]
"""

import gc
import statistics
import sys
import tempfile
import time
from datetime import timedelta
from io import BytesIO
from pathlib import Path

from flask import Flask
from flask.testing import FlaskClient

from tests.benchmarks.bare_page import BARE, put_bare_page
from tests.support.people import NOW, PASSWORDS, Someone, a_person, an_organisation
from trainer import clock
from trainer.core.bookings.booking import Booking, week_of
from trainer.core.exchange.bookings_out import as_calendar, as_table
from trainer.settings import Settings
from trainer.store import records, standings
from trainer.store.base import new_id
from trainer.use_cases import keep_matching_rules
from trainer.use_cases.keep_matching_rules import Meaning
from trainer.use_cases.open_bank import open_bank
from trainer.use_cases.work import Work
from trainer.web.app import create_app
from trainer.web.visitor import CHOSEN

PEOPLE = 30
NEXT_WEEK = clock.today() + timedelta(days=7)
WORK = (
    ("Tapes full head", "tape_in", "fit"),
    ("Tapes removal", "tape_in", "remove"),
    ("Weft maintenance", "sewn_weft", "maintain"),
    ("Keratin bonds", "fusion_bond", "fit"),
    ("Cut and colour", "", ""),
)


def house(folder: Path) -> tuple[Flask, Work, Someone, list[str]]:
    """A house of 30 people; nine of ten hold a record for all the work that is booked."""
    settings = Settings(folder, secret_key="benchmark")
    work = Work(settings.database)
    work.prepare()
    place = an_organisation(work, "Fig Lane", "salon")
    desk = a_person(work, "salon_manager", organisation=place)
    names = [f"Stylist Number{n}" for n in range(PEOPLE)]
    for n, name in enumerate(names):
        someone = a_person(work, organisation=place, name=name)
        if n % 10:
            hold(work, someone)
    app = create_app(settings, work, PASSWORDS)
    put_bare_page(app)
    return app, work, desk, names


def hold(work: Work, someone: Someone) -> None:
    """Records for every method that is booked, in force for a year."""
    with work.writing() as unit:
        for method in sorted({method for _, method, _ in WORK if method}):
            row = records.RecordRow(
                id=new_id(),
                person_id=someone.id,
                organisation_id=someone.organisation,
                method=method,
                services=["fit", "maintain", "remove"],
                valid_from=NOW,
                valid_until=NOW + timedelta(days=3650),
                issued_at=NOW,
                basis=f"{someone.id}:{method}",
                document="{}",
                state="in_force",
                state_since=NOW,
                issuer="did:key:z",
            )
            records.keep(unit, row)
            for service in row.services:
                said = {"person_id": someone.id, "method": method, "service": service}
                said |= {"word": "competent", "day": row.valid_until.date(), "as_of": NOW}
                standings.keep(unit, standings.StandingRow(**said, record_id=row.id))


def bookings(count: int, names: list[str]) -> list[tuple[Booking, str]]:
    """So many in one week, spread over days, hours and people."""
    week = week_of(NEXT_WEEK)
    found = []
    for n in range(count):
        start = week.start + timedelta(days=n % 6, hours=9 + n // 6 % 9, minutes=15 * (n % 4))
        title = WORK[n // 6 % len(WORK)][0]
        booking = Booking(start, start + timedelta(minutes=45), title, names[n % len(names)])
        found.append((booking, f"Client Number{n}"))
    return found


def visiting(app: Flask, desk: Someone) -> FlaskClient:
    """A client signed in as the desk."""
    app.config.update(WTF_CSRF_ENABLED=False)
    client = app.test_client()
    with client.session_transaction() as kept:
        kept["_user_id"], kept["_fresh"], kept[CHOSEN] = f"{desk.id}:0", True, desk.organisation
    return client


def taken(client: FlaskClient, content: bytes | None = None) -> float:
    """Seconds of processor for one page: the check of a file, or the bare one."""
    began = time.process_time()
    if content is None:
        answer = client.get(BARE)
    else:
        sent = {"bookings": (BytesIO(content), "week"), "week": NEXT_WEEK.isoformat()}
        answer = client.post("/week", data=sent)
    spent = time.process_time() - began
    assert answer.status_code == 200, answer.get_data(as_text=True)[:500]
    return spent


def ratio(client: FlaskClient, content: bytes, rounds: int) -> str:
    """The middle ratio of so many rounds, with the least and the most."""
    taken(client, content)
    found = sorted(once(client, content) for _ in range(rounds))
    return f"{statistics.median(found):.1f} bare pages ({found[0]:.1f} to {found[-1]:.1f})"


def once(client: FlaskClient, content: bytes) -> float:
    """The ratio of the middle one of three checks, between bare pages."""
    before = [taken(client) for _ in range(9)]
    checks = [taken(client, content) for _ in range(3)]
    after = [taken(client) for _ in range(9)]
    return statistics.median(checks) / statistics.median(before + after)


def main(count: int = 1000, rounds: int = 15) -> None:
    app, work, desk, names = house(Path(tempfile.mkdtemp()))
    client, week = visiting(app, desk), bookings(count, names)
    gc.freeze()  # as `trainer serve` does
    for words, content in (("calendar", as_calendar(week)), ("table", as_table(week))):
        print(f"{count} bookings, {words}, no word known: {ratio(client, content, rounds)}")
    with work.writing(desk.viewer) as unit:
        for said, method, service in WORK:
            meaning = Meaning(said, "work", method, service)
            keep_matching_rules.confirm(unit, open_bank(), meaning, NOW)
    for words, content in (("calendar", as_calendar(week)), ("table", as_table(week))):
        print(f"{count} bookings, {words}, every word known: {ratio(client, content, rounds)}")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
