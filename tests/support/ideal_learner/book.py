"""What the command line printed, by id, and what follows from it."""

KINDS = ("", "trouble", "home_care")
"""What `trainer procedures` prints: procedures themselves are of no kind."""
GRAVITY = ["go_ahead", "adapt", "wait", "refer", "decline"]
DAYS = {"minute": 1 / 1440, "hour": 1 / 24, "day": 1, "week": 7, "month": 365.2425 / 12}
TESTS = {
    "is": lambda value, bound: value == bound,
    "is_not": lambda value, bound: value != bound,
    "one_of": lambda value, bound: value in bound,
    "at_least": lambda value, bound: value >= bound,
    "at_most": lambda value, bound: value <= bound,
    "above": lambda value, bound: value > bound,
    "below": lambda value, bound: value < bound,
}


class Book:
    """Facts, rules, procedures and misconceptions, each as printed."""

    def __init__(self, facts, rules, procedures, misconceptions):
        self.facts = {row["id"]: row for row in facts}
        self.rules = rules
        told = {kind: [row for row in procedures if row.get("kind", "") == kind] for kind in KINDS}
        self.procedures = {row["id"]: row for row in told[""]}
        self.troubles = {row["id"]: row for row in told["trouble"]}
        self.care = told["home_care"]

    def days(self, fact):
        """Both ends of a fact's time, in days."""
        row = self.facts[fact]
        return row["low"] * DAYS[row["unit"]], row["high"] * DAYS[row["unit"]]

    def within(self, fact, value):
        """Whether a value lies in a fact's range, ends included."""
        return self.facts[fact]["low"] <= value <= self.facts[fact]["high"]

    def verdict(self, method, profile):
        """The gravest verdict of any rule that speaks."""
        spoken = [rule["verdict"] for rule in self.speaking(method, profile)]
        return max(["go_ahead", *spoken], key=GRAVITY.index)

    def rules_of(self, method, profile):
        """Every rule about a method that counts for this client."""
        return [rule for rule in self.rules if _counts(rule, method, profile)]

    def speaking(self, method, profile):
        """Every rule that speaks."""
        return [rule for rule in self.rules_of(method, profile) if _speaks(rule, profile)]

    def removal(self, method):
        """How a method comes off."""
        rows = self.procedures.values()
        return next(p for p in rows if p["method"] == method and p["service"] == "remove")


def _counts(rule, method, profile):
    silent = rule["silent_when"].get(method)
    return method in rule["methods"] and not (silent and holds(silent, profile))


def _speaks(rule, profile):
    spared = rule["unless"] and holds(rule["unless"], profile)
    return holds(rule["when"], profile) and not spared


def holds(conditions, profile):
    """Whether every condition holds; one about something that is not known does not."""
    return all(_one(condition, profile.get(condition["attribute"])) for condition in conditions)


def _one(condition, value):
    if value is None:
        return False
    return all(test(value, condition[name]) for name, test in TESTS.items() if name in condition)
