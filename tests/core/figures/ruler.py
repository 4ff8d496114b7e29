"""Measures taken from a drawing's lines alone: read as XML, never asked for its parameters."""

import re
from math import atan2, degrees, hypot
from xml.etree.ElementTree import Element, fromstring

SVG = "{http://www.w3.org/2000/svg}"
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
PHONE = 330


class Drawing:
    """An SVG that can be measured, in mm."""

    def __init__(self, svg: str) -> None:
        self.root = fromstring(svg)
        self.box = [float(one) for one in self.root.get("viewBox", "").split()]
        self.px = self.box[2] / PHONE

    def part(self, letter: str) -> Element:
        """The group of a letter."""
        groups = self.root.iter(f"{SVG}g")
        return next(one for one in groups if one.get("data-region") == letter)


def of_class(part: Element, name: str) -> list[Element]:
    return [one for one in part.iter() if name in (one.get("class") or "").split()]


def points(path: Element) -> list[tuple[float, float]]:
    """Corner points of a path of straight lines."""
    numbers = [float(one) for one in NUMBER.findall(path.get("d", ""))]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def starts(path: Element) -> list[tuple[float, float]]:
    """Where each piece of a path begins."""
    found = re.findall(r"M(-?[\d.]+) (-?[\d.]+)", path.get("d", ""))
    return [(float(x), float(y)) for x, y in found]


def scalp_of(part: Element) -> float:
    (line,) = of_class(part, "fig-scalp")
    ys = {y for _, y in points(line)}
    assert len(ys) == 1
    return ys.pop()


def solid_points(part: Element) -> list[tuple[float, float]]:
    """Every corner of what holds: attachment, strip, lower tape."""
    shapes = [s for n in ("fig-hold", "fig-under", "fig-strip") for s in of_class(part, n)]
    return [point for shape in shapes for point in points(shape)]


def scalp_distance(part: Element) -> float:
    return min(y for _, y in solid_points(part)) - scalp_of(part)


def marks_of(part: Element) -> tuple[float, float]:
    """Left and right end of the section, by its dashed marks."""
    left, right = (points(line)[0][0] for line in of_class(part, "fig-mark"))
    return left, right


def section_width(part: Element) -> float:
    left, right = marks_of(part)
    return right - left


def _axis(corners: list[tuple[float, float]]) -> float:
    """Degrees from upright of a shape's long axis."""
    n = len(corners)
    mx, my = sum(x for x, _ in corners) / n, sum(y for _, y in corners) / n
    xx = sum((x - mx) ** 2 for x, _ in corners)
    yy = sum((y - my) ** 2 for _, y in corners)
    xy = sum((x - mx) * (y - my) for x, y in corners)
    return degrees(atan2(2 * xy, yy - xx)) / 2


def fall_angle(part: Element, kind: str) -> float:
    """Degrees that the attachment is turned, without side."""
    hold = points(of_class(part, "fig-hold")[-1])
    if kind == "tape":
        (ax, ay), (bx, by) = hold[:2]
        return abs(degrees(atan2(by - ay, bx - ax)))
    if kind in ("bead", "row"):
        (ax, ay), (bx, by) = points(of_class(part, "fig-dent")[0])
        return abs(degrees(atan2(bx - ax, by - ay)))
    if kind == "clip":
        (ax, ay), (bx, by) = points(of_class(part, "fig-dent")[-1])
        return abs(degrees(atan2(by - ay, bx - ax)))
    return abs(_axis(hold)) if kind == "bond" else 90 - abs(_axis(hold))


def tape_width(part: Element) -> float:
    a, b = points(of_class(part, "fig-hold")[-1])[:2]
    return hypot(b[0] - a[0], b[1] - a[1])


def tape_offset(part: Element) -> float:
    over, under = (points(of_class(part, name)[-1]) for name in ("fig-hold", "fig-under"))
    return hypot(over[0][0] - under[0][0], over[0][1] - under[0][1])


def caught(part: Element) -> int:
    """Hairs that start outside the marks and end at the attachment."""
    left, right = marks_of(part)
    scalp = scalp_of(part)
    hairs = [p for p in of_class(part, "fig-stray") if "C" in p.get("d", "")]
    roots = [at for path in hairs for at in starts(path) if abs(at[1] - scalp) < 0.05]
    assert all(not left <= x <= right for x, _ in roots)
    return len(roots)


def away(point: tuple[float, float], line: list[tuple[float, float]]) -> float:
    """Distance from a point to a line of straight pieces, by brute force."""
    found = []
    for (ax, ay), (bx, by) in zip(line, line[1:], strict=False):
        for step in range(21):
            t = step / 20
            found.append(hypot(point[0] - ax - (bx - ax) * t, point[1] - ay - (by - ay) * t))
    return min(found)


def edge_of(drawing: Drawing) -> list[tuple[float, float]]:
    """The hairline or nape line: the longest line of its class (the key has a short one)."""
    return max((points(one) for one in of_class(drawing.root, "fig-edge")), key=len)


def margin(drawing: Drawing, letter: str) -> float:
    """From the edge of the hair to the nearest ink of a row."""
    part, edge = drawing.part(letter), edge_of(drawing)
    found = []
    for shape in (*of_class(part, "fig-hold"), *of_class(part, "fig-strip")):
        if shape.tag == f"{SVG}circle":
            centre = (float(shape.get("cx")), float(shape.get("cy")))
            found.append(away(centre, edge) - float(shape.get("r")))
        else:
            found += [away(point, edge) for point in points(shape)]
    return min(found)


def led_angle(drawing: Drawing, letter: str) -> float:
    """Degrees between the two arrows of a row."""
    part = drawing.part(letter)
    turns = []
    for name in ("fig-fall", "fig-led"):
        (ax, ay), (bx, by) = points(of_class(part, name)[0])
        turns.append(degrees(atan2(by - ay, bx - ax)))
    return abs((turns[0] - turns[1] + 180) % 360 - 180)


def ruler_marks(drawing: Drawing) -> list[tuple[float, tuple[float, float]]]:
    """Figure -> place, for every figure beside the ruler."""
    (ruler,) = of_class(drawing.root, "fig-ruler")
    texts = ruler.iter(f"{SVG}text")
    raised = 3.6 * drawing.px
    return [(float(t.text), (float(t.get("x")), float(t.get("y")) - raised)) for t in texts]


def reading(drawing: Drawing, point: tuple[float, float]) -> float:
    """What the ruler reads at a point, square across from it."""
    marks = ruler_marks(drawing)
    (first, a), (last, b) = marks[0], marks[-1]
    long = hypot(b[0] - a[0], b[1] - a[1])
    u = ((b[0] - a[0]) / long, (b[1] - a[1]) / long)
    along = (point[0] - a[0]) * u[0] + (point[1] - a[1]) * u[1]
    return first + along * (last - first) / long
