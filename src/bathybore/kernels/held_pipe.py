"""A pipe held at both ends: the axial force that heat and cold lock into it."""

from __future__ import annotations

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published
from bathybore.kernels.soft_string import YOUNG_MODULUS
from bathybore.kernels.string_mechanics import THERMAL_EXPANSION


@published(
    formula="F_T = - E alpha_T Delta T pi/4 (D^2 - d^2)",
    source="definition",
    where="Hooke's law with no axial strain: what heat would lengthen, force takes back",
    valid={"temperature_change": Limit(-250.0, 250.0, "constants of steel hold")},
    validity_note=(
        "Both ends held. Over a free length the change is its mean; where cement holds every "
        "point, that of the point."
    ),
    example={
        "temperature_change": "40 K",
        "outside_diameter": "9 5/8 in",
        "inside_diameter": "8.535 in",
    },
    caution="The ends are taken as rigid: a wellhead that gives way lowers the force.",
)
def thermal_force(
    temperature_change: Real,
    outside_diameter: Real,
    inside_diameter: Real,
    thermal_expansion_coefficient: Real = THERMAL_EXPANSION,
    young_modulus: Real = YOUNG_MODULUS,
) -> Real:
    """Axial force that a change of temperature locks into a pipe held at both ends.

    Parameters
    ----------
    temperature_change : [K difference]
        Temperature now, less that when the ends were fixed; a rise is positive.
    outside_diameter : [m]
        Outside diameter of the pipe.
    inside_diameter : [m]
        Inside diameter of the pipe.
    thermal_expansion_coefficient : [1/K]
        Linear expansion of steel.
    young_modulus : [Pa]
        Young's modulus of steel.

    Returns
    -------
    thermal_force : [N]
        Change of the axial force, tension positive: warming presses, cooling pulls.
    """
    area = 0.25 * np.pi * (outside_diameter**2 - inside_diameter**2)
    return -young_modulus * thermal_expansion_coefficient * temperature_change * area
