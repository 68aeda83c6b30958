"""Columns of one fluid at rest: closed where its coefficients are constant, else by its parts."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.errors import NotConverged
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.mud import compressible_column_pressure
from bathybore.model.plan import Fluid

NO_PRESSURE: Final = Value("pressure", 0.0, "Pa", FromWalk("pressure enters with the column below"))
_ROUNDS: Final = 30
_SAME: Final = 1e-12


def even_column(fluid: Fluid, top: Value, mean: Value, height: Value, gravity: Value) -> Value:
    """Return the pressure under a fluid of constant coefficients, at its mean temperature."""
    return work(
        compressible_column_pressure,
        pressure_at_top=top,
        density_at_surface_conditions=fluid.density_in_place(NO_PRESSURE, mean),
        compressibility=fluid.value("compressibility"),
        height=height,
        gravity=gravity,
    )


def column_of_parts(
    fluid: Fluid, top: float, edges: Array, start: int, warmth: Array, gravity: float
) -> tuple[Array, float]:
    """Return the pressure at the edges of layers of a fluid that is as dense as it is pressed.

    Parameters
    ----------
    top : [Pa]
        Pressure at the edge ``start``.
    edges, warmth : from the top down [m], and in the middle of each layer [K]

    Returns
    -------
    pressure, residual : at the edges, and the largest relative change of the last round

    Raises
    ------
    NotConverged
        Pressure and density did not settle.
    """
    length = np.diff(edges)
    pressure = top + gravity * float(fluid.density) * (edges - edges[start])
    for _ in range(_ROUNDS):
        middle = 0.5 * (pressure[1:] + pressure[:-1])
        weight = gravity * length * fluid.density_under(middle, warmth)
        whole = np.concatenate([[0.0], np.cumsum(weight)])
        after = top + whole - whole[start]
        apart = float(np.max(np.abs(after - pressure)) / max(float(np.max(np.abs(after))), 1e3))
        pressure = after
        if apart < _SAME:
            return pressure, apart
    raise NotConverged("column of a mud by its parts: pressure and density did not settle")


def told_by_parts(
    fluid: Fluid, top: Value, pressure: Value, warmth: Value, height: Value, gravity: Value,
    residual: float,
) -> Solved:  # fmt: skip
    """Return the working of a column by parts: density where it ends, height, gravity."""
    return Solved(
        "column of a mud whose parts shrink under pressure and swell with heat each by its own "
        "law, mass kept: $p = p_t + integral rho(p, T) g dif z$",
        "hoberock-1982",
        (top, fluid.density_in_place(pressure, warmth), height, gravity),
        residual,
    )
