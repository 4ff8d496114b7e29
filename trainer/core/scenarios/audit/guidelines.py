"""The guidelines that the audit keeps, as data.

Haladyna, Downing & Rodriguez 2002, 'A review of multiple-choice item-writing guidelines for
classroom assessment', Applied Measurement in Education 15(3), 309-333,
doi:10.1207/S15324818AME1503_5, table 1: thirty-one guidelines. Numbers and sense are given from
memory of that table, in our own words; 'design' marks what we ask beyond it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Seen = Literal["question", "kind", "people"]
SOURCE = (
    "Haladyna, T. M., Downing, S. M. & Rodriguez, M. C. (2002). A review of multiple-choice "
    "item-writing guidelines for classroom assessment. Applied Measurement in Education 15(3), "
    "309-333."
)


@dataclass(frozen=True, slots=True)
class Guideline:
    """One guideline: its number, what it asks, and how we see that it is kept.

    `seen`: in each 'question' by itself, over all questions of a 'kind' (a family) together,
    or by 'people' alone, because no program can tell.
    """

    number: str
    asks: str
    seen: Seen
    how: str

    @property
    def name(self) -> str:
        """'HDR 12: use correct grammar and spelling'."""
        return f"{self.number}: {self.asks}"


def _rows(*rows: tuple[str, str, Seen, str]) -> Mapping[str, Guideline]:
    return {row[0]: Guideline(*row) for row in rows}


GUIDELINES: Mapping[str, Guideline] = _rows(
    (
        "HDR 1",
        "test one stated thing in each question",
        "question",
        "Topic, service and type are those of its kind; one of its facts is about the method.",
    ),
    ("HDR 2", "ask what matters", "question", "It rests on facts, a critical one on a critical."),
    (
        "HDR 3",
        "use new material, not recall",
        "kind",
        "No right answer repeats a fact word for word; cases do not come back too often.",
    ),
    (
        "HDR 4",
        "keep questions independent of each other",
        "kind",
        "No question gives away its answer or another's; kinds too close are kept apart in a test.",
    ),
    ("HDR 5", "ask neither too narrowly nor too widely", "people", "Judged by instructors."),
    ("HDR 6", "ask for no opinion", "question", "None asks what somebody thinks or prefers."),
    (
        "HDR 7",
        "play no tricks",
        "question",
        "No two answers differ by a 'not' alone; no wrong figure lies close to the right one.",
    ),
    ("HDR 8", "use simple words", "kind", "The mean reading grade of the questions is at most 8."),
    ("HDR 9", "use plain formats", "question", "A known type; no answer like 'both a and c'."),
    (
        "HDR 10",
        "set the answers one below the other",
        "question",
        "Each answer is a line of its own; none hides in the question.",
    ),
    ("HDR 11", "proofread", "question", "No gap that was not filled, stray mark or empty text."),
    (
        "HDR 12",
        "use correct grammar and spelling",
        "question",
        "Articles, doubled words, capitals and stops.",
    ),
    (
        "HDR 13",
        "keep the reading short",
        "question",
        "Limits of words, without and with the answers.",
    ),
    (
        "HDR 14",
        "say clearly what is to be done",
        "question",
        "It asks or tells, once, and says when several answers may be right.",
    ),
    (
        "HDR 15",
        "put the main idea before the answers",
        "question",
        "The question says enough by itself.",
    ),
    (
        "HDR 16",
        "leave out window dressing",
        "question",
        "Few sentences, and none of them twice.",
    ),
    ("HDR 17", "word the question positively", "question", "No NOT or EXCEPT."),
    (
        "HDR 18",
        "offer as many answers as work; three will do",
        "question",
        "Three to six answers, four or more where several may be right.",
    ),
    (
        "HDR 19",
        "have one right answer",
        "question",
        "The type finds no fault, and a second reckoning from the case gives the same answer.",
    ),
    (
        "HDR 20",
        "vary the place of the right answer",
        "kind",
        "Chi-square of the places, over all kinds with Holm's correction.",
    ),
    (
        "HDR 21",
        "set answers in a logical order",
        "people",
        "Not kept, on purpose: the order is drawn, for in an order of size the middle would tell.",
    ),
    (
        "HDR 22",
        "let no answer overlap another",
        "question",
        "No two read the same or hold each other.",
    ),
    (
        "HDR 23",
        "make the answers alike in form",
        "question",
        "All sentences or none, all figures or none, all with a capital or none.",
    ),
    (
        "HDR 24",
        "keep the answers about equally long",
        "kind",
        "The right answer is longest, or shortest, as often as chance would have it.",
    ),
    ("HDR 25", "use 'none of the above' with care", "question", "It is not used."),
    ("HDR 26", "avoid 'all of the above'", "question", "It is not used."),
    ("HDR 27", "word the answers positively", "question", "No NOT, no double negative."),
    (
        "HDR 28a",
        "give no clue by 'always', 'never' and their like",
        "question",
        "Wrong answers alone are not absolute; guessing by such words gains nothing.",
    ),
    (
        "HDR 28b",
        "give no clue by words of the question",
        "kind",
        "Guessing by words shared with the question gains nothing.",
    ),
    (
        "HDR 28c",
        "give no clue by grammar",
        "question",
        "It does not end in an article or ask for several where one is right.",
    ),
    (
        "HDR 28d",
        "let the right answer not stand out",
        "kind",
        "Guessing by hedges, care, figures or marks gains nothing.",
    ),
    (
        "HDR 28e",
        "give no clue by pairs of answers",
        "kind",
        "Guessing by likeness to the other answers gains nothing.",
    ),
    ("HDR 28f", "offer nothing absurd", "question", "Wrong figures and days are of that size."),
    (
        "HDR 29",
        "make every wrong answer plausible",
        "question",
        "Each has a reason why it tempts or what it would do.",
    ),
    (
        "HDR 30",
        "build wrong answers from real mistakes",
        "question",
        "Each hangs on a named wrong belief.",
    ),
    ("HDR 31", "joke only where it fits", "question", "It does not: no exclamation marks."),
    (
        "design 4.1",
        "let facts carry everything",
        "question",
        "Every fact is known and good enough to ask on; weak sources carry nothing critical.",
    ),
    (
        "design 4.3",
        "have a sound question for each number drawn",
        "kind",
        "Every number makes one.",
    ),
    ("design 4.5", "give the same question for the same number", "kind", "Some are made twice."),
    (
        "design 4.6a",
        "invent no impossible person",
        "question",
        "The client meets no combination that nobody can have.",
    ),
    (
        "design 4.6b",
        "repeat little",
        "kind",
        "Two questions drawn at random are about the same case one time in six at most.",
    ),
    (
        "design 4.6c",
        "hold as many cases as the kind declares",
        "kind",
        "Cases counted, and the unseen estimated by Chao 1984.",
    ),
    (
        "design 8",
        "print enough to reach the answer",
        "question",
        "The printed case, facts, rules and procedures lead to it.",
    ),
)
"""Every guideline by its number. 'design n' is a point of the project's own design."""


def name_of(number: str) -> str:
    """A guideline in words: 'HDR 12: use correct grammar and spelling'. Raises KeyError."""
    return GUIDELINES[number].name
