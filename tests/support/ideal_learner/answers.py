"""Item model -> how its questions are answered from their givens."""

from datetime import date, timedelta

from tests.support.ideal_learner.consulting import consult
from tests.support.ideal_learner.judged import JUDGED
from tests.support.ideal_learner.pictured import PICTURED
from tests.support.ideal_learner.reckoned import RECKONED, chosen


def open_methods(book, item):
    """Methods are named by their first word: 'tape_in' is 'Tape-in'."""
    given = item["givens"]
    fit = [
        m for m in given["methods"] if book.verdict(m, given["profile"]) in ("go_ahead", "adapt")
    ]
    first = tuple(method.split("_")[0] for method in fit)
    return chosen(item, lambda text: text.lower().startswith(first))


def stopping(book, item):
    given = item["givens"]
    stop = {
        text
        for text, seen in given["signs"].items()
        if book.verdict(given["method"], given["profile"] | seen) in ("refer", "decline")
    }
    return chosen(item, lambda text: text in stop)


def struck(book, item):
    given = item["givens"]
    never = {one["id"] for one in book.procedures[given["procedure"]]["forbidden"]}
    return chosen(item, lambda text: given["lines"][text] in never)


def ordered(book, item):
    """Any order that keeps every pair; what is never done stays out."""
    given = item["givens"]
    procedure = book.procedures[given["procedure"]]
    never = {one["id"] for one in procedure["forbidden"]}
    left = {o["id"]: given["steps"][o["text"]] for o in item["options"]}
    left = {letter: step for letter, step in left.items() if step not in never}
    done = []
    while left:
        waiting = set(left.values())
        free = next(
            letter
            for letter, step in left.items()
            if not any(after == step and before in waiting for before, after in procedure["pairs"])
        )
        done.append(free)
        del left[free]
    return done


def agent(book, item):
    removal = book.removal(item["givens"]["method"])
    fit = [a["name"] for a in removal["agents"] if a["id"] in item["givens"]["offered"]]
    return chosen(item, lambda text: text in fit)


def wrong_line(book, item):
    values, lines = item["givens"]["values"], item["givens"]["lines"]
    out = {role for role, row in values.items() if not book.within(row["fact"], row["value"])}
    return chosen(item, lambda text: lines[text] in out)


def latest_start(book, item):
    given = item["givens"]
    hours, minutes = map(int, given["done_by"].split(":"))
    longest = round(book.days(given["time_fact"])[1] * 1440)
    start = hours * 60 + minutes - longest - given["tidy_minutes"]
    return chosen(item, lambda text: text == f"{start // 60:02d}:{start % 60:02d}")


def _first(start, fits):
    return next(day for n in range(400) if fits(day := start + timedelta(days=n))).isoformat()


def in_window(book, item):
    given = item["givens"]
    low, _ = book.days(given["window_fact"])
    away = [date.fromisoformat(day) for day in given["away"]]
    fitted = date.fromisoformat(given["fitted"])
    return _first(
        fitted,
        lambda day: (
            (day - fitted).days >= low
            and day.isoweekday() in given["open_weekdays"]
            and not away[0] <= day <= away[1]
        ),
    )


def after_test(book, item):
    given = item["givens"]
    wait, tested = book.days(given["wait_fact"])[1] * 24, date.fromisoformat(given["tested"])
    return _first(
        tested,
        lambda day: (
            (day - tested).days * 24 + given["visit_hour"] - given["tested_hour"] >= wait - 1e-6
            and day.isoweekday() in given["open_weekdays"]
        ),
    )


def shed(book, item):
    given = item["givens"]
    part, of = given["share"]
    return round(given["days"] * given["per_day"] * part / of)


def hairs(book, item):
    given = item["givens"]
    return round(given["width_mm"] / 10 * given["depth_mm"] / 10 * given["per_cm2"])


def grown(book, item):
    given = item["givens"]
    return round(given["placed_mm"] + given["days"] * given["rate_um_per_day"] / 1000)


ANSWERS = {
    "may_be_offered": open_methods,
    "signs_that_stop": stopping,
    "tension_signs": stopping,
    "unsafe_fitting": struck,
    "unsafe_removal": struck,
    "unsafe_upkeep": struck,
    "fitting_order": ordered,
    "removal_order": ordered,
    "remover_for_bond": agent,
    "change_one_line": wrong_line,
    "latest_start": latest_start,
    "return_window": in_window,
    "earliest_after_test": after_test,
    "shed_count": shed,
    "own_hairs": hairs,
    "growth_out": grown,
    **RECKONED,
    **JUDGED,
    **PICTURED,
}


def answer(book, item):
    """The response to an item."""
    if item["type"] == "consultation":
        return consult(book, item)
    return ANSWERS[item["family"].rpartition(".")[0]](book, item)
