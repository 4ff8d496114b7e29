"""The head from four sides: outline, hairline or nape line, and places along it. All in mm."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from math import hypot, inf

from trainer.core.figures.figure import Point
from trainer.core.figures.ink import BOLD, THIN, Pen, smooth, through

PIECES = 12
"""Into how many a stretch of a line is parted."""
REACH = 24
"""How many points of the edge, to each side of a place, its rows may be near to."""
TRIES, NEAR_ENOUGH = 8, 0.02
"""How often a row is shifted to keep its margin, and how closely [mm]."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A place along the edge: `share` of its length (0..1), its name, how hair falls there."""

    share: float
    name: str
    fall: Point


@dataclass(frozen=True, slots=True)
class View:
    """One side of the head.

    `outline`: where the head ends. `edge`: where the hair ends at the skin, with the hair to the
    left of its run (as seen walking along it). `lines`: ears, face and neck; `strands`: a few
    hairs; both for looks alone.
    """

    name: str
    edge_name: str
    width: float
    height: float
    outline: tuple[Point, ...]
    edge: tuple[Point, ...]
    lines: tuple[tuple[Point, ...], ...]
    strands: tuple[tuple[Point, ...], ...]
    spots: tuple[Spot, ...]


def mirrored(points: Sequence[Point], middle: float) -> tuple[Point, ...]:
    """Points and their mirror images about an upright line, in one run."""
    back = [(2 * middle - x, y) for x, y in reversed(points)]
    return (*points, *(back[1:] if points[-1][0] == middle else back))


def _both(points: Sequence[Point], middle: float) -> tuple[tuple[Point, ...], tuple[Point, ...]]:
    return tuple(points), tuple((2 * middle - x, y) for x, y in points)


DOWN = (0.0, 1.0)
FRONT = View(
    "from the front",
    "hairline",
    184,
    206,
    mirrored(
        [(92, 203), (74, 196), (54, 174), (42, 146), (34, 118), (22, 108)]
        + [(17, 84), (22, 52), (40, 24), (66, 8), (92, 4)],
        92,
    ),
    mirrored([(35, 126), (38, 104), (50, 88), (66, 76), (80, 71), (92, 70)], 92),
    (
        *_both([(34, 116), (26, 114), (25, 126), (30, 142), (38, 146)], 92),
        *_both([(56, 114), (66, 109), (78, 113)], 92),
        *_both([(58, 126), (66, 130), (76, 126)], 92),
        ((92, 120), (86, 148), (92, 152), (98, 148)),
        ((76, 170), (86, 167), (92, 169), (98, 167), (108, 170)),
        ((80, 174), (92, 178), (104, 174)),
    ),
    (
        *_both([(90, 6), (62, 20), (40, 48), (30, 84)], 92),
        *_both([(90, 14), (66, 30), (48, 56), (38, 86)], 92),
        *_both([(91, 26), (74, 38), (60, 58)], 92),
        *_both([(88, 4), (52, 14), (28, 46), (21, 84)], 92),
    ),
    (
        Spot(0.24, "at the right temple", (-0.5, 0.87)),
        Spot(0.415, "right of the middle, at the forehead", (-0.35, 0.94)),
        Spot(0.585, "left of the middle, at the forehead", (0.35, 0.94)),
        Spot(0.76, "at the left temple", (0.5, 0.87)),
    ),
)
BACK = View(
    "from the back",
    "nape line",
    184,
    206,
    mirrored(
        [
            (52, 203),
            (55, 180),
            (46, 158),
            (28, 132),
            (18, 96),
            (21, 58),
            (38, 26),
            (66, 8),
            (92, 4),
        ],
        92,
    ),
    mirrored([(22, 116), (34, 128), (44, 144), (56, 164), (72, 168), (84, 164), (92, 163)], 92),
    (
        *_both([(22, 98), (12, 98), (11, 112), (18, 126), (28, 132)], 92),
        ((72, 203), (74, 188)),
        ((112, 203), (110, 188)),
    ),
    (
        *_both([(90, 34), (64, 40), (42, 72), (34, 118)], 92),
        *_both([(91, 40), (74, 56), (58, 96), (56, 150)], 92),
        *_both([(91, 44), (84, 70), (76, 110), (76, 156)], 92),
        *_both([(88, 30), (54, 28), (32, 56), (25, 100)], 92),
    ),
    (
        Spot(0.115, "behind the left ear", DOWN),
        Spot(0.39, "left of the middle, at the nape", (0.3, 0.95)),
        Spot(0.61, "right of the middle, at the nape", (-0.3, 0.95)),
        Spot(0.885, "behind the right ear", DOWN),
    ),
)
SIDE = View(
    "from the left side",
    "hairline and nape line",
    200,
    214,
    (
        *((86, 211), (84, 190), (62, 184), (36, 182), (28, 170), (30, 158), (24, 152), (28, 144)),
        *((14, 136), (26, 112), (24, 96), (30, 72), (42, 46), (66, 20), (104, 6), (146, 14)),
        *((176, 44), (186, 84), (180, 122), (162, 150), (150, 176), (150, 211)),
    ),
    (
        *((42, 46), (57, 58), (66, 73), (68, 90), (75, 108), (83, 120), (89, 116), (93, 104)),
        *((106, 100), (118, 112), (120, 134), (126, 156), (136, 170), (151, 174)),
    ),
    (
        ((92, 112), (100, 104), (112, 110), (112, 126), (102, 142), (95, 144), (94, 132)),
        ((100, 116), (106, 118), (104, 130), (99, 132)),
        ((34, 110), (44, 106)),
        ((34, 118), (42, 119), (48, 116)),
        ((28, 158), (38, 160)),
        ((96, 144), (84, 172), (62, 184)),
    ),
    (
        ((120, 28), (92, 34), (74, 56)),
        ((122, 32), (104, 54), (92, 92)),
        ((126, 34), (126, 66), (124, 104)),
        ((130, 34), (148, 66), (148, 116), (138, 152)),
        ((132, 30), (160, 54), (168, 96), (158, 140)),
    ),
    (
        Spot(0.06, "at the forehead", (0.5, 0.87)),
        Spot(0.22, "at the temple", (0.3, 0.95)),
        Spot(0.69, "behind the ear", DOWN),
        Spot(0.915, "at the nape", DOWN),
    ),
)
TOP = View(
    "from the top, with the face downward",
    "hairline",
    188,
    200,
    mirrored(
        [(94, 192), (64, 186), (38, 164), (23, 126), (22, 84), (36, 42), (64, 16), (94, 9)], 94
    ),
    mirrored([(24, 130), (34, 142), (44, 150), (58, 164), (76, 172), (94, 174)], 94),
    (
        *_both([(22, 92), (12, 90), (10, 106), (15, 120), (22, 122)], 94),
        ((86, 191), (90, 198), (98, 198), (102, 191)),
        ((94, 70), (99, 66), (94, 60), (86, 66), (88, 78), (100, 80), (108, 66)),
    ),
    (
        *_both([(88, 62), (60, 66), (40, 96), (34, 126)], 94),
        *_both([(90, 84), (76, 110), (70, 150)], 94),
        *_both([(86, 76), (64, 88), (52, 134)], 94),
        *_both([(88, 54), (66, 34), (50, 32)], 94),
        ((94, 88), (94, 160)),
    ),
    (
        Spot(0.10, "at the right temple", (-0.75, 0.66)),
        Spot(0.365, "right of the middle, at the forehead", (-0.3, 0.95)),
        Spot(0.635, "left of the middle, at the forehead", (0.3, 0.95)),
        Spot(0.90, "at the left temple", (0.75, 0.66)),
    ),
)
VIEWS: Mapping[str, View] = {"front": FRONT, "back": BACK, "side": SIDE, "top": TOP}


def drawn_head(pen: Pen, view_name: str) -> None:
    """The head's outline, its face or neck, a few hairs, and the edge of the hair."""
    for name, data, width in _head_lines(view_name):
        pen.path(name, data, width)


@cache
def _head_lines(view_name: str) -> tuple[tuple[str, str, float], ...]:
    """Class, path data and width in pixels of every line of a head."""
    view = VIEWS[view_name]
    face = "".join(through(smooth(line)) for line in view.lines)
    strands = "".join(through(smooth(line, 4)) for line in view.strands)
    return (
        ("fig-outline", through(smooth(view.outline)), 1.5),
        ("fig-face", face, THIN),
        ("fig-next", strands, 0.7),
        ("fig-edge", through(edge_of(view_name)), BOLD),
    )


@cache
def edge_of(view_name: str) -> tuple[Point, ...]:
    """The edge of the hair as a fine line."""
    return tuple(smooth(VIEWS[view_name].edge))


@cache
def _square(view_name: str) -> tuple[Point, ...]:
    """At each point of the edge, the step of 1 mm into the hair, square to the edge."""
    line = edge_of(view_name)
    found = []
    for before, after in zip([line[0], *line], [*line[1:], line[-1]], strict=False):
        run = (after[0] - before[0], after[1] - before[1])
        long = hypot(*run) or 1.0
        found.append((run[1] / long, -run[0] / long))
    return tuple(found)


def alongside(view_name: str, distance: float) -> list[Point]:
    """The line that runs beside the edge on the hair's side, at a distance [mm]."""
    pairs = zip(edge_of(view_name), _square(view_name), strict=True)
    return [(x + distance * u, y + distance * v) for (x, y), (u, v) in pairs]


@lru_cache(maxsize=2048)
def band(
    view_name: str, spot: int, margin: float, long: float, by_end: bool, every: int = 1
) -> tuple[Point, ...]:
    """The near side of a row at a place, `long` mm, pointed evenly.

    The nearest of every point, or of every third and the like (`by_end`: its first end), is
    `margin` mm from the edge, to 0.02 mm.
    """
    share = VIEWS[view_name].spots[spot].share
    line = edge_of(view_name)
    middle = round(share * len(line))
    close = line[max(0, middle - REACH) : middle + REACH]
    away = margin
    for _ in range(TRIES):
        near = stretch(alongside(view_name, away), share, long)
        off = margin - gap(near[:1] if by_end else near[::every], close)
        if abs(off) < NEAR_ENOUGH:
            break
        away += off
    return tuple(near)


def stretch(line: Sequence[Point], middle: float, long: float) -> list[Point]:
    """The part of a line around a share of its length (0..1), `long` mm long, evenly pointed."""
    steps = [hypot(b[0] - a[0], b[1] - a[1]) for a, b in zip(line, line[1:], strict=False)]
    centre = middle * sum(steps)
    count = PIECES
    return [_at(line, steps, centre + long * (n / count - 0.5)) for n in range(count + 1)]


def _at(line: Sequence[Point], steps: Sequence[float], way: float) -> Point:
    left = max(0.0, way)
    for (a, b), step in zip(zip(line, line[1:], strict=False), steps, strict=True):
        if left <= step and step:
            share = left / step
            return (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)
        left -= step
    return line[-1]


def gap(points: Sequence[Point], line: Sequence[Point]) -> float:
    """The smallest distance [mm] between some points and a line."""
    return min(hypot(p[0] - q[0], p[1] - q[1]) for p in points for q in [nearest(p, line)])


def nearest(point: Point, line: Sequence[Point]) -> Point:
    """The place on a line that is nearest to a point."""
    x, y = point
    best, found = inf, line[0]
    for (ax, ay), (bx, by) in zip(line, line[1:], strict=False):
        dx, dy = bx - ax, by - ay
        square = dx * dx + dy * dy
        t = ((x - ax) * dx + (y - ay) * dy) / square if square else 0.0
        t = 0.0 if t < 0 else 1.0 if t > 1 else t
        qx, qy = ax + t * dx, ay + t * dy
        away = (x - qx) * (x - qx) + (y - qy) * (y - qy)
        if away < best:
            best, found = away, (qx, qy)
    return found
