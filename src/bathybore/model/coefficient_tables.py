"""What a table of wind or current coefficients by direction must keep to."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.errors import Fault
from bathybore.base.keeping import FEW, kept
from bathybore.base.units import show
from bathybore.kernels.load_coefficients import all_round
from bathybore.model.tables import COEFFICIENTS, ProfileTable

_TURN: Final = 2.0 * np.pi
_SAME_ANGLE: Final = 1e-9  # rad
_WIDEST: Final = (
    np.pi / 6.0
)  # a sine taken straight over more than this loses over 3.4 % at its top
_AGAINST: Final = 0.01  # of the greatest push: what measuring may make of none
_SAME_NUMBER: Final = 1e-6
_TO_LEE: Final = 0.05  # of the length: how far measuring may put the middle of a push to lee


def serves_both_sides(table: ProfileTable) -> bool:
    """Return whether a table has the directions of starboard alone, to which port is alike."""
    return float(table.depths.max()) <= np.pi + _SAME_ANGLE


@kept(FEW)
def round_the_hull(table: ProfileTable) -> tuple[Array, Array]:
    """Return directions and coefficients *(3, direction)* that reach over a full turn."""
    columns = np.array([table.numbers[one] for one in COEFFICIENTS])
    return all_round(table.depths, columns, serves_both_sides(table))


def coefficient_faults(table: ProfileTable, along: float, across: float) -> Iterator[Fault]:
    """Find what makes a table no account of every direction, or of another convention.

    Parameters
    ----------
    along, across : areas that surge and sway coefficients belong to, by their ratio
    """
    faults = [*_twice(table)] or [*_gaps(table)]
    if not faults and serves_both_sides(table):
        faults += _lopsided(table)
    faults = faults or [*_none(table)]
    yield from faults or [*_against(table, along, across)] or _turned_round(table)


def _place(table: ProfileTable, row: int, column: str = "relative_direction") -> str:
    return f"{table.file}, line {table.lines[row]}, column {column}"


def _twice(table: ProfileTable) -> Iterator[Fault]:
    """Find a direction again, 360 deg beside 0 among them where the two differ."""
    order = np.argsort(table.depths, kind="stable").tolist()
    for before, row in pairwise(order):
        if table.depths[row] - table.depths[before] <= _SAME_ANGLE:
            found = f"the direction of line {table.lines[before]} again"
            yield Fault(_place(table, row), found, "each direction once")
    first, last = order[0], order[-1]
    if table.depths[last] - table.depths[first] >= _TURN - _SAME_ANGLE:
        for name in COEFFICIENTS:
            there, here = (float(table.numbers[name][row]) for row in (first, last))
            if abs(here - there) > _SAME_NUMBER:
                found, wanted = f"{here:g}", f"{there:g}, as in line {table.lines[first]}"
                yield Fault(_place(table, last, name), found, wanted)


def _gaps(table: ProfileTable) -> Iterator[Fault]:
    """Find directions of which the table says nothing."""
    given = np.sort(table.depths)
    where = f"{table.file}, column relative_direction"
    if serves_both_sides(table):
        if given[0] > _SAME_ANGLE or given[-1] < np.pi - _SAME_ANGLE:
            found = f"directions from {show(given[0], 'rad')} to {show(given[-1], 'rad')}"
            wanted = "0 to 180 deg, which serves both sides, or all round"
            yield Fault(where, found, wanted)
            return
    else:
        given = np.append(given, given[0] + _TURN)
    for low, high in pairwise(given.tolist()):
        if high - low > _WIDEST + _SAME_ANGLE:
            found = f"no row between {show(low, 'rad')} and {show(high % _TURN, 'rad')}"
            yield Fault(where, found, f"a row every {show(_WIDEST, 'rad')} or nearer")


def _lopsided(table: ProfileTable) -> Iterator[Fault]:
    """Find a push aside from ahead or astern, which a hull alike on both sides does not have."""
    for row in (int(np.argmin(table.depths)), int(np.argmax(table.depths))):
        for name in COEFFICIENTS[1:]:
            if abs(number := float(table.numbers[name][row])) > _SAME_NUMBER:
                wanted = "0: a table of 0 to 180 deg serves both sides, as hulls are alike on both"
                fix = "Give all round, 0 to 360 deg, where they are not."
                yield Fault(_place(table, row, name), f"{number:g}", wanted, fix)


def _against(table: ProfileTable, along: float, across: float) -> Iterator[Fault]:
    """Find a push against wind or current: signs or directions are told in another way."""
    surge, sway = (table.numbers[name] for name in COEFFICIENTS[:2])
    push = -surge * along * np.cos(table.depths) + sway * across * np.sin(table.depths)
    for row in np.flatnonzero(push < -_AGAINST * np.abs(push).max()):
        at = show(float(table.depths[row]), "rad")
        yield Fault(
            f"{table.file}, line {table.lines[row]}",
            f"a push towards where it comes from, {at}",
            "a push down wind or current: surge ahead, sway to port, yaw with the bow to port",
            "Directions are where it comes from, clockwise from the bow: 0 deg from ahead, 90 deg "
            "from starboard. Some tables count from astern, or sway to starboard.",
        )


def _none(table: ProfileTable) -> Iterator[Fault]:
    """Find a column of zeros: no wind or current leaves a hull unpushed, or unturned, all round."""
    for name in COEFFICIENTS:
        if np.abs(table.numbers[name]).max() <= _SAME_NUMBER:
            fix = "Give all three, or leave the table out: areas and a formula serve instead."
            yield Fault(f"{table.file}, column {name}", "0 from every side", "its push", fix)


def _turned_round(table: ProfileTable) -> Iterator[Fault]:
    """Find yaw told the other way: it turns a hull across wind or current, not into it.

    The middle of the push goes to windward, whatever the hull. By how much, as a share of the
    length, is twice the part of yaw with the sine of twice the direction over the part of sway
    with the sine of it; where the middle lies in a push from abeam adds nothing to that.
    """
    direction, (_, sway, yaw) = round_the_hull(table)
    fine = np.linspace(0.0, _TURN, 720, endpoint=False)
    across = np.mean(np.interp(fine, direction, sway) * np.sin(fine))
    turning = np.mean(np.interp(fine, direction, yaw) * np.sin(2.0 * fine))
    if 2.0 * turning < -_TO_LEE * across:
        yield Fault(
            f"{table.file}, column yaw_coefficient",
            "a hull that turns into wind or current by itself",
            "yaw with the bow to port above zero, about midships",
            "From 45 deg on the bow to starboard it mostly turns the bow to port. Some tables "
            "count yaw the other way.",
        )
