"""A cement job followed in time: from the hole as it stands to pressures minute by minute."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Value
from bathybore.kernels.cement_placement import (
    DOWN,
    UP,
    Fluids,
    Placed,
    Way,
    friction_down,
    interfaces,
    march_placement,
    standing,
)
from bathybore.kernels.pipe_flow import annulus_friction_gradient, pipe_friction_gradient
from bathybore.model.hole import Setting
from bathybore.model.plan import Fluid
from bathybore.operations.casing_loads import Placement
from bathybore.operations.columns import NODE_SPACING, pressure_under
from bathybore.operations.flow_along import FINE
from bathybore.operations.flow_law import changes_in_place, resting_numbers
from bathybore.operations.geometry import string_bores

_STEPS: Final = 90  # of a job, besides the moments when a fluid begins or turns the shoe
_WIDEST: Final = 40.0  # free fall is followed to so many times the pump's rate
_RATES: Final = 48  # even: the pump's own rate is then one of them
_AT_HEAD: Final = Value("pressure_at_top", 0.0, "Pa", FromWalk("pressure of the head comes later"))


@dataclass(frozen=True, eq=False)
class CementInTime:
    """A job in time; arrays over *(time)*, depths behind.

    Attributes
    ----------
    names : of the fluids in the order in which they come out of the annulus
    begin : volume pumped before each of them [m3]
    time : [s] from the first of what is pumped
    """

    job: Placement
    names: tuple[str, ...]
    begin: Array
    time: Array
    placed: Placed

    @property
    def rate(self) -> Value:
        return self.job.plan.cement.value("rate", "flow_rate")

    @cached_property
    def landed(self) -> int:
        """Which moment the plug lands at."""
        end = float(self.placed.out[-1])
        return int(np.argmax(self.placed.out >= end - 1e-9 * end))

    @cached_property
    def filled(self) -> int:
        """First moment from which there is no void any more; 0 where there never was one."""
        empty = np.flatnonzero(self.placed.void > 0.0)
        return 0 if empty.size == 0 else min(int(empty[-1]) + 1, len(self.time) - 1)

    @property
    def falls(self) -> bool:
        return bool((self.placed.void > 0.0).any())

    def standing_outside(self, z: Array) -> Array:
        """Return the annulus pressure without friction (time, depth)."""
        return standing(self.placed, UP, z)

    def friction_outside(self, z: Array) -> Array:
        return friction_down(self.placed, UP, z)

    def standing_inside(self, z: Array) -> Array:
        """Return the pressure inside without friction, the pump's included (time, depth)."""
        return standing(self.placed, DOWN, z)

    def friction_inside(self, z: Array) -> Array:
        return friction_down(self.placed, DOWN, z)

    def pumping(self, moment: int) -> str:
        """Return which fluid is pumped at a moment."""
        begun = np.flatnonzero(self.begin <= self.placed.pumped[moment] * (1.0 - 1e-12) + 1e-12)
        return self.names[max(int(begun[-1]), 2)]

    def at(self, moment: int) -> str:
        """Say when a moment is, and what is pumped then."""
        minute, last = self.time[moment] / 60.0, self.time[-1] / 60.0
        return f"At minute {minute:.0f} of {last:.0f}, while {self.pumping(moment)} is pumped"

    def tops(self) -> Array:
        """Return the depth of the forward end of each fluid, inside or outside (time, fluid)."""
        way = self.placed.way
        ends = interfaces(way, self.placed.fluids, self.placed.out, self.placed.pumped)
        return along(way, ends[..., :-1])  # the last is the foot of the void


def along(way: Way, volume: Array) -> Array:
    """Return the depth that a volume along the way has come to."""
    edges = np.concatenate([[0.0], np.cumsum(way.volume)])
    piece = np.clip(np.searchsorted(edges, volume, side="right") - 1, 0, len(way.length) - 1)
    return np.asarray(
        way.start[piece] + way.sign[piece] * (volume - edges[piece]) / way.area[piece]
    )


def goes_round(job: Placement) -> bool:
    """Return whether there is an annulus everywhere round the casing and its string."""
    return bool((job.annulus.outer_diameter > job.annulus.inner_diameter).all())


@kept(SOME)
def cement_in_time(job: Placement) -> CementInTime:
    """Follow the cement job of a casing from the first spacer to the landing of the plug.

    Raises
    ------
    LookupError
        The casing hangs on no string.
    NotConverged
        The free fall could not be followed.
    """
    way, bores = _way(job)
    names, fluids, volumes = _pumped(job)
    track = job.plan.cement.shoe_track * float(job.casing.pipe.inside_diameter) ** 2 * np.pi / 4.0
    begin = np.concatenate([[-np.inf, -float(way.inside)], np.cumsum([0.0, *volumes])])
    rate = float(job.plan.cement.rate)
    end = float(begin[-1] + way.inside - track)
    pumped = _moments(begin[2:], float(way.inside), end)
    flowing = _fluids(job, way, bores, fluids, begin, rate)
    time = pumped / rate
    return CementInTime(job, names, begin, time, march_placement(way, flowing, time, pumped, end))


def _moments(begin: Array, inside: float, end: float) -> Array:
    """Return the volumes pumped at which the job is looked at."""
    events = [v for one in begin for v in (one, one + inside) if 0.0 < v < end]
    every = np.unique(np.concatenate([np.linspace(0.0, end, _STEPS + 1), events]))
    close = np.diff(every) < 1e-9 * end
    return np.delete(every, np.flatnonzero(close))


def _pumped(job: Placement) -> tuple[tuple[str, ...], tuple[Fluid, ...], tuple[float, ...]]:
    """Return all fluids in the order in which they come out, and the volumes of what is pumped."""
    tail, lead, *spacer = job.pumped
    stages = [(*one, job.plan.cement.spacer_volume) for one in spacer]
    stages += [(*lead, float(job.volumes.lead)), (*tail, float(job.volumes.tail))]
    stages = [one for one in stages if one[2] > 0.0]
    shown = job.displacement
    names = ("mud outside", "mud inside", *(one[0] for one in stages), f"{shown.name} behind")
    fluids = (job.fluid_outside, shown.fluid, *(one[1] for one in stages), shown.fluid)
    return names, fluids, tuple(one[2] for one in stages)


def _way(job: Placement) -> tuple[Way, Array]:
    """Return the way of the fluids, and the outer and inner diameter of each of its pieces."""
    if job.string is None:
        raise LookupError(f"{job.casing.name} is not cemented on a string")
    casing, cement, string = job.casing, job.plan.cement, string_bores(job.string)
    bore = float(casing.pipe.inside_diameter)
    inner = bore
    if cement.through_inner_string:
        inner = float(job.string.parts[0].pipe.inside_diameter)
    collar = float(casing.shoe) - cement.shoe_track
    pieces = [
        (float(top), float(bottom - top), float(width), 0.0, DOWN)
        for top, bottom, width in zip(string.top, string.bottom, string.outer_diameter, strict=True)
    ]
    pieces.append((float(casing.top), collar - float(casing.top), inner, 0.0, DOWN))
    pieces.append((collar, cement.shoe_track, bore, 0.0, DOWN))
    up = job.annulus
    for index in range(len(up) - 1, -1, -1):
        start, length = float(up.bottom[index]), float(up.length[index])
        outer, pipe = float(up.outer_diameter[index]), float(up.inner_diameter[index])
        pieces.append((start, length, outer, pipe, UP))
    rows = np.array([piece for piece in pieces if piece[1] > 1e-6])
    area = 0.25 * np.pi * (rows[:, 2] ** 2 - rows[:, 3] ** 2)
    return Way(rows[:, 0], rows[:, 1], area, rows[:, 4].astype(int)), rows[:, 2:4]


def _fluids(
    job: Placement, way: Way, widths: Array, fluids: tuple[Fluid, ...], begin: Array, rate: float
) -> Fluids:
    rates = np.concatenate([[1e-6], np.geomspace(1.0 / _WIDEST, _WIDEST, _RATES + 1)]) * rate
    rates[_RATES // 2 + 1] = rate
    start, top = job.column_top
    shallowest = min(float(start), float(job.setting.drill_floor))
    nodes = _even(shallowest, float(job.casing.shoe))
    columns = [
        [np.asarray(pressure_under(job.setting, one, at, where, nodes).si) for one in fluids]
        for at, where in ((_AT_HEAD, job.setting.drill_floor), (top, start))
    ]
    return Fluids(
        begin=begin,
        node_top=float(nodes[0]),
        node_step=float(nodes[1] - nodes[0]),
        column=np.array(columns),
        rates=rates,
        friction=_friction(job, way, widths, fluids, rates),
        exit_pressure=float(top),
    )


@kept(SOME)
def _even(top: float, bottom: float) -> Array:
    nodes = np.linspace(top, bottom, int(np.ceil((bottom - top) / NODE_SPACING)) + 1)
    nodes.setflags(write=False)
    return nodes


def _friction(
    job: Placement, way: Way, widths: Array, fluids: tuple[Fluid, ...], rates: Array
) -> Array:
    """Return the friction gradient by piece, fluid and rate.

    Of a fluid that changes with heat and pressure it is the mean over the piece, the fluid as it
    is there at rest: wherever it stands in the job, it takes the warmth of the place.
    """
    found = np.empty((len(way.length), len(fluids), len(rates)))
    whole = np.arange(len(way.length))
    for index, fluid in enumerate(fluids):
        count = np.maximum(np.ceil(way.length / FINE), 1).astype(int)
        count = count if changes_in_place(fluid) else np.ones_like(count)
        first, piece = np.cumsum(count) - count, np.repeat(whole, count)
        share = (np.arange(len(piece)) - first[piece] + 0.5) / count[piece]
        z = way.start[piece] + way.sign[piece] * share * way.length[piece]
        each = np.empty((len(piece), len(rates)))
        outer, inner = widths[piece, 0, None], widths[piece, 1, None]
        down = way.limb[piece] == DOWN
        inside = _law(job.setting, True, fluid, z[down])
        each[down] = pipe_friction_gradient(rates, outer[down], *inside)
        outside = _law(job.setting, job.on_riser, fluid, z[~down])
        each[~down] = annulus_friction_gradient(rates, outer[~down], inner[~down], *outside)
        found[:, index] = np.add.reduceat(each, first, axis=0) / count[:, None]
    return found


def _law(setting: Setting, on_riser: bool, fluid: Fluid, z: Array) -> tuple[Array, ...]:
    """Return density and flow law at places, over which rates then run."""
    return tuple(one[:, None] for one in resting_numbers(setting, on_riser, fluid, z))
