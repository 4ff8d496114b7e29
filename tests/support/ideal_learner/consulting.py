"""A whole consultation: what to find out, the decision for each method, the plan."""

from datetime import date, timedelta
from math import ceil, floor

from tests.support.ideal_learner.book import GRAVITY, holds

FITTED, STOPS = ("go_ahead", "adapt"), ("refer", "decline")
TESTED, RESULT = "skin_test_hours", "skin_test_result"


def consult(book, item):
    """Steps for all that decides or must be ruled out; verdicts; the first method that may be."""
    given = item["givens"]
    after = given["profile"] | {
        TESTED: given["skin_test"]["wait_days"] * 24,
        RESULT: given["skin_test"]["result"],
    }
    judged = {method: _judge(book, given, method, after) for method in given["methods"]}
    decision = {method: verdict for method, (verdict, _) in judged.items()}
    wanted = [
        steps for method in judged for steps in _wanted(book, given, method, after, *judged[method])
    ]
    taken = []
    for steps in sorted(filter(None, wanted), key=len):
        if not set(steps) & set(taken):
            taken.append(steps[0])
    return {
        "findings": taken,
        "decision": decision,
        "plan": _plan(book, given, after, judged),
    }


def _grave(rules, least):
    return [r for r in rules if GRAVITY.index(r["verdict"]) >= GRAVITY.index(least)]


def _waits(rule):
    return bool(rule["wait"]) and rule["wait"]["attribute"] == TESTED


def _judge(book, given, method, after):
    """The verdict, and whether it waits for a skin test that nothing graver makes idle."""
    early = book.speaking(method, given["profile"])
    waits = [rule for rule in early if _waits(rule)]
    needs = bool(waits) and not _grave([r for r in early if not _waits(r)], "wait")
    return book.verdict(method, after if needs else given["profile"]), needs


def _wanted(book, given, method, after, verdict, needs):
    """For each thing to find out, the steps that would find it."""
    spoken = book.speaking(method, after)
    deciding = [r for r in spoken if r["verdict"] == verdict and not _waits(r)]
    asked = [{condition["attribute"]} for r in deciding for condition in r["when"]]
    if verdict in STOPS:
        return [_finding(given, set().union(*asked), after)]
    ruled_out = [
        {c["attribute"] for c in rule["when"] if not holds([c], after)}
        for rule in book.rules_of(method, after)
        if rule not in spoken and GRAVITY.index(rule["verdict"]) > GRAVITY.index(verdict)
    ]
    idle = set(given["known"]) | {TESTED} | (set() if needs else {RESULT})
    asked += [names for names in ruled_out if not names & idle]
    return [_finding(given, names, after) for names in asked]


def _finding(given, names, after):
    """The steps that show one of some attributes, if none was known from the start."""
    names = names - set(given["known"])
    return [step["id"] for step in given["steps"] if names & set(step["reveals"])]


def _plan(book, given, after, judged):
    may = [method for method in given["methods"] if judged[method][0] in FITTED]
    if not may:
        return None
    method = given["booked"] if given["booked"] in may else may[0]
    day = date.fromisoformat(given["today"])
    day += timedelta(days=given["skin_test"]["wait_days"] * judged[method][1])
    while day.isoweekday() not in given["open_weekdays"]:
        day += timedelta(days=1)
    least = book.facts["consult.grams_of_wish"]["low"]
    plan = {"method": method, "earliest": day.isoformat()}
    plan["grams"] = ceil(after["wanted_grams"] * least / 100)
    window = given["window_facts"][method]
    ends = book.days(window) if window else (None, None)
    plan["return_from"] = _later(day, ceil(ends[0])) if window else None
    plan["return_until"] = _later(day, floor(ends[1])) if window else None
    return plan


def _later(day, days):
    return (day + timedelta(days=days)).isoformat()
