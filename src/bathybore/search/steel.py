"""The lightest string of one size that bears every load case: weights and grades, length by length.

What a pipe bears at a depth can be said as a range of the effective tension there, case by
case: the von Mises criterion is a convex set, so the tensions at which the wall stays below
yield lie between two numbers; collapse resistance never grows with tension, so it gives a
greatest one; burst by the API rule does not ask for tension, so it takes all or none.
Effective tension is the buoyed weight of all that hangs below. So a string is a way from the
shoe to the top through (depth, pipe), on which the tension grows by the pipe's weight per
length and must stay inside the range of the pipe in use; the lightest one is found exactly,
label by label, from the shoe up.

A pipe is used for one length at most: crews keep strings simple (common practice).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final, TypeAlias

import numpy as np
import numpy.typing as npt

from bathybore.base.arrays import Array
from bathybore.kernels.held_pipe import thermal_force
from bathybore.kernels.segments import ballooning_force, factored_pressure_difference
from bathybore.kernels.string_mechanics import wall_tension
from bathybore.kernels.tubular_collapse import collapse_pressure_under_tension
from bathybore.kernels.tubular_strength import internal_yield_pressure, pipe_body_area
from bathybore.kernels.tubular_stress import (
    lame_hoop_stress,
    lame_radial_stress,
    von_mises_stress,
)

_Flags: TypeAlias = npt.NDArray[np.bool_]
_Nodes: TypeAlias = npt.NDArray[np.intp]

_HALVINGS: Final = 26  # of the range of axial stress: to some tens of pascals, a newton of force


@dataclass(frozen=True, eq=False)
class Candidate:
    """A pipe that a length of the string may be made of.

    Attributes
    ----------
    weight_per_length : [N/m] in the mud it hangs in
    yield_strength : [Pa] over the nodes, lowered by heat
    tension_limit : [N] greatest effective tension while it is run, factor and shock taken off
    stock : [m] on board
    worn_wall : [m] left once it has been drilled through; zero where no wear is reckoned with
    bending_stress : [Pa] at the outside, where the hole bends it
    cold_yield : [Pa] before heat lowers it; of use where axial force is asked for
    joint_tension, joint_compression : [N] of the connection at room temperature, factor taken off
    burst_efficiency, collapse_efficiency : [-] of the connection, at most 1
    """

    name: str
    outside_diameter: float
    inside_diameter: float
    wall: float
    weight_per_length: float
    yield_strength: Array
    tension_limit: float
    stock: float
    worn_wall: float = 0.0
    bending_stress: float = 0.0
    cold_yield: float = 0.0
    joint_tension: float = 0.0
    joint_compression: float = 0.0
    burst_efficiency: float = 1.0
    collapse_efficiency: float = 1.0


@dataclass(frozen=True, eq=False)
class Loads:
    """One load case over the nodes, top down.

    Attributes
    ----------
    internal_pressure, external_pressure : [Pa]
    placed_internal, placed_external : [Pa] when the ends were fixed; None while it hangs free
    asks : questions of the case: 'triaxial', 'burst', 'collapse', 'axial'
    temperature_change : [K difference] since the ends were fixed
    yield_share : [-] that hot steel keeps of the candidates' yield strength
    """

    name: str
    internal_pressure: Array
    external_pressure: Array
    asks: tuple[str, ...]
    placed_internal: Array | None = None
    placed_external: Array | None = None
    temperature_change: Array | None = None
    yield_share: Array | None = None

    @property
    def held(self) -> bool:
        return self.placed_internal is not None


@dataclass(frozen=True)
class Factors:
    """Design factors, and how strings are put together."""

    burst: float
    collapse: float
    triaxial: float
    shortest_length: float = 100.0  # [m]
    most_lengths: int = 3


@dataclass(frozen=True)
class Length:
    """A length of one pipe, from node ``top`` down to node ``bottom``."""

    pipe: int
    top: int
    bottom: int


@dataclass(frozen=True, eq=False)
class Ranges:
    """The effective tensions [N] that each pipe bears, by case.

    Attributes
    ----------
    cases : names, in the order of the arrays
    low, high : (case, pipe, node); low above high where the pipe bears no tension at all
    """

    cases: tuple[str, ...]
    low: Array
    high: Array

    @property
    def least(self) -> Array:
        """(pipe, node) after all cases."""
        return np.asarray(self.low.max(axis=0))

    @property
    def most(self) -> Array:
        return np.asarray(self.high.min(axis=0))


def tension_ranges(pipes: Sequence[Candidate], loads: Sequence[Loads], factors: Factors) -> Ranges:
    """Return what tension each pipe bears at each node in each case."""
    names, low, high = ["running"], [], []
    nodes = len(pipes[0].yield_strength)
    limit = np.array([[pipe.tension_limit] for pipe in pipes])
    low.append(np.full((len(pipes), nodes), -np.inf))
    high.append(np.broadcast_to(limit, (len(pipes), nodes)))
    fresh, worn = _columns(pipes, worn=False), _columns(pipes, worn=True)
    for case in loads:
        columns = worn if case.held else fresh
        if case.yield_share is not None:
            columns = replace(columns, strength=columns.strength * case.yield_share)
        added = _force_beyond_effective_tension(columns, case)
        for kind, (least, most) in _axial_ranges(columns, case, factors).items():
            names.append(f"{kind}-{case.name}")
            low.append(least - added)
            high.append(most - added)
    return Ranges(tuple(names), np.array(low), np.array(high))


@dataclass(frozen=True, eq=False)
class _Columns:
    """Sizes of all pipes as (pipe, 1) columns, yield as (pipe, node)."""

    outside: Array
    inside: Array
    wall: Array
    strength: Array
    bending: Array
    cold: Array
    joint_tension: Array
    joint_compression: Array
    burst: Array
    collapse: Array

    @property
    def area(self) -> Array:
        return np.asarray(pipe_body_area(self.outside, self.wall))


def _columns(pipes: Sequence[Candidate], worn: bool) -> _Columns:
    def column(field: str) -> Array:
        return np.array([[getattr(one, field)] for one in pipes])

    walls = [(one.worn_wall if worn else 0.0) or one.wall for one in pipes]
    return _Columns(
        outside=column("outside_diameter"),
        inside=column("inside_diameter"),
        wall=np.array([[wall] for wall in walls]),
        strength=np.array([one.yield_strength for one in pipes]),
        bending=column("bending_stress"),
        cold=column("cold_yield"),
        joint_tension=column("joint_tension"),
        joint_compression=column("joint_compression"),
        burst=column("burst_efficiency"),
        collapse=column("collapse_efficiency"),
    )


def _force_beyond_effective_tension(pipes: _Columns, case: Loads) -> Array:
    """Return what the true axial force has on top of the effective tension: pressure forces.

    While a string hangs free these are the pressures of the moment; once its ends are held,
    those of placement, the ballooning since, and what heat or cold adds: of each length as if
    its own ends were held.
    """
    inside, outside = case.internal_pressure, case.external_pressure
    if case.placed_internal is None or case.placed_external is None:
        return np.asarray(wall_tension(0.0, inside, outside, pipes.outside, pipes.inside))
    placed = wall_tension(
        0.0, case.placed_internal, case.placed_external, pipes.outside, pipes.inside
    )
    since = ballooning_force(
        inside - case.placed_internal,
        outside - case.placed_external,
        pipes.outside,
        pipes.inside,
    )
    if case.temperature_change is not None:
        since = since + thermal_force(case.temperature_change, pipes.outside, pipes.inside)
    return np.asarray(placed + since)


def _axial_ranges(pipes: _Columns, case: Loads, factors: Factors) -> dict[str, tuple[Array, Array]]:
    """Return the axial forces [N] that each pipe bears in a case, by the question asked."""
    asked: dict[str, Callable[[], tuple[Array, Array]]] = {
        "triaxial": lambda: _below_yield(pipes, case, factors.triaxial),
        "burst": lambda: _below_burst(pipes, case, factors.burst),
        "collapse": lambda: _above_collapse(pipes, case, factors.collapse),
        "axial": lambda: _within_joint(pipes),
    }
    return {question: asked[question]() for question in case.asks}


def _within_joint(pipes: _Columns) -> tuple[Array, Array]:
    share = pipes.strength / pipes.cold
    return -pipes.joint_compression * share, pipes.joint_tension * share


def _below_yield(pipes: _Columns, case: Loads, factor: float) -> tuple[Array, Array]:
    """Return the forces between which the von Mises stress at bore and outside stays allowed.

    With hoop h and radial r the criterion a² − a (h + r) + h² + r² − h r ≤ s² is a quadratic
    in the axial stress a; both radii must hold. Where the hole bends the pipe, one side has
    the bending stress of that radius more, the other as much less.
    """
    low, high = -np.inf, np.inf
    allowed = (pipes.strength / factor) ** 2
    for radius in (0.5 * pipes.outside - pipes.wall, 0.5 * pipes.outside):
        given = (
            pipes.outside, pipes.wall, case.internal_pressure, case.external_pressure, radius,
        )  # fmt: skip
        hoop, radial = np.asarray(lame_hoop_stress(*given)), np.asarray(lame_radial_stress(*given))
        middle = 0.5 * (hoop + radial)
        room = middle**2 - (hoop**2 + radial**2 - hoop * radial) + allowed
        half = np.where(room >= 0.0, np.sqrt(np.maximum(room, 0.0)), -np.inf)
        half = half - 2.0 * radius / pipes.outside * pipes.bending
        low, high = np.maximum(low, middle - half), np.minimum(high, middle + half)
    return low * pipes.area, high * pipes.area


def _below_burst(pipes: _Columns, case: Loads, factor: float) -> tuple[Array, Array]:
    demand = factored_pressure_difference(case.internal_pressure, case.external_pressure, factor)
    rating = pipes.burst * internal_yield_pressure(pipes.outside, pipes.wall, pipes.strength)
    return _all_or_none(np.asarray(rating >= demand, dtype=bool))


def _all_or_none(holds: _Flags) -> tuple[Array, Array]:
    none = np.where(holds, -np.inf, np.inf)
    return none, -none


def _above_collapse(pipes: _Columns, case: Loads, factor: float) -> tuple[Array, Array]:
    """Return the forces up to which the pipe does not collapse: resistance falls with tension.

    The greatest axial stress is found by halving, only where it decides anything.
    """
    inside = case.internal_pressure
    # a connection that holds a share of the body's pressure asks the more of the body
    demand = factored_pressure_difference(case.external_pressure, inside, factor) / pipes.collapse
    parts = (pipes.outside, pipes.wall, pipes.strength, inside, demand)
    outside, wall, strength, inside, demand = np.broadcast_arrays(*map(np.asarray, parts))

    def holds(axial_stress: Array, at: _Flags) -> _Flags:
        resistance = collapse_pressure_under_tension(
            outside[at], wall[at], strength[at], axial_stress, inside[at]
        )
        return np.asarray(resistance >= demand[at], dtype=bool)

    everywhere = np.ones(demand.shape, dtype=bool)
    always = holds((strength - inside)[everywhere], everywhere).reshape(demand.shape)
    never = ~holds((-strength - inside)[everywhere], everywhere).reshape(demand.shape)
    open_ = ~always & ~never
    low, high = (-strength - inside)[open_], (strength - inside)[open_]
    for _ in range(_HALVINGS if low.size else 0):
        middle = 0.5 * (low + high)
        good = holds(middle, open_)
        low, high = np.where(good, middle, low), np.where(good, high, middle)
    most = np.where(always, np.inf, -np.inf)
    most[open_] = low * np.broadcast_to(pipes.area, demand.shape)[open_]
    return np.full_like(most, -np.inf), most


@dataclass(frozen=True, eq=False)
class _Ways:
    """The lightest ways from the shoe to each node with one set of pipes, the last on top.

    Attributes
    ----------
    tension : [N] at each node, infinite where no way leads
    foot : node at which the topmost length begins
    below : the ways that it stands on; None for the lowest length
    """

    pipe: int
    tension: Array
    foot: _Nodes
    below: _Ways | None

    @property
    def used(self) -> frozenset[int]:
        return frozenset({self.pipe}) | (self.below.used if self.below else frozenset())

    def lengths(self, node: int) -> tuple[Length, ...]:
        """Return the lengths of the way to a node, top down."""
        foot = int(self.foot[node])
        under = self.below.lengths(foot) if self.below else ()
        return (Length(self.pipe, node, foot), *under)


def lightest(
    z: Array, pipes: Sequence[Candidate], ranges: Ranges, factors: Factors
) -> tuple[Length, ...] | None:
    """Return the lengths, top down, of the string with the least weight; None where none bears all.

    Parameters
    ----------
    z : [m] of the nodes, top down

    Notes
    -----
    Of two ways to the same node with the same pipes used, in the same order, the lighter is
    kept: what is above adds the same to both, and less tension is borne wherever more is.
    A string that fails because it hangs with too *little* tension is not mended by making
    its foot heavier.
    """
    least, most = ranges.least, ranges.most
    at_shoe = np.full(len(z), np.inf)
    at_shoe[-1] = 0.0
    ways: list[_Ways | None] = [None]
    whole: list[_Ways] = []
    for _ in range(factors.most_lengths):
        ways = [
            _grown(z, below, at_shoe, index, pipe, least[index], most[index], factors)
            for below in ways
            for index, pipe in enumerate(pipes)
            if below is None or index not in below.used
        ]
        whole += [one for one in ways if one is not None and np.isfinite(one.tension[0])]
    if not whole:
        return None
    return min(whole, key=lambda one: float(one.tension[0])).lengths(0)


def _grown(
    z: Array,
    below: _Ways | None,
    at_shoe: Array,
    index: int,
    pipe: Candidate,
    least: Array,
    most: Array,
    factors: Factors,
) -> _Ways:
    """Return the ways that go on from those below with one length of a pipe.

    Rows of the matrices are the node at which the length begins, columns where it ends.
    """
    start = at_shoe if below is None else below.tension
    begins = np.flatnonzero(np.isfinite(start))
    if not begins.size:
        return _Ways(index, np.full(len(z), np.inf), np.zeros(len(z), dtype=np.intp), below)
    up = z[begins, None] - z[None, :]
    tension = start[begins, None] + pipe.weight_per_length * up
    out = (up >= 0.0) & ~((tension >= least) & (tension <= most))
    last_out = np.max(np.where(out, np.arange(len(z)), -1), axis=1)
    shortest = min(factors.shortest_length, float(z[-1] - z[0]))
    can = (np.arange(len(z)) > last_out[:, None]) & (up >= shortest) & (up <= pipe.stock)
    reached = np.where(can, tension, np.inf)
    best = np.argmin(reached, axis=0)
    return _Ways(index, reached[best, np.arange(len(z))], begins[best], below)


@dataclass(frozen=True)
class Closed:
    """Why no string bears all: the deepest node above which no pipe can go on, and the cases.

    Attributes
    ----------
    node : where every pipe fails, with the least tension that can hang below it
    reasons : for each pipe, the case that it fails there
    """

    node: int
    reasons: tuple[str, ...]


def why_none(z: Array, pipes: Sequence[Candidate], ranges: Ranges, factors: Factors) -> Closed:
    """Return the deepest node at which no pipe bears its load, even with the lightest below it."""
    lightest_foot = min(pipe.weight_per_length for pipe in pipes)
    tension = lightest_foot * (z[-1] - z)
    out = (tension < ranges.low) | (tension > ranges.high)  # (case, pipe, node)
    blocked = np.flatnonzero(np.all(np.any(out, axis=0), axis=0))
    if not blocked.size:
        return Closed(0, tuple("lengths" for _ in pipes))
    node = int(blocked[-1])
    first = np.argmax(out[:, :, node], axis=0)
    return Closed(node, tuple(ranges.cases[int(case)] for case in first))


def allowed_loads(
    outside_diameter: float, wall: float, allowed_stress: float, points: int = 181
) -> tuple[Array, Array]:
    """Return axial forces [N] and pressure differences [Pa] at which a pipe is just at a stress.

    Outside pressure zero; the criterion at bore and at outside, whichever comes first. For a
    direction in the plane the criterion is homogeneous, so the stress of a unit load tells how
    far one may go.
    """
    angle = np.linspace(0.0, 2.0 * np.pi, points)
    area = float(pipe_body_area(outside_diameter, wall))
    # hoop stress is some D / 2t times the pressure: directions are spread as the stresses are
    axial, inside = np.cos(angle), np.sin(angle) * 2.0 * wall / outside_diameter
    worst = np.zeros_like(angle)
    for radius in (0.5 * outside_diameter - wall, 0.5 * outside_diameter):
        hoop = lame_hoop_stress(outside_diameter, wall, inside, 0.0, radius)
        radial = lame_radial_stress(outside_diameter, wall, inside, 0.0, radius)
        stress = von_mises_stress(axial, hoop, radial, 0.0)
        worst = np.maximum(worst, np.asarray(stress))
    reach = allowed_stress / worst
    return reach * axial * area, reach * inside
