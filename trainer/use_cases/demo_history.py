"""Eight weeks of a made-up person's work, through the same use cases that people use."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from trainer.core.draw import Draw
from trainer.core.items.codec import from_kept
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.words import MAIN_TOPICS, OBSERVED_SERVICES
from trainer.core.marking.accommodation import NONE_NEEDED
from trainer.core.scenarios.family import families
from trainer.store import practice, sittings
from trainer.use_cases import (
    admit_candidate,
    agree_to_scheme,
    ask_to_sit,
    begin_sitting,
    certify,
    finish_sitting,
    practise,
    see_signed,
    sign_off,
    sit_assessment,
)
from trainer.use_cases.certify import Issuing
from trainer.use_cases.demo_cast import Player
from trainer.use_cases.demo_learner import answer, answers_right
from trainer.use_cases.keep_photos import Album
from trainer.use_cases.sign_in import Proven
from trainer.use_cases.sign_off import Signing, Watched
from trainer.use_cases.sit_assessment import places_of
from trainer.use_cases.work import Viewer, Work

WEEKS = 8
PER_SESSION = 5
LAG = 1.3
SLIPS_EVERY, HALF_RIGHT = 11, 0.55
WAITS, NEEDS = 12, "I read English slowly. A little more time would help."
PRACTISED = timedelta(minutes=4)


@dataclass(frozen=True)
class Story:
    """What every part of the history needs."""

    work: Work
    bank: Bank
    issuing: Issuing
    observer: Viewer
    share: float
    now: datetime

    @property
    def photos(self) -> Path:
        """Where photos would lie; the demo takes none."""
        return self.issuing.keys.parent / "evidence"


def practise_for_weeks(story: Story, player: Player, viewer: Viewer) -> None:
    """Sessions spread over the weeks, each on one method, several topics."""
    methods = sorted(player.skill)
    for session in range(player.sessions if methods else 0):
        draw = Draw("demo", player.name, session)
        ago = timedelta(weeks=WEEKS) * (1 - (session + draw.fraction()) / player.sessions)
        at = story.now - ago - timedelta(hours=1)
        _session(story, player, viewer, methods[session % len(methods)], at, draw)


def _session(
    story: Story, player: Player, viewer: Viewer, method: str, at: datetime, draw: Draw
) -> None:
    there = {one.topic for one in families(story.bank, method=method)}
    topics = [topic for topic in MAIN_TOPICS if topic in there]
    with story.work.writing(viewer) as unit:
        for number in range(PER_SESSION):
            topic = topics[number % len(topics)]
            planned = practise.plan_next(unit, story.bank, method, topic, at)
            item_id = practise.show_next(unit, planned, practise.make(story.bank, planned), at)
            question = practice.shown(unit, item_id)
            item = from_kept(question.kept)
            skill = player.skill[method] - (LAG if topic in player.stuck else 0)
            own = draw.branch(number)
            sent = answer(item, answers_right(item, skill, own), own)
            practise.respond(unit, item_id, sent, at)
            at += PRACTISED


def sit(story: Story, player: Player, viewer: Viewer, method: str, passes: bool, ago: int) -> None:
    """Sit a method's assessment some days ago, well or badly."""
    at = story.now - timedelta(days=ago)
    prepared = sit_assessment.prepare(story.bank, method)
    _admit(story, viewer, method, at)
    with story.work.writing(viewer) as unit:
        sitting_id = begin_sitting.begin(unit, story.bank, method, prepared, at)
    draw = Draw("demo sitting", player.name, method)
    for part in ("main", "confirm"):
        with story.work.writing(viewer) as unit:
            sitting = sittings.own(unit, sitting_id)
            if sitting.state == "done":
                break
            for shown in places_of(unit, sitting):
                row = sittings.item(unit, sitting_id, shown.position)
                item = from_kept(row.kept)
                right = _right(shown.number, part, passes, draw)
                sent = answer(item, right, draw.branch(shown.position))
                sit_assessment.save_answer(unit, sitting_id, shown.position, sent, "", at)
            done = at + timedelta(minutes=30)
            finish_sitting.finish(unit, story.bank, sitting_id, done)
            who, place = viewer.person_id, viewer.organisation_id
            certify.consider(unit, story.bank, who, place, method, story.issuing, done)


def _admit(story: Story, viewer: Viewer, method: str, at: datetime) -> None:
    """They sign, ask, and are let in by somebody who knows them."""
    asked = _ask(story, viewer, method, "", at)
    with story.work.writing(story.observer) as unit:
        admit_candidate.admit(unit, story.bank, asked, "known", NONE_NEEDED, 0, at)


def _ask(story: Story, viewer: Viewer, method: str, needs: str, at: datetime) -> str:
    with story.work.writing(viewer) as unit:
        text = agree_to_scheme.version_of(story.bank)
        agree_to_scheme.sign(unit, story.bank, Proven(viewer.person_id), text, at)
        return ask_to_sit.ask(unit, story.bank, method, sit_assessment.FULL, needs, 0, at)


def _right(number: int, part: str, passes: bool, draw: Draw) -> bool:
    """Who passes slips now and then; who does not is right about half the time."""
    if passes:
        return part == "confirm" or number % SLIPS_EVERY != 0
    return draw.branch(f"{part} {number}").chance(HALF_RIGHT)


def watch(story: Story, person_id: str, method: str, services: Sequence[str], ago: int) -> None:
    """Sign off services some days ago, everything met."""
    at = story.now - timedelta(days=ago)
    for service in services:
        met = [criterion.id for criterion in story.bank.criteria_of(method, service)]
        notes = "Calm hands, asked about pull twice." if service == "fit" else ""
        watched = Watched(person_id, method, service, met, notes, at.date())
        with story.work.writing(story.observer) as unit:
            proven = Proven(story.observer.person_id)
            signing = Signing(story.share, story.issuing, Album(story.photos))
            sign_off.sign(unit, story.bank, watched, proven, signing, at)


def certify_player(story: Story, player: Player, viewer: Viewer) -> None:
    """What was earned, passed, failed and watched."""
    for method, ago in player.certified.items():
        sit(story, player, viewer, method, True, ago + 3)
        watch(story, viewer.person_id, method, OBSERVED_SERVICES, ago)
    with story.work.writing(viewer) as unit:
        see_signed.saw(unit, see_signed.unseen(unit), story.now)
    for number, method in enumerate(player.passed):
        sit(story, player, viewer, method, True, 9 + number)
    for number, method in enumerate(player.failed):
        sit(story, player, viewer, method, False, 4 + number)
    for method, services in player.watched.items():
        watch(story, viewer.person_id, method, services, 5)
    if player.asks:
        at = story.now - timedelta(minutes=WAITS)
        _ask(story, viewer, player.asks, NEEDS, at)
