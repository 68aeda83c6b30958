"""Pressure of the fluid in the pores: from measurements, from compaction, as densities to a datum.

Methods that the literature writes with gradients stand here with pressures: a gradient
needs a datum, a pressure does not, and in deep water that is where errors enter.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published

_FOOT: Final = 0.3048  # m, exact
_PSI: Final = 6894.757293168361  # Pa, from the exact pound and inch
_BOWERS_MUDLINE: Final = 1524.0  # m/s: 5,000 ft/s, Bowers (1995)

_BOWERS_VELOCITY: Final = Limit(1524.0, 5500.0, "above the sea-bed value; sediment, not basement")
_BOWERS_NOTE: Final = "Shale and clay; coefficients in ft/s and psi as published, fitted by region."


@published(
    formula="p_n = p_0 + rho_f g z",
    source="definition",
    where="hydrostatic column of pore water under the sea",
    example={
        "sea_bed_pressure": "30 MPa",
        "pore_fluid_density": "1030 kg/m3",
        "depth_below_sea_bed": "1500 m",
        "gravity": "9.80665 m/s2",
    },
)
def normal_pore_pressure(
    sea_bed_pressure: Real, pore_fluid_density: Real, depth_below_sea_bed: Real, gravity: Real
) -> Real:
    """Pore pressure where the pores are open to the sea bed.

    Parameters
    ----------
    sea_bed_pressure : [Pa]
        Pressure of the sea on its bed.
    pore_fluid_density : [kg/m3]
        Density of the fluid in the pores.
    depth_below_sea_bed : [m]
        Depth below the sea bed.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    normal_pore_pressure : [Pa]
        Hydrostatic pore pressure.
    """
    return sea_bed_pressure + pore_fluid_density * gravity * depth_below_sea_bed


@published(
    formula="p_p = S_v - (S_v - p_n) (Delta t_n / Delta t_o)^(n_E)",
    source="eaton-1975",
    where="sonic form, exponent 3.0, with pressures for gradients",
    valid={"eaton_exponent": Limit(0.0, 8.0, "fitted by region")},
    validity_note="Shale and clay under-compacted; not unloading, not carbonate, not crust.",
    example={
        "vertical_stress": "60 MPa",
        "normal_pore_pressure": "35 MPa",
        "normal_transit_time": "90 us/ft",
        "observed_transit_time": "105 us/ft",
    },
)
def eaton_sonic(
    vertical_stress: Real,
    normal_pore_pressure: Real,
    normal_transit_time: Real,
    observed_transit_time: Real,
    eaton_exponent: Real = 3.0,
) -> Real:
    """Pore pressure from a sonic log that reads slower than the normal compaction trend.

    Parameters
    ----------
    vertical_stress : [Pa]
        Vertical stress.
    normal_pore_pressure : [Pa]
        Hydrostatic pore pressure.
    normal_transit_time : [s/m]
        Transit time of the normal trend at that depth.
    observed_transit_time : [s/m]
        Transit time measured.
    eaton_exponent : [-]
        Exponent of the method.

    Returns
    -------
    pore_pressure : [Pa]
        Pore pressure.
    """
    result: Real = vertical_stress - (vertical_stress - normal_pore_pressure) * np.power(
        normal_transit_time / observed_transit_time, eaton_exponent
    )
    return result


@published(
    formula="p_p = S_v - (S_v - p_n) R_r^(n_R)",
    source="eaton-1975",
    where="resistivity form, exponent 1.2, with pressures for gradients",
    valid={"eaton_resistivity_exponent": Limit(0.0, 4.0, "fitted by region")},
    validity_note="Shale and clay under-compacted; resistivity corrected for temperature and salt.",
    example={
        "vertical_stress": "60 MPa",
        "normal_pore_pressure": "35 MPa",
        "resistivity_ratio": "0.8",
    },
)
def eaton_resistivity(
    vertical_stress: Real,
    normal_pore_pressure: Real,
    resistivity_ratio: Real,
    eaton_resistivity_exponent: Real = 1.2,
) -> Real:
    """Pore pressure from a resistivity log that reads lower than the normal trend.

    Parameters
    ----------
    vertical_stress : [Pa]
        Vertical stress.
    normal_pore_pressure : [Pa]
        Hydrostatic pore pressure.
    resistivity_ratio : [-]
        Resistivity measured over that of the normal trend at the depth.
    eaton_resistivity_exponent : [-]
        Exponent of the method.

    Returns
    -------
    pore_pressure : [Pa]
        Pore pressure.
    """
    result: Real = vertical_stress - (vertical_stress - normal_pore_pressure) * np.power(
        resistivity_ratio, eaton_resistivity_exponent
    )
    return result


@published(
    formula="p_p = S_v - sigma'",
    source="terzaghi-peck-mesri-1996",
    where="principle of effective stress, from memory",
    example={"vertical_stress": "60 MPa", "vertical_effective_stress": "18 MPa"},
)
def pore_pressure_from_effective_stress(
    vertical_stress: Real, vertical_effective_stress: Real
) -> Real:
    """Pore pressure left when the grains carry a known part of the vertical stress.

    Parameters
    ----------
    vertical_stress : [Pa]
        Vertical stress.
    vertical_effective_stress : [Pa]
        Vertical effective stress.

    Returns
    -------
    pore_pressure : [Pa]
        Pore pressure.
    """
    return vertical_stress - vertical_effective_stress


@published(
    formula="V = V_0 + A_B sigma'^(B_B)",
    source="bowers-1995",
    where="virgin curve (V in ft/s, stress in psi), from memory",
    validity_note=_BOWERS_NOTE,
    example={
        "vertical_effective_stress": "4000 psi",
        "bowers_coefficient": "4.4567",
        "bowers_exponent": "0.8168",
    },
)
def bowers_virgin_velocity(
    vertical_effective_stress: Real,
    bowers_coefficient: Real,
    bowers_exponent: Real,
    sea_bed_sediment_velocity: Real = _BOWERS_MUDLINE,
) -> Real:
    """Sound velocity of sediment that never carried more than it does now.

    Parameters
    ----------
    vertical_effective_stress : [Pa]
        Vertical effective stress.
    bowers_coefficient : [-]
        Coefficient A, for ft/s and psi.
    bowers_exponent : [-]
        Exponent B.
    sea_bed_sediment_velocity : [m/s]
        Velocity at no effective stress.

    Returns
    -------
    sound_velocity : [m/s]
        Compressional velocity.
    """
    stress = vertical_effective_stress / _PSI
    result: Real = sea_bed_sediment_velocity + _FOOT * bowers_coefficient * np.power(
        stress, bowers_exponent
    )
    return result


@published(
    formula="sigma' = ((V - V_0) / A_B)^(1 / B_B)",
    source="bowers-1995",
    where="virgin curve (V in ft/s, stress in psi), from memory",
    valid={"sound_velocity": _BOWERS_VELOCITY},
    validity_note=_BOWERS_NOTE + " Slower than the sea-bed value counts as no effective stress.",
    example={
        "sound_velocity": "2700 m/s",
        "bowers_coefficient": "4.4567",
        "bowers_exponent": "0.8168",
    },
)
def bowers_virgin_effective_stress(
    sound_velocity: Real,
    bowers_coefficient: Real,
    bowers_exponent: Real,
    sea_bed_sediment_velocity: Real = _BOWERS_MUDLINE,
) -> Real:
    """Vertical effective stress of sediment on the virgin compaction curve.

    Parameters
    ----------
    sound_velocity : [m/s]
        Compressional velocity measured.
    bowers_coefficient : [-]
        Coefficient A, for ft/s and psi.
    bowers_exponent : [-]
        Exponent B.
    sea_bed_sediment_velocity : [m/s]
        Velocity at no effective stress.

    Returns
    -------
    vertical_effective_stress : [Pa]
        Vertical effective stress.
    """
    excess = np.maximum(sound_velocity - sea_bed_sediment_velocity, 0.0) / _FOOT
    result: Real = _PSI * np.power(excess / bowers_coefficient, 1.0 / bowers_exponent)
    return result


@published(
    formula="V = V_0 + A_B [sigma_m (sigma' / sigma_m)^(1 / U_B)]^(B_B)",
    source="bowers-1995",
    where="unloading curve (V in ft/s, stress in psi), from memory",
    valid={"bowers_unloading_exponent": Limit(1.0, 8.0, "one is elastic virgin; 3 to 8 usual")},
    validity_note=_BOWERS_NOTE,
    example={
        "vertical_effective_stress": "3000 psi",
        "greatest_past_effective_stress": "5000 psi",
        "bowers_coefficient": "4.4567",
        "bowers_exponent": "0.8168",
        "bowers_unloading_exponent": "3.13",
    },
)
def bowers_unloading_velocity(
    vertical_effective_stress: Real,
    greatest_past_effective_stress: Real,
    bowers_coefficient: Real,
    bowers_exponent: Real,
    bowers_unloading_exponent: Real,
    sea_bed_sediment_velocity: Real = _BOWERS_MUDLINE,
) -> Real:
    """Sound velocity of sediment whose effective stress has fallen since its greatest.

    Parameters
    ----------
    vertical_effective_stress : [Pa]
        Vertical effective stress now.
    greatest_past_effective_stress : [Pa]
        Greatest vertical effective stress ever carried.
    bowers_coefficient : [-]
        Coefficient A, for ft/s and psi.
    bowers_exponent : [-]
        Exponent B.
    bowers_unloading_exponent : [-]
        Exponent U of the unloading curve.
    sea_bed_sediment_velocity : [m/s]
        Velocity at no effective stress.

    Returns
    -------
    sound_velocity : [m/s]
        Compressional velocity.
    """
    share = vertical_effective_stress / greatest_past_effective_stress
    equivalent = greatest_past_effective_stress * np.power(share, 1.0 / bowers_unloading_exponent)
    return bowers_virgin_velocity(
        equivalent, bowers_coefficient, bowers_exponent, sea_bed_sediment_velocity
    )


@published(
    formula="sigma' = sigma_m [((V - V_0) / A_B)^(1 / B_B) / sigma_m]^(U_B)",
    source="bowers-1995",
    where="unloading curve (V in ft/s, stress in psi), from memory",
    valid={
        "sound_velocity": _BOWERS_VELOCITY,
        "bowers_unloading_exponent": Limit(1.0, 8.0, "one is elastic virgin; 3 to 8 usual"),
    },
    validity_note=_BOWERS_NOTE,
    example={
        "sound_velocity": "2700 m/s",
        "greatest_past_effective_stress": "5000 psi",
        "bowers_coefficient": "4.4567",
        "bowers_exponent": "0.8168",
        "bowers_unloading_exponent": "3.13",
    },
)
def bowers_unloading_effective_stress(
    sound_velocity: Real,
    greatest_past_effective_stress: Real,
    bowers_coefficient: Real,
    bowers_exponent: Real,
    bowers_unloading_exponent: Real,
    sea_bed_sediment_velocity: Real = _BOWERS_MUDLINE,
) -> Real:
    """Vertical effective stress of sediment on an unloading curve.

    Parameters
    ----------
    sound_velocity : [m/s]
        Compressional velocity measured.
    greatest_past_effective_stress : [Pa]
        Greatest vertical effective stress ever carried.
    bowers_coefficient : [-]
        Coefficient A, for ft/s and psi.
    bowers_exponent : [-]
        Exponent B.
    bowers_unloading_exponent : [-]
        Exponent U of the unloading curve.
    sea_bed_sediment_velocity : [m/s]
        Velocity at no effective stress.

    Returns
    -------
    vertical_effective_stress : [Pa]
        Vertical effective stress now.
    """
    virgin = bowers_virgin_effective_stress(
        sound_velocity, bowers_coefficient, bowers_exponent, sea_bed_sediment_velocity
    )
    result: Real = greatest_past_effective_stress * np.power(
        virgin / greatest_past_effective_stress, bowers_unloading_exponent
    )
    return result


@published(
    formula="t_p = (L_p^2 mu_p) / (k M_c)",
    source="jaeger-cook-zimmerman-2007",
    where="pore-pressure diffusion, characteristic time, from memory",
    validity_note="An order of magnitude: the time at which most of a pressure has spread.",
    example={
        "diffusion_length": "100 m",
        "pore_fluid_viscosity": "1 cP",
        "permeability": "9.869e-20 m2",
        "constrained_modulus": "1 GPa",
    },
)
def pressure_diffusion_time(
    diffusion_length: Real,
    pore_fluid_viscosity: Real,
    permeability: Real,
    constrained_modulus: Real,
) -> Real:
    """Time a pore pressure takes to spread over a distance in rock.

    Parameters
    ----------
    diffusion_length : [m]
        Distance the pressure spreads.
    pore_fluid_viscosity : [Pa s]
        Viscosity of the pore fluid.
    permeability : [m2]
        Permeability of the rock.
    constrained_modulus : [Pa]
        Stiffness of the rock under one-dimensional strain.

    Returns
    -------
    pressure_diffusion_time : [s]
        Characteristic time.
    """
    result: Real = (
        np.square(diffusion_length) * pore_fluid_viscosity / (permeability * constrained_modulus)
    )
    return result


# ---- pressures as densities to a datum ---------------------------------------------------


@published(
    formula="Gamma_p = p / L",
    source="definition",
    where="pressure over length",
    example={"pressure": "150 psi", "length": "207 m"},
)
def mean_pressure_gradient(pressure: Real, length: Real) -> Real:
    """Mean growth of a pressure over a length.

    Parameters
    ----------
    pressure : [Pa]
        Pressure gained over the length.
    length : [m]
        Vertical length.

    Returns
    -------
    mean_pressure_gradient : [Pa/m]
        Pressure per length.
    """
    return pressure / length


@published(
    formula='rho_"df" = p / (g z_"df")',
    source="definition",
    where="one column from the drill floor",
    validity_note="Below the drill floor only. Never compare with a density to another datum.",
    example={
        "pressure": "60 MPa",
        "depth_below_drill_floor": "4500 m",
        "gravity": "9.80665 m/s2",
    },
)
def equivalent_density_below_drill_floor(
    pressure: Real, depth_below_drill_floor: Real, gravity: Real
) -> Real:
    """Density of one column from the drill floor that gives a gauge pressure at a depth.

    Parameters
    ----------
    pressure : [Pa]
        Gauge pressure at the depth.
    depth_below_drill_floor : [m]
        True vertical depth below the drill floor.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    equivalent_density_to_drill_floor : [kg/m3]
        Equivalent density to the drill floor.
    """
    return pressure / (gravity * depth_below_drill_floor)


@published(
    formula='rho_"sl" = p / (g z)',
    source="definition",
    where="one column from sea level",
    validity_note="Below sea level only. Never compare with a density to another datum.",
    example={"pressure": "60 MPa", "depth_below_sea_level": "4470 m", "gravity": "9.80665 m/s2"},
)
def equivalent_density_below_sea_level(
    pressure: Real, depth_below_sea_level: Real, gravity: Real
) -> Real:
    """Density of one column from sea level that gives a gauge pressure at a depth.

    Parameters
    ----------
    pressure : [Pa]
        Gauge pressure at the depth.
    depth_below_sea_level : [m]
        True vertical depth below mean sea level.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    equivalent_density_to_sea_level : [kg/m3]
        Equivalent density to sea level.
    """
    return pressure / (gravity * depth_below_sea_level)


@published(
    formula='rho_"sb" = (p - p_0) / (g z)',
    source="definition",
    where="the sea to its bed, one column from there",
    validity_note="Below the sea bed only. Never compare with a density to another datum.",
    example={
        "pressure": "60 MPa",
        "sea_bed_pressure": "30 MPa",
        "depth_below_sea_bed": "2000 m",
        "gravity": "9.80665 m/s2",
    },
)
def equivalent_density_below_sea_bed(
    pressure: Real, sea_bed_pressure: Real, depth_below_sea_bed: Real, gravity: Real
) -> Real:
    """Density of the column from the sea bed, under the sea, that gives a pressure at a depth.

    For a riserless hole this is the density in the hole; of the pore pressure it is the
    least density that keeps the hole balanced with the riser gone.

    Parameters
    ----------
    pressure : [Pa]
        Gauge pressure at the depth.
    sea_bed_pressure : [Pa]
        Pressure of the sea on its bed.
    depth_below_sea_bed : [m]
        True vertical depth below the sea bed.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    equivalent_density_to_sea_bed : [kg/m3]
        Equivalent density to the sea bed.
    """
    return (pressure - sea_bed_pressure) / (gravity * depth_below_sea_bed)
