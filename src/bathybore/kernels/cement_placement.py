"""A cement job followed in time: interfaces, free fall and pressures, volume by volume.

The way of the fluids is one channel: down the string and the casing, out at the shoe, up the
annulus. A parcel is told by the volume pumped before it, so that after a volume ``out`` has
left the top of the annulus the parcel ``m`` stands at the volume ``out - m`` along the way.
While the heavier column inside falls faster than the pump follows, ``out`` runs ahead of the
volume pumped and the difference is the void under the pump: nothing is lost by construction.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.errors import NotConverged
from bathybore.base.registry import Limit, published

DOWN, UP = 0, 1  # the two limbs of the way


@published(
    formula="p_p = Delta p_f + p_2 - p_1",
    source="definition",
    where="balance of pressures round the bend at the shoe; steady flow",
    example={
        "friction_pressure": "2 MPa",
        "pressure_outside_at_shoe": "62 MPa",
        "pressure_inside_at_shoe": "60 MPa",
    },
    caution="Below zero the column inside falls by itself and leaves a void under the pump.",
)
def placing_pump_pressure(
    friction_pressure: Real, pressure_outside_at_shoe: Real, pressure_inside_at_shoe: Real
) -> Real:
    """Pressure that the cementing unit needs to keep the fluids moving.

    Parameters
    ----------
    friction_pressure : [Pa]
        Friction down the string and up the annulus.
    pressure_outside_at_shoe : [Pa]
        Weight of the annulus down to the shoe, with what stands on it.
    pressure_inside_at_shoe : [Pa]
        Weight of the fluids inside down to the shoe.

    Returns
    -------
    pump_pressure : [Pa]
        Pressure at the surface.
    """
    return friction_pressure + pressure_outside_at_shoe - pressure_inside_at_shoe


@published(
    formula='F_"po" = pi/4 (D^2 Delta p_o - d^2 Delta p_i)',
    source="definition",
    where="effective weight of a pipe: what the columns outside and inside weigh more than mud",
    example={
        "external_pressure_change": "4 MPa",
        "internal_pressure_change": "1 MPa",
        "outside_diameter": "13 3/8 in",
        "inside_diameter": "12.347 in",
    },
    caution="Above the weight of the casing in mud only its latch keeps it in the hole.",
)
def uplift_while_placing(
    external_pressure_change: Real,
    internal_pressure_change: Real,
    outside_diameter: Real,
    inside_diameter: Real,
) -> Real:
    """Upward force on a casing while heavier fluids stand along it, friction outside included.

    With mud of one density inside and outside the casing weighs its weight in mud. A heavier
    column outside lifts it on its whole section, a heavier one inside holds it down on its bore.

    Parameters
    ----------
    external_pressure_change : [Pa]
        What the pressure outside gains along the casing, less what mud gains.
    internal_pressure_change : [Pa]
        What the weight of the fluids inside gains along the casing, less what mud gains.
    outside_diameter : [m]
        Outside diameter.
    inside_diameter : [m]
        Bore.

    Returns
    -------
    pump_out_force : [N]
        Upward force against the weight in mud.
    """
    lifted = outside_diameter**2 * np.asarray(external_pressure_change)
    return np.pi / 4.0 * (lifted - inside_diameter**2 * np.asarray(internal_pressure_change))


@published(
    formula="r_n = ((1 - e)/(1 + e))^(1 + 1\\/n), quad e = 1 - S_o",
    source="definition",
    where="laminar power-law flow in a slot of local width, narrow side over wide side",
    valid={"standoff": Limit(0.0, 1.0), "flow_index": Limit(0.2, 1.0)},
    validity_note="Laminar; a yield stress slows the narrow side further or stops it.",
    example={"standoff": "0.7", "flow_index": "0.6"},
)
def narrow_side_velocity_ratio(standoff: Real, flow_index: Real) -> Real:
    """Mean velocity on the narrow side of an eccentric annulus over that on its wide side.

    Parameters
    ----------
    standoff : [-]
        Least distance of the casing from the wall over the distance when it is in the middle.
    flow_index : [-]
        Flow index n.

    Returns
    -------
    narrow_side_velocity_ratio : [-]
        One in the middle, zero where the casing lies on the wall.
    """
    off = 1.0 - np.asarray(standoff)
    return ((1.0 - off) / (1.0 + off)) ** (1.0 + 1.0 / np.asarray(flow_index))


@published(
    formula="g_f = (4 tau_y) / (S_o (d_o - d_i))",
    source="definition",
    where="plug as wide as the narrow side: no gap of a yielding fluid moves below it",
    valid={"standoff": Limit(0.01, 1.0)},
    example={
        "yield_stress": "4 Pa",
        "standoff": "0.7",
        "annulus_outer_diameter": "12.25 in",
        "annulus_inner_diameter": "9.625 in",
    },
)
def narrow_side_start_gradient(
    yield_stress: Real, standoff: Real, annulus_outer_diameter: Real, annulus_inner_diameter: Real
) -> Real:
    """Pressure per length that sets the fluid on the narrow side moving.

    Parameters
    ----------
    yield_stress : [Pa]
        Yield stress of the fluid that has to move.
    standoff : [-]
        Least distance of the casing from the wall over the distance when it is in the middle.
    annulus_outer_diameter : [m]
        Diameter of the hole.
    annulus_inner_diameter : [m]
        Outside diameter of the casing.

    Returns
    -------
    friction_gradient : [Pa/m]
        Pressure per length, buoyancy left aside.
    """
    gap = standoff * (np.asarray(annulus_outer_diameter) - annulus_inner_diameter)
    return 4.0 * yield_stress / gap


# ---- the march ---------------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class Way:
    """The channel of a cement job, piece by piece in the order of the flow.

    Attributes
    ----------
    start : (piece) depth at which each piece begins [m]
    length : (piece) [m]
    area : (..., piece) [m2]
    limb : (piece) DOWN inside, UP outside
    """

    start: Array
    length: Array
    area: Array
    limb: np.ndarray

    @property
    def volume(self) -> Array:
        return self.area * self.length

    @property
    def inside(self) -> Array:
        """Volume of the limb that goes down."""
        return np.asarray(np.sum(self.volume * (self.limb == DOWN), axis=-1))

    @property
    def shoe(self) -> float:
        """Depth of the bend."""
        return float(self.start[self.limb == UP][0])

    @property
    def sign(self) -> Array:
        return np.where(self.limb == DOWN, 1.0, -1.0)


@dataclass(frozen=True, eq=False)
class Fluids:
    """What goes through the way, in the order in which it comes out, and what it resists.

    Attributes
    ----------
    begin : (..., fluid) volume pumped before each; the first two stand in the hole at the start
        and have none: outside (minus infinity) and inside (less the volume inside)
    node_top, node_step : of the depth nodes of the columns [m]
    column : (..., limb, fluid, node) pressure under each fluid alone, down each limb [Pa]
    rates : (rate) rising flow rates, the first next to nothing [m3/s]
    friction : (..., piece, fluid, rate) friction gradient [Pa/m]
    exit_pressure : where the annulus ends [Pa]
    """

    begin: Array
    node_top: float
    node_step: float
    column: Array
    rates: Array
    friction: Array
    exit_pressure: Real


@dataclass(frozen=True, eq=False)
class Placed:
    """A cement job in time; arrays over *(..., time)*, further axes behind.

    Attributes
    ----------
    pumped, out : volumes into the string, and out of the top of the annulus [m3]
    void : volume empty under the pump [m3]
    rate : out of the annulus since the time before [m3/s]
    pump_pressure : at the surface; none while there is a void [Pa]
    friction : of all the way [Pa]
    inside, outside : weight of the fluids down each limb to the shoe, what stands on it
        included [Pa]
    """

    way: Way
    fluids: Fluids
    pumped: Array
    out: Array
    void: Array
    rate: Array
    pump_pressure: Array
    friction: Array
    inside: Array
    outside: Array


def march_placement(
    way: Way, fluids: Fluids, time: Array, pumped: Array, greatest_out: Real
) -> Placed:
    """Follow a cement job; leading axes are realisations.

    At each moment the flow is steady: weight round the bend and friction balance, no inertia.
    With nothing under the pump but air the columns move by themselves; where they would move
    slower than the pump pushes, the pump has its pressure back. A float keeps them from turning.
    Balance is struck at the end of each span of time, so that it cannot swing.

    Parameters
    ----------
    time : (time) [s]
    pumped : (time) volume pumped by then, never falling [m3]
    greatest_out : volume out at which the plug lands and nothing goes on [m3]

    Raises
    ------
    NotConverged
        The fall is faster than the fastest flow that friction was worked out for.
    """
    shape = np.broadcast_shapes(
        np.shape(greatest_out), fluids.begin.shape[:-1], way.area.shape[:-1],
        fluids.column.shape[:-3], fluids.friction.shape[:-3],
    )  # fmt: skip
    span = np.diff(time)
    rate = np.concatenate([[0.0], np.diff(pumped) / span])
    pushes = _pushes(way, fluids, np.broadcast_to(pumped, (*shape, len(time))), rate)
    out = [np.zeros(shape)]
    flow = np.full(shape, float(rate[-1]))
    for index in range(1, len(time)):
        before, target = out[-1], np.full(shape, pumped[index])
        falls = (before > pumped[index - 1]) | ~pushes[..., index]
        falls &= before < greatest_out
        if falls.any():
            flow = _falling(way, fluids, before, target, float(span[index - 1]), flow)
        moved = np.maximum(before + flow * span[index - 1], target)
        landed = np.minimum(moved, np.maximum(greatest_out, before))
        out.append(np.where(falls, landed, np.maximum(before, np.minimum(target, greatest_out))))
    gone = np.stack(out, axis=-1)
    moves = np.diff(gone, axis=-1, prepend=gone[..., :1]) / np.concatenate([[1.0], span])
    moves[..., 0] = moves[..., 1]  # at the start nothing has moved: it is told as a moment later
    return _told(way, fluids, np.broadcast_to(pumped, gone.shape), gone, moves)


def _pushes(way: Way, fluids: Fluids, pumped: Array, rate: Array) -> np.ndarray:
    """Return whether the pump has its pressure at each time, the string being full."""
    reach = _reach(way, interfaces(way, fluids, pumped, pumped))
    weight = np.sum(_weights(way, _one_more(fluids), reach), axis=(-2, -1))
    flow = np.broadcast_to(rate, pumped.shape)
    friction = np.sum(_lengths(reach) * _gradient_at(fluids, flow), axis=(-2, -1))
    return np.asarray(friction >= weight - _exit(fluids, 1))


def _told(way: Way, fluids: Fluids, pumped: Array, out: Array, rate: Array) -> Placed:
    reach = _reach(way, interfaces(way, fluids, out, pumped))
    weight = np.sum(_weights(way, _one_more(fluids), reach), axis=-1)
    friction = np.sum(_lengths(reach) * _gradient_at(fluids, rate), axis=(-2, -1))
    inside, outside = weight[..., DOWN], _exit(fluids, 1) - weight[..., UP]
    void = np.maximum(out - pumped, 0.0)
    needed = placing_pump_pressure(friction, outside, inside)
    full = void <= 1e-9 * np.maximum(out, 1.0)
    pressure = np.where(full, np.maximum(needed, 0.0), 0.0)
    return Placed(way, fluids, pumped, out, void, rate, pressure, friction, inside, outside)


def _one_more(fluids: Fluids) -> Fluids:
    """Return the fluids with an axis for the times before those of their own."""
    return Fluids(
        fluids.begin[..., None, :], fluids.node_top, fluids.node_step,
        fluids.column[..., None, :, :, :], fluids.rates, fluids.friction[..., None, :, :, :],
        np.asarray(fluids.exit_pressure)[..., None],
    )  # fmt: skip


def _exit(fluids: Fluids, axes: int) -> Array:
    return np.asarray(fluids.exit_pressure)[(..., *(None,) * axes)]


def interfaces(way: Way, fluids: Fluids, out: Array, pumped: Array) -> Array:
    """Return where each fluid ends, its forward end first, as volume along the way (..., fluid+1).

    The last is the end of the newest fluid: the foot of the void, zero without one.
    """
    begin, whole = (
        _over_time(one, out) for one in (fluids.begin, np.sum(way.volume, axis=-1, keepdims=True))
    )
    newest = np.maximum(out - pumped, 0.0)[..., None]
    # a fluid that is not pumped yet stands at the foot of the void, with no length
    ends = np.concatenate([np.maximum(out[..., None] - begin, newest), newest], axis=-1)
    return np.asarray(np.minimum(ends, whole))


def _over_time(row: Array, out: Array) -> Array:
    """Return rows *(realisation, row)* so that they stand beside times *(realisation, time)*."""
    return row[..., None, :] if row.ndim > 1 and out.ndim >= row.ndim else row


def _reach(way: Way, ends: Array) -> Array:
    """Return how far into each piece an end has come [m] (..., piece, end)."""
    before = np.cumsum(way.volume, axis=-1) - way.volume
    area, before = (_over_time(row, ends[..., 0]) for row in (way.area, before))
    into = (ends[..., None, :] - before[..., :, None]) / area[..., :, None]
    return np.asarray(np.clip(into, 0.0, way.length[:, None]))


def _lengths(reach: Array) -> Array:
    """Return the length of each fluid in each piece [m] (..., piece, fluid)."""
    return reach[..., :-1] - reach[..., 1:]


def _picked(table: Array, at: np.ndarray) -> Array:
    """Return entries of the last axis of a table; leading axes stretch, ``at`` has the same."""
    rows = np.arange(0, table.size, table.shape[-1]).reshape(*table.shape[:-1], 1)
    return np.asarray(np.take(table, rows + at))


def _column_at(fluids: Fluids, column: Array, z: Array) -> Array:
    """Return a column's pressure at depths; both end in (..., fluid, place)."""
    place = (z - fluids.node_top) / fluids.node_step
    low = np.minimum(np.maximum(place.astype(int), 0), column.shape[-1] - 2)
    below, above = _picked(column, low), _picked(column, low + 1)
    return np.asarray(below + (place - low) * (above - below))


def _weights(way: Way, fluids: Fluids, reach: Array) -> Array:
    """Return what each fluid adds to the pressure along each limb (..., limb, fluid).

    Down it adds, up it takes. ``reach`` is how far each end has come into each piece.
    """
    down = np.sum(reach[..., way.limb == DOWN, :], axis=-2)
    up = np.sum(reach[..., way.limb == UP, :], axis=-2)
    z = np.stack([way.start[0] + down, way.shoe - up], axis=-2)  # (..., limb, end)
    both = np.stack([z[..., :-1], z[..., 1:]], axis=-1)
    found = _column_at(fluids, fluids.column, both)
    return np.asarray(found[..., 0] - found[..., 1])


def _gradient_at(fluids: Fluids, rate: Array) -> Array:
    """Return the friction gradient at a flow rate (..., time, piece, fluid); none at rest."""
    rates, table = fluids.rates, fluids.friction[..., None, :, :, :]
    held = np.clip(rate, rates[0], rates[-1])
    low = np.clip(np.searchsorted(rates, held, side="right") - 1, 0, len(rates) - 2)
    part = ((held - rates[low]) / (rates[low + 1] - rates[low]))[..., None, None]
    at = low[..., None, None, None]
    below, above = _picked(table, at)[..., 0], _picked(table, at + 1)[..., 0]
    return np.where((rate > 0.0)[..., None, None], below + part * (above - below), 0.0)


def _falling(
    way: Way, fluids: Fluids, out: Array, pumped: Array, span: float, start: Array
) -> Array:
    """Return the flow rate at which weight and friction balance at the end of a span of time.

    Newton's rule on the slope of the weight, friction being a table of the flow; a step that
    would leave the flows already seen to be too small or too great halves what is between.
    """
    rates, nudge = fluids.rates, 1e-6 * float(np.max(np.sum(way.volume, axis=-1)))
    low, high = np.zeros_like(out), np.full_like(out, rates[-1])
    flow, over_time = start, _one_more(fluids)
    for _ in range(_MOST_ROUNDS):
        gone = out + flow * span
        two = np.stack([gone, gone + nudge], axis=-1)
        reach = _reach(way, interfaces(way, fluids, two, pumped[..., None]))
        drive = np.sum(_weights(way, over_time, reach), axis=(-2, -1)) - _exit(fluids, 1)
        slope = np.minimum((drive[..., 1:] - drive[..., :1]) / nudge, 0.0) * span
        resists = _resisting(_lengths(reach)[..., 0, :, :], fluids.friction)
        better = _crossing(resists - drive[..., :1] - slope * (rates - flow[..., None]), rates)
        low, high = np.where(better >= flow, flow, low), np.where(better <= flow, flow, high)
        better = np.where((better < low) | (better > high), 0.5 * (low + high), better)
        change, flow = np.abs(better - flow), better
        if np.all(change <= _SETTLED * rates[-1]):
            if np.any(flow >= rates[-1]):
                raise NotConverged("free fall of cement: faster than its friction is known for")
            return flow
    raise NotConverged("free fall of cement: weight and friction did not come to balance")


def _resisting(lengths: Array, friction: Array) -> Array:
    """Return the friction of the whole way at every rate of the table (..., rate)."""
    flat = lengths.reshape(*lengths.shape[:-2], 1, -1)
    table = friction.reshape(*friction.shape[:-3], -1, friction.shape[-1])
    return np.asarray((flat @ table)[..., 0, :])


_MOST_ROUNDS: Final = 60
_SETTLED: Final = 1e-7  # of the fastest flow


def _crossing(left: Array, rates: Array) -> Array:
    """Return the rate at which a row of numbers comes above zero, or the last where none does."""
    over = left >= 0.0
    never = ~over[..., -1]
    high = np.maximum(np.argmax(over, axis=-1), 1)[..., None]
    above, below = _picked(left, high)[..., 0], _picked(left, high - 1)[..., 0]
    low_rate, high_rate = rates[high[..., 0] - 1], rates[high[..., 0]]
    part = -below / np.where(above > below, above - below, 1.0)
    found = np.where(over[..., 0], 0.0, low_rate + part * (high_rate - low_rate))
    return np.where(never, rates[-1], found)


def pressures(placed: Placed, limb: int, z: Array) -> Array:
    """Return the pressure in a limb at depths over time (..., time, depth)."""
    rubbed = friction_down(placed, limb, z)
    return standing(placed, limb, z) + (rubbed if limb == UP else -rubbed)


def friction_down(placed: Placed, limb: int, z: Array) -> Array:
    """Return the friction of a limb from its top down to depths [Pa] (..., time, depth)."""
    upper, lower = _intervals(placed, limb)
    over = np.minimum(lower[..., None], z) - np.minimum(upper[..., None], z)
    gradient = _gradient_at(placed.fluids, placed.rate)[..., placed.way.limb == limb, :]
    return np.asarray(np.einsum("...pf,...pfz->...z", gradient, over))


def standing(placed: Placed, limb: int, z: Array) -> Array:
    """Return the pressure of the fluids in a limb without friction [Pa] (..., time, depth).

    Inside it begins with the pump, outside with what stands on the annulus.
    """
    upper, lower = _intervals(placed, limb)
    # a fluid stands in one interval of the limb, whatever pieces that is cut into; or not at all
    stands = lower > upper
    there = np.any(stands, axis=-2)
    top = np.where(there, np.where(stands, upper, np.inf).min(axis=-2), 0.0)
    foot = np.where(there, np.where(stands, lower, -np.inf).max(axis=-2), 0.0)
    column = np.take(_one_more(placed.fluids).column, limb, axis=-3)
    deep = _column_at(placed.fluids, column, np.minimum(foot[..., None], z))
    shallow = _column_at(placed.fluids, column, np.minimum(top[..., None], z))
    weight = np.sum(np.where(there[..., None], deep - shallow, 0.0), axis=-2)
    begins = placed.pump_pressure[..., None] if limb == DOWN else _exit(placed.fluids, 2)
    return np.asarray(begins + weight)


def _intervals(placed: Placed, limb: int) -> tuple[Array, Array]:
    """Return the upper and the lower end of each fluid in each piece of a limb (.., piece, fluid).

    Where it does not stand they are one.
    """
    way = placed.way
    ends = interfaces(way, placed.fluids, placed.out, placed.pumped)
    edge = (way.start[:, None] + way.sign[:, None] * _reach(way, ends))[..., way.limb == limb, :]
    ahead, behind = edge[..., :-1], edge[..., 1:]
    return np.minimum(ahead, behind), np.maximum(ahead, behind)
