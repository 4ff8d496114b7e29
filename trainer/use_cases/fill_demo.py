"""Fill an empty database with the demo scenario, by the product's own use cases."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from trainer.core.knowledge.bank import Bank
from trainer.store import people, records
from trainer.use_cases import assign_module, keep_people, withdraw
from trainer.use_cases.assign_module import Wish
from trainer.use_cases.certify import Issuing
from trainer.use_cases.demo_cast import (
    ACADEMY,
    EVENING,
    LEADERS,
    LEARNERS,
    MANAGERS,
    MODULES,
    PASSWORD,
    SALONS,
    STYLISTS,
    SUSPENDED,
    TUESDAY,
    Player,
    address_of,
)
from trainer.use_cases.demo_change import change_a_fact
from trainer.use_cases.demo_history import WEEKS, Story, certify_player, practise_for_weeks
from trainer.use_cases.demo_measures import doubt, measure
from trainer.use_cases.demo_salons import settle
from trainer.use_cases.passwords import Passwords
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.work import Unit, Viewer, Work

FOUNDED = timedelta(days=430)
SHARE = 0.8


@dataclass(frozen=True)
class Places:
    """The ids of academy, salons and groups."""

    academy: str
    salons: tuple[str, ...]
    groups: dict[str, str]


def fill(
    work: Work,
    bank: Bank,
    keys: Path,
    base_url: str,
    now: datetime,
    progress: Callable[[int, int], None],
    passwords: Passwords | None = None,
) -> list[str]:
    """Fill the database if nobody is in it; gives the lines that say who can sign in.

    Raises InputProblem where it was filled before, but not to the end.
    """
    with work.reading() as unit:
        if people.by_email(unit, address_of(LEADERS[0].name)):
            _must_be_whole(unit)
            return who_can_sign_in()
        if people.anyone(unit):
            return ["The database is not empty, so the demo was left out."]
    start = now - FOUNDED
    places = _places(work, start)
    kept = (passwords or Passwords()).hash(PASSWORD)
    ids = {p.name: _person(work, p, places, kept, start) for p in everybody()}
    observer = Viewer(ids["Ines Varga"], places.academy, frozenset({"instructor"}))
    story = Story(work, bank, Issuing(keys, base_url), observer, SHARE, now)
    _assign(story, places)
    learners = (*LEARNERS, *STYLISTS)
    for done, player in enumerate(learners, 1):
        viewer = Viewer(ids[player.name], places.academy, frozenset({"apprentice"}))
        practise_for_weeks(story, player, viewer)
        certify_player(story, player, viewer)
        progress(done, len(learners))
    change_a_fact(story)
    _suspend(story, places, ids)
    _find_out(story, places, ids)
    settle(work, bank, places.salons, ids, learners, now)
    _leave(work, ids, places, now)
    return who_can_sign_in()


def everybody() -> tuple[Player, ...]:
    """All players."""
    return (*LEADERS, *LEARNERS, *STYLISTS, *MANAGERS)


def who_can_sign_in() -> list[str]:
    """A few names for each of the three users, and the password that they share."""
    named = (
        ("Apprentice", "Mina Torvald", ACADEMY[0]),
        ("Apprentice, half way", "Amaya Costigan", ACADEMY[0]),
        ("Instructor", "Ines Varga", ACADEMY[0]),
        ("Instructor, administrator", "Ottoline Brask", ACADEMY[0]),
        ("Salon manager", "Rosalind Achebe", SALONS[0][0]),
        ("Salon manager", "Piet Marlowe", SALONS[1][0]),
    )
    rows = [f"  {role:26} {address_of(name):34} {place}" for role, name, place in named]
    return ["Who can sign in (everybody of the demo can):", *rows, f"  Password: {PASSWORD}"]


def _places(work: Work, at: datetime) -> Places:
    with work.writing() as unit:
        academy = keep_people.found_organisation(unit, *ACADEMY, at)
        salons = tuple(keep_people.found_organisation(unit, *one, at) for one in SALONS)
    with work.writing(Viewer("", academy, frozenset({"administrator"}))) as unit:
        groups = {name: keep_people.make_group(unit, name) for name in (TUESDAY, EVENING)}
    return Places(academy, salons, groups)


def _person(work: Work, player: Player, places: Places, kept: str, at: datetime) -> str:
    with work.writing(Viewer("", places.academy, frozenset({"administrator"}))) as unit:
        person_id = keep_people.add_person(unit, player.name, address_of(player.name), at)
        people.person(unit, person_id).password_hash = kept
        manages = "salon_manager" in player.roles
        if not manages:
            keep_people.join(unit, person_id, places.academy, player.roles, at)
        if player.salon >= 0:
            keep_people.join(unit, person_id, places.salons[player.salon], player.roles, at)
        if player.group:
            people.set_groups(unit, person_id, [places.groups[player.group]])
    return person_id


def _assign(story: Story, places: Places) -> None:
    began = story.now - timedelta(weeks=WEEKS)
    for title, group, methods, topics, length, due in MODULES:
        due_on = (story.now + timedelta(days=due)).date()
        wish = Wish(title, methods, topics, length, due_on, group_ids=[places.groups[group]])
        with story.work.writing(story.observer) as unit:
            assign_module.create(unit, story.bank, wish, (title, title), began)


def _suspend(story: Story, places: Places, ids: dict[str, str]) -> None:
    name, method, reason = SUSPENDED
    viewer = Viewer(story.observer.person_id, places.academy, frozenset({"administrator"}))
    with story.work.writing(viewer) as unit:
        for row in records.held(unit, ids[name], method):
            withdraw.suspend(unit, row.id, reason, story.now - timedelta(days=2))


def _find_out(story: Story, places: Places, ids: dict[str, str]) -> None:
    head = Viewer(ids["Ottoline Brask"], places.academy, frozenset({"instructor", "administrator"}))
    measure(story, (story.observer, head), head)
    for player in LEARNERS:
        for method in player.failed:
            viewer = Viewer(ids[player.name], places.academy, frozenset({"apprentice"}))
            doubt(story, viewer, method)


def _must_be_whole(unit: Unit) -> None:
    """The last of all is that the last stylist has left the academy."""
    row = people.by_email(unit, address_of(STYLISTS[-1].name))
    places = [one.name for _, one in people.memberships_of(unit, row.id)] if row else []
    if not places or ACADEMY[0] in places:
        what = "The demo was stopped before it was complete"
        remedy = "Empty that folder (or the database that is set), then start again."
        raise InputProblem(what, "the instance folder", remedy)


def _leave(work: Work, ids: dict[str, str], places: Places, now: datetime) -> None:
    """Those who only work in a salon have left the academy; their records went with them."""
    viewer = Viewer(ids["Ottoline Brask"], places.academy, frozenset({"administrator"}))
    for player in STYLISTS:
        with work.writing(viewer) as unit:
            keep_people.end_membership(unit, ids[player.name], now)
