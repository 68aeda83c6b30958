"""What an ensemble hands from hand to hand: inputs drawn, the hole made, what became of it.

Arrays run over *(member, node)*, C-ordered: a member is one hole as it may turn out, a node
one of the frame's depths. Depths are metres below the sea bed.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from functools import cached_property

import numpy as np
import numpy.typing as npt

from bathybore.base.arrays import Array
from bathybore.model.hole import Hole
from bathybore.operations.state import HoleState

Indices = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]


class Limit(Enum):
    """What can end a hole. Their order is that of the columns of `Outcome.bites`."""

    WINDOW = "pressure window"  # no number of strings opens it: needed over borne at one depth
    CAVING = "caving"  # the same, where the wall rather than the pores needs the mud
    DIAMETER = "diameter budget"  # one more string would be needed than the hole lets through
    PIPE = "drill string"
    CASING = "casing strength"
    HOIST = "hoist"
    PUMPS = "pumps"
    CLEANING = "hole cleaning"
    RISER = "riser"
    PREVENTER = "preventer rating"
    HEAT = "heat"
    STOCK = "stores"  # mud, barite, cement, casing, bits
    WEATHER = "weather window"
    DAYS = "days"
    OTHER = "other questions of the ledger"

    def __str__(self) -> str:
        return self.value


LIMITS: tuple[Limit, ...] = tuple(Limit)
RUNS_OUT = (Limit.STOCK, Limit.WEATHER, Limit.DAYS)  # told by what is spent on the way
REACHED = -1  # in place of the index of a limit
NOT_JUDGED = -2
_NEAR = 1e-6  # m: depths closer than this are one


@dataclass(frozen=True, eq=False)
class PlannedString:
    """A length of hole and the casing that ends it, in the order they are made.

    Attributes
    ----------
    name : of the casing; of the section where the hole stays open
    section : index in the plan's sections; of a spare, that of the section it shortens
    bottom : planned bottom of the hole [m below sea bed]; NaN of a spare
    spare : set only where the hole cannot go on without it
    """

    name: str
    section: int
    bottom: float
    spare: bool = False


@dataclass(frozen=True, eq=False)
class Frame:
    """What all members of an ensemble share.

    Attributes
    ----------
    states : of the plan's own walk
    depth : (node) from the sea bed to the deepest row of the earth table [m]
    strings : conductor first, spares where they fit, the open hole at the target last
    """

    hole: Hole
    states: tuple[HoleState, ...]
    depth: Array
    strings: tuple[PlannedString, ...]

    @cached_property
    def z(self) -> Array:
        """Nodes in metres below mean sea level."""
        return self.depth + float(self.hole.sea_bed)

    @cached_property
    def planned(self) -> tuple[PlannedString, ...]:
        """The strings that are no spares."""
        return tuple(one for one in self.strings if not one.spare)

    @cached_property
    def target(self) -> int:
        """Node of the target."""
        below = self.hole.frame.below_sea_bed(self.hole.plan.target)
        return int(np.argmin(np.abs(self.depth - below)))

    def nodes_at(self, depth: Array) -> Indices:
        """Return the first node at each depth or below it; how depths were rounded is no matter."""
        nodes: Indices = np.searchsorted(self.depth, depth - _NEAR)
        return nodes


@dataclass(frozen=True)
class Policy:
    """What the crew will do, whatever the hole turns out to be.

    Attributes
    ----------
    bottoms : of the strings that are no spares, in their order [m below sea bed]
    spares : whether spare strings may be set
    """

    bottoms: tuple[float, ...]
    spares: bool = True


@dataclass(frozen=True, eq=False)
class Drawn:
    """Inputs of some members, drawn.

    Attributes
    ----------
    first : number of the first member
    count : how many
    curves : (member, node) SI, by column of the earth table; (1, node) where nothing is uncertain
    numbers : (member) SI, by key: factors (dimensionless, 1 as planned) and numbers of the hole
    alternatives : (member) which alternative holds; -1 where there are none
    trouble : (member, step) share of a step's net time that trouble adds
    start : (member) time of arrival from the first of January [s]
    mended : (member) nodes at which the fracture pressure was drawn below the pore pressure and
        raised to it
    """

    first: int
    count: int
    curves: dict[str, Array]
    numbers: dict[str, Array]
    alternatives: Indices
    trouble: Array
    start: Array
    mended: Indices = field(default_factory=lambda: np.zeros(0, dtype=np.intp))

    def number(self, key: str, planned: float = 1.0) -> Array:
        """Return a drawn number as a column (member, 1); as planned where it is not uncertain."""
        drawn = self.numbers.get(key)
        return np.full((self.count, 1), planned) if drawn is None else drawn[:, None]


@dataclass(frozen=True, eq=False)
class Made:
    """The holes as the members make them, mud and strings alone.

    Attributes
    ----------
    shoes : (member, string) bottom of each [m below sea bed]; NaN where it is not made
    density : (member, node) of the mud while the bit is there, as weighed [kg/m3]; NaN below
        the end
    string : (member, node) index of the string whose hole the node is drilled in; -1 below the end
    ends : (member) deepest depth that mud and strings let the hole come to [m below sea bed];
        infinite where it is not within the frame
    ends_by : (member) index in LIMITS of what ends it: WINDOW, CAVING, DIAMETER or STOCK; -1: none
    alone : (member, 3) depth at which WINDOW, CAVING and DIAMETER would each first bite alone
    """

    shoes: Array
    density: Array
    string: Indices
    ends: Array
    ends_by: Indices
    alone: Array

    @cached_property
    def shoe_above(self) -> Array:
        """(member, string) The deepest shoe that stands when each string's hole is drilled [m]."""
        deepest = np.maximum.accumulate(np.nan_to_num(self.shoes), axis=1)
        return np.concatenate([np.zeros((len(deepest), 1)), deepest[:, :-1]], axis=1)


@dataclass(frozen=True, eq=False)
class Outcome:
    """What became of some members. None is left out: a member that could not be judged says so.

    Attributes
    ----------
    first : number of the first member
    bites : (member, limit) depth at which each limit of LIMITS first bites when it is asked
        alone [m below sea bed]; infinite where not within the frame
    ends_by : (member) index in LIMITS of what ended the hole; REACHED, or NOT_JUDGED
    depth : (member) reached [m below sea bed]; the target's where it was reached
    strings : (member) set, conductor and spares counted
    shoes : (member, string) as in `Made`
    days, cost, mud, barite, cement, steel : (member) spent until the vessel leaves [s], [money],
        [m3], [kg], [kg], [kg]
    waiting : (member) of the days, time lost to weather [s]
    day_at : (member, mark) time since arrival at which the bit first reaches the marks [s];
        NaN where it never does
    asked_first : (member, limit) number of the check (see `checks`) that bites first; -1: none
    unjudged : (member) why it could not be judged; empty where it was
    """

    first: int
    bites: Array
    ends_by: Indices
    depth: Array
    strings: Indices
    shoes: Array
    days: Array
    cost: Array
    mud: Array
    barite: Array
    cement: Array
    steel: Array
    waiting: Array
    day_at: Array
    asked_first: Indices
    unjudged: dict[int, str] = field(default_factory=dict)

    @property
    def reached(self) -> Flags:
        return np.asarray(self.ends_by == REACHED)

    @property
    def judged(self) -> Flags:
        return np.asarray(self.ends_by != NOT_JUDGED)
