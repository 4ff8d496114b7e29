"""What a drawing is: the picture, the places in it that can be pointed at, and its words."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

Point = tuple[float, float]
"""x to the right and y down, in mm of the drawing."""


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle [mm of the drawing]: left upper corner, width and height, both > 0."""

    x: float
    y: float
    width: float
    height: float

    def holds(self, x: float, y: float) -> bool:
        """Whether a point lies in it, edges included."""
        return self.x <= x <= self.x + self.width and self.y <= y <= self.y + self.height


@dataclass(frozen=True, slots=True)
class Region:
    """A part that can be pointed at. `id` is its letter, `label` where it is, in plain words."""

    id: str
    label: str
    boxes: tuple[Box, ...]


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing. `alt` tells in words what is drawn: a line of what it is, then a line a part."""

    svg: str
    regions: tuple[Region, ...]
    alt: str

    def as_json(self) -> Mapping[str, Any]:
        """The drawing as plain JSON: svg, alt, and regions with boxes [x, y, width, height]."""
        return {
            "svg": self.svg,
            "alt": self.alt,
            "regions": [
                {
                    "id": region.id,
                    "label": region.label,
                    "boxes": [[round(v, 2) for v in _sides(box)] for box in region.boxes],
                }
                for region in self.regions
            ],
        }


def _sides(box: Box) -> tuple[float, float, float, float]:
    return box.x, box.y, box.width, box.height


def around(points: "tuple[Point, ...] | list[Point]", room: float = 0.0) -> Box:
    """The smallest box that holds every point, with `room` [mm] on each side."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    left, top = min(xs) - room, min(ys) - room
    return Box(left, top, max(xs) + room - left, max(ys) + room - top)
