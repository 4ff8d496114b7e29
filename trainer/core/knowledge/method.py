"""One way of attaching added hair."""

from typing import Literal

from pydantic.dataclasses import dataclass

from trainer.core.knowledge.profile_sheet import Condition
from trainer.core.knowledge.scheme import Scheme
from trainer.core.knowledge.sheet import SHEET
from trainer.core.knowledge.words import Service


@dataclass(frozen=True, slots=True, config=SHEET)
class Drawn:
    """How a method's attachment is drawn: sizes in mm that drawings choose from.

    `section_mm` and `depth_mm`: width and depth of the section. `own` and `added`: lines of hair.
    """

    kind: Literal["tape", "bead", "bond", "row", "track", "clip"]
    width_mm: tuple[float, ...]
    height_mm: tuple[float, ...]
    section_mm: tuple[float, ...]
    depth_mm: tuple[float, ...]
    own: int
    added: int


@dataclass(frozen=True, slots=True, config=SHEET)
class Roles:
    """Which fact plays which part in plans and scenarios: fact ids, '' where there is none.

    fit_time, maintain_time, remove_time: appointment lengths. move_up: from fitting to the
    next maintenance (the window, low to high). outer_limit: longest wear that is taught.
    lead_time: from skin test to service. scalp_distance, edge_margin: placing. strand_mass:
    added hair of one attachment. attachments: how many make a full head. set_mass: added hair
    of a full head. working_life: how long the hair lasts. fall_angle: how far an attachment may
    turn from the fall. section_hairs: hairs from outside its section. edge_offset: how far two
    tapes may stand apart sideways. slice_share: width of the slice against that of the tape.
    """

    fit_time: str = ""
    maintain_time: str = ""
    remove_time: str = ""
    move_up: str = ""
    outer_limit: str = ""
    lead_time: str = ""
    scalp_distance: str = ""
    edge_margin: str = ""
    strand_mass: str = ""
    attachments: str = ""
    set_mass: str = ""
    working_life: str = ""
    minimum_length: str = ""
    fall_angle: str = ""
    section_hairs: str = ""
    edge_offset: str = ""
    slice_share: str = ""


@dataclass(frozen=True, slots=True, config=SHEET)
class Vapour:
    """What a solvent does to a room's air; all are fact ids, '' where there is none.

    `density` and `molar_mass` of the solvent, the `limit` over a working day, and the example:
    the `amount` that dries and the `room`. `cautions`: what to say whenever it is used.
    """

    cautions: tuple[str, ...]
    density: str = ""
    molar_mass: str = ""
    limit: str = ""
    amount: str = ""
    room: str = ""


@dataclass(frozen=True, slots=True, config=SHEET)
class Product:
    """Something used at the chair, by what it is (never a brand). `facts` say why.

    `vapour`: where it is a solvent.
    """

    id: str
    name: str
    use: str
    facts: tuple[str, ...] = ()
    vapour: Vapour | None = None


@dataclass(frozen=True, slots=True, config=SHEET)
class Method:
    """`bonded`: it stays on the head between visits, unless every condition in `loose_when` holds.

    `attachment` and `attachments` name one and several of what holds the hair ('bead', 'beads').
    `noun` is what the client wears ('tape-in hair', 'sewn weft'), `countable` if it takes an
    article; it is taken `away` ('out', 'off'), and its `renewal` comes by date ('move-up').
    `drawn`: how its attachment is drawn, none where it is not.
    `agents`: what may take it off (product ids); `wrong_agents`: what belongs to another bond
    or harms here. `use` and `avoid`: care products. `standards`: occupational standards (source
    ids) whose title names this way of attaching; records say so. `scheme`: what a record takes.
    """

    id: str
    name: str
    summary: str
    bonded: bool
    order: int
    attachment: str
    attachments: str
    services: tuple[Service, ...]
    roles: Roles
    noun: str
    countable: bool = False
    away: str = "out"
    renewal: str = "move-up"
    drawn: Drawn | None = None
    agents: tuple[str, ...] = ()
    wrong_agents: tuple[str, ...] = ()
    use: tuple[str, ...] = ()
    avoid: tuple[str, ...] = ()
    loose_when: tuple[Condition, ...] = ()
    standards: tuple[str, ...] = ()
    scheme: Scheme = Scheme()
