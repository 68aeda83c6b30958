"""Wind and current on the hull by her own tables of coefficients, straight between their rows."""

from __future__ import annotations

from math import degrees, pi

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.working import FromTable, Value, work
from bathybore.kernels.load_coefficients import coefficient_force, coefficient_moment
from bathybore.model.coefficient_tables import round_the_hull, serves_both_sides
from bathybore.model.tables import COEFFICIENTS, ProfileTable


def coefficients_at(table: ProfileTable, direction: Real) -> tuple[Array, Array, Array]:
    """Return surge, sway and yaw coefficients where wind or current comes from [rad]."""
    known, columns = round_the_hull(table)
    asked = np.remainder(direction, 2.0 * pi)
    surge, sway, yaw = (np.asarray(np.interp(asked, known, one)) for one in columns)
    return surge, sway, yaw


def loads_at(
    table: ProfileTable,
    direction: Array,
    speed: Real,
    density: float,
    areas: tuple[float, float],
    length: float,
) -> tuple[Array, Array, Array]:
    """Return surge [N], sway [N] and yaw [N m].

    Parameters
    ----------
    areas, length : that the coefficients of surge, and of sway and yaw, belong to [m2], [m]
    """
    surge, sway, yaw = coefficients_at(table, direction)
    along, across = areas
    return (
        np.asarray(coefficient_force(surge, speed, along, density)),
        np.asarray(coefficient_force(sway, speed, across, density)),
        np.asarray(coefficient_moment(yaw, speed, across, length, density)),
    )


def load_values(
    table: ProfileTable,
    direction: Value,
    speed: Value,
    density: Value,
    areas: tuple[Value, Value],
    length: Value,
) -> tuple[Value, Value, Value]:
    """Return the same at one direction, with the rows that they come from."""
    along, across = areas
    stream = {
        "stream_speed": speed.named("stream_speed"),
        "stream_density": density.named("stream_density"),
    }
    found = [
        Value("load_coefficient", float(one), "-", _rows(table, name, float(direction)))
        for name, one in zip(COEFFICIENTS, coefficients_at(table, float(direction)), strict=True)
    ]
    return (
        work(coefficient_force, load_coefficient=found[0],
             reference_area=along.named("reference_area"), **stream),
        work(coefficient_force, load_coefficient=found[1],
             reference_area=across.named("reference_area"), **stream),
        work(coefficient_moment, load_coefficient=found[2],
             reference_area=across.named("reference_area"),
             reference_length=length.named("reference_length"), **stream),
    )  # fmt: skip


def _rows(table: ProfileTable, name: str, direction: float) -> FromTable:
    """Say between which rows of the file a coefficient lies."""
    asked = side = direction % (2.0 * pi)
    mirrored = serves_both_sides(table) and asked > pi
    if mirrored:
        side = 2.0 * pi - asked
    order = np.argsort(table.depths)
    high = int(np.searchsorted(table.depths[order], side))
    rows = [int(order[n % len(order)]) for n in (high - 1, high)]
    between = " and ".join(
        f"line {table.lines[row]} ({degrees(table.depths[row]):g} degrees)" for row in rows
    )
    alike = ", port alike to starboard" if mirrored else ""
    row = f"{name} at {degrees(asked):.4g} degrees, straight between {between}{alike}"
    return FromTable(table.file, row, "given")
