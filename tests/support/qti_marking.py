"""A second reading of QTI 3.0 items: response processing as the standard has it, nothing of ours.

Operators by the names and rules of the QTI 3.0 information model (Expressions; three-valued
'and', 'or', 'not' with NULL as None). Only what an item in a test uses; anything else raises.
"""

import re
from dataclasses import dataclass, field
from operator import ge, gt, le, lt
from xml.etree.ElementTree import fromstring

NS = "{http://www.imsglobal.org/xsd/imsqtiasi_v3p0}"
MATCH_CORRECT = "match_correct.xml"
COMPARE = {"lt": lt, "gt": gt, "lte": le, "gte": ge}


def cast(base_type, text):
    """A value as its base type has it."""
    if base_type == "float":
        return float(text)
    if base_type == "integer":
        return int(text)
    if base_type == "boolean":
        return {"true": True, "false": False}[text]
    return text


@dataclass
class Session:
    """One candidate at one item. `attempt` takes responses by name and marks them."""

    text: str
    values: dict = field(default_factory=dict)

    def __post_init__(self):
        self.root = fromstring(self.text)
        self.correct, self.mapping = {}, {}
        for one in self.root.iter(f"{NS}qti-response-declaration"):
            name, base_type = one.get("identifier"), one.get("base-type")
            given = one.find(f"{NS}qti-correct-response")
            if given is not None:
                found = [cast(base_type, v.text) for v in given]
                self.correct[name] = found[0] if one.get("cardinality") == "single" else found
            table = one.find(f"{NS}qti-mapping")
            if table is not None:
                entries = {e.get("map-key"): float(e.get("mapped-value")) for e in table}
                self.mapping[name] = (entries, float(table.get("default-value", 0)))
        for one in self.root.iter(f"{NS}qti-outcome-declaration"):
            begin = one.find(f"{NS}qti-default-value")
            held = [cast(one.get("base-type"), v.text) for v in begin] if begin is not None else []
            single = one.get("cardinality") == "single"
            self.values[one.get("identifier")] = (held or [None])[0] if single else (held or None)

    @property
    def ended(self):
        return self.values.get("completionStatus") == "completed"

    def attempt(self, **responses):
        """Mark one attempt; what is not given is NULL."""
        declared = [
            one.get("identifier") for one in self.root.iter(f"{NS}qti-response-declaration")
        ]
        assert set(responses) <= set(declared)
        self.values |= {name: responses.get(name) for name in declared}
        processing = self.root.find(f"{NS}qti-response-processing")
        if processing.get("template", "").endswith(MATCH_CORRECT):
            self.values["SCORE"] = float(self.values["RESPONSE"] == self.correct["RESPONSE"])
        else:
            assert processing.get("template") is None
            self._rules(processing)
        return self

    def _rules(self, rules):
        for rule in rules:
            kind = rule.tag.removeprefix(NS)
            if kind == "qti-set-outcome-value":
                self.values[rule.get("identifier")] = self._value(rule[0])
            elif kind == "qti-response-condition":
                self._condition(rule)
            else:
                raise AssertionError(kind)

    def _condition(self, rule):
        for branch in rule:
            if branch.tag == f"{NS}qti-response-else":
                return self._rules(branch)
            if self._value(branch[0]) is True:
                return self._rules(branch[1:])
        return None

    def _value(self, one):
        kind = one.tag.removeprefix(f"{NS}qti-")
        read = getattr(self, f"_{kind.replace('-', '_')}", None)
        if read:
            return read(one)
        inside = [self._value(part) for part in one]
        return getattr(Operators, kind.replace("-", "_") + "_")(one, inside)

    def _variable(self, one):
        return self.values[one.get("identifier")]

    def _correct(self, one):
        return self.correct[one.get("identifier")]

    def _base_value(self, one):
        return cast(one.get("base-type"), one.text)

    def _map_response(self, one):
        entries, default = self.mapping[one.get("identifier")]
        given = self.values[one.get("identifier")] or []
        return sum(entries.get(value, default) for value in given)


class Operators:
    """What QTI's operators give. None is NULL."""

    def and_(one, inside):
        return False if False in inside else None if None in inside else True

    def or_(one, inside):
        return True if True in inside else None if None in inside else False

    def not_(one, inside):
        return None if inside[0] is None else not inside[0]

    def is_null_(one, inside):
        return inside[0] is None or inside[0] == []

    def match_(one, inside):
        return None if None in inside else inside[0] == inside[1]

    def string_match_(one, inside):
        assert one.get("case-sensitive") == "true"
        return None if None in inside else inside[0] == inside[1]

    def pattern_match_(one, inside):
        return None if None in inside else bool(re.fullmatch(one.get("pattern"), inside[0]))

    def member_(one, inside):
        return None if None in inside else inside[0] in inside[1]

    def contains_(one, inside):
        return None if None in inside else set(inside[1]) <= set(inside[0])

    def multiple_(one, inside):
        flat = []
        for value in inside:
            flat += value if isinstance(value, list) else [] if value is None else [value]
        return flat or None

    def index_(one, inside):
        place = int(one.get("n"))
        return inside[0][place - 1] if inside[0] and place <= len(inside[0]) else None

    def equal_(one, inside):
        assert one.get("tolerance-mode") == "absolute"
        if None in inside:
            return None
        below, above = (float(room) for room in one.get("tolerance").split())
        return inside[1] - below <= inside[0] <= inside[1] + above

    def sum_(one, inside):
        return None if None in inside else sum(inside)

    def product_(one, inside):
        return None if None in inside else inside[0] * inside[1]

    def subtract_(one, inside):
        return None if None in inside else inside[0] - inside[1]

    def divide_(one, inside):
        return None if None in inside or inside[1] == 0 else inside[0] / inside[1]

    def max_(one, inside):
        return None if None in inside else max(inside)

    def min_(one, inside):
        return None if None in inside else min(inside)


def _compared(compare):
    return lambda one, inside: None if None in inside else compare(*inside)


for _name, _compare in COMPARE.items():
    setattr(Operators, f"{_name}_", _compared(_compare))
