"""Whether any client could meet a rule."""

from collections.abc import Iterator

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.profile_sheet import Attribute, Condition, Value
from trainer.core.knowledge.rule import Rule

LIMITS = ("at_least", "at_most", "above", "below")


def unreachable(bank: Bank, rule: Rule) -> Iterator[str]:
    """Why no client can meet this rule, in words; nothing when one can."""
    conditions = (*rule.when, *rule.unless)
    unfit = [what for condition in conditions for what in unfit_condition(bank, condition)]
    if unfit or not rule.when:
        yield from unfit or ["is empty; a rule needs a condition"]
        return
    for name in dict.fromkeys(condition.attribute for condition in rule.when):
        together = [condition for condition in rule.when if condition.attribute == name]
        if not possible(bank, bank.attributes[name], together):
            yield f"no client can meet every condition on {name} together"
    for impossible in bank.impossible:
        if all(any(c == asked for asked in rule.when) for c in impossible.when):
            yield f"no such client: {impossible.because}"


def unfit_condition(bank: Bank, condition: Condition) -> Iterator[str]:
    """What is wrong with one condition by itself."""
    attribute = bank.attributes.get(condition.attribute)
    if attribute is None:
        yield f"names no attribute: {condition.attribute}"
        return
    operators = [name for name in LIMITS if getattr(condition, name) is not None]
    operators += ["is"] if condition.is_ is not None else []
    operators += ["is_not"] if condition.is_not is not None else []
    operators += ["one_of"] if condition.one_of else []
    if len(operators) != 1:
        yield f"{condition.attribute}: needs exactly one operator, has {operators or 'none'}"
    elif attribute.kind != "number" and operators[0] in LIMITS:
        yield f"{condition.attribute}: {operators[0]} needs a number"
    yield from _unfit_values(bank, attribute, condition)


def _unfit_values(bank: Bank, attribute: Attribute, condition: Condition) -> Iterator[str]:
    for name in LIMITS:
        bound = getattr(condition, name)
        if isinstance(bound, str):
            try:
                bank.bound(bound)
            except (KeyError, ValueError):
                yield f"{attribute.id}: {bound!r} names no figure of a fact"
    asked = [v for v in (condition.is_, condition.is_not, *condition.one_of) if v is not None]
    for value in asked:
        if not allowed(attribute, value):
            yield f"{attribute.id}: {value!r} is not one of its values"


def allowed(attribute: Attribute, value: Value) -> bool:
    """Whether an attribute may have this value."""
    if attribute.kind == "flag":
        return isinstance(value, bool)
    if attribute.kind == "choice":
        return value in attribute.values
    if isinstance(value, bool | str) or attribute.low is None or attribute.high is None:
        return False
    return attribute.low <= value <= attribute.high and not (attribute.whole and value % 1)


def possible(bank: Bank, attribute: Attribute, together: list[Condition]) -> bool:
    """Whether one value can meet all these conditions on one attribute."""
    return any(
        all(meets(bank, condition, value) for condition in together)
        for value in _candidates(bank, attribute, together)
    )


def _candidates(bank: Bank, attribute: Attribute, together: list[Condition]) -> list[Value]:
    if attribute.kind == "flag":
        return [True, False]
    if attribute.kind == "choice":
        return list(attribute.values)
    low, high = attribute.low or 0, attribute.high or 0
    bounds = [
        bank.bound(getattr(condition, name))
        for condition in together
        for name in LIMITS
        if getattr(condition, name) is not None
    ]
    step = 1 if attribute.whole else 0.5
    around = [low, high, *(b + d for b in bounds for d in (-step, 0, step))]
    middles = [(a + b) / 2 for a in around for b in around] if not attribute.whole else []
    return [value for value in (*around, *middles) if low <= value <= high]


def meets(bank: Bank, condition: Condition, value: Value | None) -> bool:
    """Whether a value meets a condition. What is not known meets none."""
    if value is None:
        return False
    if condition.is_ is not None:
        return value == condition.is_
    if condition.one_of:
        return value in condition.one_of
    if condition.is_not is not None:
        return value != condition.is_not
    if isinstance(value, str):
        return False
    return _within(bank, condition, value)


def _within(bank: Bank, condition: Condition, value: float) -> bool:
    if condition.at_least is not None:
        return value >= bank.bound(condition.at_least)
    if condition.at_most is not None:
        return value <= bank.bound(condition.at_most)
    if condition.above is not None:
        return value > bank.bound(condition.above)
    return condition.below is not None and value < bank.bound(condition.below)
