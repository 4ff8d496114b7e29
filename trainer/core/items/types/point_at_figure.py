"""Point at a figure: one part of a drawing is right."""

from collections.abc import Mapping, Sequence
from math import isfinite
from xml.etree.ElementTree import Element

from trainer.core.draw import Draw
from trainer.core.items.exported import (
    RESPONSE,
    Exported,
    all_of,
    any_of,
    base,
    el,
    of,
    response,
    right_when,
    var,
)
from trainer.core.items.exporting import PIXELS_PER_MM, harm, picture
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
        spots = _spots(item)
        cardinality, test = ("single", "match") if how_many == 1 else ("multiple", "member")
        hit = {
            region: any_of([of(test, base("identifier", name), var()) for name in names])
            for region, names in spots.items()
        }
        pointed = el(
            "qti-hotspot-interaction",
            el("qti-prompt", "Point at one part of the drawing. Its letter stands in a ring."),
            picture(item),
            *_places(item, spots),
            response_identifier=RESPONSE,
            max_choices=how_many,
            min_choices=how_many,
        )
        right = all_of([hit[region] for region in item.key])
        wrongs = {region: test for region, test in hit.items() if region not in item.key}
        return Exported(
            (response(RESPONSE, cardinality, "identifier", [spots[one][0] for one in item.key]),),
            (pointed,),
            el("qti-response-processing", right_when(right), *harm(item, wrongs)),
            holds_figure=True,
        )


def _spots(item: Item) -> dict[str, list[str]]:
    """The places of each region: a place there is one rectangle."""
    return {
        region["id"]: [
            region["id"] if number == 0 else f"{region['id']}-{number}"
            for number in range(len(region["boxes"]))
        ]
        for region in (item.figure or {"regions": []})["regions"]
    }


def _places(item: Item, spots: Mapping[str, list[str]]) -> list[Element]:
    words = {option.id: option.text for option in item.options}
    return [
        el(
            "qti-hotspot-choice",
            identifier=name,
            shape="rect",
            coords=",".join(str(round(side * PIXELS_PER_MM)) for side in _corners(box)),
            hotspot_label=words[region["id"]],
        )
        for region in (item.figure or {"regions": []})["regions"]
        for name, box in zip(spots[region["id"]], region["boxes"], strict=True)
    ]


def _corners(box: Sequence[float]) -> tuple[float, ...]:
    left, top, width, height = box
    return left, top, left + width, top + height


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
