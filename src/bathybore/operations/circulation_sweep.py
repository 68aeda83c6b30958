"""Many flows and rates of penetration at once: what cleans the hole, and what it bears.

Every number comes from the functions of `circulation`, asked for all flows together.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.working import FromWalk, Value
from bathybore.operations.circulation import (
    Circulation,
    annulus_friction,
    cuttings_fraction,
    cuttings_gradient,
    lifting,
    plain_lifting,
    pump_pressure,
)
from bathybore.operations.circulation_pumps import liner_rates, usable_pressures
from bathybore.operations.columns import column_pressure, column_top
from bathybore.operations.geometry import Segments

_TRIED: Final = FromWalk("tried, one of many")


@dataclass(frozen=True, eq=False)
class Sweep:
    """Answers over (rate of penetration, flow); margins are above zero where it is well.

    Attributes
    ----------
    flows, rates : down the string [m3/s], and of penetration [m/s]
    clean : share by which cuttings rise faster, or are fewer, than the basis asks
    whole : share of the pressure that the rock bears which is left, at the worst open depth
    weakest : index of that depth
    pumps : pressure left of what the pumps may use [Pa]
    pump_pressure, usable : the two [Pa]; usable over flows only
    pressure : in the annulus at the depths (rate, flow, depth) [Pa]
    """

    flows: Array
    rates: Array
    clean: Array
    whole: Array
    weakest: Array
    pumps: Array
    pump_pressure: Array
    usable: Array
    pressure: Array


def many(flow: Circulation, flows: Array, rates: Array) -> Circulation:
    """Return a circulation that stands for all flows and rates of penetration."""
    return replace(
        flow,
        flow_rate=Value("flow_rate", flows[:, None], "m3/s", _TRIED),
        rate_of_penetration=Value("rate_of_penetration", rates[:, None, None], "m/s", _TRIED),
        in_place_of=flow,
    )


def greatest_flow(flow: Circulation) -> float:
    """Return the greatest flow down the string that the pumps give beside the booster."""
    rates = liner_rates(flow.setting.vessel.pumps)
    return float(np.max(rates)) - float(flow.booster_flow_rate)


def sweep(flow: Circulation, flows: Array, rates: Array, z: Array, bears: Array) -> Sweep:
    """Return how clean and how whole the hole is over flows and rates of penetration.

    Parameters
    ----------
    flows, rates : [m3/s], [m/s], above zero
    z : [m below mean sea level]
        Open depths, in the annulus.
    bears : [Pa]
        The pressure that the rock bears there.
    """
    basis, all_flows = flow.setting.basis, many(flow, flows, rates)
    segments = flow.annuli.cut_at([float(v) for v in z])
    shape = (len(rates), len(flows))
    needed = basis.transport_ratio if flow.on_riser else basis.transport_ratio_riserless
    ratio = np.min(np.asarray(lifting(all_flows, segments).si), axis=-1)
    fraction = np.max(np.asarray(cuttings_fraction(all_flows, segments).si), axis=-1)
    fraction = np.broadcast_to(fraction, shape)
    clean = np.minimum(ratio / needed - 1.0, 1.0 - fraction / basis.cuttings_concentration)
    which = segments_feet(segments.bottom, z)
    pressure = _pressure(all_flows, segments, which, shape)
    room = (bears - pressure) / np.abs(bears)
    # where cuttings do not rise the annulus fills: no circulating pressure is steady there
    stuck = np.min(np.asarray(plain_lifting(all_flows, segments).si), axis=-1) <= 0.0
    whole = np.where(stuck, -1.0, np.min(room, axis=-1))
    usable = usable_pressures(flow.setting, flows, float(flow.booster_flow_rate))
    pumped = np.broadcast_to(np.asarray(pump_pressure(all_flows).si), shape)
    weakest = np.argmin(room, axis=-1)
    return Sweep(flows, rates, clean, whole, weakest, usable - pumped, pumped, usable, pressure)


def segments_feet(feet: Array, z: Array) -> Array:
    """Return which segment ends at each depth; the nearest where rounding parts them."""
    right = np.clip(np.searchsorted(feet, z), 1, len(feet) - 1)
    return np.where(np.abs(feet[right - 1] - z) < np.abs(feet[right] - z), right - 1, right)


def _pressure(flow: Circulation, segments: Segments, which: Array, shape: tuple[int, int]) -> Array:
    """Return the annulus pressure at the foot of some segments, over all rates and flows."""
    length = segments.length
    friction = np.cumsum(np.asarray(annulus_friction(flow, segments).si) * length, axis=-1)
    weight = np.cumsum(np.asarray(cuttings_gradient(flow, segments).si) * length, axis=-1)
    _, top = column_top(flow.setting, flow.on_riser)
    rest = column_pressure(flow.setting, flow.layers, top, segments.bottom[which])
    added = np.broadcast_to(friction + weight, (*shape, len(length)))
    return np.asarray(rest.si) + added[..., which]


@dataclass(frozen=True)
class FlowWindow:
    """The flows at one rate of penetration that clean the hole and keep it whole [m3/s].

    Attributes
    ----------
    smallest : that cleans; None where none tried does
    greatest : that the rock bears; None where none tried is borne
    pumped : the greatest that the pumps drive; None where they drive none
    weakest : depth at which the rock bears least at that greatest flow [m below sea level]
    beyond : the rock bears every flow tried; greatest is then the last of them
    """

    smallest: float | None
    greatest: float | None
    pumped: float | None
    weakest: float
    beyond: bool


def flow_window(flow: Circulation, z: Array, bears: Array) -> FlowWindow:
    """Return the window of flows at the planned rate of penetration, to a thousandth.

    Looks coarsely over all flows that pumps can have, then finely about each edge.
    """
    rates = np.atleast_1d(np.asarray(flow.rate_of_penetration.si, dtype=float))
    most = max(greatest_flow(flow), 1.2 * float(flow.flow_rate))
    coarse = sweep(flow, np.linspace(0.02, 1.0, _COARSE) * most, rates, z, bears)

    def refined(name: str, first: bool) -> tuple[float | None, Sweep]:
        margin = getattr(coarse, name)[0]
        edge = crossing(coarse.flows, margin, first)
        if edge is None or edge in (coarse.flows[0], coarse.flows[-1]):
            return edge, coarse
        step = coarse.flows[1] - coarse.flows[0]
        near = np.clip(np.linspace(edge - step, edge + step, _FINE), coarse.flows[0], most)
        fine = sweep(flow, near, rates, z, bears)
        better = crossing(fine.flows, getattr(fine, name)[0], first)
        return (edge if better is None else better), fine

    smallest, _ = refined("clean", first=True)
    greatest, at = refined("whole", first=False)
    pumped, _ = refined("pumps", first=False)
    here = len(at.flows) - 1 if greatest is None else int(np.argmin(np.abs(at.flows - greatest)))
    beyond = greatest is not None and bool(greatest >= coarse.flows[-1])
    return FlowWindow(smallest, greatest, pumped, float(z[at.weakest[0][here]]), beyond)


_COARSE: Final = 30
_FINE: Final = 15


def crossing(flows: Array, margin: Array, first: bool) -> float | None:
    """Return where a margin rises through zero for good, or falls below it for good.

    Parameters
    ----------
    flows, margin : in order of flow
    first : the edge above which the margin is good (the smallest such flow); else the edge
        below which it is good (the greatest)

    Returns
    -------
    edge : between two flows by a straight line; None where no flow is good
    """
    good = np.flatnonzero(margin >= 0.0)
    if len(good) == 0:
        return None
    if first:
        bad = np.flatnonzero(margin < 0.0)
        low = int(bad[-1]) if len(bad) else -1
        if low == len(flows) - 1:
            return None
        return float(flows[0]) if low < 0 else _between(flows, margin, low)
    high = int(good[-1])
    return float(flows[-1]) if high == len(flows) - 1 else _between(flows, margin, high)


def _between(flows: Array, margin: Array, left: int) -> float:
    a, b = float(margin[left]), float(margin[left + 1])
    share = a / (a - b)
    return float(flows[left] + share * (flows[left + 1] - flows[left]))
