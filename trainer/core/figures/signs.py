"""What hair and scalp show, as line art: at an attachment, on the hairs, along the front edge."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from trainer.core.figures.figure import Figure, Point
from trainer.core.figures.holds import HOLDS, Hold
from trainer.core.figures.ink import (
    BOLD,
    THICK,
    THIN,
    Pen,
    curve,
    finished,
    number,
    scale_bar,
    sheet,
    smooth,
    spread,
    through,
    uneven,
)

FOOT = 30


@dataclass(frozen=True, slots=True)
class Sign:
    """What is drawn.

    `kind` of attachment and its `noun` are used where one is shown. `amount`: how many of what is
    drawn (tangled loops, loose hairs, sleeves, flakes, short hairs, bumps), 1 to 20. `seed`
    settles where they lie.
    """

    what: str
    kind: str = "bead"
    noun: str = "bead"
    amount: int = 6
    seed: int = 0

    def __post_init__(self) -> None:
        """Raises ValueError for what cannot be drawn."""
        if self.what not in SIGNS or self.kind not in HOLDS or not 0 < self.amount <= MOST:
            raise ValueError(f"cannot draw {self}")

    def chance(self, n: int) -> float:
        """A fixed number in 0..1 for the n-th thing."""
        return (uneven(self.seed * 97 + n * 13 + 7) + 1) / 2


@dataclass(frozen=True, slots=True)
class Room:
    """Where things lie [mm]: width, the scalp line's height, the lower end."""

    wide: float
    scalp: float
    low: float


MOST = 20
SHORT = 2.8
"""Length of the fine hairs along the front edge [mm]."""
SIZES: Mapping[str, tuple[float, float]] = {
    "tape": (22.0, 8.0),
    "bead": (4.0, 5.0),
    "bond": (4.5, 9.0),
    "row": (5.0, 6.0),
    "track": (26.0, 7.0),
    "clip": (20.0, 8.0),
}
"""Width and height [mm] at which each kind of attachment is drawn here; the tape is cut short."""


def sign(shown: Sign) -> Figure:
    """A drawing of one thing that is seen, with its measures and numbers in words."""
    draw, summary = SIGNS[shown.what]
    words = summary.format(noun=shown.noun)
    pen = sheet(36.0, 30.0, words)
    told = draw(pen, shown, Room(36.0, 6.5, 27.0))
    px = pen.px
    scale_bar(pen.group("fig-key"), (6 * px, 27.0 + 16 * px), 5, 1)
    pen.on.attributes["viewBox"] = f"0 0 36 {number(27.0 + FOOT * px)}"
    return Figure(finished(pen), (), f"{words}.\n{told}")


def _skin(pen: Pen, room: Room) -> None:
    skin = [(0.3, 0.3), (room.wide - 0.3, 0.3), (room.wide - 0.3, room.scalp), (0.3, room.scalp)]
    pen.path("fig-skin", through(skin) + "Z", THIN, stroke="none")
    pen.line("fig-scalp", [(0.5, room.scalp), (room.wide - 0.5, room.scalp)], BOLD)


def _bulb(x: float, y: float) -> str:
    return f"M{number(x)} {number(y)}h0"


def _hairs(pen: Pen, name: str, xs: list[float], room: Room, to: Callable[[float], Point]) -> None:
    """Hairs from bulbs under the skin to where they go."""
    px = pen.px
    data, bulbs = [], []
    for n, x in enumerate(xs):
        top = (x + uneven(n) * 1.5 * px, room.scalp - (24 + 6 * uneven(n + 4)) * px)
        end = to(x)
        data.append(through([(x, room.scalp), top]))
        deep = (end[1] - room.scalp) * 0.45
        data.append(curve((x, room.scalp), (x, room.scalp + deep), (end[0], end[1] - deep), end))
        bulbs.append(_bulb(*top))
    pen.path(name, "".join(data), 1.1)
    pen.path("fig-bulb", "".join(bulbs), 4.2)


def _held(pen: Pen, shown: Sign, room: Room, straight: bool = True) -> Hold:
    """An attachment on its own hair with added hair below, and free hair at both sides."""
    width, height = SIZES[shown.kind]
    away = 6.0 + 1.5 * shown.chance(70)
    hold = Hold((room.wide / 2, room.scalp + away), width, height, 0.0, 0.0, 0.6)
    section = min(max(width * 1.3, 8.0), 24.0)
    roots = [room.wide / 2 + x for x in spread(7 + shown.seed % 5, section)]
    free = [x for x in spread(13, room.wide - 5) if abs(x) > section / 2 + 1.5]
    data = [
        curve(
            (room.wide / 2 + x, room.scalp),
            (room.wide / 2 + x + 0.5, room.scalp + 6),
            (room.wide / 2 + x - 0.5, room.low - 6),
            (room.wide / 2 + x, room.low),
        )
        for x in free
    ]
    pen.path("fig-next", "".join(data), 0.8)
    narrow = min(width, section) * 0.86 / section
    middle = room.wide / 2
    end_y = hold.top[1] + height * 0.3
    _hairs(pen, "fig-own", roots, room, lambda x: (middle + (x - middle) * narrow, end_y))
    lower = hold.top[1] + height * 0.8
    added = [
        through([(middle + x, lower), (middle + x * 1.06, room.low)])
        for x in spread(8 + shown.seed % 4, width * (0.9 if shown.kind != "row" else 3.6))
    ]
    pen.path("fig-added", "".join(added), THICK)
    if straight:
        HOLDS[shown.kind](pen, hold)
    return hold


def _plain(pen: Pen, shown: Sign, room: Room) -> str:
    _skin(pen, room)
    _held(pen, shown, room)
    return (
        f"Every hair of the section runs straight from its root in the skin into the {shown.noun}. "
        "Round it the hairs lie side by side."
    )


def _mat(pen: Pen, shown: Sign, room: Room) -> str:
    """Loops that cross each other between scalp and attachment."""
    _skin(pen, room)
    hold = _held(pen, shown, room, straight=False)
    middle, y = room.wide / 2, (room.scalp + hold.top[1]) / 2 + 0.8
    wide = max(7.0, min(hold.width * 0.9, 20.0))
    for n in range(shown.amount * 2):
        a, b = shown.chance(n * 3), shown.chance(n * 3 + 1)
        c = shown.chance(n * 3 + 2)
        x = middle + (a - 0.5) * wide
        r = 1.0 + 1.6 * b
        loop = [
            (x - r, y + (c - 0.5) * 3.4),
            (x - r * 0.2, y - 2.0 * b - 0.8),
            (x + r, y + (a - 0.5) * 2.6),
            (x + r * 0.1, y + 2.2 * c + 0.4),
            (x - r * 0.9, y - (b - 0.5) * 3.0),
            (x + r * 1.4, y + (c - 0.5) * 2.4 - 0.6),
        ]
        pen.line("fig-tangle", smooth(loop, 5), 1.1)
    HOLDS[shown.kind](pen, hold)
    return (
        f"Between the scalp and the {shown.noun} the hairs loop round and cross each other in one "
        f"clump about {number(wide)} mm wide. Outside the clump the hairs lie side by side."
    )


def _shed(pen: Pen, shown: Sign, room: Room) -> str:
    """Whole hairs whose bulb hangs free between scalp and attachment."""
    _skin(pen, room)
    hold = _held(pen, shown, room, straight=False)
    middle = room.wide / 2
    data, bulbs = [], []
    for n in range(shown.amount):
        side = 1 if n % 2 else -1
        reach = hold.width * 0.3 * shown.chance(n)
        end = (middle + side * reach, hold.top[1] + hold.height * 0.4)
        out = hold.width / 2 + 1.4 + 2.6 * shown.chance(n + 30)
        tip = (middle + side * out, room.scalp + 1.6 + 4.0 * shown.chance(n + 60))
        bend = (tip[0] + side * 0.8, tip[1] + 2.2)
        data.append(curve(tip, bend, (end[0] + side * 1.5, end[1] - 1.0), end))
        bulbs.append(_bulb(*tip))
    pen.path("fig-loose", "".join(data), 1.3)
    pen.path("fig-bulb fig-free", "".join(bulbs), 5.0)
    HOLDS[shown.kind](pen, hold)
    return (
        f"{shown.amount} long hairs lie in the {shown.noun} at one end. At the other end each has "
        "a small round bulb that hangs free below the scalp line. The other hairs run from their "
        "roots in the skin."
    )


def _scalp_hair(pen: Pen, room: Room) -> list[float]:
    """Own hair alone, over the whole width; gives where it grows."""
    _skin(pen, room)
    xs = [room.wide / 2 + x for x in spread(12, room.wide - 5)]
    _hairs(pen, "fig-own", xs, room, lambda x: (x + uneven(int(x)) * 0.6, room.low))
    return xs


def _casts(pen: Pen, shown: Sign, room: Room) -> str:
    """Short open tubes round single hairs."""
    xs = _scalp_hair(pen, room)
    picked = sorted(range(len(xs)), key=lambda n: shown.chance(n))[: min(shown.amount, len(xs))]
    for n in picked:
        y = room.scalp + 2.0 + 7.5 * shown.chance(n + 40)
        x, half = xs[n], 0.62
        tube = [(x - half, y), (x + half, y), (x + half * 0.9, y + 2.6), (x - half * 0.9, y + 2.6)]
        pen.shape("fig-solid fig-sleeve", tube, 1.6)
        pen.line("fig-lip", [(x - half, y + 0.5), (x + half, y + 0.5)], THIN)
        pen.line("fig-own", [(x, y), (x, y + 0.5)], 1.1)
    return (
        f"{len(picked)} hairs each run through a short white sleeve, about 2.6 mm long, which "
        "closes all round the hair a little off the scalp. The skin below is even."
    )


def _flakes(pen: Pen, shown: Sign, room: Room) -> str:
    """Flat, ragged chips that lie between the hairs."""
    xs = _scalp_hair(pen, room)
    for n in range(shown.amount):
        gap = xs[1] - xs[0]
        x = xs[n % (len(xs) - 1)] + gap * (0.42 + 0.16 * shown.chance(n))
        y = room.scalp + 0.9 + 9.0 * shown.chance(n + 50)
        s = 0.5 + 0.35 * shown.chance(n + 20)
        chip = [
            (x - s, y - s * 0.2),
            (x - s * 0.1, y - s * 0.8),
            (x + s, y - s * 0.4),
            (x + s * 0.6, y + s * 0.5),
            (x - s * 0.5, y + s * 0.7),
        ]
        pen.shape("fig-solid fig-chip", chip, 1.2)
    return (
        f"{shown.amount} flat, ragged chips under 2 mm lie loose between the hairs. No hair runs "
        "through a chip. The skin below is even."
    )


def _bumps(pen: Pen, shown: Sign, room: Room) -> str:
    """Raised domes at the roots, in a line."""
    xs = _scalp_hair(pen, room)
    first = int(shown.chance(1) * (len(xs) - min(shown.amount, 8)))
    line = xs[first : first + min(shown.amount, 8)]
    for n, x in enumerate(line):
        r = 0.95 + 0.3 * shown.chance(n)
        shape = [(-1, 0), (-0.6, 1), (0, 1.3), (0.6, 1), (1, 0)]
        dome = smooth([(x + r * a, room.scalp + r * b) for a, b in shape])
        pen.shape("fig-solid fig-dome", dome, 1.5)
        pen.dot("fig-head", (x, room.scalp + r * 0.8), 0.28, fill="currentColor", stroke="none")
        pen.line("fig-own", [(x, room.scalp + r * 1.3), (x, room.scalp + r * 1.3 + 2)], 1.1)
    return (
        f"{len(line)} roots in a row each stand in a small raised dome with a dark spot in it, "
        "about 2 mm across. Elsewhere the scalp line is even."
    )


def _edge(pen: Pen, shown: Sign, room: Room, band: float) -> None:
    """Skin of the forehead on top, fine short hairs along the edge, then the hair behind.

    `band`: from the tips of the short hairs to where the long ones begin [mm], in the middle.
    """
    line = [(0.4, 7.6), (9, 6.2), (18, 5.8), (27, 6.2), (35.6, 7.6)]
    bare = [(x, y + max(0.0, band + SHORT)) for x, y in smooth(line)]
    face = [*bare, (35.7, 0.3), (0.3, 0.3)]
    pen.path("fig-skin", through(face) + "Z", THIN, stroke="none")
    pen.line("fig-brow", smooth([(0.4, 1.2), (18, 0.6), (35.6, 1.2)]), THIN)
    short, count = [], 12 + shown.amount * 2
    for n in range(count):
        x = 1.5 + 33.0 * (n + 0.6 * shown.chance(n)) / count
        y = 6.0 + abs(x - 18) ** 2 * 0.0052
        lean = 1.2 * uneven(n + shown.seed)
        tip = (x + lean, y + SHORT - 0.6 * shown.chance(n + 9))
        short.append(curve((x, y), (x, y + 1), (tip[0] - 0.2, tip[1] - 0.6), tip))
    pen.path("fig-short", "".join(short), 0.8)
    start = 6.0 + SHORT + band
    data = []
    for n in range(64):
        x = 0.8 + 34.4 * (n // 2) / 31 + 0.4 * uneven(n)
        y = start + 1.6 * (n % 2) + abs(x - 18) ** 2 * 0.0052 + (1 + uneven(n + 3)) * 0.3
        aside = min(max(x + (x - 18) * 0.1, 0.6), 35.4)
        data.append(curve((x, y), (x, y + 5), (aside, room.low - 5), (aside, room.low)))
    pen.path("fig-own", "".join(data), 1.1)
    pen.words("forehead", (18, 3.9), 12, "middle")


def _fringe(pen: Pen, shown: Sign, room: Room) -> str:
    band = round(4.0 + 4.0 * shown.chance(3))
    _edge(pen, shown, room, band)
    return (
        "The forehead is on top. A thin line of short, fine hairs stands along the front edge. "
        f"Behind it lies a strip of about {band} mm with no hair; then the long "
        "hair begins."
    )


def _low_edge(pen: Pen, shown: Sign, room: Room) -> str:
    _edge(pen, shown, room, -1.5)
    return (
        "The forehead is on top. A thin line of short, fine hairs stands along the front edge. "
        "Right behind it, 0 mm further, the long hair begins."
    )


SIGNS: Mapping[str, tuple[Callable[[Pen, Sign, Room], str], str]] = {
    "plain": (_plain, "One {noun} on its section, with a scale in mm"),
    "mat": (_mat, "One {noun} on its section, with a scale in mm"),
    "shed": (_shed, "One {noun} on its section, with a scale in mm"),
    "casts": (_casts, "Own hair at the scalp, seen close, with a scale in mm"),
    "flakes": (_flakes, "Own hair at the scalp, seen close, with a scale in mm"),
    "bumps": (_bumps, "Own hair at the scalp, seen close, with a scale in mm"),
    "fringe": (_fringe, "The front edge of the hair, seen close, with a scale in mm"),
    "low_edge": (_low_edge, "The front edge of the hair, seen close, with a scale in mm"),
}
"""What can be shown -> how it is drawn, and what the drawing is of."""
