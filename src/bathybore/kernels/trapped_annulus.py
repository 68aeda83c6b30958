"""Fluid closed in between two casings and warmed: the pressure that it builds up."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published
from bathybore.kernels.soft_string import YOUNG_MODULUS

STEEL_EXPANSION: Final = 1.2e-5  # 1/K, carbon steel, linear
POISSON_STEEL: Final = 0.3


@published(
    formula=(
        "Delta p_a = (beta_f + 2 alpha_T k) / (c_f + C_i) Delta T_a , quad "
        "k = D^2 / (d_h^2 - D^2) \\ "
        "C_i = (2 k) / E ((D^2 + d^2) / (D^2 - d^2) - nu) , quad d = D - 2 t"
    ),
    source="definition",
    where="volume balance of a closed annulus; inner pipe after Lamé, outer pipe rigid and cold",
    valid={
        "annulus_warming": Limit(0.0, 200.0, "liquid stays liquid"),
        "compressibility": Limit(1e-10, 2e-9, "liquids without free gas"),
    },
    validity_note="Annulus full of liquid, closed at both ends; no gas cap, no leak into rock.",
    caution=(
        "On the safe side: the outer casing neither gives way nor warms. A gas cap, crushable "
        "foam, a burst disc or a cement top below the shoe above relieve it."
    ),
    example={
        "annulus_warming": "40 K",
        "fluid_thermal_expansion": "3.5e-4 1/K",
        "compressibility": "4.4e-10 1/Pa",
        "outside_diameter": "9 5/8 in",
        "wall": "0.545 in",
        "hole_diameter": "12.347 in",
    },
)
def trapped_annulus_pressure(
    annulus_warming: Real,
    fluid_thermal_expansion: Real,
    compressibility: Real,
    outside_diameter: Real,
    wall: Real,
    hole_diameter: Real,
    thermal_expansion_coefficient: Real = STEEL_EXPANSION,
    young_modulus: Real = YOUNG_MODULUS,
    poisson_ratio: Real = POISSON_STEEL,
) -> Real:
    """Pressure that a closed annulus gains when its liquid and its inner pipe warm.

    The liquid would swell by its expansion, the inner pipe takes room by its own; what the
    liquid is squeezed by and what the inner pipe gives way make up for both. Per volume of
    annulus the pipe's outer wall moves in by p D / 2E times Lamé's factor for pressure
    outside.

    Parameters
    ----------
    annulus_warming : [K difference]
        Rise of the mean temperature since the annulus was closed.
    fluid_thermal_expansion : [1/K]
        Volume expansion of the liquid.
    compressibility : [1/Pa]
        Compressibility of the liquid.
    outside_diameter : [m]
        Outside diameter of the inner pipe.
    wall : [m]
        Wall of the inner pipe.
    hole_diameter : [m]
        Inside diameter of the outer pipe.
    thermal_expansion_coefficient : [1/K]
        Linear expansion of steel.
    young_modulus : [Pa]
        Young's modulus of steel.
    poisson_ratio : [-]
        Poisson's ratio of steel.

    Returns
    -------
    trapped_annulus_pressure : [Pa]
        Gain of pressure, the same along the annulus.
    """
    bore = outside_diameter - 2.0 * wall
    share = outside_diameter**2 / (hole_diameter**2 - outside_diameter**2)
    lame = (outside_diameter**2 + bore**2) / (outside_diameter**2 - bore**2) - poisson_ratio
    gives_way = 2.0 * share / young_modulus * lame
    swells = fluid_thermal_expansion + 2.0 * thermal_expansion_coefficient * share
    result: Real = swells * annulus_warming / (compressibility + gives_way)
    return np.maximum(result, 0.0)
