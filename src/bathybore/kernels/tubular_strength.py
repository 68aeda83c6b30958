"""Strength of pipe bodies and threads, API TR 5C3 / ISO/TR 10400 and API RP 7G."""

from __future__ import annotations

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published


@published(
    formula='p_"iy" = k_w (2 Y t) / D',
    source="api-tr-5c3",
    where="internal yield of the pipe body, historical one-dimensional form",
    valid={"wall_tolerance": Limit(0.5, 1.0, "fraction of the nominal wall that must remain")},
    example={"outside_diameter": "13 3/8 in", "wall": "0.480 in", "yield_strength": "55 ksi"},
)
def internal_yield_pressure(
    outside_diameter: Real, wall: Real, yield_strength: Real, wall_tolerance: Real = 0.875
) -> Real:
    """Gauge pressure inside at which a pipe body starts to yield (Barlow, thin wall).

    Half a cylinder in equilibrium: 2 t Y carries p D. The wall tolerance allows for
    the thinnest wall that the pipe standard accepts.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    wall : [m]
        Nominal wall thickness.
    yield_strength : [Pa]
        Specified minimum yield strength.
    wall_tolerance : [-]
        Least wall as a fraction of nominal.

    Returns
    -------
    internal_yield_pressure : [Pa]
        Internal gauge pressure at yield.
    """
    return wall_tolerance * 2.0 * yield_strength * wall / outside_diameter
