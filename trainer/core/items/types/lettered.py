"""What the types with lettered options share."""

from collections.abc import Iterable, Mapping

from trainer.core.draw import Draw
from trainer.core.items.item import Draft, Heading, Item, Json, Offer, Option

LETTERS = "abcdefghij"


def lettered(draft: Draft, draw: Draw) -> list[tuple[str, Offer]]:
    """The offers in a random order (or the drawing's), each with its letter."""
    if draft.in_order:
        return list(zip(LETTERS, draft.offers, strict=False))
    return list(zip(LETTERS, draw.shuffled(draft.offers), strict=False))


def item_of(
    heading: Heading,
    draft: Draft,
    options: list[tuple[str, Offer]],
    key: Json,
    misconceptions: Mapping[str, str],
    notes: Mapping[str, str],
) -> Item:
    """An item from a draft whose options, key and wrong answers are settled."""
    return Item(
        heading=heading,
        stem=draft.stem,
        options=tuple(Option(letter, offer.text) for letter, offer in options),
        key=key,
        critical=draft.critical,
        explanation=draft.explanation,
        givens=draft.givens,
        facts=draft.facts,
        misconceptions=misconceptions,
        notes=notes,
        features=draft.features,
        figure=draft.figure,
    )


def wrongs(options: list[tuple[str, Offer]]) -> tuple[dict[str, str], dict[str, str]]:
    """Wrong letter -> misconception, and wrong letter -> why it tempts."""
    wrong = [(letter, offer) for letter, offer in options if not offer.right]
    beliefs = {letter: offer.misconception for letter, offer in wrong if offer.misconception}
    return beliefs, {letter: offer.note for letter, offer in wrong if offer.note}


def text_of(item: Item, option: str) -> str:
    """An option's words."""
    return next((one.text for one in item.options if one.id == option), option)


def offers_of(item: Item) -> list[Offer]:
    """The options as offers, with their letters for tags."""
    return [
        Offer(one.text, one.id in item.key, one.id, item.misconceptions.get(one.id, ""))
        for one in item.options
    ]


def same_twice(options: Iterable[Offer | Option]) -> list[str]:
    """Complaints about options that read the same."""
    texts = [option.text.casefold().strip() for option in options]
    return ["two options read the same"] if len(set(texts)) < len(texts) else []


def without_belief(offers: Iterable[Offer]) -> list[str]:
    """Complaints about wrong options that nobody would be led to."""
    bare = [one.tag for one in offers if not one.right and not one.misconception]
    return [f"wrong options without a belief behind them: {', '.join(bare)}"] if bare else []
