"""Sections with their sizes, and the added hairs on each -> which carries more than its own."""

from dataclasses import replace

from trainer.core.advice.tension import natural_hairs
from trainer.core.figures.section import LETTERS, Section, several
from trainer.core.items.item import Draft
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.method import Drawn
from trainer.core.scenarios.case import Case
from trainer.core.scenarios.drawn import drawn_of, pointed, section
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the attachment is drawn."""
    return drawn_of(bank, method) is not None


def work_out(case: Case) -> Draft | None:
    """One part with more added hairs than own ones; the others with fewer."""
    shape, settings = drawn_of(case.bank, case.method.id), case.recipe.settings
    parts = LETTERS[: settings["shown"]]
    letter = case.draw.branch("letter").one(parts)
    per_cm2 = case.draw.branch("density").one(settings["per_cm2"])
    sizes = {part: _size(case, shape, part, part == letter, per_cm2) for part in parts if shape}
    if shape is None or not _fits(sizes, letter) or _number_tells(case, shape, sizes, letter):
        return None
    figure = several(_panels(case, shape, sizes))
    fine = {part: case.say("fine", part=part, **size) for part, size in sizes.items()}
    return Draft(
        stem=case.say("stems", per_cm2=per_cm2, **case.somebody("client").words()),
        explanation=case.say("why", part=letter, per_cm2=per_cm2, **sizes[letter]),
        givens={
            "per_cm2": per_cm2,
            "parts": {
                part: {k: v for k, v in size.items() if k != "own"} for part, size in sizes.items()
            },
            "asked": "the part with more added hairs than own hairs",
        },
        facts=("section.not_heavier", "hair.density"),
        critical=False,
        features={"steps": 2.0 * len(parts), "nearness": 0.5 * case.step},
        offers=pointed(figure, letter, case.named_belief("too_much"), fine),
        figure=figure.as_json(),
    )


Size = dict[str, float]


def _size(case: Case, shape: Drawn, part: str, too_many: bool, per_cm2: int) -> Size:
    """A section's width and depth [mm], its own hairs and those that are added."""
    settings, draw = case.recipe.settings, case.draw.branch(f"size {part}")
    wide, deep = draw.one(shape.section_mm), draw.one(shape.depth_mm)
    own = natural_hairs(wide * deep / settings["mm2_in_cm2"], per_cm2)
    shares = settings["too_many"][case.step] if too_many else settings["sound_shares"]
    added = round(own * draw.one(shares) / settings["counted_in"]) * settings["counted_in"]
    return {"width_mm": wide, "depth_mm": deep, "own": round(own), "added": added}


def _panels(case: Case, shape: Drawn, sizes: dict[str, Size]) -> list[Section]:
    """The drawings, with as many lines of own and added hair as keep their proportion."""
    settings = case.recipe.settings
    most = max(max(size["own"], size["added"]) for size in sizes.values())
    away = settings["scalp_mm"].get(shape.kind, settings["scalp_mm"]["other"])
    panels = []
    for part, size in sizes.items():
        notes = [case.say("note_section", **size), case.say("note_added", **size)]
        drawn = section(case, shape, part, {"scalp_distance": away}, notes)
        own, added = (
            max(1, round(size[name] * settings["lines"] / most)) for name in ("own", "added")
        )
        panels.append(replace(drawn, section_mm=size["width_mm"], own=own, added=added))
    return panels


def _number_tells(case: Case, shape: Drawn, sizes: dict[str, Size], letter: str) -> bool:
    """Whether the largest number added would be the key, where sections are unlike enough to
    ask for more than that."""
    areas = [wide * deep for wide in shape.section_mm for deep in shape.depth_mm]
    unlike = max(areas) > min(areas) * case.recipe.settings["unlike"]
    largest = max(size["added"] for size in sizes.values())
    return unlike and sizes[letter]["added"] == largest


def _fits(sizes: dict[str, Size], letter: str) -> bool:
    """Whether the key alone has more added than own hairs, and none has no added hair."""
    return all(
        size["added"] > 0 and (size["added"] > size["own"]) == (part == letter)
        for part, size in sizes.items()
    )
