"""The ledger at every depth: what its quick questions ask and have wherever the hole may end.

Each section of the plan is cut, or carried on, at a number of depths and weighed with a number
of muds; the plan's own steps lead there and the ledger's own questions are asked. Their answers
stand in tables over depth and density, straight between (`bites.py` reads them for members).

What the tables do not hold: the pressure window, stores and time, which are followed node by
node; what the crew answers by moving pipe slower; and the longer questions (studies), which no
table of this size could ask. One of these a number of every member decides, how fast its crew
pulls the riser: whether it is on board before a storm stands in a table too. Casings are asked
for the hole below them at the planned density only. A casing above a section stands at its
planned shoe; above the first depth of a table its first numbers stand. What the rock needs or
bears keeps what is left at every node, so that it moves with the rock of a member; what the soil
bears is asked at several strengths of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from enum import Enum
from typing import Final, TypeAlias

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.errors import OrderError
from bathybore.base.keeping import kept, same
from bathybore.base.working import Solved, Working
from bathybore.checks.cement import cement_checks
from bathybore.checks.closed_annulus import closed_annulus_checks
from bathybore.checks.fit import bit_fit_checks, casing_fit_checks, string_fit_checks
from bathybore.checks.flow import flow_checks
from bathybore.checks.ledger import Asker, answers, askers_of, records_of
from bathybore.checks.operability import storm_studies
from bathybore.checks.record import ROUNDING, CheckRecord, Profile, Status
from bathybore.checks.riser import riser_checks
from bathybore.checks.soil import conductor_checks, first_casing_checks
from bathybore.checks.steel import (
    bit_weight_checks,
    casing_strength_checks,
    running_checks,
    string_checks,
)
from bathybore.checks.stores import stores_checks
from bathybore.checks.string_in_hole import string_in_hole_checks
from bathybore.checks.survey import survey_checks
from bathybore.checks.trips import casing_surge_checks, trip_checks
from bathybore.checks.well_control import barrier_checks, kick_checks, shallow_checks
from bathybore.checks.window import shoe_test_checks, window_checks
from bathybore.ensembles.asked_numbers import NumberAsked
from bathybore.ensembles.cut_holes import (
    asked_again,
    cut,
    heaviest_on_riser,
    made_to,
    opened,
    with_soil,
)
from bathybore.ensembles.limits_of_checks import ANSWERED, ROCK, SOIL, belongs, is_tabled
from bathybore.ensembles.shapes import LIMITS, Frame, Limit
from bathybore.ensembles.telling import Told
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind

EVEN: Final = 8  # depths in a section, evenly spread
CASED: Final = 4  # depths at which its casing is asked
SPAN: Final = (200.0, 200.0)  # kg/m3 below and above the planned density
_LEAST: Final = 1000.0  # kg/m3; no mud of a table is lighter
_SIDE: Final = 0.05  # m on either side of a place where an answer may jump
_FIRST: Final = 1.0  # m below the shoe above: the first new hole
_MARGIN: Final = "margin-of-overpull"
_RISER_MARGIN: Final = "riser-margin"
_BARRIERS: Final = "barriers"
_STORM: Final = "storm-warning"
# Of the planned strength of the soil: close together below it, where adhesion comes to its limit
# layer by layer.
SHARES: Final = (0.3, 0.5, 0.6, 0.65, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95, 1.0, 1.2, 1.5)
_STRENGTH: Final = "undrained_shear_strength"


class Moment(Enum):
    """When a question is asked, which decides what the depth of its table means."""

    MAKING = "while the hole is made"  # depth of the hole; judged at every node of the section
    BELOW = "of a casing, for the hole below it"  # the same
    RISER = "of the riser, for all that is drilled on it"  # the same
    SET = "when the casing is set"  # depth of its shoe
    TESTED = "when the shoe above is tested"  # depth of that shoe
    ONCE = "once in the plan"  # depth of the hole then


Parts: TypeAlias = frozenset[tuple[Moment, int]]  # moments, each with the index of a section


@dataclass(frozen=True)
class Which:
    """Which of the ledger's questions are asked, where not all of them are wanted.

    Attributes
    ----------
    limits : whose questions are asked
    askers : who asks them; everybody if left out
    parts : moments and sections that are asked; all if left out
    few : ask at the first, a middle and the last depth only: enough to see what moves at all
    """

    limits: tuple[Limit, ...] = LIMITS
    askers: tuple[Asker, ...] | None = None
    parts: Parts | None = None
    few: bool = False

    def asks(self, ask: Asker, *limits: Limit) -> bool:
        """Return whether one who asks about limits (or about what ABOUT has) is asked."""
        about = limits or ABOUT.get(ask, LIMITS)
        wanted = self.askers is None or ask in self.askers
        return wanted and not set(self.limits).isdisjoint(about)

    def at(self, moment: Moment, section: int) -> bool:
        return self.parts is None or (moment, section) in self.parts

    def some(self, depth: Array) -> Array:
        """Return depths; of many the first, a middle and the last, where few are wanted."""
        last = len(depth) - 1
        return depth[np.unique([0, last // 2, last])] if self.few else depth


EVERYTHING: Final = Which()


@dataclass(frozen=True, eq=False)
class Table:
    """One question over the depth of the hole and the density of its mud.

    Attributes
    ----------
    step, check : of the ledger; together its id
    section : index of the section that is drilled or cased; -1 before the first
    depth : rising [m below sea bed], of what ``moment`` says
    density : rising [kg/m3]; one alone where it was asked with the planned mud only; of what
        hangs on the soil, shares of its planned strength
    demand, capacity : (depth, density) SI, NaN where it was not judged
    why : reasons why it was not
    left : (depth, density, node) of what moves with the rock, how much of the capacity is left
        at each node of the frame in the planned rock; NaN where the node was not asked
    """

    step: str
    check: str
    moment: Moment
    section: int
    depth: Array
    density: Array
    demand: Array
    capacity: Array
    unit: str
    why: tuple[str, ...] = ()
    left: Array | None = None

    @property
    def id(self) -> str:
        return f"{self.step}/{self.check}"

    @property
    def limit(self) -> Limit:
        return belongs(self.check).limit


@dataclass(frozen=True, eq=False)
class LedgerDepths:
    """Every tabulated question of a hole.

    Attributes
    ----------
    not_reached : sections and depths that the steps could not come to, and why
    answered : ids of questions that end no hole, and what the crew or the plan has for them
    numbers : of the hole that are drawn, and what they do to the tables
    """

    tables: tuple[Table, ...]
    not_reached: tuple[str, ...] = ()
    answered: tuple[tuple[str, str], ...] = ()
    numbers: tuple[NumberAsked, ...] = ()

    @property
    def checks(self) -> tuple[str, ...]:
        """The ids of the questions, by the numbers that `bites` gives."""
        return tuple(table.id for table in self.tables)

    @property
    def unjudged(self) -> tuple[tuple[str, str], ...]:
        """Questions that somewhere had no answer, and why."""
        return tuple((one.id, "; ".join(one.why)) for one in self.tables if one.why)


def ledger_depths(
    frame: Frame,
    told: Told | None = None,
    which: Which = EVERYTHING,
    muds: tuple[float, ...] = (),
) -> LedgerDepths:
    """Return the ledger of a hole at every depth.

    Parameters
    ----------
    told : called with the name of the section, how many are done and how many there are
    which : of the questions are asked
    muds : one density a section, where it is known and no other need be asked [kg/m3]
    """
    which = same(which)  # so that sections are kept
    named = frame.hole.plan.sections
    found: list[Table] = []
    if which.at(Moment.ONCE, -1):
        found += _once(frame, which)
    faults: list[str] = []
    for index, section in enumerate(named):
        if which.parts is not None and not any(_made_in(one) == index for one in which.parts):
            continue
        if told is not None:
            told(section.name, index, len(named))
        mud = muds[index] if muds else np.nan
        tables, not_reached = _section(frame, index, which, float(mud))
        found += tables
        faults += not_reached
    if told is not None:
        told("", len(named), len(named))
    answered = tuple(_answered(frame)) if which == EVERYTHING else ()
    return LedgerDepths(tuple(found), tuple(faults), answered)


def _answered(frame: Frame) -> Iterator[tuple[str, str]]:
    """Yield the plan's questions that end no hole, each with what there is against it."""
    for state in frame.states:
        for record in records_of(state):
            if record.name in ANSWERED:
                yield record.id, ANSWERED[record.name]
            elif _borne_otherwise(state, record):
                yield record.id, "tight at worst: the ledger tells it with a caution"


def _borne_otherwise(state: HoleState, record: CheckRecord) -> bool:
    """Return whether the ledger fails a question never, however little the capacity.

    It is told as tight with a caution, where only one barrier can be, or where a closed
    preventer holds the hole once the riser is gone.
    """
    if record.name == _RISER_MARGIN and any(one.kind == "mechanical" for one in state.barriers):
        return True
    over = record.margin is not None and record.margin < -ROUNDING
    return over and record.status is not Status.FAILS


# ---- where to ask ------------------------------------------------------------------------


def top_of(frame: Frame, index: int) -> float:
    """Return where a section begins: at the bottom of what is made above it [m below sea bed]."""
    hole = frame.hole
    above = hole.plan.conductor.shoe if index == 0 else hole.plan.sections[index - 1].bottom
    return hole.frame.below_sea_bed(above)


def _bottom(frame: Frame, index: int) -> float:
    """Return the planned bottom of a section, its core drilled out."""
    hole, section = frame.hole, frame.hole.plan.sections[index]
    bottom = hole.frame.below_sea_bed(section.bottom)
    coring = hole.plan.coring
    if coring is not None and section is hole.plan.sections[-1]:
        bottom = max(bottom, hole.frame.below_sea_bed(coring.bottom))
    return bottom


def depths_asked(frame: Frame, index: int) -> Array:
    """Return the depths at which a section is cut.

    Evenly down to its planned bottom, and on either side of every depth at which an end of a
    string part passes a place where the hole around it changes: there the answers jump. Then
    the bottoms of the sections below, and the deepest node: how the string would bear a hole
    that goes on.
    """
    hole, deepest = frame.hole, float(frame.depth[-1])
    top, bottom = top_of(frame, index) + _FIRST, _bottom(frame, index)
    below = [_bottom(frame, i) for i in range(index + 1, len(hole.plan.sections))]
    depths = [*np.linspace(top, bottom, EVEN), *below, deepest]
    coring = hole.plan.coring
    strings = {hole.plan.sections[index].string}
    if coring is not None and index == len(hole.plan.sections) - 1:
        begins = hole.frame.below_sea_bed(coring.top)
        depths += [begins, begins + _FIRST]
        strings.add(coring.string)
    last = index == len(hole.plan.sections) - 1
    for jump in _jumps(frame, index, strings):
        if top + _SIDE < jump < (deepest if last else bottom) - _SIDE:
            depths += [jump - _SIDE, jump + _SIDE]
    unique = np.unique(np.round(depths, 3))
    return np.asarray(unique[(unique >= top) & (unique <= deepest)])


def _jumps(frame: Frame, index: int, strings: set[str]) -> Iterator[float]:
    hole, below = frame.hole, frame.hole.frame.below_sea_bed
    places = [0.0, below(hole.plan.conductor.shoe), float(hole.drill_floor - hole.sea_bed)]
    for section in hole.plan.sections[:index]:
        if section.casing is not None:
            places += [below(section.casing.shoe), below(section.bottom)]
            if not isinstance(section.casing.hung_at, str):
                places.append(below(section.casing.hung_at))
    for name in sorted(strings):
        lengths = [part.length for part in hole.plan.strings[name] if part.length is not None]
        for length in np.cumsum(lengths):
            yield from (place + float(length) for place in places)


def densities_asked(frame: Frame, index: int) -> Array:
    """Return the densities at which a section is asked: the planned one, and one to each side.

    Where mud returns to the sea floor there is no choice, and the planned one stands alone.
    """
    section = frame.hole.plan.sections[index]
    planned = frame.hole.plan.fluids[section.fluid].density
    if section.returns != "riser":
        return np.array([planned])
    lighter = max(planned - SPAN[0], min(_LEAST, planned))
    return np.unique([lighter, planned, planned + SPAN[1]])


# ---- asking ------------------------------------------------------------------------------

# what each asks about, where it is not all that the ledger is about
ABOUT: Final[dict[Asker, frozenset[Limit]]] = {
    window_checks: frozenset(),
    trip_checks: frozenset(),
    shallow_checks: frozenset({Limit.OTHER}),
    kick_checks: frozenset({Limit.OTHER}),
    casing_surge_checks: frozenset(),
    shoe_test_checks: frozenset({Limit.OTHER}),
    barrier_checks: frozenset({Limit.OTHER}),
    bit_fit_checks: frozenset({Limit.DIAMETER}),
    casing_fit_checks: frozenset({Limit.DIAMETER}),
    string_fit_checks: frozenset({Limit.PIPE}),
    stores_checks: frozenset({Limit.PIPE, Limit.OTHER}),
    flow_checks: frozenset({Limit.PUMPS, Limit.CLEANING, Limit.HEAT}),
    string_checks: frozenset({Limit.HOIST, Limit.PIPE}),
    bit_weight_checks: frozenset({Limit.PIPE}),
    string_in_hole_checks: frozenset({Limit.HOIST, Limit.PIPE}),
    running_checks: frozenset({Limit.HOIST, Limit.PIPE, Limit.CASING}),
    casing_strength_checks: frozenset({Limit.CASING}),
    closed_annulus_checks: frozenset({Limit.CASING}),
    cement_checks: frozenset({Limit.PUMPS, Limit.CASING, Limit.OTHER}),
    survey_checks: frozenset({Limit.OTHER}),
    storm_studies: frozenset({Limit.OTHER}),
    riser_checks: frozenset({Limit.RISER, Limit.PREVENTER, Limit.HOIST}),
}


@dataclass(eq=False)
class _Answers:
    """To one question, as they come in."""

    demand: Array
    capacity: Array
    unit: str = ""
    why: dict[str, None] = field(default_factory=dict)
    left: Array | None = None


class _Tables:
    """Answers gathered into tables, one a question."""

    def __init__(
        self, frame: Frame, moment: Moment, section: int, depth: Array, density: Array
    ) -> None:
        self.frame, self.moment, self.section = frame, moment, section
        self.depth, self.density = depth, density
        self.rows: dict[str, set[int]] = {}  # at which depths a step was done
        self.found: dict[tuple[str, str], _Answers] = {}

    def add(self, at: tuple[int, int], state: HoleState, records: Iterable[CheckRecord]) -> None:
        for record in records:
            if not is_tabled(record.name):
                continue
            self.rows.setdefault(record.step, set()).add(at[0])
            found = self.found.setdefault((record.step, record.name), self._nothing())
            if record.demand is None or record.capacity is None:
                found.why[record.reason] = None
                continue
            found.unit = record.demand.unit
            if _borne_otherwise(state, record):
                found.demand[at] = found.capacity[at] = float(record.capacity)
                continue
            found.demand[at], found.capacity[at] = _numbers(record)
            if record.name in ROCK and record.profile is not None:
                self._keep_left(found, at, record.profile)

    def _keep_left(self, found: _Answers, at: tuple[int, int], profile: Profile) -> None:
        """Keep what is left of a capacity at the nodes that were asked."""
        nodes, below = self.frame.depth, self.frame.hole.frame.below_sea_bed
        if found.left is None:
            found.left = np.full((*found.demand.shape, len(nodes)), np.nan)
        depth = np.array([below(one) for one in profile.depths])
        asked = (nodes >= depth[0] - _SIDE) & (nodes <= depth[-1] + _SIDE)
        left = np.interp(nodes, depth, profile.capacity - profile.demand)
        found.left[at] = np.where(asked, left, np.nan)

    def _nothing(self) -> _Answers:
        shape = (len(self.depth), len(self.density))
        return _Answers(np.full(shape, np.nan), np.full(shape, np.nan))

    def tables(self) -> Iterator[Table]:
        for (step, check), found in self.found.items():
            rows, columns = sorted(self.rows[step]), slice(None)
            if check == _BARRIERS and len(self.density) > 1:
                # a count: no mud between two has a share of a barrier, and that the mud of a
                # member holds back its own rock is what the window asks
                planned = int(np.searchsorted(self.density, _planned(self.frame, self.section)[0]))
                columns = slice(planned, planned + 1)
            yield Table(
                step,
                check,
                self.moment,
                self.section,
                self.depth[rows],
                self.density[columns],
                found.demand[rows, columns],
                found.capacity[rows, columns],
                found.unit,
                tuple(found.why),
                None if found.left is None else found.left[rows],
            )


def _numbers(record: CheckRecord) -> tuple[float, float]:
    """Return demand and capacity so that drawn factors can multiply them.

    A margin of overpull is what tension leaves of a strength: told as tension with the margin
    wanted, against the strength. A crew that is slow with pipe pulls the riser slower, but does
    not secure the hole slower: the time to pull stands against what securing leaves of the
    warning. The differences are the same.
    """
    assert record.demand is not None
    assert record.capacity is not None
    demand, capacity = float(record.demand), float(record.capacity)
    if record.name == _MARGIN and isinstance(record.capacity.origin, Working):
        tension = _input(record.capacity.origin, "top_tension")
        return demand + tension, capacity + tension
    if record.name == _STORM and isinstance(record.demand.origin, Solved):
        securing = _input(record.demand.origin, "securing_time")
        return demand - securing, capacity - securing
    return demand, capacity


def _input(origin: Working | Solved, name: str) -> float:
    return next(float(one) for one in origin.inputs if one.name == name)


def tabled_askers(kind: StepKind) -> tuple[Asker, ...]:
    """Return who asks the questions of the tables of a kind of step."""
    return (*askers_of(kind), *((storm_studies,) if kind is StepKind.RUN_RISER else ()))


def asked_of(state: HoleState, which: Which = EVERYTHING) -> tuple[CheckRecord, ...]:
    """Return the ledger's answers on a state, left out those who are not asked."""
    return tuple(
        record
        for ask in tabled_askers(state.step.kind)
        if which.asks(ask)
        for record in answers(ask, state)
    )


@kept(64)
def _section(
    frame: Frame, index: int, which: Which, mud: float
) -> tuple[tuple[Table, ...], tuple[str, ...]]:
    density = densities_asked(frame, index) if np.isnan(mud) else np.array([mud])
    section, faults = frame.hole.plan.sections[index], list[str]()
    tables = list[Table]()
    if which.at(Moment.MAKING, index):
        tables += _making(frame, index, density, which, faults)
    if section.casing is not None:
        tables += _setting(frame, index, density, which, faults)
    if section.returns == "riser":
        if which.at(Moment.BELOW, index) and which.asks(casing_strength_checks, Limit.CASING):
            tables += _below(frame, index, which)
        if which.at(Moment.RISER, index) and which.asks(riser_checks, *_ON_RISER):
            tables += _riser(frame, index, density, which)
    return tuple(one for one in tables if one.limit in which.limits), tuple(faults)


def _made_in(part: tuple[Moment, int]) -> int:
    """Return the section that a part is asked with: a shoe's test with the casing that ends it."""
    moment, section = part
    return section - 1 if moment is Moment.TESTED else section


def _making(
    frame: Frame, index: int, density: Array, which: Which, faults: list[str]
) -> Iterator[Table]:
    depth = which.some(depths_asked(frame, index))
    gathered = _Tables(frame, Moment.MAKING, index, depth, density)
    planned = frame.hole.plan.fluids[frame.hole.plan.sections[index].fluid].density
    for row, bottom in enumerate(depth):
        for column, weight in enumerate(density):
            changed = None if weight == planned else float(weight)
            try:
                states = made_to(frame, cut(frame.hole, index, float(bottom), changed), index)
            except OrderError as error:
                faults.append(str(error))
                break
            gathered.add((row, column), states[-1], asked_of(states[-1], which))
    yield from gathered.tables()


def _setting(
    frame: Frame, index: int, density: Array, which: Which, faults: list[str]
) -> Iterator[Table]:
    """Ask the casing of a section when it is run and cemented, by the depth of its shoe."""
    hole, section = frame.hole, frame.hole.plan.sections[index]
    assert section.casing is not None
    bottom = hole.frame.below_sea_bed(section.bottom)
    shoe = hole.frame.below_sea_bed(section.casing.shoe)
    hung = section.casing.hung_at
    top = max(
        top_of(frame, index), 0.0 if isinstance(hung, str) else hole.frame.below_sea_bed(hung)
    )
    after = min(_bottom(frame, min(index + 1, len(hole.plan.sections) - 1)), float(frame.depth[-1]))
    span = bottom - top
    bottoms = np.unique([*np.linspace(top + span / CASED, bottom, CASED), max(after, bottom)])
    bottoms = which.some(bottoms)
    shoes = bottoms - (bottom - shoe)
    if which.at(Moment.SET, index):
        yield from _cased(frame, index, density, which, faults, (bottoms, shoes))
        if which.asks(first_casing_checks, Limit.OTHER):
            yield from _on_soil(frame, index, bottoms, shoes)
    if which.at(Moment.TESTED, index + 1) and which.asks(shoe_test_checks, Limit.OTHER):
        yield from _testing(frame, index, bottoms, shoes)


def _cased(
    frame: Frame,
    index: int,
    density: Array,
    which: Which,
    faults: list[str],
    ends: tuple[Array, Array],
) -> Iterator[Table]:
    """Ask the casing of a section in every mud at every depth of its bottom and its shoe."""
    bottoms, shoes = ends
    gathered = _Tables(frame, Moment.SET, index, shoes, density)
    for row, end in enumerate(bottoms):
        for column, weight in enumerate(density):
            again = cut(frame.hole, index, float(end), float(weight), deeper=True)
            try:
                states = made_to(frame, again, index, cased=True)
            except OrderError as error:
                faults.append(str(error))
                break
            for state in states[-2:]:
                records = asked_of(state, which)
                kept_here = (one for one in records if one.name not in SOIL)
                gathered.add((row, column), state, kept_here)
    yield from gathered.tables()


def _on_soil(frame: Frame, index: int, bottoms: Array, shoes: Array) -> Iterator[Table]:
    """Ask whether the conductor bears the first casing, in soil of several strengths."""
    hole = frame.hole
    if index > 0 or not hole.earth.has(_STRENGTH):
        return
    gathered = _Tables(frame, Moment.SET, index, shoes, np.array(SHARES))
    for row, end in enumerate(bottoms):
        again = cut(hole, index, float(end), deeper=True)
        try:
            state = made_to(frame, again, index, cased=True)[-2]
        except OrderError:
            continue  # said where all else is asked of this casing
        for column, share in enumerate(SHARES):  # no step hangs on the soil, only what it bears
            soft = asked_again(state, with_soil(again, share))
            gathered.add((row, column), soft, answers(first_casing_checks, soft))
    yield from gathered.tables()


def _testing(frame: Frame, index: int, bottoms: Array, shoes: Array) -> Iterator[Table]:
    """Ask the test of the shoe that a casing ends at, in muds of the section below it."""
    hole, below = frame.hole, index + 1
    tested = [one.step for one in frame.states if one.step.kind is StepKind.TEST_SHOE]
    if not any(step.section == below for step in tested):
        return
    density = densities_asked(frame, below)
    gathered = _Tables(frame, Moment.TESTED, below, shoes, density)
    for row, end in enumerate(bottoms):
        again = cut(hole, index, float(end), deeper=True)
        if len(again.plan.sections) <= below:
            continue  # it goes as deep as the section below it
        try:
            states = made_to(frame, again, index, cased=True)
            for column, weight in enumerate(density):
                state = opened(frame, states[-1], below, float(weight))
                gathered.add((row, column), state, answers(shoe_test_checks, state))
        except OrderError:
            continue  # said where all else is asked of this casing
    yield from gathered.tables()


def _planned(frame: Frame, index: int) -> Array:
    section = frame.hole.plan.sections[index]
    return np.array([frame.hole.plan.fluids[section.fluid].density])


def _below(frame: Frame, index: int, which: Which) -> Iterator[Table]:
    """Ask the casings above a section for the hole below them, cut at a number of depths."""
    standing = {casing.name for casing in frame.states[-1].casings}
    top, bottom = top_of(frame, index) + _FIRST, _bottom(frame, index)
    depth = np.unique([*np.linspace(top, bottom, CASED), max(float(frame.depth[-1]), bottom)])
    depth = which.some(depth)
    gathered = _Tables(frame, Moment.BELOW, index, depth, _planned(frame, index))
    cemented = [
        state
        for state in frame.states
        if state.step.kind is StepKind.CEMENT
        and state.step.section is not None
        and state.step.section < index
        and state.step.casing_of(frame.hole.plan).name in standing
    ]
    for row, end in enumerate(depth):
        again = cut(frame.hole, index, float(end))
        for state in cemented:
            state = asked_again(state, again)
            gathered.add((row, 0), state, answers(casing_strength_checks, state))
    yield from gathered.tables()


def _riser(frame: Frame, index: int, density: Array, which: Which) -> Iterator[Table]:
    """Ask the riser as though this section were the last, with its mud the heaviest on it."""
    landed = [state for state in frame.states if state.step.kind is StepKind.RUN_RISER]
    top, bottom = top_of(frame, index) + _FIRST, _bottom(frame, index)
    depth = np.unique([*np.linspace(top, bottom, CASED), max(float(frame.depth[-1]), bottom)])
    depth = which.some(depth)
    gathered = _Tables(frame, Moment.RISER, index, depth, density)
    for row, end in enumerate(depth):
        for column, weight in enumerate(density):
            again = heaviest_on_riser(cut(frame.hole, index, float(end)), float(weight))
            for state in landed:
                state = asked_again(state, again)
                records = answers(riser_checks, state)
                held = (one for one in records if belongs(one.name).limit in _ON_RISER)
                gathered.add((row, column), state, held)
    yield from gathered.tables()


_TABLED: Final = (
    StepKind.DRILL,
    StepKind.CORE,
    StepKind.RUN_CASING,
    StepKind.CEMENT,
)


def _once(frame: Frame, which: Which) -> Iterator[Table]:
    """Yield what the plan's other steps answer, at the depth that the hole has then."""
    for state in frame.states:
        if state.step.kind in _TABLED:
            continue
        depth = np.array([max(float(state.bottom - frame.hole.sea_bed), 0.0)])
        gathered = _Tables(frame, Moment.ONCE, -1, depth, np.array([np.nan]))
        asked = (
            record
            for record in asked_of(state, which)
            if belongs(record.name).limit in which.limits and not _asked_apart(state, record)
        )
        gathered.add((0, 0), state, asked)
        yield from gathered.tables()
        on_soil = state.step.kind is StepKind.SET_CONDUCTOR
        if on_soil and which.asks(conductor_checks, Limit.OTHER):
            yield from _conductor_on_soil(frame, state, depth)


def _asked_apart(state: HoleState, record: CheckRecord) -> bool:
    """Return whether a question of a step done once is asked over depth, mud or soil."""
    if state.step.kind is StepKind.RUN_RISER:
        return belongs(record.name).limit in _ON_RISER
    return record.name in SOIL or record.name == "shoe-test"


def _conductor_on_soil(frame: Frame, state: HoleState, depth: Array) -> Iterator[Table]:
    """Ask the conductor in soil of several strengths; of an unknown one it says so itself."""
    shares = SHARES if frame.hole.earth.has(_STRENGTH) else (1.0,)
    gathered = _Tables(frame, Moment.ONCE, -1, depth, np.array(shares))
    for column, share in enumerate(shares):
        soft = asked_again(state, with_soil(frame.hole, share))
        records = answers(conductor_checks, soft)
        gathered.add((0, column), soft, (one for one in records if one.name in SOIL))
    yield from gathered.tables()


_ON_RISER: Final = frozenset({Limit.RISER, Limit.PREVENTER})
