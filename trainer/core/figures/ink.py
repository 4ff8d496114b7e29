"""Lines, shapes and letters as SVG elements. No styles inside: presentation attributes and classes.

A drawing is as wide as it needs in mm; `Pen.px` is one pixel of a narrow phone in those mm, so
that line widths and letters come out alike in every drawing.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from math import cos, hypot, radians, sin
from xml.sax.saxutils import escape

from trainer.core.figures.figure import Box, Point

PHONE = 330
"""Pixels that a drawing is wide on a narrow phone."""
SVG = "http://www.w3.org/2000/svg"
THIN, THICK, EDGE, BOLD = 0.9, 2.0, 1.6, 2.6
"""Line widths in pixels: own hair, added hair, outlines, the scalp line."""
QUOTE = {'"': "&quot;"}


@dataclass(slots=True)
class Element:
    """One element of a drawing and those within it.

    Attributes and text stand as they will be written: words from outside are escaped before.
    """

    tag: str
    attributes: dict[str, str]
    within: list["Element | str"] = field(default_factory=list)

    def written(self) -> str:
        """The element as text."""
        inner = "".join([one if isinstance(one, str) else one.written() for one in self.within])
        start = f"{self.tag}{_said(self.attributes)}"
        return f"<{start}>{inner}</{self.tag}>" if inner else f"<{start} />"


def _said(attributes: Mapping[str, str]) -> str:
    """Attributes in their order; an underscore in a name stands for a hyphen."""
    return "".join([f' {k.replace("_", "-")}="{value}"' for k, value in attributes.items()])


@dataclass(frozen=True, slots=True)
class Pen:
    """Draws on one element. `px`: mm of one phone pixel."""

    on: Element
    px: float

    def group(self, name: str, region: str = "") -> "Pen":
        """A group with a class; `region` says to which letter it belongs."""
        its = {"data-region": region} if region else {}
        made = Element("g", {"class": name} | its)
        self.on.within.append(made)
        return Pen(made, self.px)

    def path(self, name: str, data: str, width: float = EDGE, **more: str) -> None:
        """A path with a class, `width` in pixels."""
        wide = number(width * self.px)
        self.on.within.append(
            f'<path class="{name}" d="{data}" stroke-width="{wide}"{_said(more)} />'
        )

    def line(self, name: str, points: Sequence[Point], width: float = EDGE, **more: str) -> None:
        """Straight from point to point."""
        self.path(name, through(points), width, **more)

    def shape(self, name: str, points: Sequence[Point], width: float = EDGE, **more: str) -> None:
        """A closed shape that hides what lies behind it."""
        self.path(name, through(points) + "Z", width, **{"fill": "#fff", **more})

    def dot(self, name: str, at: Point, radius: float, **more: str) -> None:
        """A circle, `radius` in mm."""
        place = f'cx="{number(at[0])}" cy="{number(at[1])}" r="{number(radius)}"'
        wide = number(EDGE * self.px)
        self.on.within.append(
            f'<circle class="{name}" {place} stroke-width="{wide}"{_said(more)} />'
        )

    def words(
        self, text: str, at: Point, size: float = 12, anchor: str = "start", **more: str
    ) -> None:
        """Letters whose line stands at a point, `size` in pixels."""
        place = f'x="{number(at[0])}" y="{number(at[1])}" font-size="{number(size * self.px)}"'
        plain = f'text-anchor="{anchor}" fill="currentColor" stroke="none"'
        self.on.within.append(f"<text {place} {plain}{_said(more)}>{escape(text)}</text>")

    def letter(self, text: str, at: Point) -> None:
        """A part's letter in a ring."""
        self.dot("fig-solid", at, 10 * self.px, fill="#fff")
        self.words(text, (at[0], at[1] + 4.7 * self.px), 14, "middle", font_weight="700")

    def arrow(self, name: str, start: Point, end: Point, width: float = EDGE, **more: str) -> None:
        """A line with a head at its end."""
        long = hypot(end[0] - start[0], end[1] - start[1]) or 1.0
        u = ((end[0] - start[0]) / long, (end[1] - start[1]) / long)
        head = 7 * self.px
        sides = [
            (end[0] - head * (u[0] + s * u[1] / 2), end[1] - head * (u[1] - s * u[0] / 2))
            for s in (1, -1)
        ]
        self.line(name, [start, end], width, **more)
        self.line("fig-head", [sides[0], end, sides[1]], width)

    def area(self, region: str, points: Sequence[Point]) -> None:
        """The part of the drawing that counts as a region; shown when it is picked."""
        its, outline = f'class="fig-region" data-region="{region}"', f"{through(points)}Z"
        self.on.within.append(f'<path {its} d="{outline}" fill="none" stroke="none" />')


def sheet(width: float, height: float, summary: str) -> Pen:
    """An empty drawing of a size in mm. Raises ValueError unless both are above 0."""
    if width <= 0 or height <= 0:
        raise ValueError(f"no room to draw: {width=} {height=}")
    root = Element(
        "svg",
        {
            "xmlns": SVG,
            "class": "fig",
            "viewBox": f"0 0 {number(width)} {number(height)}",
            "role": "img",
            "aria-label": escape(summary, QUOTE),
            "fill": "none",
            "stroke": "currentColor",
            "stroke-linecap": "round",
            "stroke-linejoin": "round",
        },
    )
    return Pen(root, width / PHONE)


def finished(pen: Pen) -> str:
    """The drawing as text."""
    return pen.on.written()


@lru_cache(maxsize=1024)
def number(value: float) -> str:
    """Two decimals, none needless."""
    return f"{value:.2f}".rstrip("0").rstrip(".") if value else "0"


def through(points: Iterable[Point]) -> str:
    """Path data from point to point."""
    return "M" + "L".join([f"{x:.2f} {y:.2f}" for x, y in points])


def curve(start: Point, first: Point, second: Point, end: Point) -> str:
    """Path data of one cubic curve."""
    (a, b), (c, d), (e, f), (g, h) = start, first, second, end
    return f"M{a:.2f} {b:.2f}C{c:.2f} {d:.2f} {e:.2f} {f:.2f} {g:.2f} {h:.2f}"


def bow(start: Point, bend: Point, end: Point) -> str:
    """Path data of one simple bend."""
    (a, b), (c, d), (e, f) = start, bend, end
    return f"M{a:.2f} {b:.2f}Q{c:.2f} {d:.2f} {e:.2f} {f:.2f}"


def turned(points: Iterable[Point], about: Point, degrees: float) -> list[Point]:
    """Points turned about one, clockwise on the page."""
    c, s = cos(radians(degrees)), sin(radians(degrees))
    return [
        (
            about[0] + (x - about[0]) * c - (y - about[1]) * s,
            about[1] + (x - about[0]) * s + (y - about[1]) * c,
        )
        for x, y in points
    ]


@lru_cache(maxsize=64)
def _corner(steps: int) -> tuple[Point, ...]:
    """A quarter of a circle of radius 1, from the left to the top."""
    turns = (radians(180 + 90 * n / steps) for n in range(steps + 1))
    return tuple((cos(turn), sin(turn)) for turn in turns)


def rounded(box: Box, radius: float, steps: int = 5) -> list[Point]:
    """A rectangle with round corners as points, `steps` + 1 a corner."""
    r = min(radius, box.width / 2, box.height / 2)
    left, top = box.x + r, box.y + r
    right, low = box.x + box.width - r, box.y + box.height - r
    corner = _corner(steps)
    return [
        *((left + r * c, top + r * s) for c, s in corner),
        *((right - r * s, top + r * c) for c, s in corner),
        *((right - r * c, low - r * s) for c, s in corner),
        *((left + r * s, low - r * c) for c, s in corner),
    ]


def spread(count: int, width: float) -> list[float]:
    """`count` places evenly from -width/2 to width/2; the middle for one."""
    if count <= 1:
        return [0.0] * count
    return [width * (n / (count - 1) - 0.5) for n in range(count)]


@lru_cache(maxsize=1024)
def uneven(n: int) -> float:
    """A fixed number in -1..1 for the n-th thing, so that hairs are not ruled lines.

    The bits of n are mixed as in MurmurHash3's finaliser (Appleby 2011), in whole numbers alone.
    """
    n = (n + 1) * 2654435761 % 2**32
    n = (n ^ (n >> 16)) * 2246822507 % 2**32
    n = (n ^ (n >> 13)) * 3266489909 % 2**32
    return ((n ^ (n >> 16)) % 2**32) / 2**31 - 1


def smooth(points: Sequence[Point], steps: int = 6) -> list[Point]:
    """A soft line through every point, as short straight ones (Catmull-Rom)."""
    ends = [points[0], *points, points[-1]]
    shares = [step / steps for step in range(steps)]
    found: list[Point] = []
    for a, b, c, d in zip(ends, ends[1:], ends[2:], ends[3:], strict=False):
        x, y = (a[0], b[0], c[0], d[0]), (a[1], b[1], c[1], d[1])
        found += [(_spline(*x, t), _spline(*y, t)) for t in shares]
    return [*found, points[-1]]


def _spline(a: float, b: float, c: float, d: float, t: float) -> float:
    """Catmull and Rom's curve from b (t = 0) to c (t = 1)."""
    steep = 2 * a - 5 * b + 4 * c - d
    return 0.5 * (2 * b + t * (c - a + t * (steep + t * (3 * b - a - 3 * c + d))))


def scale_bar(pen: Pen, at: Point, long: int, step: int) -> None:
    """A bar of `long` mm with a tick every `step` mm and its length beside it."""
    marks = pen.group("fig-scale")
    x, y = at
    marks.line("fig-bar", [(x, y), (x + long, y)], EDGE)
    for mm in range(0, long + 1, step):
        marks.line("fig-tick", [(x + mm, y - 4 * pen.px), (x + mm, y + 4 * pen.px)], EDGE)
    marks.words(f"{long} mm", (x + long + 6 * pen.px, y + 4 * pen.px))
