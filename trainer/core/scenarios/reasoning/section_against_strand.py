"""Sections with their sizes, and the added hairs on each -> which carries more than its own."""

from dataclasses import replace

from trainer.core.advice.tension import natural_hairs
from trainer.core.figures.section import LETTERS, Section, several
from trainer.core.items.item import Draft, Offer
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.drawn import drawn_of, section
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the attachment is drawn."""
    return drawn_of(bank, method) is not None


def work_out(case: Case) -> Draft | None:
    """One part with more added hairs than own ones; the others with fewer."""
    shape, settings = drawn_of(case.bank, case.method.id), case.recipe.settings
    if shape is None:
        return None
    per_cm2 = case.draw.branch("density").one(settings["per_cm2"])
    parts = LETTERS[: settings["shown"]]
    letter = case.draw.branch("letter").one(parts)
    sizes = {}
    for part in parts:
        draw = case.draw.branch(f"size {part}")
        wide, deep = draw.one(shape.section_mm), draw.one(shape.depth_mm)
        own = natural_hairs(wide * deep / settings["mm2_in_cm2"], per_cm2)
        shares = settings["too_many"][case.step] if part == letter else settings["sound_shares"]
        added = round(own * draw.one(shares) / settings["counted_in"]) * settings["counted_in"]
        sizes[part] = {"width_mm": wide, "depth_mm": deep, "own": round(own), "added": added}
    if not _fits(sizes, letter):
        return None
    most = max(max(size["own"], size["added"]) for size in sizes.values())
    panels = []
    for part, size in sizes.items():
        notes = [case.say("note_section", **size), case.say("note_added", **size)]
        drawn = section(case, shape, part, {"scalp_distance": settings["scalp_mm"]}, notes)
        own, added = (_lines(size[name], most, settings["lines"]) for name in ("own", "added"))
        panels.append(_resized(drawn, size["width_mm"], own, added))
    figure = several(panels)
    belief = case.named_belief("too_much")
    offers = [
        Offer(one.label, True, one.id)
        if one.id == letter
        else wrong(one.label, one.id, belief, case.say("fine", part=one.id, **sizes[one.id]))
        for one in figure.regions
    ]
    client = case.somebody("client").words()
    return Draft(
        stem=case.say("stems", per_cm2=per_cm2, **client),
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
        offers=tuple(offers),
        figure=figure.as_json(),
    )


def _fits(sizes: dict[str, dict[str, float]], letter: str) -> bool:
    """Whether the key alone has more added than own hairs, and none has no added hair."""
    return all(
        size["added"] > 0 and (size["added"] > size["own"]) == (part == letter)
        for part, size in sizes.items()
    )


def _lines(hairs: float, most: float, lines: int) -> int:
    """How many lines stand for some hairs: the same share of `lines` in the whole drawing."""
    return max(1, round(hairs * lines / most))


def _resized(drawn: Section, width: float, own: int, added: int) -> Section:
    return replace(drawn, section_mm=width, own=own, added=added)
