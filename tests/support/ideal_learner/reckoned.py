"""Answers that are reckoned: gaps and days, loads and lengths, counts, air and heat."""

from datetime import date, timedelta

DEEP_HEAT = "heat.permanent_change"


def chosen(item, fits):
    """The ids of the options whose text fits."""
    return [option["id"] for option in item["options"] if fits(option["text"])]


def meaning(item, word):
    """The ids of the options that mean something."""
    return chosen(item, lambda text: item["givens"]["meanings"][text] == word)


def worn(book, item):
    """Before the window it stays, inside it is due, past it it is late."""
    given = item["givens"]
    low, high = book.days(given["window_fact"])
    days = (date.fromisoformat(given["today"]) - date.fromisoformat(given["fitted"])).days
    zone = "early" if days < low else "due" if days <= high else "late"
    if not any(word == zone for word in given["meanings"].values()):
        zone = {"due": "late", "late": "due"}[zone]
    return meaning(item, zone)


def gap(book, item):
    """The shortest gap that takes the longest usual time and the tidying."""
    given = item["givens"]
    need = round(book.days(given["time_fact"])[1] * 1440) + given["tidy_minutes"]
    shortest = min(minutes for minutes in given["gaps"].values() if minutes >= need)
    return chosen(item, lambda text: given["gaps"][text] == shortest)


def last_test_day(book, item):
    """Back from the fitting, day by day, to one with hours enough between."""
    given = item["givens"]
    wait, fitting = book.days(given["wait_fact"])[1] * 24, date.fromisoformat(given["fitting"])
    back = (fitting - timedelta(days=n) for n in range(60))
    return next(
        day.isoformat()
        for day in back
        if (fitting - day).days * 24 + given["fit_hour"] - given["test_hour"] >= wait - 1e-6
        and day.isoweekday() in given["open_weekdays"]
    )


def visits(book, item):
    """Each visit as late as it may be, until the last day is in reach."""
    given = item["givens"]
    longest = timedelta(days=round(book.days(given["fact"])[1]))
    at, end = (date.fromisoformat(given[name]) for name in ("fitted", "worn_until"))
    count = 0
    while at + longest < end:
        at, count = at + longest, count + 1
    return count


def story(book, item):
    """Nearest with slowest, furthest with fastest: what the weeks can make."""
    given = item["givens"]
    placed, rate = (book.facts[given[name]] for name in ("placed_fact", "rate_fact"))
    days = given["weeks_told"] * 7
    least, most = (placed[end] + rate[end] * days / 1000 for end in ("low", "high"))
    found = given["measured_mm"]
    return meaning(item, "shorter" if found < least else "longer" if found > most else "fits")


def shed_or_lost(book, item):
    """What shedding brings at its least and at its most."""
    given = item["givens"]
    part, of = given["share"]
    fact = book.facts[given["fact"]]
    least, most = (fact[end] * given["days"] * part / of for end in ("low", "high"))
    few, many = given["count"] < least, given["count"] > most
    return meaning(item, "too_few" if few else "too_many" if many else "ordinary")


def load(book, item):
    """Milligrams on each hair that carries."""
    given = item["givens"]
    hairs = given["width_mm"] * given["depth_mm"] / 100 * given["per_cm2"]
    return round(given["mass_g"] * 1000 / hairs / given["carrying_percent"] * 100, 1)


def most_loaded(book, item):
    pairs = item["givens"]["options"]
    most = max(weight / hairs for weight, hairs in pairs.values())
    return chosen(item, lambda text: pairs[text][0] / pairs[text][1] == most)


def share(book, item):
    return round(item["givens"]["mass_g"] / item["givens"]["carry"], 2)


def section(book, item):
    """The smallest section that holds as many own hairs as the strand has."""
    given = item["givens"]
    held = {t: w * d / 100 * given["per_cm2"] for t, (w, d) in given["sections"].items()}
    right = min((text for text in held if held[text] >= given["strand"]), key=held.get)
    return chosen(item, lambda text: text == right)


def easing(book, item):
    """The change that leaves the least weight for each hair."""
    changes = item["givens"]["changes"]
    left = {t: one["grams_percent"] / one["section_percent"] for t, one in changes.items()}
    return chosen(item, lambda text: left[text] == min(left.values()))


def long_enough(book, item):
    given = item["givens"]
    least = book.facts[given["least_fact"]]["high"]
    return chosen(item, lambda text: given["clients"][text]["cm_where_it_sits"] >= least)


def pulled(book, item):
    given = item["givens"]
    limit = book.facts[given["limit_fact"]]["high"]
    return chosen(item, lambda text: given["tests"][text]["whole_hairs"] > limit)


def tried(book, item):
    """A test of its own, its full time, a clear skin."""
    given = item["givens"]
    hours = book.days(given["wait_fact"])[1] * 24
    tests = given["products"]
    return chosen(
        item, lambda text: tests[text]["result"] == "clear" and tests[text]["hours"] >= hours
    )


def air(book, item):
    """In proportion to the measure that is given."""
    given = item["givens"]
    known, limit = given["known"], book.facts[given["limit_fact"]]["high"]
    one = known["known_ppm"] * known["known_m3"] / known["known_ml"]
    rooms = given["rooms"]
    return chosen(item, lambda text: one * rooms[text]["ml"] / rooms[text]["room_m3"] > limit)


def heat(book, item):
    """The hottest below what hair, or the label of a fibre, bears."""
    given = item["givens"]
    fibre = given["made_of"] == "fibre"
    bears = given["label_c"] if fibre else book.facts[DEEP_HEAT]["low"]
    fit = {text: degrees for text, degrees in given["settings_c"].items() if degrees <= bears}
    return chosen(item, lambda text: text in fit and fit[text] == max(fit.values()))


RECKONED = {
    "overdue": worn,
    "day_column": gap,
    "latest_test_day": last_test_day,
    "visits_needed": visits,
    "does_story_fit": story,
    "shed_or_loss": shed_or_lost,
    "load_per_hair": load,
    "most_loaded": most_loaded,
    "uneven_row": share,
    "section_for_strand": section,
    "ease_the_load": easing,
    "long_enough": long_enough,
    "pull_tests": pulled,
    "products_tested": tried,
    "air_in_room": air,
    "heat_choice": heat,
}
