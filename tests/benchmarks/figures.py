"""Milliseconds of processor time a drawing, and the ratio to as many plain elements.

Run: python -m tests.benchmarks.figures [drawings a kind]. Writing alone means: an SVG of as many
empty groups as the drawing has elements, made and put out by the same library.
"""

import sys
from collections.abc import Callable
from time import process_time
from xml.etree.ElementTree import Element, SubElement, fromstring, tostring

from trainer.core.figures.figure import Figure
from trainer.core.figures.head import VIEWS
from trainer.core.figures.headmap import Row, head_map, taped_map
from trainer.core.figures.section import Section, ruled, several
from trainer.core.figures.signs import SIGNS, Sign, sign

TAPE = Section("tape", "tape", 6, 40, 9, 38, 14, 18)
BEAD = Section("bead", "bead", 6, 3.5, 4.5, 7)
ROWS = [Row(spot, 12 + spot) for spot in range(4)]
DRAWINGS: dict[str, Callable[[], Figure]] = {
    "four tapes": lambda: several([TAPE] * 4),
    "four beads": lambda: several([BEAD] * 4),
    "one bead with a ruler": lambda: ruled(BEAD, 3),
    **{f"head {view}": lambda view=view: head_map(view, "bead", "beads", ROWS) for view in VIEWS},
    "head with a tape measure": lambda: taped_map("back", "bead", "beads", Row(1, 12), 7),
    **{f"sign: {what}": lambda what=what: sign(Sign(what)) for what in SIGNS},
}


def plain(elements: int) -> str:
    root = Element("svg")
    for _ in range(elements):
        SubElement(root, "g", {"class": "plain"})
    return tostring(root, encoding="unicode")


def main(count: int) -> None:
    for name, draw in DRAWINGS.items():
        svg = draw().svg
        elements = sum(1 for _ in fromstring(svg).iter()) - 1
        began = process_time()
        for _ in range(count):
            draw()
        drawn = process_time() - began
        began = process_time()
        for _ in range(count):
            plain(elements)
        written = process_time() - began
        told = f"{1000 * drawn / count:6.2f} ms {drawn / written:6.1f} x plain elements"
        print(f"{name:28} {told} {len(svg) / 1024:6.1f} KB")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
