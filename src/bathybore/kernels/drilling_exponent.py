"""Drilling rate made a measure of compaction: the drilling exponent, corrected for the mud.

Where clay is less compacted than its depth would have it, the bit goes faster than the
trend and the exponent falls away from it.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published

# the published form counts in ft/h, revolutions a minute, lbf and inches
_FOOT_PER_HOUR: Final = 0.3048 / 3600.0  # m/s
_PER_MINUTE: Final = 1.0 / 60.0  # 1/s
_POUND_FORCE: Final = 4.4482216152605  # N
_INCH: Final = 0.0254  # m
_CLAY: Final = "Clay and shale; one bit type, sharp or corrected for wear; bottom of hole cleaned."


@published(
    formula="d_x = log(R / (60 N_b)) / log((12 W_h) / (10^6 d_h))",
    source="jorden-shirley-1966",
    where="R in ft/h, N in revolutions a minute, W in lbf, d in inches; from memory",
    validity_note=_CLAY + " Rate below 60 ft/h for each revolution a minute.",
    example={
        "rate_of_penetration": "23 ft/h",
        "bit_speed": "113 rpm",
        "weight_on_bit": "25500 lbf",
        "hole_diameter": "9.875 in",
    },
)
def drilling_exponent(
    rate_of_penetration: Real, bit_speed: Real, weight_on_bit: Real, hole_diameter: Real
) -> Real:
    """Rate of penetration freed of bit weight, bit speed and hole size.

    Parameters
    ----------
    rate_of_penetration : [m/s]
        Length of hole made per time.
    bit_speed : [1/s]
        Revolutions of the bit per time.
    weight_on_bit : [N]
        Force on the bit.
    hole_diameter : [m]
        Diameter of the bit.

    Returns
    -------
    drilling_exponent : [-]
        Drilling exponent, not corrected for the mud.
    """
    rate, speed = rate_of_penetration / _FOOT_PER_HOUR, bit_speed / _PER_MINUTE
    weight, diameter = weight_on_bit / _POUND_FORCE, hole_diameter / _INCH
    result: Real = np.log(rate / (60.0 * speed)) / np.log(12.0 * weight / (1e6 * diameter))
    return result


@published(
    formula='d_"xc" = d_x rho_n / rho_m',
    source="rehm-mcclendon-1971",
    where="density of the normal pore-water column over that of the mud; from memory",
    validity_note=_CLAY + " Both densities are to one datum; in deep water that is the sea bed.",
    example={
        "drilling_exponent": "1.64",
        "normal_pressure_density": "9 ppg",
        "mud_density": "9.5 ppg",
    },
)
def corrected_drilling_exponent(
    drilling_exponent: Real, normal_pressure_density: Real, mud_density: Real
) -> Real:
    """Drilling exponent freed of the overbalance of the mud.

    Parameters
    ----------
    drilling_exponent : [-]
        Drilling exponent.
    normal_pressure_density : [kg/m3]
        Equivalent density of the normal pore pressure.
    mud_density : [kg/m3]
        Equivalent density of the mud while drilling.

    Returns
    -------
    corrected_drilling_exponent : [-]
        Corrected drilling exponent.
    """
    return drilling_exponent * normal_pressure_density / mud_density


@published(
    formula="p_p = S_v - (S_v - p_n) R_d^(n_x)",
    source="eaton-1975",
    where="drilling-exponent form, exponent 1.2, with pressures for gradients; from memory",
    valid={"eaton_drilling_exponent_power": Limit(0.0, 4.0, "fitted by region")},
    validity_note=_CLAY + " Under-compaction; not unloading, not carbonate, not crust.",
    example={
        "vertical_stress": "60 MPa",
        "normal_pore_pressure": "35 MPa",
        "drilling_exponent_ratio": "0.8",
    },
)
def eaton_drilling_exponent(
    vertical_stress: Real,
    normal_pore_pressure: Real,
    drilling_exponent_ratio: Real,
    eaton_drilling_exponent_power: Real = 1.2,
) -> Real:
    """Pore pressure from a corrected drilling exponent that falls below the normal trend.

    Parameters
    ----------
    vertical_stress : [Pa]
        Vertical stress.
    normal_pore_pressure : [Pa]
        Hydrostatic pore pressure.
    drilling_exponent_ratio : [-]
        Corrected drilling exponent over that of the normal trend at the depth.
    eaton_drilling_exponent_power : [-]
        Power of the method.

    Returns
    -------
    pore_pressure : [Pa]
        Pore pressure.
    """
    result: Real = vertical_stress - (vertical_stress - normal_pore_pressure) * np.power(
        drilling_exponent_ratio, eaton_drilling_exponent_power
    )
    return result
