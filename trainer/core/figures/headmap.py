"""A head with short rows placed on it: how far each is from the edge, which way it is led."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

from trainer.core.figures.figure import Box, Figure, Point, Region, around
from trainer.core.figures.head import PIECES, VIEWS, View, band, drawn_head, edge_of, nearest
from trainer.core.figures.ink import (
    THIN,
    Pen,
    finished,
    number,
    scale_bar,
    sheet,
    turned,
)

LETTERS = "ABCDEF"
FOOT = 44
LONG, DEEP = 20.0, 7.0
"""Length and depth of a short row on the map [mm]."""
DOT, EVERY = 2.1, PIECES // 4
"""Radius of a round attachment on the map [mm]; one sits on every so many points of its row."""


@dataclass(frozen=True, slots=True)
class Row:
    """A short row of attachments on the map.

    Parameters
    ----------
    spot : index of a place of the view
    margin_mm : from the hairline or nape line to the nearest part of the row [mm], >= 0
    aside_deg : how far its sections are led away from the fall [degrees], -120 to 120
    """

    spot: int
    margin_mm: float
    aside_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class Lines:
    """Near and far side of a row on the map, and the line on which round attachments sit."""

    near: list[Point]
    far: list[Point]
    dots: tuple[Point, ...]


def head_map(view_name: str, kind: str, noun: str, rows: Sequence[Row]) -> Figure:
    """A view of the head with rows of `kind`, each a region; letters follow the order of `rows`.

    Raises ValueError for an unknown view, a place that stands twice or a margin below 0.
    """
    view = VIEWS.get(view_name)
    if view is None or len({row.spot for row in rows}) < len(rows) or not rows:
        raise ValueError(f"cannot draw {view_name} with {rows}")
    if min(row.margin_mm for row in rows) < 0:
        raise ValueError("a row outside the hair")
    summary = f"A head {view.name}, with {len(rows)} short rows of {noun} and a scale in mm"
    pen = sheet(view.width, view.height, summary)
    drawn_head(pen, view_name)
    letters = zip(LETTERS, rows, strict=False)
    regions = [_row(pen, view_name, kind, row, letter) for letter, row in letters]
    _key(pen, view, True)
    told = [
        f"{letter}: {view.spots[row.spot].name}; {row.margin_mm:g} mm from the {_edge(view)} to "
        f"the nearest part of the row; sections are led {abs(row.aside_deg):g} degrees off the "
        "fall."
        for letter, row in zip(LETTERS, rows, strict=False)
    ]
    return Figure(finished(pen), tuple(regions), "\n".join([f"{summary}.", *told]))


def taped_map(view_name: str, kind: str, noun: str, row: Row, edge_at: int) -> Figure:
    """One row and a tape measure across the edge beside it, which reads `edge_at` at the edge."""
    view = VIEWS[view_name]
    summary = f"A head {view.name}, with one short row of {noun} and a tape measure in mm"
    pen = sheet(view.width, view.height, summary)
    drawn_head(pen, view_name)
    _row(pen, view_name, kind, row, "")
    _measure(pen, view_name, row, edge_at)
    _key(pen, view, False)
    near = edge_at + row.margin_mm
    told = (
        f"{summary}. The row lies {view.spots[row.spot].name}.\n"
        f"The {_edge(view)} stands at {edge_at} on the tape measure.\n"
        f"The near side of the row stands at {near:g}, its far side at {near + DEEP:g}."
    )
    return Figure(finished(pen), (), told)


def _edge(view: View) -> str:
    return "hairline" if view.edge_name.startswith("hairline") else view.edge_name


def _offset(line: Sequence[Point], distance: float) -> list[Point]:
    """A line beside a row, further from the edge."""
    first, last = line[0], line[-1]
    run = (last[0] - first[0], last[1] - first[1])
    long = hypot(*run) or 1.0
    return [(x + distance * run[1] / long, y - distance * run[0] / long) for x, y in line]


def _row(pen: Pen, view_name: str, kind: str, row: Row, letter: str) -> Region:
    spot = VIEWS[view_name].spots[row.spot]
    near = list(band(view_name, row.spot, row.margin_mm, LONG, not letter))
    far = _offset(near, DEEP)
    part = pen.group("fig-row", letter or "A")
    dots = band(view_name, row.spot, row.margin_mm + DOT, LONG, not letter, EVERY)
    MARKS.get(kind, _beads)(part, Lines(near, far, dots))
    middle = far[len(far) // 2]
    out = (middle[0] - near[len(near) // 2][0], middle[1] - near[len(near) // 2][1])
    long = hypot(*out) or 1.0
    u = (out[0] / long, out[1] / long)
    px = pen.px
    tag = (middle[0] + u[0] * 16 * px, middle[1] + u[1] * 16 * px)
    if letter:
        _led(part, _beside(near, far, spot.fall, 8 * px), spot.fall, row.aside_deg)
        part.letter(letter, tag)
        pen.area(letter, [*_offset(near, -3 * px), *reversed(_offset(far, 3 * px))])
    return Region(
        letter, f"Row {letter}, {spot.name}", (*_pieces(near, far, px), around([tag], 10 * px))
    )


def _beside(near: list[Point], far: list[Point], fall: Point, room: float) -> Point:
    """Just off the end of a row from which the fall leads away from it."""
    run = (near[-1][0] - near[0][0], near[-1][1] - near[0][1])
    onward = run[0] * fall[0] + run[1] * fall[1] >= 0
    end, sign = (-1, 1) if onward else (0, -1)
    long = hypot(*run) or 1.0
    x, y = ((near[end][i] + far[end][i]) / 2 + sign * run[i] / long * room for i in (0, 1))
    return (x, y)


def _pieces(near: list[Point], far: list[Point], px: float) -> list[Box]:
    """Boxes that together cover a row, however it bends."""
    each = PIECES // 4
    firsts = range(0, PIECES, each)
    return [around([*near[n : n + each + 1], *far[n : n + each + 1]], 2 * px) for n in firsts]


def _led(pen: Pen, base: Point, fall: Point, aside: float) -> None:
    """Two arrows from one point: dashed the fall, solid the way the section is led."""
    px = pen.px
    long = 25 * px
    size = hypot(*fall)
    end = (base[0] + fall[0] / size * long, base[1] + fall[1] / size * long)
    pen.arrow("fig-fall", base, end, 1.3, stroke_dasharray=number(3 * px))
    led = turned([end], base, aside)[0]
    short = (base[0] + (led[0] - base[0]) * 0.82, base[1] + (led[1] - base[1]) * 0.82)
    pen.arrow("fig-led", base, short, 2.4)
    pen.dot("fig-base", base, 2 * px, fill="currentColor", stroke="none")


def _tapes(pen: Pen, lines: Lines) -> None:
    near, far = lines.near, lines.far
    pen.shape("fig-solid fig-hold", [*near, *reversed(far)], 1.8)
    data = [[near[n], far[n - 1]] for n in range(1, len(near))]
    for one in data:
        pen.line("fig-hatch", one, THIN)


def _centres(lines: Lines) -> list[Point]:
    """Where the five round attachments of a row sit."""
    return list(lines.dots[::EVERY])


def _beads(pen: Pen, lines: Lines) -> None:
    for at in _centres(lines):
        pen.dot("fig-solid fig-hold", at, DOT, fill="#fff")


def _bonds(pen: Pen, lines: Lines) -> None:
    _beads(pen, lines)
    for at in _centres(lines):
        pen.dot("fig-grain", at, DOT * 0.35, fill="currentColor", stroke="none")


def _sewn(pen: Pen, lines: Lines) -> None:
    """A row of beads with a strip of weft on its far side."""
    near, far = lines.near, lines.far
    middle = [
        ((a[0] + 2 * b[0]) / 3, (a[1] + 2 * b[1]) / 3) for a, b in zip(near, far, strict=True)
    ]
    pen.shape("fig-solid fig-strip", [*middle, *reversed(far)], 1.4)
    _beads(pen, lines)


def _braids(pen: Pen, lines: Lines) -> None:
    near, far = lines.near, lines.far
    pen.shape("fig-solid fig-hold", [*near, *reversed(far)], 1.8)
    zigzag = [(near if n % 2 else far)[n] for n in range(len(near))]
    pen.line("fig-weave", zigzag, 1.4)


def _clips(pen: Pen, lines: Lines) -> None:
    near, far = lines.near, lines.far
    pen.shape("fig-solid fig-strip", [*near, *reversed(far)], 1.4)
    for first in (1, 8):
        part = slice(first, first + 4)
        pen.shape("fig-solid fig-hold", [*near[part], *reversed(far[part])], 1.8)
        for n in range(first + 1, first + 3):
            pen.line("fig-dent", [near[n], far[n]], 1.3)


MARKS = {
    "tape": _tapes,
    "bead": _beads,
    "bond": _bonds,
    "row": _sewn,
    "track": _braids,
    "clip": _clips,
}
"""Kind of attachment -> its marks on the map."""


def _measure(pen: Pen, view_name: str, row: Row, edge_at: int) -> None:
    """A tape measure across the edge at the row's end, square to the edge."""
    near = band(view_name, row.spot, row.margin_mm, LONG, True)
    a = near[0]
    foot = nearest(a, edge_of(view_name))
    long = hypot(a[0] - foot[0], a[1] - foot[1]) or 1.0
    u = ((a[0] - foot[0]) / long, (a[1] - foot[1]) / long)
    aside = -1 if (near[1][0] - a[0]) * -u[1] + (near[1][1] - a[1]) * u[0] > 0 else 1
    v = (-u[1] * aside, u[0] * aside)
    px = pen.px
    marks = pen.group("fig-ruler")

    def at(mm: float, aside: float) -> Point:
        return (foot[0] + u[0] * mm + v[0] * aside, foot[1] + u[1] * mm + v[1] * aside)

    first, last, wide = -edge_at, 40 - edge_at, 26 * px
    ribbon = [at(first, 0), at(last, 0), at(last, wide), at(first, wide)]
    marks.shape("fig-solid fig-ribbon", ribbon, 1.2)
    for mm in range(first, last + 1):
        said = mm + edge_at
        tick = 10 if said % 10 == 0 else 7 if said % 5 == 0 else 4
        marks.line("fig-tick", [at(mm, 0), at(mm, tick * px)], 0.9)
        if said % 10 == 0:
            spot_at = at(mm, 18 * px)
            marks.words(f"{said}", (spot_at[0], spot_at[1] + 3.6 * px), 10.5, "middle")


def _key(pen: Pen, view: View, led: bool) -> None:
    """What the lines mean, and a scale bar; settles the drawing's height."""
    px = pen.px
    y = view.height
    foot = pen.group("fig-key")
    foot.line("fig-edge", [(6 * px, y + 8 * px), (28 * px, y + 8 * px)], 2.6)
    foot.words(_edge(view), (34 * px, y + 12 * px))
    scale_bar(foot, (6 * px, y + 30 * px), 50, 10)
    pen.on.attributes["viewBox"] = f"0 0 {number(view.width)} {number(y + FOOT * px)}"
    if not led:
        return
    dashes = {"stroke_dasharray": number(3 * px)}
    foot.arrow("fig-fall", (128 * px, y + 8 * px), (152 * px, y + 8 * px), 1.3, **dashes)
    foot.words("fall of the hair", (158 * px, y + 12 * px))
    foot.arrow("fig-led", (160 * px, y + 30 * px), (184 * px, y + 30 * px), 2.4)
    foot.words("way it is led", (190 * px, y + 34 * px))
