"""Flat chips: how fast discs fall through mud."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published

# The constants of Walker and Mayes in coherent units; printed as 7.9, 186, 1.22 and 16.62 for
# pounds-force per 100 ft2, inches, pounds per gallon and feet per minute.
_INCH, _PPG, _POUND_STRESS = 0.0254, 119.826427, 0.4788026
_FOOT_A_MINUTE = 0.3048 / 60.0
_DISC_STRESS: Final = 7.9 * _POUND_STRESS / np.sqrt(_INCH * _PPG)
_DISC_BOUNDARY: Final = 186.0 * _INCH * np.sqrt(_PPG)
_DISC_SLOW: Final = 1.22 * _FOOT_A_MINUTE / _POUND_STRESS / np.sqrt(_INCH) * _PPG**0.25
_DISC_FAST: Final = 16.62 * _FOOT_A_MINUTE / _POUND_STRESS * np.sqrt(_PPG)


@published(
    formula=(
        'v_s = 1.338 sqrt(g h_c (rho_c - rho_f) \\/ rho_f) quad "above"; quad '
        'v_s = 0.2687 tau_p sqrt(d_c dot(gamma)_p) / rho_f^(1\\/4) quad "below" \\ '
        "dot(gamma)_b = 51.7/(d_c sqrt(rho_f)), quad tau_p = 2.168 sqrt(h_c (rho_c - rho_f)), quad "
        "dot(gamma)_p = ((tau_p - tau_y)/K)^(1\\/n)"
    ),
    source="walker-mayes-1975",
    where="slip of discs that fall flat, as in Bourgoyne et al. chapter 4; from memory, in SI",
    valid={"cuttings_diameter": Limit(1e-4, 0.05, "chips that are seen")},
    validity_note="Chips no thicker than wide; mud whose yield stress beats their pull holds them.",
    example={
        "cuttings_diameter": "0.25 in",
        "cuttings_density": "2.6 sg",
        "fluid_density": "1.20 sg",
        "cuttings_thickness": "4 mm",
        "yield_stress": "1 Pa",
        "consistency_index": "0.35 Pa s^n",
        "flow_index": "0.7",
    },
)
def slip_velocity_walker_mayes(
    cuttings_diameter: Real,
    cuttings_thickness: Real,
    cuttings_density: Real,
    fluid_density: Real,
    yield_stress: Real,
    consistency_index: Real,
    flow_index: Real,
) -> Real:
    """Slip velocity of flat chips: drag of a disc on its side, or the mud at its own shear stress.

    Parameters
    ----------
    cuttings_diameter : [m]
        Diameter of the chip.
    cuttings_thickness : [m]
        Thickness of the chip.
    cuttings_density : [kg/m3]
        Density of the cuttings.
    fluid_density : [kg/m3]
        Density of the mud.
    yield_stress : [Pa]
        Yield stress.
    consistency_index : [Pa s^n]
        Consistency index K.
    flow_index : [-]
        Flow index n.

    Returns
    -------
    slip_velocity : [m/s]
        Velocity of fall against the mud.
    """
    heavier = np.maximum(np.asarray(cuttings_density) - fluid_density, 0.0) * cuttings_thickness
    stress = _DISC_STRESS * np.sqrt(heavier)
    pull = np.maximum(stress - yield_stress, 0.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        moved = pull / np.asarray(consistency_index)
    # a fluid that resists nothing gives way at once to what moves it at all
    rate = np.where(pull > 0.0, moved, 0.0) ** (1.0 / np.asarray(flow_index))
    boundary = _DISC_BOUNDARY / (cuttings_diameter * np.sqrt(fluid_density))
    slow = (
        stress * np.sqrt(cuttings_diameter * rate) * _DISC_SLOW / np.asarray(fluid_density) ** 0.25
    )
    fast = _DISC_FAST * stress / np.sqrt(fluid_density)
    return np.asarray(np.where(rate < boundary, slow, fast))
