"""The check record: what a limit demands, what there is, how much is left, and why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from enum import Enum
from math import isfinite

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.depth import Depth
from bathybore.base.frozen import quickly_made
from bathybore.base.working import Value

# Relative size of what floating-point arithmetic alone can make of an exact fit.
ROUNDING = 1e-9


class Status(Enum):
    """The verdict. A missing input never passes."""

    HOLDS = "holds"
    TIGHT = "tight"
    FAILS = "fails"
    NOT_JUDGED = "not judged"
    OUTSIDE_VALIDITY = "outside validity"

    def __str__(self) -> str:
        return self.value


class Discipline(Enum):
    """Who in the team owns the question."""

    STATION = "station"
    SOIL = "soil"
    WINDOW = "window"
    FLOW = "flow"
    STEEL = "steel"
    CEMENT = "cement"
    WELL_CONTROL = "well control"
    RISER = "riser"
    FIT = "fit"
    STORES = "stores"
    TIME = "time"
    CORE = "core"
    METHOD = "method"

    def __str__(self) -> str:
        return self.value


@quickly_made
@dataclass(frozen=True, eq=False)
class Profile:
    """What was judged at every depth, where a record shows only the worst of them.

    Attributes
    ----------
    depths : of the nodes
    demand, capacity : at them, in ``unit``
    """

    depths: Sequence[Depth]
    demand: Array
    capacity: Array
    unit: str

    @property
    def used(self) -> Array:
        """Return the share of the capacity that is used; 1 less the margin, node by node."""
        return 1.0 - _margins(self.demand, self.capacity, self.unit)


@quickly_made
@dataclass(frozen=True)
class CheckRecord:
    """One question asked of one state.

    Attributes
    ----------
    step : name of the step judged
    name : of the check within the step; ``step/name`` is the id
    question : in a sentence a colleague would ask
    demand, capacity : what is asked of the limit and what there is, same unit; both None
        when the check could not be judged
    margin : share of the capacity left, (capacity - demand) / |capacity|; of temperatures, from
        the freezing point
    status : the verdict
    depth : where it is closest, if it has a place
    reason : why it was not judged, or which limits of validity were left
    remedy : what a drilling engineer would change first
    caution : what must be said beside the number, whatever the verdict
    note : which part, bore or fluid the number belongs to; no warning
    profile : of a question asked at many depths, the numbers of all of them
    """

    step: str
    name: str
    discipline: Discipline
    question: str
    demand: Value | None
    capacity: Value | None
    margin: float | None
    status: Status
    depth: Depth | None = None
    reason: str = ""
    remedy: str = ""
    caution: str = ""
    note: str = ""
    profile: Profile | None = field(default=None, repr=False, compare=False)

    @property
    def id(self) -> str:
        return f"{self.step}/{self.name}"


@quickly_made
@dataclass(frozen=True)
class Question:
    """The fixed part of a check: who asks what, and what to do when the answer is no."""

    name: str
    discipline: Discipline
    text: str
    remedy: str = ""
    caution: str = ""


def judge(
    step: str,
    question: Question,
    demand: Value,
    capacity: Value,
    tight_band: float,
    depths: Sequence[Depth] | Depth | None = None,
    caution: str = "",
    note: str = "",
) -> CheckRecord:
    """Compare demand with capacity and return the record.

    Profiles over depth are judged at their worst node; the record then holds that
    node's numbers and depth, and keeps the profile beside them.

    Raises
    ------
    ValueError
        Demand and capacity are not in the same unit.
    """
    if demand.unit != capacity.unit:
        raise ValueError(f"{question.name}: [{demand.unit}] against [{capacity.unit}]")
    need, have = np.asarray(demand.si, dtype=float), np.asarray(capacity.si, dtype=float)
    margins = _margins(need, have, demand.unit)
    here, along = (depths, None) if isinstance(depths, Depth) else (None, depths)
    profile = None
    if demand.depth_axis is not None or capacity.depth_axis is not None:
        nodes = margins.ravel()
        worst = _worst_node(nodes)
        if along is not None:
            here, profile = along[worst], _profile(need, have, demand.unit, along)
        demand, capacity, margins = demand.at_node(worst), capacity.at_node(worst), nodes[worst]
    margin = float(margins)
    if not isfinite(margin):
        where = f" at {here}" if here else ""
        reason = f"a number in its working is missing or not finite{where}"
        return replace(unjudged(step, question, reason, caution), profile=profile)
    outside = (*demand.outside_validity(), *capacity.outside_validity())
    return CheckRecord(
        step=step,
        name=question.name,
        discipline=question.discipline,
        question=question.text,
        demand=demand,
        capacity=capacity,
        margin=margin,
        status=_status(margin, tight_band, bool(outside)),
        depth=here,
        reason="; ".join(dict.fromkeys(outside)),
        remedy=question.remedy,
        caution=" ".join(filter(None, (question.caution, caution))),
        note=note,
        profile=profile,
    )


def _profile(asked: Array, held: Array, unit: str, depths: Sequence[Depth]) -> Profile:
    if asked.shape != held.shape:
        asked, held = np.broadcast_arrays(asked, held)
    return Profile(depths, asked, held, unit)


def unjudged(step: str, question: Question, reason: str, caution: str = "") -> CheckRecord:
    """Return the record of a question that could not be answered, and why."""
    return CheckRecord(
        step=step,
        name=question.name,
        discipline=question.discipline,
        question=question.text,
        demand=None,
        capacity=None,
        margin=None,
        status=Status.NOT_JUDGED,
        reason=reason,
        remedy=question.remedy,
        caution=" ".join(filter(None, (question.caution, caution))),
    )


# A share of a temperature means something only from a zero that people use.
_ZERO_OF = {"K": 273.15}


def _margins(need: Array, have: Array, unit: str) -> np.ndarray:
    if zero := _ZERO_OF.get(unit):
        need, have = need - zero, have - zero
    scale = np.abs(have)
    if not scale.all():
        scale = np.where(have == 0.0, np.where(need == 0.0, 1.0, np.abs(need)), scale)
    return np.asarray((have - need) / scale)


def _worst_node(margins: np.ndarray) -> int:
    """Index of the node to show: a failure first, else a missing number, else the least margin.

    A gap in the numbers may not hide behind nodes that hold.
    """
    there = np.isfinite(margins)
    if there.all():
        return int(margins.argmin())
    lowest = int(np.argmin(np.where(there, margins, np.inf)))
    return lowest if margins[lowest] < -ROUNDING else int(np.argmin(there))


def _status(margin: float, tight_band: float, outside: bool) -> Status:
    """A failure stays a failure outside validity; a pass there is no pass.

    A bit may fill its drift exactly: rounding alone is no failure.
    """
    if margin < -ROUNDING:
        return Status.FAILS
    if outside:
        return Status.OUTSIDE_VALIDITY
    return Status.TIGHT if margin < tight_band else Status.HOLDS
