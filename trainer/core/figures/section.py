"""One attachment from the front, scalp on top: roots, own hair, what holds, and the added hair."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians, sin

from trainer.core.figures.figure import Box, Figure, Point, Region
from trainer.core.figures.holds import HAIR_WIDTH, HOLDS, Hold, rise
from trainer.core.figures.ink import (
    BOLD,
    PHONE,
    THICK,
    THIN,
    Pen,
    bow,
    curve,
    finished,
    number,
    rounded,
    scale_bar,
    sheet,
    spread,
    through,
    uneven,
)

SKIN, TAIL, FOOT, MARGINS = 28, 52, 46, 92
"""Pixels of skin above the scalp line, of hair below the attachment, of the key at the foot, and
of room at the sides of a panel."""
MOST_PX, FINE = 14, 0.2
"""Pixels to a mm at most; mm to a pixel below which single millimetres are ticked."""
LETTERS = "ABCDEF"
WIDE = ("tape", "track", "clip")
PLACES = {
    1: ("at the top", "second from the top", "third from the top", "fourth", "fifth", "sixth"),
    2: ("upper left", "upper right", "lower left", "lower right", "bottom left", "bottom right"),
}
"""Where a panel stands, by how many stand beside each other."""


@dataclass(frozen=True, slots=True)
class Section:
    """One attachment on its section of own hair.

    Parameters
    ----------
    kind : tape, bead, bond, row, track or clip
    noun : what the trade calls it
    scalp_mm : from the scalp line to the nearest edge of the attachment [mm], >= 0
    width_mm, height_mm : of the attachment [mm], > 0
    section_mm : width of the section of own hair at the scalp [mm], > 0
    own, added : lines of own and of added hair that are drawn, > 0
    offset_mm : by how much the lower tape stands out sideways [mm]; tape alone
    closed : share 0 (round and open) to 1 (pressed flat); beads alone
    angle_deg : turned against the fall of the hair [degrees], -60 to 60
    caught : hairs from the next section that run into the attachment, >= 0
    notes : short lines under the drawing, at most two
    """

    kind: str
    noun: str
    scalp_mm: float
    width_mm: float
    height_mm: float
    section_mm: float
    own: int = 9
    added: int = 9
    offset_mm: float = 0.0
    closed: float = 0.5
    angle_deg: float = 0.0
    caught: int = 0
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Raises ValueError for what cannot be drawn."""
        if self.kind not in HOLDS or min(self.width_mm, self.height_mm, self.section_mm) <= 0:
            raise ValueError(f"cannot draw {self}")
        if min(self.scalp_mm, self.caught, self.closed, 1 - self.closed) < 0:
            raise ValueError(f"cannot draw {self}")

    @property
    def rise(self) -> float:
        """How far the higher end of a turned attachment stands above the middle [mm]."""
        return rise(self.kind, self.width_mm, self.height_mm, self.angle_deg, self.offset_mm)

    @property
    def span(self) -> float:
        """The whole width that is taken up [mm], what hangs aside included."""
        wide = self.width_mm * HAIR_WIDTH.get(self.kind, 1.0) + 2 * abs(self.offset_mm)
        aside = 2 * self.height_mm * abs(sin(radians(self.angle_deg)))
        return max(wide + aside, self.section_mm)

    def words(self) -> str:
        """What is drawn, with its measures."""
        parts = [f"{_mm(self.scalp_mm)} from the scalp line to the nearest edge of the {self.noun}"]
        if self.notes:
            return "; ".join([*parts, *self.notes]) + "."
        parts.append(f"section {_mm(self.section_mm)} wide, {self.noun} {_mm(self.width_mm)}")
        if self.kind == "tape":
            parts.append(f"the lower tape shows {_mm(abs(self.offset_mm))} at the side")
        parts.append(f"hangs {abs(self.angle_deg):g} degrees off the fall")
        parts.append(f"hairs that come from outside the section marks: {self.caught}")
        return "; ".join(parts) + "."


def _mm(value: float) -> str:
    return f"{value:g} mm"


def several(panels: Sequence[Section]) -> Figure:
    """Up to six attachments, each a region with its letter. Wide ones stand below each other.

    Raises ValueError for none or too many.
    """
    if not 0 < len(panels) <= len(LETTERS):
        raise ValueError(f"{len(panels)} drawings")
    noun = panels[0].noun
    summary = f"{len(panels)} drawings, each of one {noun}, with a ruler in mm"
    across = 1 if panels[0].kind in WIDE else 2
    wide = _width(panels, across)
    pen = sheet(across * wide, 1, summary)
    px, y = pen.px, 0.0
    regions = []
    for first in range(0, len(panels), across):
        line = panels[first : first + across]
        high = max(_height(panel, px) for panel in line)
        for column, panel in enumerate(line):
            letter = LETTERS[first + column]
            box = Box(wide * column + 2 * px, y + 2 * px, wide - 4 * px, high - 4 * px)
            _panel(pen.group("fig-part", letter), panel, box, letter, 0)
            pen.area(letter, rounded(box, 4 * px, 2))
            label = f"{noun.capitalize()} {letter}, {PLACES[across][first + column]}"
            regions.append(Region(letter, label, (box,)))
        y += high
    _key(pen, y)
    told = [f"{letter}: {one.words()}" for letter, one in zip(LETTERS, panels, strict=False)]
    start = (
        f"{summary}. The scalp is on top and the hair falls downward. "
        "Thin lines are own hair, thick lines are added hair."
    )
    return Figure(finished(pen), tuple(regions), "\n".join([start, *told]))


def ruled(panel: Section, scalp_at: int) -> Figure:
    """One attachment beside a ruler that stands at `scalp_at` mm at the scalp line."""
    noun = panel.noun
    summary = f"One {noun} beside a ruler in mm"
    pen = sheet(_width([panel], 1), 1, summary)
    px = pen.px
    wide, high = px * PHONE, _height(panel, px)
    box = Box(2 * px, 2 * px, wide - 4 * px, high - 4 * px)
    _panel(pen.group("fig-part", "A"), panel, box, "", scalp_at)
    _key(pen, high)
    near = scalp_at + panel.scalp_mm
    told = (
        f"{summary}. The scalp is on top and the hair falls downward.\n"
        f"The scalp line stands at {scalp_at} on the ruler.\n"
        f"The upper edge of the {noun} stands at {near:g}, its lower edge at "
        f"{near + panel.height_mm:g}."
    )
    return Figure(finished(pen), (), told)


def _width(panels: Sequence[Section], across: int) -> float:
    """Width of one panel [mm], the same for all of a drawing."""
    share = PHONE / across
    span = max(panel.span for panel in panels)
    return max(span / (1 - MARGINS / share), share / MOST_PX)


def _height(panel: Section, px: float) -> float:
    """Height of one panel [mm]."""
    deep = panel.scalp_mm + 2 * panel.rise + panel.height_mm
    return (SKIN + TAIL + 8 + 15 * len(panel.notes)) * px + deep


def _panel(pen: Pen, section: Section, box: Box, letter: str, scalp_at: int) -> None:
    px = pen.px
    pen.line("fig-frame", [*rounded(box, 4 * px, 2), (box.x, box.y + 4 * px)], THIN)
    scalp = box.y + SKIN * px
    middle = box.x + box.width / 2 + 8 * px
    bottom = box.y + box.height - (6 + 15 * len(section.notes)) * px
    top = (middle, scalp + section.scalp_mm + section.rise)
    hold = Hold(
        top,
        section.width_mm,
        section.height_mm,
        section.angle_deg,
        section.offset_mm,
        section.closed,
    )
    _skin(pen, box, scalp, middle, section)
    _neighbours(pen, box, scalp, middle, section, bottom)
    _own_hair(pen, hold, section, (middle, scalp))
    _added_hair(pen, hold, section, bottom)
    HOLDS[section.kind](pen, hold)
    _ruler(pen, box, scalp, scalp_at, bottom)
    x = box.x + box.width - 11 * px
    high, low = (x, scalp + 12 * px), (x, scalp + 56 * px)
    pen.arrow("fig-fall", high, low, 1.4, stroke_dasharray=number(3 * px))
    if letter:
        pen.letter(letter, (box.x + 15 * px, box.y + 14 * px))
    for n, note in enumerate(section.notes):
        pen.words(note, (box.x + box.width / 2, bottom + (13 + 15 * n) * px), 11.5, "middle")


def _skin(pen: Pen, box: Box, scalp: float, middle: float, section: Section) -> None:
    """The scalp line, and dashed marks where the section begins and ends."""
    px = pen.px
    left, right = box.x + px, box.x + box.width - px
    skin = [(left, box.y + px), (right, box.y + px), (right, scalp), (left, scalp)]
    pen.path("fig-skin", through(skin) + "Z", THIN, stroke="none")
    ends = [(left + px, scalp), (right - px, scalp)]
    pen.line("fig-scalp", ends, BOLD)
    for side in (-1, 1):
        x = middle + side * section.section_mm / 2
        ends = [(x, scalp - 22 * px), (x, scalp + 5 * px)]
        pen.line("fig-mark", ends, 1.3, stroke_dasharray=number(2.5 * px))


def _roots(pen: Pen, name: str, xs: Sequence[float], scalp: float, width: float) -> None:
    """Hairs under the skin, each with its bulb."""
    px = pen.px
    ends = [
        (x + uneven(n) * 1.2 * px, scalp - (12 + 2 * uneven(n + 5)) * px) for n, x in enumerate(xs)
    ]
    lines = (through([(x, scalp), end]) for x, end in zip(xs, ends, strict=True))
    pen.path(name, "".join(lines), width)
    bulbs = (f"M{x:.2f} {y:.2f}h0" for x, y in ends)
    pen.path(f"{name} fig-bulb", "".join(bulbs), 3.6)


def _neighbours(
    pen: Pen, box: Box, scalp: float, middle: float, section: Section, bottom: float
) -> None:
    """Own hair of the next sections, which falls free."""
    px = pen.px
    data, roots = [], []
    for side in (-1, 1):
        edge = middle + side * section.section_mm / 2
        room = (box.x + box.width - 20 * px - edge) if side > 0 else (edge - box.x - 34 * px)
        for n in range(max(0, int(room / (9 * px)))):
            x = edge + side * (n + 1) * 9 * px
            roots.append(x)
            data.append(through([(x, scalp), (x + uneven(n + 9) * 2 * px, bottom)]))
    if roots:
        _roots(pen, "fig-next", roots, scalp, 0.6)
        pen.path("fig-next", "".join(data), 0.6)


def _own_hair(pen: Pen, hold: Hold, section: Section, root: Point) -> None:
    """From the roots of the section into the attachment."""
    middle, scalp = root
    inside = min(section.section_mm, section.width_mm) * 0.86
    entries = hold.put([(x, hold.height * 0.3) for x in spread(section.own, inside)])
    lean, upright = sin(radians(section.angle_deg)), cos(radians(section.angle_deg))
    roots = [middle + x for x in spread(section.own, section.section_mm * 0.92)]
    data = []
    for x, end in zip(roots, entries, strict=True):
        reach = (end[1] - scalp) * 0.45
        near = (end[0] - lean * reach, end[1] - upright * reach)
        data.append(curve((x, scalp), (x, scalp + reach), near, end))
    _roots(pen, "fig-root", roots, scalp, THIN)
    pen.path("fig-own", "".join(data), THIN)
    if section.caught:
        _strays(pen, hold, section, root)


def _strays(pen: Pen, hold: Hold, section: Section, root: Point) -> None:
    """Hairs from the next section that run into the attachment."""
    middle, scalp = root
    px = pen.px
    side = 1 if section.angle_deg <= 0 else -1
    end = hold.put([(side * hold.width * 0.3, hold.height * 0.35)])[0]
    deep = (end[1] - scalp) * 0.5
    xs = [
        middle + side * (section.section_mm / 2 + (7 + 6 * n) * px) for n in range(section.caught)
    ]
    data = (
        curve((x, scalp), (x + side * 4 * px, scalp + deep), (x, end[1] - deep / 4), end)
        for x in xs
    )
    _roots(pen, "fig-stray", xs, scalp, THIN)
    pen.path("fig-stray", "".join(data), THIN)


def _added_hair(pen: Pen, hold: Hold, section: Section, bottom: float) -> None:
    """Added and own hair that leave the attachment below and bend into the fall."""
    wide = section.width_mm * HAIR_WIDTH.get(section.kind, 1.0) * 0.92
    for name, count, width, room in (
        ("fig-added", section.added, THICK, wide),
        ("fig-out", section.own, THIN, min(wide, section.width_mm) * 0.8),
    ):
        starts = hold.put([(x, hold.height * 0.8) for x in spread(count, room)])
        data = [_falling(start, section.angle_deg, bottom, n) for n, start in enumerate(starts)]
        pen.path(name, "".join(data), width)


def _falling(start: Point, angle: float, bottom: float, n: int) -> str:
    long = bottom - start[1]
    lean, upright = sin(radians(angle)), cos(radians(angle))
    bend = (start[0] + lean * long * 0.5, start[1] + upright * long * 0.5)
    return bow(start, bend, (bend[0] + uneven(n) * long * 0.03, bottom))


def _ruler(pen: Pen, box: Box, scalp: float, scalp_at: int, bottom: float) -> None:
    """Millimetres down the left side; at the scalp line it stands at `scalp_at`."""
    px = pen.px
    marks = pen.group("fig-ruler")
    x = box.x + 8 * px
    first = -min(scalp_at, int((SKIN - 8) * px))
    last = int(min(bottom - scalp, 25))
    marks.line("fig-bar", [(x, scalp + first), (x, scalp + last)], 1.0)
    data = []
    start, long, short = f"M{x:.2f}", f"h{9 * px:.2f}", f"h{5 * px:.2f}"
    for mm in range(first, last + 1):
        said = mm + scalp_at
        data.append(f"{start} {scalp + mm:.2f}{short if said % 5 else long}")
        if said % 5 == 0 and (mm > 0 or scalp_at):
            marks.words(f"{said}", (x + 11 * px, scalp + mm + 3.6 * px), 10.5)
    marks.path("fig-tick", "".join(data), 0.9)


def _key(pen: Pen, y: float) -> None:
    """What the lines mean, and a scale bar, below the panels; settles the drawing's height."""
    px = pen.px
    foot = pen.group("fig-key")
    dashes = {"stroke_dasharray": number(3 * px)}
    line = y + 14 * px
    foot.line("fig-own", [(6 * px, line), (26 * px, line)], THIN)
    foot.words("own hair", (31 * px, line + 4 * px))
    foot.line("fig-added", [(94 * px, line), (114 * px, line)], THICK)
    foot.words("added hair", (119 * px, line + 4 * px))
    foot.arrow("fig-fall", (194 * px, line), (218 * px, line), 1.4, **dashes)
    foot.words("fall of the hair", (224 * px, line + 4 * px))
    long = next((mm for mm in (20, 10) if mm <= 120 * px), 5)
    scale_bar(foot, (6 * px, y + 34 * px), long, 1 if px < FINE else 5)
    mark = [(200 * px, y + 28 * px), (200 * px, y + 40 * px)]
    foot.line("fig-mark", mark, 1.3, **dashes)
    foot.words("edge of section", (207 * px, y + 38 * px))
    pen.on.attributes["viewBox"] = f"0 0 {number(PHONE * px)} {number(y + FOOT * px)}"
