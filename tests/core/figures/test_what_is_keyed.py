"""In the drawing itself the keyed part, and only it, lies outside the fact's range.

Everything is measured from the drawn lines; the figures come from the facts.
"""

import pytest

from tests.core.figures import ruler
from tests.core.figures.ruler import Drawing
from trainer.core.scenarios.family import families
from trainer.core.scenarios.generate import generate
from trainer.use_cases.open_bank import open_bank

BANK = open_bank()
SEEDS = range(12)
LEVELS = ("foundation", "working", "advanced")
MM = {"mm": 1, "cm": 10, "ratio": 1, "°": 1, "hair": 1}
CLOSE = 0.12
"""mm or degrees: coordinates are written to 0.01 mm, small shapes turn that into more."""


def of_model(*models):
    return [one.id for one in families(BANK) if one.recipe.id in models]


def kind_of(item):
    return BANK.methods[item.heading.method].drawn.kind


def measured(part, role, kind):
    if role == "scalp_distance":
        return ruler.scalp_distance(part)
    if role == "fall_angle":
        return ruler.fall_angle(part, kind)
    if role == "section_hairs":
        return ruler.caught(part)
    if role == "edge_offset":
        return ruler.tape_offset(part)
    return ruler.section_width(part) / ruler.tape_width(part)


def broken(item, letter):
    """Roles of which the drawn part is outside the fact's range."""
    part, kind = Drawing(item.figure["svg"]).part(letter), kind_of(item)
    found = []
    for role, name in item.givens["limits"].items():
        fact = BANK.facts[name]
        slack = {"fall_angle": 1.0, "slice_share": 0.005}.get(role, CLOSE)
        if not fact.low - slack <= measured(part, role, kind) <= fact.high + slack:
            found.append(role)
    return found


def items(model_names, level_of=lambda seed: LEVELS[seed % 3]):
    for name in model_names:
        for seed in SEEDS:
            yield generate(BANK, name, seed, level_of(seed))


@pytest.mark.parametrize("name", of_model("fault_in_section"))
def test_one_attachment_breaks_one_limit(name):
    for item in items([name]):
        found = {option.id: broken(item, option.id) for option in item.options}
        assert [letter for letter in found if found[letter]] == item.key
        (roles,) = (found[letter] for letter in item.key)
        assert [item.givens["limits"][role] for role in roles] == list(item.facts)


@pytest.mark.parametrize("name", of_model("safe_one_of_four"))
def test_three_attachments_break_a_limit_each_and_the_keyed_none(name):
    for item in items([name]):
        found = {option.id: broken(item, option.id.upper()) for option in item.options}
        assert [letter for letter in found if not found[letter]] == item.key
        faults = [roles for letter, roles in found.items() if letter not in item.key]
        assert all(len(roles) == 1 for roles in faults)
        assert len({roles[0] for roles in faults}) == 3


@pytest.mark.parametrize("name", of_model("fault_on_head_map"))
def test_one_row_breaks_its_margin_or_its_fall(name):
    for item in items([name]):
        drawing = Drawing(item.figure["svg"])
        edge, fall = (BANK.facts[item.givens["limits"][r]] for r in ("edge_margin", "fall_angle"))
        least = edge.low * MM[edge.unit]
        near = [o.id for o in item.options if ruler.margin(drawing, o.id) < least - 0.3]
        led = [o.id for o in item.options if ruler.led_angle(drawing, o.id) > fall.high + 1]
        assert sorted(near + led) == item.key
        assert item.facts == ((edge.id,) if near else (fall.id,))


@pytest.mark.parametrize("name", of_model("section_against_strand"))
def test_one_section_is_outnumbered_in_words_and_in_lines(name):
    for item in items([name]):
        drawing = Drawing(item.figure["svg"])
        per_mm2 = item.givens["per_cm2"] / 100
        heavy = []
        for option in item.options:
            part = drawing.part(option.id)
            texts = [one.text for one in part.iter(f"{ruler.SVG}text")]
            note = next(one for one in texts if one.startswith("section"))
            wide, deep = (float(one) for one in ruler.NUMBER.findall(note))
            (added,) = (int(t.split()[0]) for t in texts if t.endswith("hairs added"))
            assert ruler.section_width(part) == pytest.approx(wide, abs=CLOSE)
            if added > wide * deep * per_mm2:
                heavy.append(option.id)
            (own,), (more,) = (ruler.of_class(part, n) for n in ("fig-own", "fig-added"))
            lines = len(ruler.starts(more)) / len(ruler.starts(own))
            assert lines == pytest.approx(added / (wide * deep * per_mm2), rel=0.35)
        assert heavy == item.key


def near_point(drawing, item):
    """The near side of what is drawn beside the ruler, and the edge across from it."""
    part = drawing.part("A")
    if ruler.of_class(part, "fig-scalp"):
        x, scalp = 0.0, ruler.scalp_of(part)
        return (x, scalp + ruler.scalp_distance(part)), (x, scalp)
    shape = next(
        s for n in ("fig-hold", "fig-strip") for s in ruler.of_class(part, n) if s is not None
    )
    edge = ruler.edge_of(drawing)
    fine = [
        (ax + (bx - ax) * n / 40, ay + (by - ay) * n / 40)
        for (ax, ay), (bx, by) in zip(edge, edge[1:], strict=False)
        for n in range(41)
    ]
    if shape.tag == f"{ruler.SVG}circle":
        centre, r = (float(shape.get("cx")), float(shape.get("cy"))), float(shape.get("r"))
        foot = min(fine, key=lambda p: ruler.hypot(p[0] - centre[0], p[1] - centre[1]))
        long = ruler.hypot(foot[0] - centre[0], foot[1] - centre[1])
        near = tuple(c + (f - c) * r / long for c, f in zip(centre, foot, strict=True))
        return near, foot
    if kind_of(item) == "clip":
        shape = ruler.of_class(part, "fig-strip")[0]
    near = ruler.points(shape)[0]
    return near, min(fine, key=lambda p: ruler.hypot(p[0] - near[0], p[1] - near[1]))


@pytest.mark.parametrize("name", of_model("read_distance"))
def test_the_ruler_reads_what_is_keyed(name):
    for item in items([name]):
        drawing = Drawing(item.figure["svg"])
        near, edge = near_point(drawing, item)
        between = ruler.reading(drawing, near) - ruler.reading(drawing, edge)
        fact = BANK.facts[item.givens["fact"]]
        if item.givens["asked"] == "move":
            between = fact.low * MM[fact.unit] - between
        assert between == pytest.approx(item.key["value"], abs=item.key["tolerance"] / 2)
