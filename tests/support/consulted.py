"""Answers to consultations, as somebody at the chair would give them."""

from trainer.core.items.item import Item


def needed(item: Item) -> list[str]:
    """Steps that find everything: the first of each entry of the key."""
    return list(dict.fromkeys(one["steps"][0] for one in item.key["findings"] if one["steps"]))


def right_words(item: Item) -> str:
    return next(option.id for option in item.options if option.id not in item.misconceptions)


def wrong_words(item: Item) -> str:
    return next(option.id for option in item.options if option.id in item.misconceptions)


def right_answer(item: Item) -> dict:
    """The response that earns everything."""
    plan = item.key["plan"]
    planned = plan and {name: plan[name] for name in plan if name != "or"}
    if planned:
        planned |= {"grams": plan["grams"]["high"]}
    return {
        "findings": needed(item),
        "decision": dict(item.key["decision"]),
        "plan": planned,
        "words": right_words(item),
    }


def sent_of(response: dict) -> dict[str, list[str]]:
    """The same as the decision page would send it."""
    plan = response["plan"]
    sent = {f"verdict_{m}": [verdict] for m, verdict in response["decision"].items()}
    if plan is None:
        return sent | {"plan": ["none"]}
    sent |= {"plan": [plan["method"]], "grams": [str(plan["grams"])]}
    return sent | {n: [plan[n] or ""] for n in ("earliest", "return_from", "return_until")}
