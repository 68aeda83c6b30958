"""Who pushes where: thrust of every thruster for a demand, and what is left after a loss.

Axes as for the hull: x forward, y to port, yaw anticlockwise from above; thrust
directions are angles from the bow towards port, and mean the way the ship is pushed.

Every question here is one convex cone program, or a few when sectors are barred:

* a thruster's greatest thrust is a circle (second-order cone);
* its power grows with thrust to the power 3/2, a power cone, so that the limit of a
  switchboard is kept exactly and not by a chord;
* a barred sector cuts the circle into convex pieces; branch and bound chooses among
  them, so the answer is the best over all pieces and not only a good one.
"""

from __future__ import annotations

import heapq
import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, TypeAlias

import clarabel
import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.errors import Fault, InputErrors, NotConverged

_TOLERANCE: Final = 1e-6  # of a thruster's greatest thrust
_EDGE: Final = 1e-5  # nearer than this to the largest factor, nothing is left to choose
_MOST_NODES: Final = 20_000
# Of the way to the edge of a cone, and whether linear systems are refined. Shorter steps close some
# problems that stall just before the end; a largest factor hardly ever wants refined ones.
_WAYS: Final = ((0.99, False), (0.99, True), (0.9, True))


@dataclass(frozen=True)
class PlaneForce:
    """A force in the plane of the sea with its moment: surge [N], sway [N], yaw [N m]."""

    surge: float
    sway: float
    yaw: float

    def times(self, factor: float) -> PlaneForce:
        return PlaneForce(self.surge * factor, self.sway * factor, self.yaw * factor)

    def plus(self, other: PlaneForce) -> PlaneForce:
        return PlaneForce(self.surge + other.surge, self.sway + other.sway, self.yaw + other.yaw)


@dataclass(frozen=True)
class Sector:
    """A range of directions [rad], from ``start`` anticlockwise to ``end``."""

    start: float
    end: float

    @property
    def width(self) -> float:
        return (self.end - self.start) % (2.0 * math.pi)

    def holds(self, direction: float, slack: float = 0.0) -> bool:
        """Return whether a direction lies inside, ``slack`` [rad] away from the edges."""
        turn = (direction - self.start) % (2.0 * math.pi)
        return slack < turn < self.width - slack


@dataclass(frozen=True)
class Thruster:
    """One thruster.

    Attributes
    ----------
    name : how it is called
    x, y : [m] forward of midships, to port of the centre line
    max_thrust : [N] in the conditions looked at, losses taken off
    max_power : [W] drawn at that thrust
    switchboard : the board that feeds it; a lost board takes all of its thrusters
    excluded_sectors : directions of thrust that are barred (wash on a neighbour, the hull, a diver)
    fixed_axis : [rad] direction of a thruster that cannot turn (tunnel); pushes both ways
    weight : [1/N2] cost of thrust squared; by default one over greatest thrust squared
    """

    name: str
    x: float
    y: float
    max_thrust: float
    max_power: float
    switchboard: str = ""
    excluded_sectors: tuple[Sector, ...] = ()
    fixed_axis: float | None = None
    weight: float | None = None

    def power(self, thrust: float) -> float:
        """Return the power [W] drawn for a thrust [N]: thrust to the power 3/2."""
        return self.max_power * math.sqrt(thrust / self.max_thrust) ** 3


@dataclass(frozen=True)
class ThrusterUse:
    """What one thruster is asked for: thrust [N] by axis and in all, direction [rad], power [W]."""

    thruster: Thruster
    forward: float
    port: float

    @property
    def thrust(self) -> float:
        return math.hypot(self.forward, self.port)

    @property
    def direction(self) -> float:
        return math.atan2(self.port, self.forward)

    @property
    def share(self) -> float:
        return self.thrust / self.thruster.max_thrust

    @property
    def power(self) -> float:
        return self.thruster.power(self.thrust)


@dataclass(frozen=True)
class Allocation:
    """The answer: ``uses`` is empty where no combination of thrusts meets the demand."""

    feasible: bool
    uses: tuple[ThrusterUse, ...] = ()

    @property
    def total(self) -> PlaneForce:
        """The force that the thrusters give together."""
        return PlaneForce(
            sum(use.forward for use in self.uses),
            sum(use.port for use in self.uses),
            sum(use.thruster.x * use.port - use.thruster.y * use.forward for use in self.uses),
        )

    def power_by_switchboard(self) -> dict[str, float]:
        """Return the power [W] drawn from each switchboard."""
        power: dict[str, float] = {}
        for use in self.uses:
            power[use.thruster.switchboard] = power.get(use.thruster.switchboard, 0.0) + use.power
        return power


@dataclass(frozen=True)
class Loss:
    """One failure: what is lost, the thrusters that stop, the capability factor that is left."""

    lost: str
    stopped: tuple[str, ...]
    capability_factor: float


# The allowed piece chosen so far for some of the thrusters that have barred sectors.
_Choice: TypeAlias = Mapping[int, Sector]


def allocate(
    thrusters: Sequence[Thruster],
    demand: PlaneForce,
    available_power: Mapping[str, float] | None = None,
) -> Allocation:
    """Return the thrusts that meet a demand at the least weighted sum of squares.

    Parameters
    ----------
    thrusters : those that run
    demand : force that the thrusters must give together (the load, turned round)
    available_power : [W] by switchboard; a board that is not named has no limit

    Returns
    -------
    Allocation
        Not feasible where the demand is out of reach.

    Raises
    ------
    InputErrors
        A thruster or a power limit is not physical.
    NotConverged
        The solver neither solved a problem nor proved it out of reach.
    """
    return allocate_all(thrusters, [demand], available_power)[0]


def allocate_all(
    thrusters: Sequence[Thruster],
    demands: Sequence[PlaneForce],
    available_power: Mapping[str, float] | None = None,
) -> tuple[Allocation, ...]:
    """Return the allocation of each of many demands: as `allocate`, set up once."""
    _check(thrusters, available_power)
    if not thrusters:
        return tuple(Allocation(not any((d.surge, d.sway, d.yaw))) for d in demands)
    program = _Program(thrusters, available_power or {})
    found = [_branch_and_bound(program, demand, maximise=False) for demand in demands]
    return tuple(
        Allocation(False) if one is None else Allocation(True, program.uses(one)) for one in found
    )


def capability_factor(
    thrusters: Sequence[Thruster],
    load: PlaneForce,
    available_power: Mapping[str, float] | None = None,
) -> float:
    """Return the largest factor by which a load can be multiplied and still be held.

    Below 1 the load is not held; factor less 1 is the margin. With no thruster at all
    it is 0.

    Parameters
    ----------
    thrusters : those that run
    load : environmental force on the ship
    available_power : [W] by switchboard; a board that is not named has no limit

    Raises
    ------
    InputErrors
        The load is zero, which any factor leaves zero; or a thruster is not physical.
    NotConverged
        The solver gave up.
    """
    _check(thrusters, available_power)
    _check_load(load)
    return _capability(thrusters, load, available_power)


def _capability(
    thrusters: Sequence[Thruster], load: PlaneForce, power: Mapping[str, float] | None
) -> float:
    if not thrusters:
        return 0.0
    return _largest(_Program(thrusters, power or {}), load)


def _largest(program: _Program, load: PlaneForce) -> float:
    found = _branch_and_bound(program, load.times(-1.0), maximise=True)
    if found is None:
        raise NotConverged("capability: standing still was called out of reach")
    return max(0.0, float(found[-1]) / program.load_scale(load))


def capability_factors(
    thrusters: Sequence[Thruster],
    loads: Array,
    available_power: Mapping[str, float] | None = None,
) -> Array:
    """Return the capability factor of each of many loads: the same programme, set up once.

    Parameters
    ----------
    thrusters : those that run
    loads : surge [N], sway [N] and yaw [N m] along the last axis
    available_power : [W] by switchboard; a board that is not named has no limit

    Raises
    ------
    InputErrors
        A load is zero or not finite, or a thruster is not physical.
    NotConverged
        The solver gave up.
    """
    _check(thrusters, available_power)
    rows = np.asarray(loads, dtype=float)
    flat = rows.reshape(-1, 3)
    if not np.isfinite(flat).all():
        raise InputErrors.one("load", "a force that is not finite", "a load to be held")
    forces = [PlaneForce(*row) for row in flat.tolist()]
    for force in forces:
        _check_load(force)
    if not thrusters:
        return np.zeros(rows.shape[:-1])
    program = _Program(thrusters, available_power or {})
    return np.array([_largest(program, one) for one in forces]).reshape(rows.shape[:-1])


def thruster_losses(
    thrusters: Sequence[Thruster],
    load: PlaneForce,
    available_power: Mapping[str, float] | None = None,
) -> tuple[Loss, ...]:
    """Return the loss of each thruster in turn, the worst first."""
    _check(thrusters, available_power)
    _check_load(load)
    losses = [_loss(one.name, [one.name], thrusters, load, available_power) for one in thrusters]
    return tuple(sorted(losses, key=lambda loss: loss.capability_factor))


def switchboard_losses(
    thrusters: Sequence[Thruster],
    load: PlaneForce,
    available_power: Mapping[str, float] | None = None,
) -> tuple[Loss, ...]:
    """Return the loss of each switchboard in turn with all that it feeds, the worst first."""
    _check(thrusters, available_power)
    _check_load(load)
    boards = dict.fromkeys(one.switchboard for one in thrusters)
    losses = [
        _loss(
            board,
            [one.name for one in thrusters if one.switchboard == board],
            thrusters,
            load,
            available_power,
        )
        for board in boards
    ]
    return tuple(sorted(losses, key=lambda loss: loss.capability_factor))


def worst_single_loss(
    thrusters: Sequence[Thruster],
    load: PlaneForce,
    available_power: Mapping[str, float] | None = None,
) -> Loss:
    """Return the one failure, of a thruster or a switchboard, that leaves the least capability."""
    both = thruster_losses(thrusters, load, available_power) + switchboard_losses(
        thrusters, load, available_power
    )
    return min(both, key=lambda loss: loss.capability_factor)


def _loss(
    lost: str,
    stopped: Sequence[str],
    thrusters: Sequence[Thruster],
    load: PlaneForce,
    available_power: Mapping[str, float] | None,
) -> Loss:
    left = [one for one in thrusters if one.name not in stopped]
    return Loss(lost, tuple(stopped), _capability(left, load, available_power))


def _check_load(load: PlaneForce) -> None:
    if not any((load.surge, load.sway, load.yaw)):
        raise InputErrors.one("load", "no force at all", "a load to be held")


def _check(thrusters: Sequence[Thruster], power: Mapping[str, float] | None) -> None:
    faults = [fault for one in thrusters for fault in _faults(one)]
    names = [one.name for one in thrusters]
    for name in dict.fromkeys(name for name in names if names.count(name) > 1):
        faults.append(Fault(f"thruster {name}", "two of that name", "one name a thruster"))
    boards = {one.switchboard for one in thrusters}
    for board, limit in (power or {}).items():
        where = f"switchboard {board}"
        if board not in boards:
            # a misspelt board would silently lose its limit
            faults.append(Fault(where, "a board that feeds nothing", "the board of a thruster"))
        if not limit > 0.0:
            fix = "Leave out the thrusters of a dead board."
            faults.append(Fault(where, f"{limit} W", "a power above zero", fix))
    if faults:
        raise InputErrors(faults)


def _faults(one: Thruster) -> Iterator[Fault]:
    where = f"thruster {one.name}"
    if not (one.max_thrust > 0.0 and one.max_power > 0.0):
        fix = "Leave out a thruster that does not run."
        yield Fault(where, "thrust or power not above zero", "both above zero", fix)
    if one.weight is not None and not one.weight > 0.0:
        yield Fault(where, f"weight {one.weight}", "a weight above zero")
    if one.fixed_axis is not None and one.excluded_sectors:
        yield Fault(where, "a fixed axis and barred sectors", "one or the other")
    if any(sector.width == 0.0 for sector in one.excluded_sectors):
        yield Fault(where, "a barred sector from an angle to itself", "two different angles")
    elif one.excluded_sectors and not _pieces(one):
        fix = "Leave out a thruster that may push nowhere."
        yield Fault(where, "every direction barred", "some direction allowed", fix)


def _pieces(thruster: Thruster) -> tuple[Sector, ...]:
    """Return the allowed directions as convex pieces: arcs of at most half a turn."""
    barred = sorted(
        (sector.start % (2.0 * math.pi), sector.width) for sector in thruster.excluded_sectors
    )
    merged: list[tuple[float, float]] = []
    for start, width in barred:
        if merged and start <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(merged[-1][1], start + width))
        else:
            merged.append((start, start + width))
    # the last sector may reach round past the first ones
    while len(merged) > 1 and merged[-1][1] >= merged[0][0] + 2.0 * math.pi:
        first = merged.pop(0)
        merged[-1] = (merged[-1][0], max(merged[-1][1], first[1] + 2.0 * math.pi))
    pieces: list[Sector] = []
    for index, (_, end) in enumerate(merged):
        following = merged[(index + 1) % len(merged)][0]
        gap = following + (2.0 * math.pi if index == len(merged) - 1 else 0.0) - end
        parts = math.ceil(gap / math.pi - 1e-12)
        pieces += [
            Sector(end + gap * part / parts, end + gap * (part + 1) / parts)
            for part in range(parts)
        ]
    return tuple(pieces)


@dataclass(frozen=True)
class _Chord:
    """A barred sector by the chord between its edges, for thrusts of size one.

    Attributes
    ----------
    forward, port : direction of its middle
    reach : how far the chord is from the centre; below zero for more than half a turn
    """

    sector: Sector
    forward: float
    port: float
    reach: float

    @classmethod
    def of(cls, sector: Sector) -> _Chord:
        middle = sector.start + 0.5 * sector.width
        return cls(sector, math.cos(middle), math.sin(middle), math.cos(0.5 * sector.width))


class _Program:
    """The cone program of one set of thrusters, in shares of greatest thrust.

    Unknowns: two components of thrust a thruster, then its share and its power share
    where its board is limited, then (to maximise) the scaled load factor.
    """

    def __init__(self, thrusters: Sequence[Thruster], power: Mapping[str, float]) -> None:
        self.thrusters = tuple(thrusters)
        # a board that all its thrusters together cannot exhaust limits nothing
        power = {
            board: limit
            for board, limit in power.items()
            if sum(one.max_power for one in thrusters if one.switchboard == board) > limit
        }
        self._problems: dict[Any, _Problem] = {}
        self.pieces = [_pieces(one) if one.excluded_sectors else () for one in self.thrusters]
        self.barred = [
            (index, [_Chord.of(sector) for sector in self.thrusters[index].excluded_sectors])
            for index, pieces in enumerate(self.pieces)
            if pieces
        ]
        self.limited = {
            index: 2 * len(self.thrusters) + 2 * place
            for place, index in enumerate(
                index for index, one in enumerate(self.thrusters) if one.switchboard in power
            )
        }
        self.boards = power
        self.force_scale = sum(one.max_thrust for one in self.thrusters) or 1.0
        self.arm_scale = max((math.hypot(one.x, one.y) for one in self.thrusters), default=1.0)
        self.arm_scale = self.arm_scale or 1.0

    def scaled(self, force: PlaneForce) -> Array:
        moment = self.force_scale * self.arm_scale
        return np.array(
            [force.surge / self.force_scale, force.sway / self.force_scale, force.yaw / moment]
        )

    def load_scale(self, load: PlaneForce) -> float:
        """Return the size of a load, by which its factor is scaled for the solver."""
        return math.hypot(*self.scaled(load))

    def uses(self, solution: Array) -> tuple[ThrusterUse, ...]:
        return tuple(
            ThrusterUse(
                one,
                float(solution[2 * index] * one.max_thrust),
                float(solution[2 * index + 1] * one.max_thrust),
            )
            for index, one in enumerate(self.thrusters)
        )

    def solve(
        self, demand: PlaneForce, chosen: _Choice, maximise: bool
    ) -> tuple[float, Array] | None:
        """Return cost and solution of one convex problem, None where it is out of reach."""
        key = maximise, tuple(sorted(chosen.items(), key=lambda one: one[0])) if chosen else ()
        if key not in self._problems:
            self._problems[key] = self._problem(chosen, maximise)
        problem = self._problems[key]
        try:
            return problem.solve(self.scaled(demand))
        except NotConverged:
            if maximise:
                raise
            return self._at_the_edge(demand, chosen, problem.quadratic)

    def _problem(self, chosen: _Choice, maximise: bool) -> _Problem:
        size = 2 * len(self.thrusters) + 2 * len(self.limited) + int(maximise)
        rows: list[tuple[Array, float]] = []
        cones: list[Any] = []

        def add(cone: Any, block: Sequence[tuple[dict[int, float], float]]) -> None:
            for terms, bound in block:
                row = np.zeros(size)
                for column, value in terms.items():
                    row[column] = value
                rows.append((row, bound))
            cones.append(cone)

        self._add_balance(add, size - 1 if maximise else None)
        self._add_limits(add)
        self._add_chords(add, chosen)
        self._add_pieces(add, chosen)
        return _Problem(*self._cost(size, maximise), rows, cones, maximise)

    def _at_the_edge(
        self, demand: PlaneForce, chosen: _Choice, quadratic: Array
    ) -> tuple[float, Array] | None:
        """Decide by the largest factor where a demand is so near the limit that solvers stall.

        Just inside the limit nothing is left to choose: the thrusts of the largest
        factor, scaled back to the demand, are the answer.
        """
        found = self.solve(demand, chosen, maximise=True)
        if found is None:
            return None
        factor = float(found[1][-1]) / self.load_scale(demand)
        if factor < 1.0:
            return None
        if factor > 1.0 + _EDGE:
            raise NotConverged("thrust allocation: a demand within reach was not solved")
        thrusts = found[1][:-1] / factor
        return 0.5 * float(thrusts @ (quadratic * thrusts)), thrusts

    def _cost(self, size: int, maximise: bool) -> tuple[Array, Array]:
        diagonal, linear = np.zeros(size), np.zeros(size)
        if maximise:
            linear[-1] = -1.0
            return diagonal, linear
        weights = np.array(
            [1.0 if w.weight is None else w.weight * w.max_thrust**2 for w in self.thrusters]
        )
        # the scale of the weights does not change the answer; about 1 suits the solver
        diagonal[: 2 * len(weights)] = np.repeat(weights / np.mean(weights), 2)
        return diagonal, linear

    def _add_balance(self, add: Any, factor: int | None) -> None:
        """Balance stands first; the demand is put in when it is asked for."""
        balance: list[dict[int, float]] = [{}, {}, {}]
        for index, one in enumerate(self.thrusters):
            share = one.max_thrust / self.force_scale
            balance[0][2 * index] = share
            balance[1][2 * index + 1] = share
            balance[2][2 * index] = -share * one.y / self.arm_scale
            balance[2][2 * index + 1] = share * one.x / self.arm_scale
        if factor is not None:
            balance = [{**row, factor: -1.0} for row in balance]
        block = [(row, 0.0) for row in balance]
        add(clarabel.ZeroConeT(3), block)

    def _add_limits(self, add: Any) -> None:
        for index, one in enumerate(self.thrusters):
            forward, port = 2 * index, 2 * index + 1
            circle = [({forward: -1.0}, 0.0), ({port: -1.0}, 0.0)]
            add(clarabel.SecondOrderConeT(3), [({}, 1.0), *circle])
            if one.fixed_axis is not None:
                across = {forward: -math.sin(one.fixed_axis), port: math.cos(one.fixed_axis)}
                add(clarabel.ZeroConeT(1), [(across, 0.0)])
            if index in self.limited:
                share = self.limited[index]
                power = share + 1
                add(clarabel.SecondOrderConeT(3), [({share: -1.0}, 0.0), *circle])
                # power^(2/3) * 1^(1/3) >= share, that is power >= share^(3/2)
                add(
                    clarabel.PowerConeT(2.0 / 3.0),
                    [({power: -1.0}, 0.0), ({}, 1.0), ({share: -1.0}, 0.0)],
                )
        for board, limit in self.boards.items():
            drawn = {
                self.limited[index] + 1: one.max_power / limit
                for index, one in enumerate(self.thrusters)
                if one.switchboard == board
            }
            add(clarabel.NonnegativeConeT(1), [(drawn, 1.0)])

    def _add_chords(self, add: Any, chosen: _Choice) -> None:
        """Keep thrusters whose piece is not chosen within the convex hull of what is allowed.

        Beyond the chord between the edges of a barred sector no mixture of allowed thrusts
        reaches. A pull towards the sector then ends at one of its edges, which is allowed,
        and hardly anything is left to choose.
        """
        for index, chords in self.barred:
            for chord in chords if index not in chosen else ():
                if chord.reach <= 0.0:
                    continue
                along = {2 * index: chord.forward, 2 * index + 1: chord.port}
                if index in self.limited:
                    # the share that draws the power is that of a mixture of both edges
                    block = ({**along, self.limited[index]: -chord.reach}, 0.0)
                else:
                    block = (along, chord.reach)
                add(clarabel.NonnegativeConeT(1), [block])

    def _add_pieces(self, add: Any, chosen: _Choice) -> None:
        """A piece of at most half a turn lies left of its start and right of its end."""
        for index, piece in chosen.items():
            forward, port = 2 * index, 2 * index + 1
            start, end = piece.start, piece.start + piece.width
            add(
                clarabel.NonnegativeConeT(2),
                [
                    ({forward: math.sin(start), port: -math.cos(start)}, 0.0),
                    ({forward: -math.sin(end), port: math.cos(end)}, 0.0),
                ],
            )

    def astray(self, solution: Array) -> int | None:
        """Return the thruster that pushes hardest into a barred sector, if one does."""
        worst, strongest = None, _TOLERANCE
        for index, chords in self.barred:
            forward, port = float(solution[2 * index]), float(solution[2 * index + 1])
            share = math.hypot(forward, port)
            if share <= strongest:
                continue
            for chord in chords:
                if forward * chord.forward + port * chord.port <= share * chord.reach:
                    continue  # outside, without asking for angles
                slack = math.asin(min(1.0, _TOLERANCE / share))
                if chord.sector.holds(math.atan2(port, forward), slack):
                    worst, strongest = index, share
        return worst


class _Problem:
    """One convex problem, set up once for all demands: they only change three of its numbers."""

    def __init__(
        self,
        quadratic: Array,
        linear: Array,
        rows: list[tuple[Array, float]],
        cones: list[Any],
        maximise: bool,
    ) -> None:
        self.quadratic, self.linear, self.cones = quadratic, linear, cones
        self.maximise = maximise
        self.cost = _sparse(np.diag(quadratic))
        self.matrix = _sparse(np.array([row for row, _ in rows]))
        self.bounds = np.array([bound for _, bound in rows])
        self._solvers: dict[tuple[float, bool], Any] = {}

    def solve(self, demand: Array) -> tuple[float, Array] | None:
        status = None
        for way in _WAYS if self.maximise else _WAYS[1:]:
            answer = self._ready(way, demand).solve()
            if answer.status == clarabel.SolverStatus.Solved:
                return float(answer.obj_val), np.asarray(answer.x, dtype=np.float64)
            if answer.status == clarabel.SolverStatus.PrimalInfeasible:
                return None
            status = answer.status
        raise NotConverged(f"thrust allocation: the solver ended with '{status}'")

    def _ready(self, way: tuple[float, bool], demand: Array) -> Any:
        """Return the solver with a demand put in: as its direction, or as what is to be met."""
        if self.maximise:
            self.matrix.data[-3:] = demand / -math.hypot(*demand)  # the last column
        else:
            self.bounds[:3] = demand
        solver = self._solvers.get(way)
        if solver is None:
            settings = clarabel.DefaultSettings()
            settings.verbose = False
            settings.max_threads = 1
            settings.max_step_fraction, settings.iterative_refinement_enable = way
            settings.presolve_enable = False  # it would forbid to put in another demand
            parts = (self.cost, self.linear, self.matrix, self.bounds, self.cones, settings)
            solver = self._solvers[way] = clarabel.DefaultSolver(*parts)
        elif self.maximise:
            solver.update(A=self.matrix.data)
        else:
            solver.update(b=self.bounds)
        return solver


def _sparse(dense: Array) -> Any:
    """Return a small matrix by its columns, without what a general way to do it asks first."""
    # imported here: the face must start without paying for the sparse matrices
    from scipy.sparse import csc_matrix

    columns, rows = np.nonzero(dense.T)
    begins = np.searchsorted(columns, np.arange(dense.shape[1] + 1))
    return csc_matrix((dense[rows, columns], rows, begins), shape=dense.shape)


def _branch_and_bound(program: _Program, demand: PlaneForce, maximise: bool) -> Array | None:
    """Return the best solution over all choices of allowed pieces, None if there is none.

    Each node's problem leaves the thrusters without a choice free, so its cost bounds
    the cost of every choice below it; the node of least bound goes first, and the
    first one that breaks no sector is the best of all.
    """
    order = itertools.count()
    first = program.solve(demand, {}, maximise)
    if first is None:
        return None
    open_nodes: list[tuple[float, int, _Choice, Array]] = [(first[0], next(order), {}, first[1])]
    while open_nodes:
        _, count, chosen, solution = heapq.heappop(open_nodes)
        if count > _MOST_NODES:
            raise NotConverged("thrust allocation: too many combinations of barred sectors")
        index = program.astray(solution)
        if index is None:
            return solution
        for piece in program.pieces[index]:
            child = {**chosen, index: piece}
            solved = program.solve(demand, child, maximise)
            if solved is not None:
                heapq.heappush(open_nodes, (solved[0], next(order), child, solved[1]))
    return None
