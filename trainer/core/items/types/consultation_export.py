"""A consultation for an outside format: steps as buttons, then decision, plan and words.

An adaptive item: each step is an attempt that shows its finding; the last button decides, marks
and ends it. Days are whole days from 'today', since the outside cannot reckon with dates.
"""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from itertools import combinations
from xml.etree.ElementTree import Element

from trainer.core.items.consulting import first_open
from trainer.core.items.exported import (
    CRITICAL,
    SCORE,
    Exported,
    add,
    all_of,
    any_of,
    base,
    el,
    of,
    outcome,
    put,
    response,
    several,
    var,
    when,
)
from trainer.core.items.item import Item, Json
from trainer.core.items.types.consultation_marks import (
    A_WEEK,
    EACH_STEP,
    ENOUGH,
    FITS,
    FREE_STEPS,
    HALF,
    LUCKY,
    MOST_STEPS,
    PLAN_SHARES,
    SHARES,
    SLACK,
    is_unsafe,
    tests_for,
    verdict_credit,
    weight_of,
)
from trainer.core.knowledge.words import VERDICTS

TAKEN, SETTLED, NEEDLESS, DAYS, FEEDBACK = "TAKEN", "SETTLED", "NEEDLESS", "DAYS", "FEEDBACK"
DECIDED, PLAN, WORDS, GRAMS = "DECIDED", "PLAN", "WORDS", "GRAMS"
EARLIEST, RETURN_FROM, RETURN_UNTIL = "EARLIEST", "RETURN_FROM", "RETURN_UNTIL"
FOUND_SHARE, DECISION_SHARE, PLAN_SHARE, WORDS_SHARE, BLIND = (
    "FOUND_SHARE",
    "DECISION_SHARE",
    "PLAN_SHARE",
    "WORDS_SHARE",
    "BLIND",
)
INCOMPLETE, EXPLANATION = "incomplete", "explanation"


def responses(item: Item) -> tuple[Element, ...]:
    """What the candidate gives: a button a step, a verdict a method, the plan, the words."""
    buttons = [*(step_of(row) for row in item.givens["steps"]), DECIDED]
    right = [one.id for one in item.options if one.id not in item.misconceptions]
    return (
        *(response(button, "single", "boolean") for button in buttons),
        *(
            response(verdict_of(m), "single", "identifier", [item.key["decision"][m]])
            for m in item.givens["methods"]
        ),
        response(
            PLAN, "single", "identifier", [(item.key["plan"] or {"method": "none"})["method"]]
        ),
        response(GRAMS, "single", "float"),
        *(response(day, "single", "integer") for day in (EARLIEST, RETURN_FROM, RETURN_UNTIL)),
        response(WORDS, "single", "identifier", right[:1]),
    )


def outcomes() -> tuple[Element, ...]:
    """What the marking keeps from one attempt to the next, and the parts of the score."""
    return (
        outcome(TAKEN, "identifier", "none", "multiple"),
        outcome(SETTLED, "boolean", "false"),
        outcome(NEEDLESS, "integer", 0),
        outcome(DAYS, "integer", 0),
        outcome(BLIND, "boolean", "false"),
        *(
            outcome(share, "float", 0)
            for share in (FOUND_SHARE, DECISION_SHARE, PLAN_SHARE, WORDS_SHARE)
        ),
    )


def step_of(row: Mapping[str, Json]) -> str:
    """The button of a step."""
    return f"STEP_{row['id']}"


def verdict_of(method: str) -> str:
    """The response that holds the verdict for a method."""
    return f"VERDICT_{method}"


def processing(item: Item) -> Element:
    """Take the step of this attempt; or, once everything is answered, mark and end."""
    marks = [
        *_findings(item),
        *_decision(item),
        *_blindness(item),
        _plan(item),
        when((_right_words(item), [put(WORDS_SHARE, base("float", SHARES["words"]))])),
        _score(),
        put(FEEDBACK, base("identifier", EXPLANATION)),
        put("completionStatus", base("identifier", "completed")),
    ]
    late = [put(FEEDBACK, base("identifier", INCOMPLETE))]
    return el(
        "qti-response-processing",
        put(FEEDBACK, base("identifier", "none")),
        put(SETTLED, all_of([_satisfied(one) for one in item.key["findings"] if one["steps"]])),
        *(_take(item, row) for row in item.givens["steps"]),
        when((_yes(DECIDED), [when((_complete(item), marks), otherwise=late)])),
    )


def _yes(name: str) -> Element:
    return of("match", var(name), base("boolean", "true"))


def _is(name: str, value: str) -> Element:
    return of("match", var(name), base("identifier", value))


def _given(name: str) -> Element:
    return of("not", of("is-null", var(name)))


def _was_taken(step: str) -> Element:
    return of("member", base("identifier", step), var(TAKEN))


def _satisfied(entry: Mapping[str, Json]) -> Element:
    return any_of([_was_taken(step) for step in entry["steps"]])


def _take(item: Item, row: Mapping[str, Json]) -> Element:
    """A step counts once; it was needless if nothing was open any more, or it bears on nothing."""
    more = [add(NEEDLESS, 1, "integer")]
    useful = row["id"] in item.givens["bear"]
    rules = [when((_yes(SETTLED), more))] if useful else more
    if row["days"]:
        rules = [*rules, add(DAYS, row["days"], "integer")]
    taken = put(TAKEN, of("multiple", var(TAKEN), base("identifier", row["id"])))
    first_time = of("and", _yes(step_of(row)), of("not", _was_taken(row["id"])))
    return when((first_time, [*rules, taken]))


def _complete(item: Item) -> Element:
    planned = all_of(
        [
            _given(GRAMS),
            _given(EARLIEST),
            of("gt", var(GRAMS), base("float", 0)),
        ]
    )
    return all_of(
        [
            *(_given(verdict_of(m)) for m in item.givens["methods"]),
            _given(PLAN),
            of("or", _is(PLAN, "none"), planned),
        ]
    )


def _findings(item: Item) -> list[Element]:
    """Half for the facts that decide, half for those ruled out, as `parts_of` has it."""
    asked = [one for one in item.key["findings"] if one["steps"]]
    groups = [g for g in ([o for o in asked if o["found"] == f] for f in (True, False)) if g]
    if not groups:
        return [put(FOUND_SHARE, base("float", SHARES["findings"]))]
    rules = []
    for group in groups:
        whole = sum(weight_of(one) for one in group) * len(groups)
        for one in group:
            worth = SHARES["findings"] * weight_of(one) / whole
            rules.append(when((_satisfied(one), [add(FOUND_SHARE, worth)])))
    return rules


def _decision(item: Item) -> list[Element]:
    """Each verdict against the key; without its skin test a method was due to wait."""
    skin = item.givens["skin_test"]["step"]
    untested = {m for one in item.key["findings"] if one["steps"] == [skin] for m in one["methods"]}
    rules = []
    for method, due in item.key["decision"].items():
        rule = _verdicts(item, method, due)
        if method in untested and due != "wait":
            early = _verdicts(item, method, "wait")
            rule = when((_was_taken(skin), [rule]), otherwise=[early])
        rules.append(rule)
    return rules


def _verdicts(item: Item, method: str, due: str) -> Element:
    methods = item.key["decision"]
    share = SHARES["decision"] * (1 + (method == item.givens["booked"]))
    share /= sum(1 + (m == item.givens["booked"]) for m in methods)
    branches = []
    for verdict in VERDICTS:
        rules = []
        if credit := verdict_credit(verdict, due):
            rules.append(add(DECISION_SHARE, share * credit))
        if is_unsafe(item, method, verdict, due):
            rules.append(put(CRITICAL, base("float", 1)))
        if rules:
            branches.append((_is(verdict_of(method), verdict), rules))
    return when(*branches)


def _blindness(item: Item) -> list[Element]:
    """Whoever would fit a method with something critical about it not looked into."""
    rules = []
    for method in item.key["decision"]:
        open_ones = [
            of("not", _satisfied(one))
            for one in item.key["findings"]
            if one["critical"] and one["steps"] and method in one["methods"]
        ]
        if open_ones:
            fits = of("member", var(verdict_of(method)), several(FITS))
            rules.append(when((of("and", fits, any_of(open_ones)), [put(BLIND, _true())])))
    return rules


def _true() -> Element:
    return base("boolean", "true")


def _plan(item: Item) -> Element:
    key = item.key["plan"]
    if key is None:
        return when((_is(PLAN, "none"), [put(PLAN_SHARE, base("float", SHARES["plan"]))]))
    ways: dict[str, Mapping[str, Json]] = {}
    for one in (key, *key["or"]):
        ways.setdefault(one["method"], one)
    return when(*((_is(PLAN, method), _way(item, one)) for method, one in ways.items()))


def _way(item: Item, key: Mapping[str, Json]) -> list[Element]:
    """The rules for a plan with a method that the key names."""
    weight = between(GRAMS, key["grams"]["low"], key["grams"]["high"], "float")
    first = _days_on(item, key["earliest"])
    rules = [
        put(PLAN_SHARE, base("float", _worth("method"))),
        when((weight, [add(PLAN_SHARE, _worth("grams"))])),
        *_earliest(item, key),
        _returns(item, key),
    ]
    if tests_for(item, key["method"]):
        early = of("lt", var(EARLIEST), base("integer", first))
        rules.append(when((early, [put(CRITICAL, base("float", 1))])))
    return rules


def _worth(part: str, share: float = 1) -> float:
    return SHARES["plan"] * PLAN_SHARES[part] * share


def between(name: str, low: float, high: float, base_type: str) -> Element:
    """Whether a response lies within, ends included."""
    return of(
        "and",
        of("gte", var(name), base(base_type, low)),
        of("lte", var(name), base(base_type, high)),
    )


def _days_on(item: Item, day: str | date) -> int:
    on = date.fromisoformat(day) if isinstance(day, str) else day
    return (on - date.fromisoformat(item.givens["today"])).days


def _earliest(item: Item, key: Mapping[str, Json]) -> list[Element]:
    """The days that steps have taken move the first day it can be; a week later is worth half."""
    start, first = date.fromisoformat(item.givens["today"]), _days_on(item, key["earliest"])
    rules = []
    for gone in _sums([row["days"] for row in item.givens["steps"] if row["days"]]):
        now = max(first, _days_on(item, first_open(item, start + timedelta(gone))))
        on_time = between(EARLIEST, first, now, "integer")
        later = between(EARLIEST, now + 1, now + A_WEEK.days, "integer")
        credit = when(
            (on_time, [add(PLAN_SHARE, _worth("earliest"))]),
            (later, [add(PLAN_SHARE, _worth("earliest", HALF))]),
        )
        rules.append(when((of("match", var(DAYS), base("integer", gone)), [credit])))
    return rules


def _sums(days: Sequence[int]) -> list[int]:
    """Every number of days that some of the steps take together."""
    return sorted({sum(some) for n in range(len(days) + 1) for some in combinations(days, n)})


def _returns(item: Item, key: Mapping[str, Json]) -> Element:
    """A window inside the key's, moved with a later fitting, with slack at each end."""
    full = [add(PLAN_SHARE, _worth("returns"))]
    if key["return_from"] is None:
        return full[0]
    first = _days_on(item, key["earliest"])
    low, high = _days_on(item, key["return_from"]), _days_on(item, key["return_until"])
    moved = of("max", base("integer", 0), of("subtract", var(EARLIEST), base("integer", first)))
    in_time = all_of(
        [
            _given(RETURN_FROM),
            _given(RETURN_UNTIL),
            of("lte", var(RETURN_FROM), var(RETURN_UNTIL)),
            of("lte", var(RETURN_UNTIL), of("sum", moved, base("integer", high + SLACK.days))),
        ]
    )
    not_soon = of("gte", var(RETURN_FROM), of("sum", moved, base("integer", low - SLACK.days)))
    half = [add(PLAN_SHARE, _worth("returns", HALF))]
    return when((in_time, [when((not_soon, full), otherwise=half)]))


def _right_words(item: Item) -> Element:
    right = [one.id for one in item.options if one.id not in item.misconceptions]
    return any_of([_is(WORDS, one) for one in right])


def _score() -> Element:
    """The parts together, less what needless steps cost, at most `LUCKY` where it was luck."""
    parts = of("sum", *(var(n) for n in (FOUND_SHARE, DECISION_SHARE, PLAN_SHARE, WORDS_SHARE)))
    spare = of("subtract", var(NEEDLESS), base("integer", FREE_STEPS))
    cost = of("product", base("float", EACH_STEP), of("max", base("integer", 0), spare))
    cost = of("min", base("float", MOST_STEPS), cost)
    without_words = of("divide", parts, base("float", 1 - SHARES["words"]))
    kept = put(SCORE, of("max", base("float", 0), of("subtract", var(SCORE), cost)))
    capped = put(SCORE, of("min", var(SCORE), base("float", LUCKY)))
    return when(
        (_given(WORDS), [put(SCORE, parts), kept, when((_yes(BLIND), [capped]))]),
        otherwise=[put(SCORE, without_words), kept, when((_yes(BLIND), [capped]))],
    )


def exported(item: Item, body: tuple[Element, ...]) -> Exported:
    """All parts; `body` is the sheet that the candidate sees below the stem."""
    return Exported(
        responses(item), body, processing(item), outcomes(), adaptive=True, enough=ENOUGH
    )
