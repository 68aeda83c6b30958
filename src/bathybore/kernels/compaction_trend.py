"""Normal compaction: what logs read in clay whose pores are open to the sea bed.

Depths count from the sea bed, never from the drill floor: the sea compacts nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import published

_CLAY: Final = "Clay and shale, normally pressured; fitted in each basin anew."


@published(
    formula="Delta t_n = Delta t_m + (Delta t_0 - Delta t_m) e^(-c_t z)",
    source="zhang-2011",
    where="normal trend of transit time, from memory",
    validity_note=_CLAY,
    example={
        "sea_bed_transit_time": "200 us/ft",
        "matrix_transit_time": "65 us/ft",
        "compaction_rate": "0.0004 1/m",
        "depth_below_sea_bed": "1500 m",
    },
)
def normal_transit_time(
    sea_bed_transit_time: Real,
    matrix_transit_time: Real,
    compaction_rate: Real,
    depth_below_sea_bed: Real,
) -> Real:
    """Sonic transit time of normally compacted clay, falling towards that of its grains.

    Parameters
    ----------
    sea_bed_transit_time : [s/m]
        Transit time of the trend at the sea bed.
    matrix_transit_time : [s/m]
        Transit time of clay without pores.
    compaction_rate : [1/m]
        Rate at which the trend falls with depth.
    depth_below_sea_bed : [m]
        Depth below the sea bed.

    Returns
    -------
    normal_transit_time : [s/m]
        Transit time of the trend.
    """
    above = sea_bed_transit_time - matrix_transit_time
    result: Real = matrix_transit_time + above * np.exp(-compaction_rate * depth_below_sea_bed)
    return result


@published(
    formula='R_"nc" = R_"n0" e^(b_R z)',
    source="zhang-2011",
    where="normal trend of resistivity, from memory",
    validity_note=_CLAY + " Corrected for temperature and salt.",
    example={
        "sea_bed_resistivity": "0.7 ohm m",
        "resistivity_growth": "0.0002 1/m",
        "depth_below_sea_bed": "1500 m",
    },
)
def normal_resistivity(
    sea_bed_resistivity: Real, resistivity_growth: Real, depth_below_sea_bed: Real
) -> Real:
    """Resistivity of normally compacted clay.

    Parameters
    ----------
    sea_bed_resistivity : [ohm m]
        Resistivity of the trend at the sea bed.
    resistivity_growth : [1/m]
        Rate at which the trend's logarithm grows with depth.
    depth_below_sea_bed : [m]
        Depth below the sea bed.

    Returns
    -------
    normal_resistivity : [ohm m]
        Resistivity of the trend.
    """
    result: Real = sea_bed_resistivity * np.exp(resistivity_growth * depth_below_sea_bed)
    return result


@published(
    formula='d_"xn" = d_"x0" + b_x z',
    source="common-practice",
    where="straight trend of the corrected drilling exponent",
    validity_note=_CLAY,
    example={
        "sea_bed_drilling_exponent": "1.1",
        "drilling_exponent_growth": "0.00025 1/m",
        "depth_below_sea_bed": "1500 m",
    },
)
def normal_drilling_exponent(
    sea_bed_drilling_exponent: Real, drilling_exponent_growth: Real, depth_below_sea_bed: Real
) -> Real:
    """Corrected drilling exponent of normally compacted clay.

    Parameters
    ----------
    sea_bed_drilling_exponent : [-]
        Exponent of the trend at the sea bed.
    drilling_exponent_growth : [1/m]
        Growth of the trend with depth.
    depth_below_sea_bed : [m]
        Depth below the sea bed.

    Returns
    -------
    normal_drilling_exponent : [-]
        Corrected drilling exponent of the trend.
    """
    return sea_bed_drilling_exponent + drilling_exponent_growth * depth_below_sea_bed


@published(
    formula="gamma' = (rho_b - rho_f) g",
    source="definition",
    where="weight less buoyancy (Archimedes)",
    example={
        "bulk_density": "1600 kg/m3",
        "pore_fluid_density": "1025 kg/m3",
        "gravity": "9.80665 m/s2",
    },
)
def submerged_unit_weight(bulk_density: Real, pore_fluid_density: Real, gravity: Real) -> Real:
    """Weight in water of saturated soil per volume.

    Parameters
    ----------
    bulk_density : [kg/m3]
        Density of the saturated soil.
    pore_fluid_density : [kg/m3]
        Density of the water in and around it.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    submerged_unit_weight : [N/m3]
        Submerged unit weight.
    """
    return (bulk_density - pore_fluid_density) * gravity


@dataclass(frozen=True)
class StraightLine:
    """A line fitted to points.

    Attributes
    ----------
    at_zero, slope : of the line
    scatter : standard deviation of the points about it, two degrees of freedom spent
    """

    at_zero: float
    slope: float
    scatter: float


def fitted_line(x: Array, y: Array) -> StraightLine:
    """Return the straight line of least squares through three points or more."""
    middle = float(np.mean(x))
    slope = float(np.sum((x - middle) * (y - np.mean(y))) / np.sum(np.square(x - middle)))
    at_zero = float(np.mean(y)) - slope * middle
    left = y - at_zero - slope * x
    return StraightLine(at_zero, slope, float(np.sqrt(np.sum(np.square(left)) / (len(x) - 2))))


def running_integral(depth: Array, value: Array) -> Array:
    """Return the integral of straight lines between nodes, from the first node to each.

    Parameters
    ----------
    depth : (n) rising nodes
    value : (..., n) at the nodes
    """
    pieces = 0.5 * (value[..., 1:] + value[..., :-1]) * np.diff(depth)
    zero = np.zeros((*value.shape[:-1], 1))
    return np.concatenate([zero, np.cumsum(pieces, axis=-1)], axis=-1)
