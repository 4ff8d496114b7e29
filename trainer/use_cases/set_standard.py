"""Set a standard: open a panel, rate in two rounds, propose the cut, adopt it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from math import isnan
from typing import Any

from trainer.core.draw import Draw
from trainer.core.items.codec import as_kept, from_kept
from trainer.core.knowledge.bank import Bank
from trainer.core.measurement.blueprint import Blueprint, counts
from trainer.core.scenarios.family import Family
from trainer.core.scenarios.generate import generate
from trainer.store import standards
from trainer.store.base import new_id
from trainer.store.standards import (
    ADOPTED,
    DROPPED,
    FIRST,
    PROPOSED,
    RATED,
    SECOND,
    PanelRow,
)
from trainer.store.unit import Unit
from trainer.use_cases.keep_log import log
from trainer.use_cases.know_competency import blueprint_of
from trainer.use_cases.know_difficulty import difficulty_of, in_use, to_keep
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound
from trainer.use_cases.roles import REVIEWERS
from trainer.use_cases.sit_assessment import SEEDS
from trainer.use_cases.typical_items import LEVEL, sat_families
from trainer.use_cases.weigh_ratings import (
    LEAST_RATERS,
    MOST_SITTINGS,
    TEN,
    Weighed,
    finished,
    sitters,
    weigh,
)

ASKED = 24
"""Questions on a panel: what a person can weigh with care in half an hour."""
ROUNDS = {FIRST: 1, SECOND: 2}
COUNTED = timedelta(days=365)
TOO_FEW = "Two instructors at least have to rate every question first"


@dataclass(frozen=True, slots=True)
class Prepared:
    """A panel with its questions, ready to be opened."""

    id: str
    method: str
    items: tuple[dict[str, Any], ...]


def prepare(bank: Bank, method: str) -> Prepared:
    """Choose the families for a panel and make an example question of each.

    Reads and keeps nothing: do it before the unit that opens the panel. Raises NotFound for no
    method, InputProblem where there are too few questions.
    """
    if method not in bank.methods:
        raise NotFound
    panel_id = new_id()
    chosen = _chosen(bank, method, blueprint_of(bank, method), Draw("panel", panel_id))
    if len(chosen) < LEAST_RATERS:
        raise InputProblem("There are too few questions to rate", method, "Add questions first.")
    return Prepared(
        panel_id,
        method,
        tuple(_example(bank, panel_id, n, one) for n, one in enumerate(chosen, 1)),
    )


def open_panel(unit: Unit, bank: Bank, prepared: Prepared, now: datetime) -> str:
    """Open a panel and give its id; the one under way if there is one. Raises Forbidden."""
    unit.viewer.must_be("instructor")
    values = {
        "id": prepared.id,
        "organisation_id": unit.viewer.organisation_id,
        "method": prepared.method,
        "state": FIRST,
        "under_way": standards.here(unit, prepared.method),
        "opened_by": unit.viewer.person_id,
        "opened_at": now,
        "changed_at": now,
        "bank_version": bank.version,
    }
    panel_id = standards.open_once(unit, values, _with_difficulty(unit, prepared.items))
    if panel_id == prepared.id:
        body = {"panel": panel_id, "method": prepared.method, "questions": len(prepared.items)}
        log(unit, "panel.opened", body | {"bank": bank.version}, now)
    return panel_id


def rate(unit: Unit, panel_id: str, position: int, of_ten: int | None, now: datetime) -> None:
    """Keep the viewer's rating of one question in the present round, in place of an earlier one.

    Raises Forbidden (no instructor; second round without the first), NotFound, InputProblem.
    """
    unit.viewer.must_be("instructor")
    panel = standards.panel(unit, panel_id, to_change=True)
    number = ROUNDS.get(panel.state)
    if number is None:
        raise InputProblem("The rounds of this panel are over", "rating", "See what came of it.")
    standards.item(unit, panel_id, position)
    if of_ten is None or not 0 <= of_ten <= TEN:
        raise InputProblem("Choose how many of ten", "rating", "0 to 10.")
    if number > 1 and unit.viewer.person_id not in _finished(unit, panel_id, 1):
        raise Forbidden("The second round is for those who rated every question in the first.")
    values = {
        "panel_id": panel_id,
        "round": number,
        "rater_id": unit.viewer.person_id,
        "position": position,
        "of_ten": of_ten,
        "rated_at": now,
    }
    standards.rate(unit, values)


def end_round(unit: Unit, panel_id: str, now: datetime) -> None:
    """End the present round. After the first, the ratings and how people did are shown.

    Raises Forbidden, NotFound, InputProblem while fewer than two have rated everything.
    """
    unit.viewer.must_be("instructor")
    panel = standards.panel(unit, panel_id, to_change=True)
    number = ROUNDS.get(panel.state)
    if number is None:
        return
    raters = _finished(unit, panel_id, number)
    if len(raters) < LEAST_RATERS:
        raise InputProblem(TOO_FEW, "round", "Ask a colleague to rate too.")
    if panel.state == FIRST:
        _count_answers(unit, panel, now)
    panel.state, panel.changed_at = (SECOND if panel.state == FIRST else RATED), now
    unit.session.flush()
    body = {"panel": panel_id, "method": panel.method, "round": number, "raters": len(raters)}
    log(unit, "panel.round_ended", body, now)


def propose(unit: Unit, bank: Bank, panel_id: str, now: datetime) -> None:
    """Propose the panel's cut for adoption. Raises Forbidden, NotFound, InputProblem."""
    unit.viewer.must_be("instructor")
    panel = standards.panel(unit, panel_id, to_change=True)
    if panel.state != RATED:
        raise InputProblem("Both rounds have to be over first", "panel", "End the round.")
    weighed = _weighed(unit, bank, panel)
    panel.state, panel.changed_at = PROPOSED, now
    panel.proposed_by = unit.viewer.person_id
    unit.session.flush()
    body = {"panel": panel_id, "method": panel.method, "share": round(weighed.round.share, 4)}
    log(unit, "standard.proposed", body, now)


def adopt(unit: Unit, bank: Bank, panel_id: str, now: datetime) -> None:
    """Adopt a proposed cut: it holds for sittings opened from now on.

    The administrator who adopts is not the instructor who proposed. Raises Forbidden, NotFound,
    InputProblem.
    """
    unit.viewer.must_be("administrator")
    panel = standards.panel(unit, panel_id, to_change=True)
    if panel.state != PROPOSED or panel.proposed_by is None:
        raise InputProblem("An instructor has to propose it first", "panel", "Ask one.")
    if panel.proposed_by == unit.viewer.person_id:
        raise Forbidden("You proposed this cut. Another administrator has to adopt it.")
    weighed = _weighed(unit, bank, panel)
    if weighed.cut is None:
        raise NotFound
    panel.state, panel.under_way, panel.changed_at = ADOPTED, None, now
    values = {
        "id": new_id(),
        "organisation_id": panel.organisation_id,
        "method": panel.method,
        "panel_id": panel_id,
        "in_force": standards.here(unit, panel.method),
        "proposed_by": panel.proposed_by,
        "adopted_by": unit.viewer.person_id,
        "adopted_at": now,
        "share": weighed.round.share,
        "share_se": weighed.round.share_se,
        "ability": weighed.cut.ability,
        "ability_se": weighed.cut.se,
        "summary": _summary(weighed),
    }
    standards.adopt(unit, values, now)
    body = {
        "standard": values["id"],
        "panel": panel_id,
        "method": panel.method,
        "share": round(weighed.round.share, 4),
        "share_se": round(weighed.round.share_se, 4),
        "ability": round(weighed.cut.ability, 4),
        "raters": list(weighed.raters),
        "proposed_by": panel.proposed_by,
    }
    log(unit, "standard.adopted", body, now)


def drop(unit: Unit, panel_id: str, now: datetime) -> None:
    """Give up a panel; what was rated stays kept. Raises Forbidden, NotFound."""
    unit.viewer.must_be(*REVIEWERS)
    panel = standards.panel(unit, panel_id, to_change=True)
    if panel.under_way is None:
        return
    panel.state, panel.under_way, panel.changed_at = DROPPED, None, now
    unit.session.flush()
    log(unit, "panel.dropped", {"panel": panel_id, "method": panel.method}, now)


def _chosen(bank: Bank, method: str, blueprint: Blueprint, draw: Draw) -> list[Family]:
    """Families in the blueprint's proportions, each once."""
    there = sat_families(bank, method)
    by_topic: dict[str, list[Family]] = {}
    for one in draw.shuffled(there):
        by_topic.setdefault(one.topic, []).append(one)
    sizes = {topic: len(found) for topic, found in by_topic.items()}
    small = replace(blueprint, items=min(ASKED, len(there)), required=())
    wanted = counts(small, sizes).by_topic
    return [one for topic, found in by_topic.items() for one in found[: wanted.get(topic, 0)]]


def _example(bank: Bank, panel_id: str, position: int, family: Family) -> dict[str, Any]:
    item = generate(bank, family.id, Draw("panel item", panel_id, position).below(SEEDS), LEVEL)
    return {
        "panel_id": panel_id,
        "position": position,
        "family": family.id,
        "kept": as_kept(item),
        "answered": 0,
        "right": 0,
    }


def _with_difficulty(unit: Unit, rows: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    """The rows with each example's parameters, by the calibration in use or by its features."""
    items = [from_kept(row["kept"]) for row in rows]
    kept = to_keep(items, in_use(unit, [row["family"] for row in rows]))
    known = [difficulty_of(item, one) for item, one in zip(items, kept, strict=True)]
    return [
        row | {"a": one.a, "b": one.b, "b_sd": one.b_sd, "floor": one.floor}
        for row, one in zip(rows, known, strict=True)
    ]


def _finished(unit: Unit, panel_id: str, number: int) -> tuple[str, ...]:
    items = standards.items(unit, panel_id)
    return finished(standards.ratings(unit, panel_id), number, len(items))


def _count_answers(unit: Unit, panel: PanelRow, now: datetime) -> None:
    """Keep how people did beside each question, as it stood when the second round began."""
    items = standards.items(unit, panel.id)
    found = standards.counted(unit, [one.family for one in items], now - COUNTED)
    for one in items:
        one.answered, one.right = found.get(one.family, (0, 0))


def _weighed(unit: Unit, bank: Bank, panel: PanelRow) -> Weighed:
    rows, items = standards.ratings(unit, panel.id), standards.items(unit, panel.id)
    sat = sitters(standards.recent_sittings(unit, panel.method, MOST_SITTINGS))
    found = weigh(items, rows, 2, blueprint_of(bank, panel.method).items, sat)
    if found is None:
        raise InputProblem(TOO_FEW, "panel", "Ask a colleague to rate too.")
    if found.cut is None:
        raise InputProblem(
            "These ratings ask for no more than guessing gives, or for everything right",
            "panel",
            "Give this panel up and rate again.",
        )
    return found


def _summary(weighed: Weighed) -> dict[str, Any]:
    found, quality = weighed.round, weighed.quality
    return {
        "raters": list(weighed.raters),
        "questions": len(found.item_means),
        "cut": round(found.cut, 4),
        "judge_cuts": [round(one, 2) for one in found.judge_cuts.tolist()],
        "median": round(found.median, 4),
        "agreement": None if isnan(found.panel) else round(found.panel, 4),
        "kappa": None if isnan(weighed.kappa) else round(weighed.kappa, 4),
        "accuracy": None if quality is None else round(quality.shares.accuracy, 4),
        "consistency": None if quality is None else round(quality.shares.consistency, 4),
    }
