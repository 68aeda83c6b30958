"""What sectors barred to the wash of thrusters must keep to: each thruster may push somewhere."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi
from typing import Final

from bathybore.base.errors import Fault
from bathybore.base.keeping import FEW, kept
from bathybore.base.units import show
from bathybore.kernels.thrust import barred_half_angle, tandem_thrust_factor
from bathybore.model.chart import written_at
from bathybore.model.files import shown
from bathybore.model.hole import HoleDocument
from bathybore.model.vessel import Sector, Thruster

_TURN: Final = 2.0 * pi
_SAME_ANGLE: Final = 1e-9  # rad
_UNTOLD: Final = "leave out least_wash_thrust_share."


def wash_faults(document: HoleDocument) -> Iterator[Fault]:
    """Find sectors that are none, thrusters within each other, and one that may push nowhere."""
    vessel = document.vessel
    yield from _faults_of(vessel.thrusters, vessel.least_wash_thrust_share)


@kept(FEW)  # asked again after every edit of anything else
def _faults_of(thrusters: tuple[Thruster, ...], share: float | None) -> tuple[Fault, ...]:
    return tuple(_faults(thrusters, share))


def _faults(thrusters: tuple[Thruster, ...], share: float | None) -> Iterator[Fault]:
    near = [] if share is None else [*_within_each_other(thrusters)]
    yield from near
    for one in thrusters:
        faults = [fault for each in one.excluded for fault in _no_sector(each)]
        yield from faults
        if faults or near:
            continue
        if one.excluded:
            if _all_round([(each.start, each.end) for each in one.excluded]):
                yield _surrounded(one, "excluded", "Leave out a sector.")
        elif share is not None and _all_round(_of_neighbours(one, thrusters, share)):
            yield _surrounded(one, "forward", f"Write its sectors (excluded), or {_UNTOLD}")


def _within_each_other(thrusters: tuple[Thruster, ...]) -> Iterator[Fault]:
    """Sectors worked out from neighbours need propellers that do not turn in each other."""
    for at, one in enumerate(thrusters):
        for other in thrusters[:at]:
            _, apart = one.way_to(other)
            least = max(one.propeller_diameter, other.propeller_diameter)
            if apart < least:
                yield Fault(
                    written_at(one, "forward"),
                    f"{show(apart, 'm')} from '{shown(other.name)}'",
                    f"a propeller's diameter at least, {show(least, 'm')}",
                    f"Correct the places, or {_UNTOLD}",
                )


def _no_sector(one: Sector) -> Iterator[Fault]:
    """Angles count by the turn: a sector of more than one would be read as what is over it."""
    apart = abs(one.end - one.start)
    if not _SAME_ANGLE < apart < _TURN - _SAME_ANGLE:
        found = f"{show(one.start, 'rad')} to {show(one.end, 'rad')}"
        wanted = "two different directions, less than a full turn apart"
        yield Fault(written_at(one, "end"), found, wanted, "Leave out a thruster that never runs.")


def _of_neighbours(
    one: Thruster, thrusters: tuple[Thruster, ...], share: float
) -> list[tuple[float, float]]:
    """Return between which bearings the neighbours bar a wash (operations/wash.py explains it)."""
    found = []
    for other in thrusters:
        if other is not one:
            bearing, spacing = one.way_to(other)
            straight = tandem_thrust_factor(spacing, one.propeller_diameter)
            half = float(barred_half_angle(straight, share))
            found.append((bearing - half, bearing + half))
    return [(start, end) for start, end in found if end > start]


def _all_round(sectors: list[tuple[float, float]]) -> bool:
    """Return whether behind the end of each sector another one goes on."""
    return bool(sectors) and all(
        any((end + _SAME_ANGLE - start) % _TURN < (stop - start) % _TURN for start, stop in sectors)
        for _, end in sectors
    )


def _surrounded(one: Thruster, field: str, fix: str) -> Fault:
    found = f"every direction barred to the wash of '{shown(one.name)}'"
    return Fault(written_at(one, field), found, "some direction that it may point to", fix)
