"""Who is in the demo: an invented academy, two invented salons and the people in them."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from trainer.core.records.house_rules import HouseRules

ACADEMY = ("Marram Lane Academy", "academy")
SALONS = (("Quince & Comb", "salon"), ("The Tin Canopy", "salon"))
PASSWORD = "seven herons on a tin roof"  # noqa: S105  printed for everybody; a demo has no secrets


@dataclass(frozen=True)
class Player:
    """One person: where, in which roles, and what eight weeks bring them.

    `salon`: the second place where they work, by number. `group`: their group at the academy.
    `skill`: how well they know each method, -1 (guesses) .. 3 (sure); `stuck`: topics on which
    they lag. `certified`: methods with a record, to the days ago it was earned. `watched`:
    methods and the services signed off without a record yet. `passed`, `failed`: methods
    whose assessment was sat without a record. `asks`: the one that they ask to sit now.
    """

    name: str
    roles: tuple[str, ...]
    group: str = ""
    salon: int = -1
    skill: Mapping[str, float] = field(default_factory=dict)
    stuck: tuple[str, ...] = ()
    sessions: int = 8
    certified: Mapping[str, int] = field(default_factory=dict)
    watched: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    passed: tuple[str, ...] = ()
    failed: tuple[str, ...] = ()
    asks: str = ""


TUESDAY, EVENING = "Tuesday group", "Evening group"
APPRENTICE = ("apprentice",)

LEADERS = (
    Player("Ottoline Brask", ("administrator", "instructor")),
    Player("Ines Varga", ("instructor",)),
    Player("Kofi Aldersey", ("instructor",)),
)

LEARNERS = (
    Player("Mina Torvald", APPRENTICE, TUESDAY, -1, {"tape_in": 1.4, "clip_in": 1.6}, sessions=9),
    Player(
        "Jonah Okoro",
        APPRENTICE,
        TUESDAY,
        -1,
        {"tape_in": 0.2, "micro_link": -0.2},
        stuck=("removal_safety",),
    ),
    Player(
        "Saskia Lindqvist",
        APPRENTICE,
        TUESDAY,
        0,
        {"tape_in": 2.2, "fusion_bond": 1.1},
        sessions=10,
        certified={"tape_in": 20},
        watched={"fusion_bond": ("fit",)},
    ),
    Player("Dara Quill", APPRENTICE, TUESDAY, -1, {"tape_in": -0.6}, ("contraindications",), 4),
    Player(
        "Amaya Costigan",
        APPRENTICE,
        TUESDAY,
        1,
        {"tape_in": 1.8, "beaded_row": 0.9},
        passed=("tape_in",),
        watched={"tape_in": ("fit", "maintain")},
    ),
    Player("Petra Vance", APPRENTICE, TUESDAY, -1, {"tape_in": 0.8, "wig_piece": 1.2}, sessions=6),
    Player(
        "Lior Hadley",
        APPRENTICE,
        TUESDAY,
        -1,
        {"tape_in": 0.4},
        ("tension_risk",),
        7,
        failed=("tape_in",),
    ),
    Player("Nerys Abara", APPRENTICE, EVENING, -1, {"sewn_weft": 1.2, "tape_in": 0.6}),
    Player(
        "Chidera Moss",
        APPRENTICE,
        EVENING,
        0,
        {"sewn_weft": 2.1, "wig_piece": 1.7},
        sessions=9,
        certified={"sewn_weft": 12},
    ),
    Player("Yara Feldspar", APPRENTICE, EVENING, -1, {"fusion_bond": 0.1}, ("timings",), 5),
    Player("Tomas Ibarra", APPRENTICE, EVENING, -1, {"micro_link": 1.0, "beaded_row": 0.7}),
    Player(
        "Winnie Achterberg",
        APPRENTICE,
        EVENING,
        -1,
        {"fusion_bond": 1.5},
        sessions=7,
        asks="fusion_bond",
    ),
    Player("Rafi Solberg", APPRENTICE, EVENING, -1, {}, sessions=0),
)

STYLISTS = (
    Player(
        "Hester Nakamura", APPRENTICE, "", 0, {"fusion_bond": 2.4}, certified={"fusion_bond": 340}
    ),
    Player("Bram Olusola", APPRENTICE, "", 0, {"micro_link": 2.0}, certified={"micro_link": 400}),
    Player("Celeste Wray", APPRENTICE, "", 1, {"tape_in": 2.3}, certified={"tape_in": 150}),
    Player("Idris Penhallow", APPRENTICE, "", 1, {"beaded_row": 1.9}, certified={"beaded_row": 60}),
    Player("Maud Ferreira", APPRENTICE, "", 1, {"clip_in": 1.5}, certified={"clip_in": 90}),
)
SUSPENDED = ("Idris Penhallow", "beaded_row", "Two clients reported pain; under review.")

MANAGERS = (
    Player("Rosalind Achebe", ("salon_manager", "administrator"), "", 0),
    Player("Piet Marlowe", ("salon_manager", "administrator"), "", 1),
)

WORKS = {
    "Saskia Lindqvist": (1, 3, 5),
    "Chidera Moss": (2, 3, 4, 5),
    "Hester Nakamura": (1, 2, 3, 4),
    "Bram Olusola": (1, 2, 4, 5),
    "Celeste Wray": (1, 2, 3, 4, 5),
    "Idris Penhallow": (2, 3, 4, 5),
    "Maud Ferreira": (1, 4, 5),
}
"""Days at their salon, 0 Monday .. 6 Sunday; of all others nobody has said."""
SITE = HouseRules(30, status_days=14)
"""What sites usually ask; a house can only be stricter."""

MODULES = (
    ("Tape-ins: say no in time", TUESDAY, ("tape_in",), ("contraindications", "timings"), 16, 10),
    (
        "Tape-ins: out and in",
        TUESDAY,
        ("tape_in",),
        ("removal_safety", "tension_risk"),
        20,
        -3,
    ),
    (
        "Sewn wefts end to end",
        EVENING,
        ("sewn_weft",),
        ("removal_safety", "tension_risk"),
        20,
        6,
    ),
    (
        "Bonds and beads",
        EVENING,
        ("fusion_bond", "micro_link"),
        ("contraindications", "removal_safety"),
        24,
        17,
    ),
)
"""Title, group, methods, topics, scenarios, days from now to the due day."""


def address_of(name: str) -> str:
    """An address at a domain that can never exist (RFC 2606)."""
    return f"{name.casefold().replace(' ', '.')}@example.org"
