"""Any parameters: what is drawn has the measures asked for, and the markup is plain and closed."""

from math import hypot
from xml.etree.ElementTree import fromstring

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.figures import ruler
from tests.core.figures.ruler import Drawing
from trainer.core.figures.figure import around
from trainer.core.figures.head import VIEWS
from trainer.core.figures.headmap import MARKS, Row, head_map, taped_map
from trainer.core.figures.holds import HOLDS
from trainer.core.figures.ink import finished, sheet
from trainer.core.figures.section import Section, ruled, several
from trainer.core.figures.signs import SIGNS, Sign, sign

ALLOWED = {"svg", "g", "path", "circle", "text"}
ATTRIBUTES = {
    *(
        "class",
        "d",
        "stroke-width",
        "stroke-dasharray",
        "stroke",
        "fill",
        "cx",
        "cy",
        "r",
        "x",
        "y",
    ),
    *("font-size", "font-weight", "text-anchor", "data-region", "viewBox", "role", "aria-label"),
    *("stroke-linecap", "stroke-linejoin"),
}
WIDE = {"tape": 40, "track": 30, "clip": 30}


@st.composite
def sections(draw, kind=None):
    kind = kind or draw(st.sampled_from(sorted(HOLDS)))
    width = WIDE.get(kind, 4)
    return Section(
        kind,
        "tie",
        draw(st.integers(0, 24)) / 2,
        width,
        draw(st.sampled_from([4.5, 8, 10])),
        draw(st.sampled_from([0.9, 1, 1.5, 2])) * width,
        own=draw(st.integers(1, 20)),
        added=draw(st.integers(1, 20)),
        offset_mm=draw(st.integers(-8, 8)) if kind == "tape" else 0,
        closed=draw(st.sampled_from([0, 0.5, 1])),
        angle_deg=draw(st.integers(-50, 50)),
        caught=draw(st.integers(0, 4)),
    )


@given(st.lists(sections(), min_size=1, max_size=6))
def test_each_attachment_is_drawn_to_measure(panels):
    panels = [one for one in panels if one.kind == panels[0].kind]
    figure = several(panels)
    drawing = Drawing(figure.svg)
    for region, panel in zip(figure.regions, panels, strict=True):
        part = drawing.part(region.id)
        assert ruler.scalp_distance(part) == pytest.approx(panel.scalp_mm, abs=0.02)
        assert ruler.section_width(part) == pytest.approx(panel.section_mm, abs=0.02)
        assert ruler.caught(part) == panel.caught
        if panel.kind == "tape":
            assert ruler.tape_width(part) == pytest.approx(panel.width_mm, abs=0.03)
            assert ruler.tape_offset(part) == pytest.approx(abs(panel.offset_mm), abs=0.03)
        if not (panel.kind == "bond" and panel.height_mm < 5):
            slope = ruler.fall_angle(part, panel.kind)
            assert slope == pytest.approx(abs(panel.angle_deg), abs=1)


@given(sections(), st.integers(0, 5))
def test_a_ruler_reads_the_distance_wherever_it_begins(panel, scalp_at):
    drawing = Drawing(ruled(panel, scalp_at).svg)
    part = drawing.part("A")
    scalp = ruler.scalp_of(part)
    if len(ruler.ruler_marks(drawing)) > 1:
        assert ruler.reading(drawing, (0, scalp)) == pytest.approx(scalp_at, abs=0.05)
        near = (0, scalp + panel.scalp_mm)
        assert ruler.reading(drawing, near) == pytest.approx(scalp_at + panel.scalp_mm, abs=0.1)


@pytest.mark.parametrize("view", VIEWS)
@given(
    kind=st.sampled_from(sorted(MARKS)),
    margins=st.lists(st.integers(0, 15), min_size=4, max_size=4),
    turns=st.lists(st.integers(-110, 110), min_size=4, max_size=4),
)
def test_rows_keep_their_margins_and_never_share_a_place(view, kind, margins, turns):
    rows = [Row(n, m, t) for n, (m, t) in enumerate(zip(margins, turns, strict=True))]
    figure = head_map(view, kind, "ties", rows)
    drawing = Drawing(figure.svg)
    for region, row in zip(figure.regions, rows, strict=True):
        assert ruler.margin(drawing, region.id) == pytest.approx(row.margin_mm, abs=0.25)
        assert ruler.led_angle(drawing, region.id) == pytest.approx(abs(row.aside_deg), abs=1)
    for n, one in enumerate(figure.regions):
        for other in figure.regions[:n]:
            assert not any(overlap(a, b) for a in one.boxes for b in other.boxes)


@pytest.mark.parametrize("view", VIEWS)
def test_no_pair_of_margins_brings_two_rows_together(view):
    """Every pair of places, every whole millimetre at both: what chance would seldom try."""
    spots = range(len(VIEWS[view].spots))
    boxes = {
        (spot, mm): head_map(view, "bead", "ties", [Row(spot, mm)]).regions[0].boxes
        for spot in spots
        for mm in range(16)
    }
    for (spot, _), one in boxes.items():
        for (other_spot, _), other in boxes.items():
            if spot < other_spot:
                assert not any(overlap(a, b) for a in one for b in other)


def overlap(a, b):
    across = min(a.x + a.width, b.x + b.width) - max(a.x, b.x)
    down = min(a.y + a.height, b.y + b.height) - max(a.y, b.y)
    return across > 0 and down > 0


def every_drawing():
    yield from (several([Section(k, 'a "tie" <b>', 3, 4, 5, 6)] * 4) for k in HOLDS)
    yield ruled(Section("bead", "tie & tie", 3, 4, 5, 6), 2)
    yield from (head_map(v, "bead", "ties <&>", [Row(0, 3), Row(2, 12, 60)]) for v in VIEWS)
    yield taped_map("side", "tape", "ties", Row(0, 8), 5)
    yield from (sign(Sign(what, kind, "tie")) for what in SIGNS for kind in HOLDS)


EVERY = list(every_drawing())


@pytest.mark.parametrize("figure", EVERY, ids=range(len(EVERY)))
def test_the_markup_is_plain_well_formed_and_stays_on_the_sheet(figure):
    root = fromstring(figure.svg)
    _, _, wide, high = (float(one) for one in root.get("viewBox").split())
    for element in root.iter():
        assert element.tag.removeprefix(ruler.SVG) in ALLOWED
        assert set(element.attrib) <= ATTRIBUTES
        assert not any(
            "url(" in v or ":" in v for k, v in element.attrib.items() if k != "aria-label"
        )
    assert root.get("role") == "img" and root.get("aria-label")
    for region in figure.regions:
        for box in region.boxes:
            assert min(box.x, box.y, wide - box.x - box.width, high - box.y - box.height) >= 0
    assert figure.svg.count("\n") == 0
    assert len(figure.svg) < 40_000


@pytest.mark.parametrize("figure", EVERY, ids=range(len(EVERY)))
def test_a_scale_bar_is_as_long_as_it_says(figure):
    drawing = Drawing(figure.svg)
    (scale,) = ruler.of_class(drawing.root, "fig-scale")
    (bar,) = ruler.of_class(scale, "fig-bar")
    (said,) = scale.iter(f"{ruler.SVG}text")
    (ax, ay), (bx, by) = ruler.points(bar)
    assert hypot(bx - ax, by - ay) == pytest.approx(float(said.text.split()[0]), abs=0.02)


@pytest.mark.parametrize(
    "make",
    [
        lambda: Section("nail", "tie", 3, 4, 5, 6),
        lambda: Section("bead", "tie", -1, 4, 5, 6),
        lambda: Section("bead", "tie", 3, 0, 5, 6),
        lambda: Section("bead", "tie", 3, 4, 5, 6, closed=1.2),
        lambda: several([]),
        lambda: head_map("under", "bead", "ties", [Row(0, 3)]),
        lambda: head_map("back", "bead", "ties", [Row(0, 3), Row(0, 9)]),
        lambda: head_map("back", "bead", "ties", [Row(0, -3)]),
        lambda: Sign("nothing"),
        lambda: Sign("mat", amount=0),
    ],
)
def test_what_cannot_be_drawn_is_refused(make):
    with pytest.raises(ValueError):
        make()


@given(st.sampled_from(sorted(SIGNS)), st.integers(1, 20), st.integers(0, 999))
def test_signs_are_the_same_again(what, amount, seed):
    assert sign(Sign(what, amount=amount, seed=seed)) == sign(Sign(what, amount=amount, seed=seed))


def of(what, amount=6, seed=3, kind="bond"):
    return Drawing(sign(Sign(what, kind, "tie", amount, seed)).svg).root


def hair_at(root, y):
    """Where every own hair is at a height, along its drawn curve."""
    found = []
    for path in ruler.of_class(root, "fig-own"):
        for piece in path.get("d").split("M")[1:]:
            numbers = [float(one) for one in ruler.NUMBER.findall(piece)]
            if "C" not in piece:
                continue
            p = list(zip(numbers[::2], numbers[1::2], strict=True))
            steps = [bezier(p, t / 60) for t in range(61)]
            found += [min(steps, key=lambda at: abs(at[1] - y))[0]]
    return found


def bezier(p, t):
    s = 1 - t
    share = (s**3, 3 * s * s * t, 3 * s * t * t, t**3)
    return tuple(sum(c * q[i] for c, q in zip(share, p, strict=True)) for i in (0, 1))


@given(st.integers(1, 12), st.integers(0, 999))
def test_a_sleeve_closes_round_a_hair_and_a_chip_round_none(amount, seed):
    for what, name, inside in (("casts", "fig-sleeve", 1), ("flakes", "fig-chip", 0)):
        root = of(what, amount, seed)
        shapes = ruler.of_class(root, name)
        assert shapes
        for shape in shapes:
            box = around(ruler.points(shape))
            hairs = hair_at(root, box.y + box.height / 2)
            assert sum(box.x < x < box.x + box.width for x in hairs) == inside


@given(st.integers(1, 20), st.integers(0, 999))
def test_a_bare_strip_lies_behind_the_short_hairs_of_one_edge_alone(amount, seed):
    for what in ("fringe", "low_edge"):
        figure = sign(Sign(what, amount=amount, seed=seed))
        root = Drawing(figure.svg).root
        (short,) = ruler.of_class(root, "fig-short")
        (long,) = ruler.of_class(root, "fig-own")
        ends = [float(piece.split()[-1]) for piece in short.get("d").split("M")[1:]]
        roots = ruler.starts(short)
        tips = [end for end, (x, _) in zip(ends, roots, strict=True) if 12 < x < 24]
        strip = min(y for x, y in ruler.starts(long) if 12 < x < 24) - max(tips)
        if what == "low_edge":
            assert strip < 0
        else:
            (told,) = ruler.NUMBER.findall(figure.alt)
            assert strip == pytest.approx(float(told), abs=0.8)


@pytest.mark.parametrize("kind", sorted(HOLDS))
def test_loose_bulbs_hang_below_the_scalp_and_a_plain_section_has_none(kind):
    loose, plain, mat = (of(what, 7, 5, kind) for what in ("shed", "plain", "mat"))
    (bulbs,) = ruler.of_class(loose, "fig-free")
    assert all(y > ruler.scalp_of(loose) for _, y in ruler.starts(bulbs))
    assert len(ruler.starts(bulbs)) == 7
    for root in (plain, mat):
        assert not ruler.of_class(root, "fig-free")
        for path in ruler.of_class(root, "fig-bulb"):
            assert all(y < ruler.scalp_of(root) for _, y in ruler.starts(path))
    assert len(ruler.of_class(mat, "fig-tangle")) == 14
    assert not ruler.of_class(plain, "fig-tangle") and not ruler.of_class(loose, "fig-tangle")


@given(st.text("a<>&\"'é", min_size=1, max_size=12))
def test_words_from_outside_are_escaped(words):
    pen = sheet(10, 10, words)
    pen.words(words, (1, 1))
    root = fromstring(finished(pen))
    assert root.get("aria-label") == words
    assert [one.text for one in root] == [words]
