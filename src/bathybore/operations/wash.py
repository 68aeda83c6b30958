"""Sectors barred to a thruster because its wash would take thrust from a neighbour.

Worked out only where the vessel tells what a neighbour is to keep
(`least_wash_thrust_share`), and only for thrusters without sectors of their own. A neighbour
that is lost bars its sector still: it may start again, and its place is the same. What a
neighbour loses just outside a sector, up to one less that share, is not taken off its thrust.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees

from bathybore.base.keeping import FEW, kept
from bathybore.base.working import FromWalk, Value, work
from bathybore.kernels.thrust import barred_half_angle, tandem_thrust_factor
from bathybore.model.hole import Setting
from bathybore.model.vessel import Thruster


@dataclass(frozen=True)
class Barred:
    """A sector that a neighbour bars to a thruster.

    Attributes
    ----------
    thruster, neighbour : their names
    bearing, spacing : from the one to the other, clockwise from the bow [rad], [m]
    straight : share left to the other when the wash points straight at it
    half_angle : barred to either side of the bearing
    """

    thruster: str
    neighbour: str
    bearing: float
    spacing: float
    straight: Value
    half_angle: Value

    @property
    def edges(self) -> tuple[float, float]:
        """Between which bearings of wash is barred."""
        half = float(self.half_angle)
        return self.bearing - half, self.bearing + half


@kept(FEW)
def barred_by_neighbours(hole: Setting) -> tuple[Barred, ...]:
    """Return the sectors worked out from neighbours, of all thrusters that tell none."""
    share, thrusters = hole.vessel.least_wash_thrust_share, hole.vessel.thrusters
    if share is None:
        return ()
    found = (
        _barred(hole, one, other)
        for one in thrusters
        if not one.excluded
        for other in thrusters
        if other is not one
    )
    return tuple(one for one in found if float(one.half_angle) > 0.0)


def barred_wash(hole: Setting, one: Thruster) -> tuple[tuple[float, float], ...]:
    """Return the bearings a thruster's wash may not point to: as written, else worked out [rad]."""
    if one.excluded:
        return tuple((sector.start, sector.end) for sector in one.excluded)
    return tuple(each.edges for each in barred_by_neighbours(hole) if each.thruster == one.name)


def _barred(hole: Setting, one: Thruster, other: Thruster) -> Barred:
    bearing, spacing = one.way_to(other)
    way = FromWalk(
        f"from {one.name} to {other.name}, {degrees(bearing):.0f} degrees clockwise from the bow"
    )
    straight = work(
        tandem_thrust_factor,
        thruster_spacing=Value("thruster_spacing", spacing, "m", way),
        propeller_diameter=one.value("propeller_diameter"),
    )
    half = work(
        barred_half_angle,
        tandem_thrust_factor=straight,
        least_wash_thrust_share=hole.vessel.value("least_wash_thrust_share"),
    )
    return Barred(one.name, other.name, bearing, spacing, straight, half)
