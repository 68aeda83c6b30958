"""Pressure at which the formation takes fluid, from stress, pore pressure and tests.

Written with pressures, not gradients, so that no datum can be mixed.
"""

from __future__ import annotations

from typing import Final

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published

# Pa/m: 0.535 psi/ft, Matthews and Kelly (1967) as printed by Lapeyrouse, from memory.
_NORMAL_GRADIENT: Final = 0.535 * 6894.757293168361 / 0.3048


@published(
    formula="p_f = p_p + nu / (1 - nu) (S_v - p_p)",
    source="eaton-1969",
    where="with pressures for gradients; as printed by Lapeyrouse, ch. 5",
    valid={"poisson_ratio": Limit(0.0, 0.5, "one half gives the vertical stress")},
    validity_note="Relaxed basins without tectonic stress; Poisson's ratio is fitted to tests.",
    example={"vertical_stress": "60 MPa", "pore_pressure": "40 MPa", "poisson_ratio": "0.42"},
)
def eaton_1969(vertical_stress: Real, pore_pressure: Real, poisson_ratio: Real) -> Real:
    """Fracture pressure from the stress of sediment that cannot spread sideways.

    Parameters
    ----------
    vertical_stress : [Pa]
        Vertical stress.
    pore_pressure : [Pa]
        Pore pressure.
    poisson_ratio : [-]
        Poisson's ratio, in practice a value fitted to leak-off tests.

    Returns
    -------
    fracture_pressure : [Pa]
        Fracture pressure.
    """
    ratio = poisson_ratio / (1.0 - poisson_ratio)
    return pore_pressure + ratio * (vertical_stress - pore_pressure)


@published(
    formula="p_f = p_p + K_i (S_v - p_p)",
    source="matthews-kelly-1967",
    where="with pressures for gradients; as printed by Lapeyrouse, ch. 5, from memory",
    valid={"stress_ratio": Limit(0.0, 1.2, "published charts")},
    validity_note="Stress ratio read at the equivalent normal depth, from a chart of the region.",
    example={"vertical_stress": "60 MPa", "pore_pressure": "40 MPa", "stress_ratio": "0.79"},
)
def matthews_kelly(vertical_stress: Real, pore_pressure: Real, stress_ratio: Real) -> Real:
    """Fracture pressure from a regional ratio of horizontal to vertical effective stress.

    Parameters
    ----------
    vertical_stress : [Pa]
        Vertical stress.
    pore_pressure : [Pa]
        Pore pressure.
    stress_ratio : [-]
        Horizontal over vertical effective stress.

    Returns
    -------
    fracture_pressure : [Pa]
        Fracture pressure.
    """
    return pore_pressure + stress_ratio * (vertical_stress - pore_pressure)


@published(
    formula="z_i = sigma' / Gamma_n",
    source="matthews-kelly-1967",
    where="equivalent depth; 0.535 psi/ft as printed by Lapeyrouse, ch. 5, from memory",
    example={"vertical_effective_stress": "4512 psi"},
)
def equivalent_normal_depth(
    vertical_effective_stress: Real, normal_effective_stress_gradient: Real = _NORMAL_GRADIENT
) -> Real:
    """Depth at which normally pressured sediment carries the same effective stress.

    Parameters
    ----------
    vertical_effective_stress : [Pa]
        Vertical effective stress at the depth of interest.
    normal_effective_stress_gradient : [Pa/m]
        Effective stress gained per depth at normal pressure, 0.535 psi/ft.

    Returns
    -------
    equivalent_normal_depth : [m]
        Depth on land; in the sea a depth below the sea bed.
    """
    return vertical_effective_stress / normal_effective_stress_gradient


@published(
    formula="p_f = (S_v + 2 p_p) / 3",
    source="hubbert-willis-1957",
    where="horizontal effective stress one third of the vertical; total stress 1 psi/ft there",
    validity_note="A lower bound for relaxed basins; it proved too low for most.",
    example={"vertical_stress": "60 MPa", "pore_pressure": "40 MPa"},
)
def hubbert_willis_minimum(vertical_stress: Real, pore_pressure: Real) -> Real:
    """Lower bound of the fracture pressure where the horizontal effective stress is a third.

    Parameters
    ----------
    vertical_stress : [Pa]
        Vertical stress.
    pore_pressure : [Pa]
        Pore pressure.

    Returns
    -------
    fracture_pressure : [Pa]
        Fracture pressure.
    """
    return (vertical_stress + 2.0 * pore_pressure) / 3.0


@published(
    formula="p_f = (S_v + p_p) / 2",
    source="hubbert-willis-1957",
    where="horizontal effective stress half of the vertical; total stress 1 psi/ft there",
    validity_note="Relaxed basins.",
    example={"vertical_stress": "60 MPa", "pore_pressure": "40 MPa"},
)
def hubbert_willis_maximum(vertical_stress: Real, pore_pressure: Real) -> Real:
    """Fracture pressure where the horizontal effective stress is half of the vertical one.

    Parameters
    ----------
    vertical_stress : [Pa]
        Vertical stress.
    pore_pressure : [Pa]
        Pore pressure.

    Returns
    -------
    fracture_pressure : [Pa]
        Fracture pressure.
    """
    return 0.5 * (vertical_stress + pore_pressure)


@published(
    formula='p_"lo" = p_s + rho_m g z_"df"',
    source="definition",
    where="surface pressure on a standing column from the drill floor",
    validity_note="Pump shut in or slow; friction in the choke line not counted.",
    example={
        "surface_pressure": "5 MPa",
        "mud_density": "1200 kg/m3",
        "depth_below_drill_floor": "3500 m",
        "gravity": "9.80665 m/s2",
    },
)
def leak_off_pressure(
    surface_pressure: Real, mud_density: Real, depth_below_drill_floor: Real, gravity: Real
) -> Real:
    """Pressure at the shoe in a leak-off or integrity test: keep it, with its mud and datum.

    Parameters
    ----------
    surface_pressure : [Pa]
        Gauge pressure at the drill floor at leak-off.
    mud_density : [kg/m3]
        Mean density of the mud in the column.
    depth_below_drill_floor : [m]
        True vertical depth of the shoe below the drill floor.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    leak_off_pressure : [Pa]
        Gauge pressure at the shoe.
    """
    return surface_pressure + mud_density * gravity * depth_below_drill_floor


@published(
    formula='K_i = (p_"lo" - p_p) / (S_v - p_p)',
    source="matthews-kelly-1967",
    where="effective stress ratio solved for, from memory",
    validity_note="Vertical stress above pore pressure.",
    example={"leak_off_pressure": "55 MPa", "pore_pressure": "40 MPa", "vertical_stress": "60 MPa"},
)
def leak_off_stress_ratio(
    leak_off_pressure: Real, pore_pressure: Real, vertical_stress: Real
) -> Real:
    """Effective stress ratio that a leak-off test shows, to carry to other depths.

    Parameters
    ----------
    leak_off_pressure : [Pa]
        Gauge pressure at the shoe at leak-off.
    pore_pressure : [Pa]
        Pore pressure at the shoe.
    vertical_stress : [Pa]
        Vertical stress at the shoe.

    Returns
    -------
    stress_ratio : [-]
        Horizontal over vertical effective stress.
    """
    return (leak_off_pressure - pore_pressure) / (vertical_stress - pore_pressure)
