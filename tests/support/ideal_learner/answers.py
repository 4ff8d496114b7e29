"""Item model -> how its questions are answered from their givens. Reads options as people do."""

import re
from datetime import date, timedelta

SAYS = {
    "never": r"of any kind|for good|nobody here",
    "refer": r"medical|health professional",
    "decline": r"^say no|^turn this down|^take this off",
    "wait": r"later day|for now",
    "adapt": r"gentler|change the plan|lighter or looser",
    "go_ahead": r"as planned|keep the booking|as booked",
}
WORN = {
    "check": r"as long as it looks tidy|no set time",
    "late": r"^it has been in too long|next possible hour",
    "due": r"^it is time|right time",
    "early": r"^it can stay|^leave it in place",
}


def reads(text, table):
    """The first meaning whose words stand in a text."""
    return next((name for name, words in table.items() if re.search(words, text.lower())), "")


def chosen(item, fits):
    return [option["id"] for option in item["options"] if fits(option["text"])]


def booking(book, item):
    given = item["givens"]
    verdict = book.verdict(given["method"], given["profile"])
    acts = {act.lower() for act in book.acts}
    return chosen(item, lambda text: text.lower() not in acts and reads(text, SAYS) == verdict)


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


def worn(book, item):
    given = item["givens"]
    low, high = book.days(given["window_fact"])
    days = (date.fromisoformat(given["today"]) - date.fromisoformat(given["fitted"])).days
    zone = "early" if days < low else "due" if days <= high else "late"
    return chosen(item, lambda text: reads(text, WORN) == zone)


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
    "offer_verdict": booking,
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
    "overdue": worn,
    "return_window": in_window,
    "earliest_after_test": after_test,
    "shed_count": shed,
    "own_hairs": hairs,
    "growth_out": grown,
}
