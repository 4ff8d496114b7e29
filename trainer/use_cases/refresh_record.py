"""Renew a record in time by a refresh set: a shorter assessment, drawn and sat like a full one."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from trainer.core.draw import Draw
from trainer.core.knowledge.bank import Bank
from trainer.core.measurement.ability import band
from trainer.core.measurement.blueprint import Blueprint
from trainer.core.measurement.refresh import Recent, Shortening, shortened, sound
from trainer.core.records.requirement import may_refresh
from trainer.core.scenarios.family import families
from trainer.store import answers, sittings
from trainer.store.base import new_id
from trainer.store.competencies import WHOLE
from trainer.store.sittings import MAIN, SET_ASIDE, SittingRow
from trainer.store.unit import Unit
from trainer.use_cases.accommodate import standing
from trainer.use_cases.draw_form import NOT_AT_ALL, Lately, form_of, unmet, wanted
from trainer.use_cases.evidence import gather
from trainer.use_cases.keep_standing import held
from trainer.use_cases.know_competency import NOTHING, blueprint_of, known_to
from trainer.use_cases.know_standard import ability_needed, questions_needed, share_needed
from trainer.use_cases.refusals import InputProblem, NotFound
from trainer.use_cases.sit_assessment import REFRESH, Prepared, fresh_items

TRIES = 24


@dataclass(frozen=True, slots=True)
class Offered:
    """A refresh set of one method for the viewer.

    `full`: items of the full assessment. `needed`: how many of this one must be right; about that
    many where a panel has set it (`by_panel`). `short`: recent practice made it shorter still.
    `why_not`: why it is not open, '' where it is. `waiting_id`: a sitting that is not finished.
    """

    method: str
    blueprint: Blueprint
    full: int
    minutes: int
    needed: int
    by_panel: bool
    recent: Recent
    within_days: int
    short: bool
    why_not: str
    waiting_id: str | None


def offer(unit: Unit, bank: Bank, method: str, now: datetime) -> Offered:
    """What the viewer may do to refresh a method's record. Raises NotFound for no method."""
    if method not in bank.methods:
        raise NotFound
    full, rule = blueprint_of(bank, method), bank.methods[method].scheme.refresh
    recent = _recent(unit, bank, method, rule.within_days, now)
    blueprint = shortened(
        full, Shortening(rule.share, rule.short_share, rule.least_answers), recent
    )
    needed = share_needed(unit, method, full)
    open_one = sittings.unfinished(unit, unit.viewer.person_id, method)
    return Offered(
        method,
        blueprint,
        full.items,
        standing(unit, unit.viewer.person_id).minutes(blueprint.minutes),
        questions_needed(blueprint.items, *needed),
        needed[1],
        recent,
        rule.within_days,
        sound(recent, rule.least_answers),
        why_no_refresh(unit, bank, unit.viewer.person_id, method, now),
        open_one.id if open_one else None,
    )


def prepare(bank: Bank, offered: Offered, seen: Lately = NOT_AT_ALL) -> Prepared:
    """Draw a form of its own and generate its items; reads and keeps nothing.

    `seen`: what was used lately (`draw_form.lately`); such families come less.

    Raises InputProblem if the bank has too few questions.
    """
    method, blueprint = offered.method, offered.blueprint
    if short := unmet(bank, method, blueprint):
        raise InputProblem(
            f"there are too few questions: {'; '.join(short)}",
            method,
            "Sit the full assessment instead.",
        )
    sitting_id = new_id()
    form = form_of(bank, method, seen, Draw("refresh", sitting_id), blueprint)
    rows = fresh_items(bank, sitting_id, form.families, MAIN, 1)
    critical = {one.id for one in families(bank, method=offered.method) if one.recipe.critical}
    kept = tuple(_critical(bank, row) if row["family"] in critical else row for row in rows)
    moved = wanted(bank, method, blueprint).moved
    return Prepared(sitting_id, REFRESH, blueprint, kept, moved)


def _critical(bank: Bank, row: dict[str, Any]) -> dict[str, Any]:
    """A question of a critical family that can injure: some of its cases cannot.

    A short set has none to spare; in a full form the others make up for it.
    """
    for again in range(TRIES):
        if row["kept"]["critical"]:
            break
        fresh = f"{row['sitting_id']}:{again}"
        (other,) = fresh_items(bank, fresh, [row["family"]], MAIN, row["position"])
        row = other | {"sitting_id": row["sitting_id"]}
    return row


def _recent(unit: Unit, bank: Bank, method: str, days: int, now: datetime) -> Recent:
    person_id = unit.viewer.person_id
    known = known_to(unit, person_id).get((method, WHOLE), NOTHING)
    given, harmful = answers.recent(unit, person_id, method, now - timedelta(days=days))
    stand = band(known.ability, ability_needed(unit, bank, method)) if known.n else "unknown"
    return Recent(stand, given, harmful)


def why_no_refresh(unit: Unit, bank: Bank, person_id: str, method: str, now: datetime) -> str:
    """Why no refresh set is open to a person, '' where it is.

    Too early, too late, already passed, or failed since: then the full assessment is next.
    """
    scheme = bank.methods[method].scheme
    known = held(unit, person_id, method)
    if not may_refresh(now.date(), scheme, known):
        return "there is no record to refresh at this time"
    began = max(one.valid_from for one in known if one.state == "in_force")
    passed_on = gather(unit, person_id, method).passed_on
    if passed_on is not None and passed_on > began:
        return "you have passed already; only work at the chair is left"
    if _failed_since(sittings.latest(unit, person_id, method), began):
        return "the last one was not passed, so the full assessment is next"
    return ""


def _failed_since(last: SittingRow | None, began: date) -> bool:
    if last is None or last.finished_at is None or last.passed or SET_ASIDE in last.outcome:
        return False
    return last.finished_at.date() > began
