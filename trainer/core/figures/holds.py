"""What holds the added hair, drawn from the front: tape, bead, bond, beaded row, braid, clip.

Shapes hang from their upper edge's middle at `top`, turned by the attachment's angle.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from trainer.core.figures.figure import Box, Point
from trainer.core.figures.ink import THIN, Pen, rounded, smooth, spread, through, turned

HAIR_WIDTH: Mapping[str, float] = {"row": 4.0, "clip": 1.25}
"""How much wider than the attachment the added hair leaves it; as wide for the rest."""


@dataclass(frozen=True, slots=True)
class Hold:
    """One attachment in place: sizes in mm, angle in degrees against the fall."""

    top: Point
    width: float
    height: float
    angle: float
    offset: float
    closed: float

    def put(self, points: "list[Point] | tuple[Point, ...]") -> list[Point]:
        """Points given from the upper edge's middle, put in place and turned."""
        placed = [(self.top[0] + x, self.top[1] + y) for x, y in points]
        return turned(placed, self.top, -self.angle)

    def box(self, shift: float = 0.0) -> list[Point]:
        """The attachment's outline before rounding, shifted sideways."""
        half = self.width / 2
        return self.put(
            [
                (shift - half, 0),
                (shift + half, 0),
                (shift + half, self.height),
                (shift - half, self.height),
            ]
        )


def _body(hold: Hold, radius: float) -> list[Point]:
    return rounded(Box(-hold.width / 2, 0, hold.width, hold.height), radius)


def _strip(hold: Hold, wide: float, down: float, high: float) -> list[Point]:
    """A strip of weft: how much wider than the attachment, how far down, how high (shares)."""
    long = hold.width * wide
    return rounded(
        Box(-long / 2, hold.height * down, long, hold.height * high), hold.height * high / 4
    )


def outlines(kind: str, hold: Hold) -> list[list[Point]]:
    """Every solid part of an attachment in place, the foremost last."""
    if kind == "tape":
        return [hold.box(hold.offset), hold.box()]
    if kind == "bond":
        return [hold.put(_body(hold, hold.width / 2))]
    if kind == "track":
        braid = rounded(Box(-hold.width / 2, 0, hold.width, hold.height * 0.8), hold.height * 0.4)
        return [hold.put(_strip(hold, 1.0, 0.72, 0.42)), hold.put(braid)]
    parts = [hold.put(_body(hold, hold.width * 0.22 if kind != "clip" else hold.height * 0.3))]
    if kind == "row":
        parts.insert(0, hold.put(_strip(hold, HAIR_WIDTH["row"], 0.42, 0.5)))
    if kind == "clip":
        parts.insert(0, hold.put(_strip(hold, HAIR_WIDTH["clip"], 0.62, 0.5)))
    return parts


@lru_cache(maxsize=512)
def rise(kind: str, width: float, height: float, angle: float, offset: float) -> float:
    """How far the highest point of a turned attachment stands above its upper middle [mm]."""
    hold = Hold((0.0, 0.0), width, height, angle, offset, 0.5)
    return -min(y for part in outlines(kind, hold) for _, y in part)


def tape(pen: Pen, hold: Hold) -> None:
    """Two tapes, one behind the other, the lower one shifted sideways by the offset."""
    under, over = outlines("tape", hold)
    pen.shape("fig-solid fig-under", under, 1.2)
    if hold.offset:
        pen.path("fig-hatch", _hatch(hold, hold.offset), THIN)
    pen.shape("fig-solid fig-hold", over, 1.8)
    inner = hold.put(
        [
            (-hold.width * 0.46, hold.height * 0.2),
            (hold.width * 0.46, hold.height * 0.2),
            (hold.width * 0.46, hold.height * 0.8),
            (-hold.width * 0.46, hold.height * 0.8),
        ]
    )
    pen.path("fig-hatch", through(inner) + "Z", THIN)


def _hatch(hold: Hold, shift: float) -> str:
    """Slanted lines over the lower tape; the upper one hides the rest."""
    step, lean = hold.width / 40, hold.height / 4
    starts = [shift - hold.width / 2 + step * n for n in range(1, 40)]
    return "".join(
        through(hold.put([(x, 0), (x - min(lean, x - shift + hold.width / 2), hold.height)]))
        for x in starts
    )


def bead(pen: Pen, hold: Hold) -> None:
    """A bead: the more it is closed, the narrower its mouth, and two dents where it was pressed."""
    half = hold.width / 2
    pen.shape("fig-solid fig-hold", outlines("bead", hold)[-1], 2.0)
    mouth = hold.height * 0.34 * (1 - hold.closed)
    if mouth > 0:
        lip = rounded(Box(-half * 0.8, hold.height * 0.06, half * 1.6, mouth), mouth / 2)
        pen.path("fig-mouth", through(hold.put(lip)) + "Z", THIN)
    for side in (-1, 1):
        x = side * half * 0.45
        dent = [(x, hold.height * 0.45), (x, hold.height * 0.85)]
        pen.line("fig-dent", hold.put(dent), 1.2 + hold.closed)


def bond(pen: Pen, hold: Hold) -> None:
    """A small roll, round at both ends, stippled."""
    half = hold.width / 2
    pen.shape("fig-solid fig-hold", outlines("bond", hold)[0], 2.0)
    for row in range(1, 5):
        for side in (-1, 0, 1):
            at = (side * half * 0.45 + half * 0.18 * (row % 2), hold.height * row / 5)
            pen.dot(
                "fig-grain", hold.put([at])[0], 0.9 * pen.px, fill="currentColor", stroke="none"
            )


def row(pen: Pen, hold: Hold) -> None:
    """A bead with a strip of weft sewn to it."""
    long, high, low = hold.width * 4, hold.height * 0.5, hold.height * 0.42
    pen.shape("fig-solid fig-strip", outlines("row", hold)[0], 1.6)
    pen.line("fig-seam", hold.put([(-long / 2, low + high / 2), (long / 2, low + high / 2)]), THIN)
    bead(pen, hold)
    for side in (-1, 1):
        thread = [
            (side * hold.width * 0.5, low - high * 0.2),
            (side * hold.width * 0.95, low + high * 1.1),
            (side * hold.width * 1.3, low - high * 0.1),
        ]
        pen.line("fig-thread", hold.put(thread), 1.2)


def track(pen: Pen, hold: Hold) -> None:
    """A braid along the scalp with a strip of weft sewn under it."""
    strip, braid = outlines("track", hold)
    pen.shape("fig-solid fig-strip", strip, 1.6)
    pen.shape("fig-solid fig-hold", braid, 2.0)
    count, high = 9, hold.height * 0.8
    link = hold.width / count
    for n in range(count):
        left = -hold.width / 2 + n * link
        for up in (0.0, high):
            tip, mid = (left + link * 0.95, high / 2), (left + link * 0.35, abs(up - high * 0.16))
            weave = smooth([(left, up), mid, tip])
            pen.line("fig-weave", hold.put(weave), 1.5)
    for x in spread(4, hold.width * 0.8):
        stitch = [(x - link * 0.25, hold.height * 0.62), (x + link * 0.25, hold.height * 1.08)]
        pen.line("fig-thread", hold.put(stitch), 2.2)


def clip(pen: Pen, hold: Hold) -> None:
    """A snap clip with its teeth, on a strip of weft."""
    half = hold.width / 2
    strip, body = outlines("clip", hold)
    pen.shape("fig-solid fig-strip", strip, 1.4)
    pen.shape("fig-solid fig-hold", body, 2.0)
    teeth = [
        through(hold.put([(x, hold.height * 0.3), (x, hold.height * 0.95)]))
        for x in spread(9, hold.width * 0.82)
    ]
    pen.path("fig-dent", "".join(teeth), 1.3)
    bow = [(-half * 0.9, hold.height * 0.22), (half * 0.9, hold.height * 0.22)]
    pen.line("fig-dent", hold.put(bow), 1.3)


HOLDS: Mapping[str, Callable[[Pen, Hold], None]] = {
    "tape": tape,
    "bead": bead,
    "bond": bond,
    "row": row,
    "track": track,
    "clip": clip,
}
"""Kind of attachment -> how it is drawn."""
