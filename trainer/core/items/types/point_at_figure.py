"""Point at a figure: one part of a drawing is right."""

from collections.abc import Mapping, Sequence
from math import isfinite
from xml.etree.ElementTree import Element

from trainer.core.draw import Draw
from trainer.core.items.exported import RESPONSE, Exported, base, el, of, response, var
from trainer.core.items.exporting import PIXELS_PER_MM, by_correct, picture
from trainer.core.items.item import Draft, Heading, Item, Json, Mark, Offer
from trainer.core.items.types.lettered import item_of, same_twice, text_of, wrongs
from trainer.core.problems import InputProblem

FEWEST = 3
REMEDY = "Point at one of the lettered parts."


class PointAtFigure:
    """Key: ids of regions of the figure. Response: the same, or {'x', 'y'} in the drawing's mm.

    The offers stand in the figure's order, their tags are the regions' ids. A point counts for
    the region that holds it.
    """

    name = "point_at_figure"

    def compose(self, heading: Heading, draft: Draft, draw: Draw) -> Item:
        if draft.figure is None:
            raise ValueError(f"{heading.id}: nothing to point at")
        options = [(offer.tag, offer) for offer in draft.offers]
        key = [region for region, offer in options if offer.right]
        return item_of(heading, draft, options, key, *wrongs(options))

    def read(self, sent: Mapping[str, Sequence[str]], item: Item) -> Json:
        chosen = list(sent.get("choice", ()))
        if chosen or "x" not in sent:
            return self.accept(chosen, item)
        try:
            point = {name: float((list(sent.get(name, ())) or [""])[0]) for name in ("x", "y")}
        except ValueError:
            raise InputProblem("is no place in the drawing", "x, y", REMEDY) from None
        return self.accept(point, item)

    def accept(self, response: Json, item: Item) -> Json:
        if isinstance(response, Mapping):
            return [_region_at(response, item)]
        known = [option.id for option in item.options]
        if not isinstance(response, list) or any(one not in known for one in response):
            raise InputProblem("is no part of the drawing", "choice", REMEDY)
        if len(response) != len(item.key) or len(set(response)) < len(response):
            raise InputProblem(f"needs {len(item.key)} of the parts", "choice", REMEDY)
        return [one for one in known if one in response]

    def mark(self, item: Item, response: Json) -> Mark:
        wrong = tuple(one for one in response if one not in item.key)
        if not wrong:
            return Mark(1.0)
        beliefs = dict.fromkeys(item.misconceptions[w] for w in wrong if w in item.misconceptions)
        return Mark(0.0, item.injured_by(beliefs), tuple(beliefs), wrong)

    def unfit(self, offers: Sequence[Offer]) -> list[str]:
        return []

    def faults(self, item: Item) -> list[str]:
        found = same_twice(item.options)
        figure = item.figure or {"regions": []}
        drawn = [region["id"] for region in figure["regions"]]
        if drawn != [option.id for option in item.options]:
            found.append("the parts of the drawing are not those that are offered")
        if not 0 < len(item.key) < len(item.options):
            found.append("all or none of the parts are right")
        if len(item.options) < FEWEST:
            found.append(f"only {len(item.options)} parts")
        bare = [o.id for o in item.options if o.id not in (*item.key, *item.misconceptions)]
        if bare:
            found.append(f"wrong parts without a belief behind them: {', '.join(bare)}")
        return found

    def chance(self, item: Item) -> float:
        return len(item.key) / len(item.options)

    def say_key(self, item: Item) -> list[str]:
        return [text_of(item, region) for region in item.key]

    def say_response(self, item: Item, response: Json) -> list[str]:
        return [text_of(item, region) for region in response]

    def export(self, item: Item) -> Exported:
        how_many = len(item.key)
        single = how_many == 1
        test = "match" if single else "member"
        wrong = [option.id for option in item.options if option.id not in item.key]
        pointed = el(
            "qti-hotspot-interaction",
            el("qti-prompt", "Point at one part of the drawing. Its letter stands in a ring."),
            picture(item),
            *_places(item),
            response_identifier=RESPONSE,
            max_choices=how_many,
            min_choices=how_many,
        )
        return Exported(
            (response(RESPONSE, "single" if single else "multiple", "identifier", item.key),),
            (pointed,),
            by_correct(item, {w: of(test, base("identifier", w), var()) for w in wrong}),
            holds_figure=True,
        )


def _places(item: Item) -> list[Element]:
    """One place a region: its box, or the outline around its boxes."""
    words = {option.id: option.text for option in item.options}
    return [
        el(
            "qti-hotspot-choice",
            identifier=region["id"],
            shape="rect" if len(region["boxes"]) == 1 else "poly",
            coords=",".join(
                str(round(side * PIXELS_PER_MM)) for corner in outline for side in corner
            ),
            hotspot_label=words[region["id"]],
        )
        for region in (item.figure or {"regions": []})["regions"]
        for outline in [_outline(region["boxes"])]
    ]


def _outline(boxes: Sequence[Sequence[float]]) -> list[tuple[float, float]]:
    """Two corners of a box alone; else the convex hull of all corners (monotone chain)."""
    corners = sorted(
        {
            (left + x * width, top + y * height)
            for left, top, width, height in boxes
            for x in (0, 1)
            for y in (0, 1)
        }
    )
    if len(boxes) == 1:
        return [corners[0], corners[-1]]
    return _turning(corners)[:-1] + _turning(corners[::-1])[:-1]


def _turning(corners: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """One side of the hull: corners that would turn back are left out."""
    side: list[tuple[float, float]] = []
    for x, y in corners:
        while len(side) > 1:
            (ax, ay), (bx, by) = side[-2:]
            if (bx - ax) * (y - ay) > (by - ay) * (x - ax):
                break
            side.pop()
        side.append((x, y))
    return side


def _region_at(point: Mapping[str, Json], item: Item) -> str:
    """The region that holds a point. Raises InputProblem where there is none."""
    if set(point) != {"x", "y"} or not all(_is_number(value) for value in point.values()):
        raise InputProblem("needs x and y as numbers", "x, y", REMEDY)
    x, y = float(point["x"]), float(point["y"])
    for region in (item.figure or {"regions": []})["regions"]:
        for left, top, width, height in region["boxes"]:
            if left <= x <= left + width and top <= y <= top + height:
                return str(region["id"])
    raise InputProblem(f"points at no lettered part: {x:g}, {y:g}", "x, y", REMEDY)


def _is_number(value: Json) -> bool:
    """Whether a value is a number that a drawing can have; whole numbers may be any size."""
    if not isinstance(value, int | float) or isinstance(value, bool):
        return False
    try:
        return isfinite(value)
    except OverflowError:
        return False


TYPE = PointAtFigure()
