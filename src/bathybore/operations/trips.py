"""Moving pipe: how fast it may go at every depth of the bit, and what it asks the pits for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.depth import BelowSeaLevel
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Value, work
from bathybore.kernels._roots import bracketed_root
from bathybore.kernels.cement import pipe_volume
from bathybore.kernels.surge import surge_gradient_closed_end, surge_gradient_open_end
from bathybore.kernels.trip_volumes import pipe_displacement
from bathybore.model.hole import Setting
from bathybore.model.plan import Fluid
from bathybore.operations.flow_along import FINE, cut_fine
from bathybore.operations.flow_law import changes_in_place, resting_rheology
from bathybore.operations.geometry import Bore, Segments, annuli_between, string_bores
from bathybore.operations.state import PartInHole, StringInHole

MOST_SPEED: Final = 3.0  # m/s, faster than any pipe is moved
PLACES: Final = 16  # depths of the bit
_SAME: Final = 1e-6


@dataclass(frozen=True, eq=False)
class TripSpeeds:
    """How fast closed pipe may go; arrays over depths of the bit.

    Attributes
    ----------
    bit : [m below sea level]
    pulling, running : greatest speeds before the hole is swabbed in, or the rock breaks [m/s]
    weakest_pulling, weakest_running : index of the node that ends each
    """

    bit: Array
    pulling: Array
    running: Array
    weakest_pulling: np.ndarray
    weakest_running: np.ndarray

    @property
    def either(self) -> Array:
        return np.minimum(self.pulling, self.running)


def raised(string: StringInHole, bit: float) -> StringInHole:
    """Return a string pulled up until its end stands at a depth: its top goes on deck."""
    up, parts, floor = float(string.bottom) - bit, list[PartInHole](), string.parts[-1].top
    for part in string.parts:
        top = BelowSeaLevel(max(float(part.top) - up, float(floor)))
        bottom = BelowSeaLevel(float(part.bottom) - up)
        if bottom > floor + _SAME:
            parts.append(PartInHole(part.pipe, top, bottom, part.tool))
    return StringInHole(string.name, tuple(parts))


@dataclass(frozen=True, eq=False)
class _Moving:
    """A string at several depths of the bit: widths met, and lengths of each above every node."""

    outer: Array
    inner: Array
    mud: Mud
    length: Array  # (bit, node, width)


Mud: TypeAlias = tuple[Real, Real, Real, Real]  # density and flow law


def _mud_at(setting: Setting, walls: tuple[Bore, ...], fluid: Fluid, z: Array) -> Mud:
    """Return density and flow law at places, the mud at rest there."""
    law = resting_rheology(setting, walls[0].kind == "riser", fluid, z)
    density, rest, thick, index = (value.si for value in law.values())
    return density, rest, thick, index


def _moving(
    setting: Setting,
    walls: tuple[Bore, ...],
    string: StringInHole,
    fluid: Fluid,
    bits: Array,
    z: Array,
) -> _Moving:
    top, end = float(walls[0].top), float(string.bottom)
    # where the mud changes on its way, alike is only what also lies in the same stretch
    count = int(np.ceil((end - top) / FINE)) if changes_in_place(fluid) else 1
    marks = np.linspace(top, end, count + 1)
    cut = [
        annuli_between(walls, raised(string, float(bit))).cut_at(tuple(marks[1:-1].tolist()))
        for bit in bits
    ]
    kinds = [_kinds(one, marks) for one in cut]
    widths = sorted({kind for row in kinds for kind in row})
    length = np.zeros((len(bits), len(z), len(widths)))
    for row, one in enumerate(cut):
        covered = np.clip(z[:, None] - one.top, 0.0, one.length)
        for index, kind in enumerate(kinds[row]):
            length[row, :, widths.index(kind)] += covered[:, index]
    outer, inner, which = np.array(widths).T
    middle = 0.5 * (marks[1:] + marks[:-1])
    mud = _mud_at(setting, walls, fluid, middle[which.astype(int)])
    return _Moving(outer, inner, mud, length)


def _kinds(cut: Segments, marks: Array) -> list[tuple[float, float, int]]:
    """Return both diameters of each annulus, and the stretch between marks that it lies in."""
    which = np.clip(np.searchsorted(marks, cut.middle) - 1, 0, len(marks) - 2)
    return list(
        zip(cut.outer_diameter.tolist(), cut.inner_diameter.tolist(), which.tolist(), strict=True)
    )


@kept(SOME)
def trip_speeds(
    setting: Setting,
    walls: tuple[Bore, ...],
    string: StringInHole,
    fluid: Fluid,
    z: Array,
    overbalance: Array,
    room: Array,
) -> TripSpeeds:
    """Return the greatest speeds of closed pipe with the bit at depths over the open hole.

    Below the bit the pressure changes as at the bit.

    Parameters
    ----------
    z : nodes of the open hole, its bottom last
    overbalance, room : at them: pressure at rest over pore pressure, and under fracture [Pa]

    Raises
    ------
    NotConverged
        A speed was not found.
    """
    bits = np.linspace(float(z[0]), float(string.bottom), PLACES)
    moving = _moving(setting, walls, string, fluid, bits, z)
    pulling, low = _greatest(moving, overbalance)
    running, high = _greatest(moving, room)
    return TripSpeeds(bits, pulling, running, low, high)


def _change(moving: _Moving, speed: Array) -> Array:
    """Return the change of pressure by bit depth and node [Pa]."""
    gradient = surge_gradient_closed_end(speed[:, None], moving.outer, moving.inner, *moving.mud)
    return np.asarray(np.einsum("bnw,bw->bn", moving.length, gradient))


def _greatest(moving: _Moving, allowed: Array) -> tuple[Array, np.ndarray]:
    """Return the speed at which the first node has no more room, and which node that is."""
    size = moving.length.shape[0]

    def excess(speed: Array) -> Array:
        return np.asarray(np.max(_change(moving, speed) - allowed, axis=-1))

    fastest = np.full(size, MOST_SPEED)
    spent, free = np.full(size, np.min(allowed) <= 0.0), excess(fastest) < 0.0

    def balance(speed: Array) -> Array:
        return np.where(spent, speed, np.where(free, speed - MOST_SPEED, excess(speed)))

    found = bracketed_root(
        balance, np.zeros(size), fastest, "greatest trip speed", relative=1e-6, absolute=1e-9
    )
    return found, np.argmax(_change(moving, found) - allowed, axis=-1)


@dataclass(frozen=True, eq=False)
class MovedPipe:
    """What moving the string at one speed changes at the bit, its end closed or open [Pa]."""

    closed: float
    open: float


@kept(SOME)
def moved_pipe(
    setting: Setting, walls: tuple[Bore, ...], string: StringInHole, fluid: Fluid, speed: float
) -> MovedPipe:
    """Return the change of pressure at the bit of closed and of open pipe, at bottom."""
    whole = annuli_between(walls, string)
    segments = cut_fine(whole, FINE) if changes_in_place(fluid) else whole
    mud = _mud_at(setting, walls, fluid, segments.middle)
    outer, inner = segments.outer_diameter, segments.inner_diameter
    closed = surge_gradient_closed_end(speed, outer, inner, *mud)
    opened = surge_gradient_open_end(speed, outer, inner, _bore_of(segments, string), *mud)
    return MovedPipe(
        float(np.sum(np.asarray(closed) * segments.length)),
        float(np.sum(np.asarray(opened) * segments.length)),
    )


def _bore_of(segments: Segments, string: StringInHole) -> Array:
    """Return the bore of the pipe beside each annulus."""
    inside, middle = string_bores(string), segments.middle
    at = np.clip(np.searchsorted(inside.top, middle, side="right") - 1, 0, len(inside) - 1)
    return np.asarray(inside.outer_diameter[at])


# ---- what goes in for what comes out -----------------------------------------------------


@dataclass(frozen=True, eq=False)
class SheetRow:
    """One line of a trip sheet.

    Attributes
    ----------
    stands : pulled so far
    bit : depth of the bit then [m below sea level]
    pipe : that came out last
    dry, wet : to be filled in so far, pipe drained or full [m3]
    level_dry, level_wet : fall of the trip tank's level since it was filled last [m]
    fills_dry, fills_wet : times that it was filled again by then
    """

    stands: float
    bit: float
    pipe: str
    dry: float
    wet: float
    level_dry: float
    level_wet: float
    fills_dry: int
    fills_wet: int


@dataclass(frozen=True, eq=False)
class StandVolume:
    """What one stand of a part displaces."""

    pipe: str
    stands: float
    dry: Value
    wet: Value


@dataclass(frozen=True, eq=False)
class TripSheet:
    """Fill volumes of a trip out, from the bottom to the surface."""

    stands: tuple[StandVolume, ...]
    rows: tuple[SheetRow, ...]
    tank: float


_EVERY: Final = 5  # stands between two lines


@kept(SOME)
def trip_sheet(setting: Setting, string: StringInHole) -> TripSheet:
    """Return what has to be filled in while a string is pulled, uppermost part first."""
    stand = setting.vessel.handling.stand_length
    of_parts = tuple(_stand(part, stand) for part in string.parts[::-1])
    ends = np.cumsum([one.stands for one in of_parts])
    whole = float(ends[-1])
    marks = sorted({*np.arange(0.0, whole, _EVERY).tolist(), *ends.tolist()})
    marks = [m for i, m in enumerate(marks) if i == 0 or m - marks[i - 1] > 1e-6]
    starts = ends - [one.stands for one in of_parts]
    tank, area = setting.basis.trip_tank_volume, setting.basis.trip_tank_area
    rows = []
    for mark in marks:
        pulled = np.clip(mark - starts, 0.0, [one.stands for one in of_parts])
        dry = float(sum(n * float(one.dry) for n, one in zip(pulled, of_parts, strict=True)))
        wet = float(sum(n * float(one.wet) for n, one in zip(pulled, of_parts, strict=True)))
        last = of_parts[min(int(np.searchsorted(ends, mark - 1e-6)), len(of_parts) - 1)]
        rows.append(
            SheetRow(
                mark,
                float(string.bottom) - mark * stand,
                last.pipe,
                dry,
                wet,
                (dry % tank) / area,
                (wet % tank) / area,
                int(dry // tank),
                int(wet // tank),
            )
        )
    return TripSheet(of_parts, tuple(rows), tank)


def _stand(part: PartInHole, stand: float) -> StandVolume:
    length = Value("length", stand, "m", FromWalk("one stand"))
    dry = work(pipe_displacement, linear_mass=part.pipe.linear_mass, length=length)
    bore = work(pipe_volume, inside_diameter=part.pipe.inside_diameter, length=length)
    wet = Value(
        "steel_displacement",
        float(dry) + float(bore),
        "m3",
        FromWalk("steel of the stand and what its bore holds"),
    )
    return StandVolume(part.pipe.name, part.length / stand, dry, wet)
