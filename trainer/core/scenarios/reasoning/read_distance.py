"""A ruler that does not begin at the edge -> how far away it sits, or how far it has to move."""

from trainer.core.figures.figure import Figure
from trainer.core.figures.head import VIEWS
from trainer.core.figures.headmap import DEEP, Row, taped_map
from trainer.core.figures.section import ruled
from trainer.core.items.item import Answer, Draft
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.method import Drawn
from trainer.core.scenarios.case import Case
from trainer.core.scenarios.drawn import drawn_of, limits, section
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the attachment is drawn and there is a distance to read."""
    return drawn_of(bank, method) is not None and bool(limits(bank, method, recipe))


def work_out(case: Case) -> Draft | None:
    """Read two marks and take one from the other; slips: one mark alone, the wrong side."""
    shape, settings = drawn_of(case.bank, case.method.id), case.recipe.settings
    facts = limits(case.bank, case.method.id, case.recipe)
    role = case.draw.branch("role").one(sorted(facts))
    fact = facts[role]
    mm_in = settings["mm_in"][fact.unit]
    least, most = (fact.low or 0) * mm_in, (fact.high or 0) * mm_in
    asked = case.draw.branch("asked").one(settings["asked"][case.step])
    ruler_at = case.draw.branch("ruler").between(*settings["ruler_at"][role])
    sits = case.draw.branch("sits").one(settings["sits"][role])
    twice = 2 * settings["tolerance_mm"][role]
    missing = least - sits
    if shape is None or (asked == "move" and min(missing, abs(missing - sits)) <= twice):
        return None
    figure, deep = _drawn(case, shape, role, sits, ruler_at)
    value = least - sits if asked == "move" else sits
    marks = {"at": ruler_at, "near": ruler_at + sits, "sits": f"{sits:g}", "value": f"{value:g}"}
    why = [f"why_{role}", f"{_verdict(sits, least, most)}_{role}"]
    why += ["so_move"] if asked == "move" else []
    return Draft(
        stem=case.say(f"stems_{role}_{asked}", **case.somebody("client").words()),
        explanation=" ".join(case.say(word, fact=fact, **marks) for word in why),
        givens={
            "edge_at_mm": ruler_at,
            "near_at_mm": ruler_at + sits,
            "far_at_mm": ruler_at + sits + deep,
            "fact": fact.id,
            "asked": asked,
        },
        facts=(fact.id,),
        critical=False,
        features={"steps": 2.0 + 2 * (asked == "move"), "nearness": 0.5 * case.step},
        answer=_answer(case, value, role, _slips(asked, sits, ruler_at, deep, most)),
        figure=figure.as_json(),
    )


def _drawn(case: Case, shape: Drawn, role: str, sits: float, ruler_at: int) -> tuple[Figure, float]:
    """The drawing, and how deep the attachment or the row is on it [mm]."""
    if role == "scalp_distance":
        panel = section(case, shape, "only", {role: sits})
        return ruled(panel, ruler_at), panel.height_mm
    view = case.draw.branch("view").one(sorted(VIEWS))
    spot = case.draw.branch("spot").below(len(VIEWS[view].spots))
    return taped_map(view, shape.kind, case.method.attachments, Row(spot, sits), ruler_at), DEEP


def _verdict(sits: float, least: float, most: float) -> str:
    return "too_near" if sits < least else "inside" if sits <= most else "further"


def _answer(case: Case, value: float, role: str, slips: dict[float, str]) -> Answer:
    """The value, and the slips that are far enough from it to be told apart."""
    tolerance = float(case.recipe.settings["tolerance_mm"][role])
    apart = {slip: word for slip, word in slips.items() if abs(slip - value) > 2 * tolerance}
    belief = case.named_belief("by_eye").id
    return Answer(
        value=float(value),
        unit="mm",
        tolerance=tolerance,
        slips={repr(round(slip, 2)): belief for slip in apart},
        notes={repr(round(slip, 2)): case.say(word) for slip, word in apart.items()},
    )


def _slips(asked: str, sits: float, ruler_at: int, deep: float, most: float) -> dict[float, str]:
    if asked == "move":
        return {most - sits: "to_the_most", sits: "where_it_sits"}
    return {float(ruler_at + sits): "one_mark", sits + deep: "far_side"}
