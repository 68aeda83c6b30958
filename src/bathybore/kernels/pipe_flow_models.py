"""Textbook closed forms of friction: single fluids, single regimes, and rules of thumb.

The planner uses the general equations of ``pipe_flow``; these are what handbooks
print, kept to check the general ones and to answer a user who asks for them.
"""

from __future__ import annotations

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published


@published(
    formula="tau_w = (4/3)^n tau_y + K dot(gamma)_w^n",
    source="api-rp-13d",
    where="shear stress at the wall, pipe, alpha = 0; from memory",
    caution="Up to a third above the exact stress at creeping flow; exact only without yield.",
    example={
        "wall_shear_rate": "400 1/s",
        "yield_stress": "4 Pa",
        "consistency_index": "0.35 Pa s^n",
        "flow_index": "0.7",
    },
)
def pipe_wall_shear_stress_simplified(
    wall_shear_rate: Real, yield_stress: Real, consistency_index: Real, flow_index: Real
) -> Real:
    """Wall stress of laminar Herschel-Bulkley flow in a pipe, in the standard's short form.

    Parameters
    ----------
    wall_shear_rate : [1/s]
        Shear rate at the wall as a power law has it.
    yield_stress : [Pa]
        Yield stress.
    consistency_index : [Pa s^n]
        Consistency index K.
    flow_index : [-]
        Flow index n.

    Returns
    -------
    wall_shear_stress : [Pa]
        Shear stress at the wall.
    """
    viscous = consistency_index * wall_shear_rate**flow_index
    return (4.0 / 3.0) ** flow_index * yield_stress + viscous


@published(
    formula="tau_w = (3/2)^n tau_y + K dot(gamma)_w^n",
    source="api-rp-13d",
    where="shear stress at the wall, annulus, alpha = 1; from memory",
    caution="Up to a half above the exact slot stress at creeping flow; exact only without yield.",
    example={
        "wall_shear_rate": "60 1/s",
        "yield_stress": "4 Pa",
        "consistency_index": "0.35 Pa s^n",
        "flow_index": "0.7",
    },
)
def annulus_wall_shear_stress_simplified(
    wall_shear_rate: Real, yield_stress: Real, consistency_index: Real, flow_index: Real
) -> Real:
    """Wall stress of laminar Herschel-Bulkley flow in an annulus, in the standard's short form.

    Parameters
    ----------
    wall_shear_rate : [1/s]
        Shear rate at the wall as a power law has it.
    yield_stress : [Pa]
        Yield stress.
    consistency_index : [Pa s^n]
        Consistency index K.
    flow_index : [-]
        Flow index n.

    Returns
    -------
    wall_shear_stress : [Pa]
        Shear stress at the wall.
    """
    viscous = consistency_index * wall_shear_rate**flow_index
    return 1.5**flow_index * yield_stress + viscous


@published(
    formula=(
        "q = (pi d^3)/8 n (tau_w/K)^(1\\/n) (1-x)^(1+1\\/n) "
        "[(1-x)^2/(3n+1) + (2x(1-x))/(2n+1) + x^2/(n+1)], "
        "quad tau_w = (g_f d)/4, quad x = tau_y/tau_w"
    ),
    source="ashena-2023",
    where="exact laminar tube flow",
    validity_note="Laminar flow only.",
    example={
        "friction_gradient": "500 Pa/m",
        "inside_diameter": "0.1086 m",
        "yield_stress": "7.18 Pa",
        "consistency_index": "0.025 Pa s^n",
        "flow_index": "1.0",
    },
)
def pipe_laminar_flow_rate_herschel_bulkley(
    friction_gradient: Real,
    inside_diameter: Real,
    yield_stress: Real,
    consistency_index: Real,
    flow_index: Real,
) -> Real:
    """Laminar flow rate of a Herschel-Bulkley fluid in a pipe under a pressure gradient.

    Nothing flows until the wall stress passes the yield stress.

    Parameters
    ----------
    friction_gradient : [Pa/m]
        Pressure lost per length, zero or more.
    inside_diameter : [m]
        Bore.
    yield_stress : [Pa]
        Yield stress.
    consistency_index : [Pa s^n]
        Consistency index K.
    flow_index : [-]
        Flow index n.

    Returns
    -------
    flow_rate : [m3/s]
        Flow rate.
    """
    n = flow_index
    wall = friction_gradient * inside_diameter / 4.0
    x = np.minimum(1.0, yield_stress / np.where(wall > 0.0, wall, np.inf))
    x = np.where(wall > 0.0, x, 1.0)
    rest = 1.0 - x
    shape = (
        rest**2 / (3.0 * n + 1.0) + 2.0 * x * rest / (2.0 * n + 1.0) + x**2 / (n + 1.0)
    ) * rest ** (1.0 + 1.0 / n)
    return np.pi * inside_diameter**3 / 8.0 * n * (wall / consistency_index) ** (1.0 / n) * shape


@published(
    formula=(
        "q = pi/4 (d_o^2 - d_i^2) (d_o - d_i)/4 n/(n+1) (tau_w/K)^(1\\/n) (1-x)^(1+1\\/n) "
        "[1 - n/(2n+1) (1-x)], quad tau_w = g_f (d_o - d_i)/4, quad x = tau_y/tau_w"
    ),
    source="definition",
    where="exact laminar flow in a plane slot of half the diameter difference",
    validity_note="Laminar flow only; slot for annulus.",
    example={
        "friction_gradient": "150 Pa/m",
        "annulus_outer_diameter": "12.25 in",
        "annulus_inner_diameter": "5 in",
        "yield_stress": "4 Pa",
        "consistency_index": "0.35 Pa s^n",
        "flow_index": "0.7",
    },
)
def annulus_laminar_flow_rate_herschel_bulkley(
    friction_gradient: Real,
    annulus_outer_diameter: Real,
    annulus_inner_diameter: Real,
    yield_stress: Real,
    consistency_index: Real,
    flow_index: Real,
) -> Real:
    """Laminar flow rate of a Herschel-Bulkley fluid in an annulus under a pressure gradient.

    Parameters
    ----------
    friction_gradient : [Pa/m]
        Pressure lost per length, zero or more.
    annulus_outer_diameter : [m]
        Diameter of the hole or bore of the casing.
    annulus_inner_diameter : [m]
        Outside diameter of the string.
    yield_stress : [Pa]
        Yield stress.
    consistency_index : [Pa s^n]
        Consistency index K.
    flow_index : [-]
        Flow index n.

    Returns
    -------
    flow_rate : [m3/s]
        Flow rate.
    """
    n = flow_index
    gap = annulus_outer_diameter - annulus_inner_diameter
    area = np.pi / 4.0 * (annulus_outer_diameter**2 - annulus_inner_diameter**2)
    wall = friction_gradient * gap / 4.0
    x = np.minimum(1.0, yield_stress / np.where(wall > 0.0, wall, np.inf))
    rest = 1.0 - np.where(wall > 0.0, x, 1.0)
    shape = rest ** (1.0 + 1.0 / n) * (1.0 - n / (2.0 * n + 1.0) * rest)
    return area * gap / 4.0 * n / (n + 1.0) * (wall / consistency_index) ** (1.0 / n) * shape


@published(
    formula="(d p)/(d L) = (32 mu_p v_m)/d^2 + (16 tau_0)/(3 d)",
    source="bourgoyne-1986",
    where="chapter 4, laminar Bingham pipe flow; fourth-power term dropped",
    validity_note="Laminar flow well above yield.",
    example={
        "mean_velocity": "1 m/s",
        "inside_diameter": "4.276 in",
        "plastic_viscosity": "20 cP",
        "yield_point": "8 Pa",
    },
)
def pipe_gradient_bingham(
    mean_velocity: Real, inside_diameter: Real, plastic_viscosity: Real, yield_point: Real
) -> Real:
    """Laminar friction gradient of a Bingham fluid in a pipe, as handbooks print it.

    Parameters
    ----------
    mean_velocity : [m/s]
        Mean velocity.
    inside_diameter : [m]
        Bore.
    plastic_viscosity : [Pa s]
        Plastic viscosity.
    yield_point : [Pa]
        Yield point.

    Returns
    -------
    friction_gradient : [Pa/m]
        Pressure lost per length.
    """
    return (
        32.0 * plastic_viscosity * mean_velocity / inside_diameter**2
        + 16.0 / 3.0 * yield_point / inside_diameter
    )


@published(
    formula="(d p)/(d L) = (48 mu_p v_m)/(d_o - d_i)^2 + (6 tau_0)/(d_o - d_i)",
    source="bourgoyne-1986",
    where="chapter 4, laminar Bingham slot flow; third-power term dropped",
    validity_note="Laminar flow well above yield.",
    example={
        "mean_velocity": "0.6 m/s",
        "annulus_outer_diameter": "12.25 in",
        "annulus_inner_diameter": "5 in",
        "plastic_viscosity": "20 cP",
        "yield_point": "8 Pa",
    },
)
def annulus_gradient_bingham(
    mean_velocity: Real,
    annulus_outer_diameter: Real,
    annulus_inner_diameter: Real,
    plastic_viscosity: Real,
    yield_point: Real,
) -> Real:
    """Laminar friction gradient of a Bingham fluid in an annulus, as handbooks print it.

    With no yield point it is the narrow-slot form for a Newtonian fluid.

    Parameters
    ----------
    mean_velocity : [m/s]
        Mean velocity.
    annulus_outer_diameter : [m]
        Diameter of the hole or bore of the casing.
    annulus_inner_diameter : [m]
        Outside diameter of the string.
    plastic_viscosity : [Pa s]
        Plastic viscosity.
    yield_point : [Pa]
        Yield point.

    Returns
    -------
    friction_gradient : [Pa/m]
        Pressure lost per length.
    """
    gap = annulus_outer_diameter - annulus_inner_diameter
    return 48.0 * plastic_viscosity * mean_velocity / gap**2 + 6.0 * yield_point / gap


@published(
    formula="(d p)/(d L) = 2 f rho_f v_m^2 / d, quad f = 0.0791 (rho_f v_m d \\/ mu_p)^(-1\\/4)",
    source="guo-liu-2011",
    where="page 40, turbulent pipe flow after Blasius",
    validity_note="Turbulent, smooth, Reynolds number 2,100 to 100,000.",
    example={
        "fluid_density": "1.20 sg",
        "mean_velocity": "4 m/s",
        "inside_diameter": "4.276 in",
        "plastic_viscosity": "20 cP",
    },
)
def pipe_gradient_blasius(
    fluid_density: Real, mean_velocity: Real, inside_diameter: Real, plastic_viscosity: Real
) -> Real:
    """Turbulent friction gradient in a pipe of a Newtonian or Bingham fluid (Blasius).

    Parameters
    ----------
    fluid_density : [kg/m3]
        Density of the fluid.
    mean_velocity : [m/s]
        Mean velocity.
    inside_diameter : [m]
        Bore.
    plastic_viscosity : [Pa s]
        Viscosity, or plastic viscosity.

    Returns
    -------
    friction_gradient : [Pa/m]
        Pressure lost per length.
    """
    reynolds = fluid_density * mean_velocity * inside_diameter / plastic_viscosity
    return 2.0 * 0.0791 * reynolds**-0.25 * fluid_density * mean_velocity**2 / inside_diameter


@published(
    formula=(
        "(d p)/(d L) = 2 f rho_f v_m^2 / d_e, quad f = 0.0791 (rho_f v_m d_e \\/ mu_p)^(-1\\/4), "
        "quad d_e = 0.816 (d_o - d_i)"
    ),
    source="guo-liu-2011",
    where="page 40, turbulent annulus flow after Blasius, slot equivalent diameter",
    validity_note="Turbulent, smooth, Reynolds number 2,100 to 100,000.",
    example={
        "fluid_density": "1.20 sg",
        "mean_velocity": "4 m/s",
        "annulus_outer_diameter": "8.5 in",
        "annulus_inner_diameter": "6.5 in",
        "plastic_viscosity": "20 cP",
    },
)
def annulus_gradient_blasius(
    fluid_density: Real,
    mean_velocity: Real,
    annulus_outer_diameter: Real,
    annulus_inner_diameter: Real,
    plastic_viscosity: Real,
) -> Real:
    """Turbulent friction gradient in an annulus of a Newtonian or Bingham fluid (Blasius).

    Parameters
    ----------
    fluid_density : [kg/m3]
        Density of the fluid.
    mean_velocity : [m/s]
        Mean velocity.
    annulus_outer_diameter : [m]
        Diameter of the hole or bore of the casing.
    annulus_inner_diameter : [m]
        Outside diameter of the string.
    plastic_viscosity : [Pa s]
        Viscosity, or plastic viscosity.

    Returns
    -------
    friction_gradient : [Pa/m]
        Pressure lost per length.
    """
    equivalent = 0.816 * (annulus_outer_diameter - annulus_inner_diameter)
    return pipe_gradient_blasius(fluid_density, mean_velocity, equivalent, plastic_viscosity)


@published(
    formula="(d p)/(d L) = (4 K)/d ((3n+1)/(4n) (8 v_m)/d)^n",
    source="bourgoyne-1986",
    where="chapter 4, laminar power-law pipe flow",
    validity_note="Laminar flow only.",
    example={
        "mean_velocity": "1 m/s",
        "inside_diameter": "4.276 in",
        "consistency_index": "0.35 Pa s^n",
        "flow_index": "0.7",
    },
)
def pipe_gradient_power_law(
    mean_velocity: Real, inside_diameter: Real, consistency_index: Real, flow_index: Real
) -> Real:
    """Laminar friction gradient of a power-law fluid in a pipe.

    Parameters
    ----------
    mean_velocity : [m/s]
        Mean velocity.
    inside_diameter : [m]
        Bore.
    consistency_index : [Pa s^n]
        Consistency index K.
    flow_index : [-]
        Flow index n.

    Returns
    -------
    friction_gradient : [Pa/m]
        Pressure lost per length.
    """
    n = flow_index
    rate = (3.0 * n + 1.0) / (4.0 * n) * 8.0 * mean_velocity / inside_diameter
    return 4.0 * consistency_index / inside_diameter * rate**n


@published(
    formula="(d p)/(d L) = (4 K)/(d_o - d_i) ((2n+1)/(3n) (12 v_m)/(d_o - d_i))^n",
    source="bourgoyne-1986",
    where="chapter 4, laminar power-law slot flow",
    validity_note="Laminar flow only.",
    example={
        "mean_velocity": "0.6 m/s",
        "annulus_outer_diameter": "12.25 in",
        "annulus_inner_diameter": "5 in",
        "consistency_index": "0.35 Pa s^n",
        "flow_index": "0.7",
    },
)
def annulus_gradient_power_law(
    mean_velocity: Real,
    annulus_outer_diameter: Real,
    annulus_inner_diameter: Real,
    consistency_index: Real,
    flow_index: Real,
) -> Real:
    """Laminar friction gradient of a power-law fluid in an annulus taken as a slot.

    Parameters
    ----------
    mean_velocity : [m/s]
        Mean velocity.
    annulus_outer_diameter : [m]
        Diameter of the hole or bore of the casing.
    annulus_inner_diameter : [m]
        Outside diameter of the string.
    consistency_index : [Pa s^n]
        Consistency index K.
    flow_index : [-]
        Flow index n.

    Returns
    -------
    friction_gradient : [Pa/m]
        Pressure lost per length.
    """
    n, gap = flow_index, annulus_outer_diameter - annulus_inner_diameter
    rate = (2.0 * n + 1.0) / (3.0 * n) * 12.0 * mean_velocity / gap
    return 4.0 * consistency_index / gap * rate**n


@published(
    formula="(d p)/(d L) = (32 mu v_m) / (d_o^2 + d_i^2 - (d_o^2 - d_i^2)/ln(d_o\\/d_i))",
    source="bourgoyne-1986",
    where="chapter 4, exact concentric annulus (Lamb); from memory",
    validity_note="Laminar flow only.",
    example={
        "mean_velocity": "0.415 m/s",
        "annulus_outer_diameter": "7 in",
        "annulus_inner_diameter": "5 in",
        "viscosity": "15 cP",
    },
)
def annulus_gradient_newtonian(
    mean_velocity: Real,
    annulus_outer_diameter: Real,
    annulus_inner_diameter: Real,
    viscosity: Real,
) -> Real:
    """Laminar friction gradient of a Newtonian fluid in a concentric annulus, exact.

    Parameters
    ----------
    mean_velocity : [m/s]
        Mean velocity.
    annulus_outer_diameter : [m]
        Diameter of the hole or bore of the casing.
    annulus_inner_diameter : [m]
        Outside diameter of the string, above zero.
    viscosity : [Pa s]
        Viscosity.

    Returns
    -------
    friction_gradient : [Pa/m]
        Pressure lost per length.
    """
    outer2, inner2 = annulus_outer_diameter**2, annulus_inner_diameter**2
    logarithm = np.log(annulus_outer_diameter / annulus_inner_diameter)
    return 32.0 * viscosity * mean_velocity / (outer2 + inner2 - (outer2 - inner2) / logarithm)


@published(
    formula="(d p)/(d L) = 0.02662 rho_f v_m^2 / (d_o - d_i)",
    source="lapeyrouse-2002",
    where="quick annular pressure loss, coherent form of 1.4327e-7",
    caution="Knows no rheology (a fixed friction factor): order of magnitude only.",
    example={
        "fluid_density": "13 ppg",
        "mean_velocity": "498 ft/min",
        "annulus_outer_diameter": "6.5 in",
        "annulus_inner_diameter": "4 in",
    },
)
def annulus_gradient_quick(
    fluid_density: Real,
    mean_velocity: Real,
    annulus_outer_diameter: Real,
    annulus_inner_diameter: Real,
) -> Real:
    """Rough friction gradient in an annulus by a field rule without rheology.

    Parameters
    ----------
    fluid_density : [kg/m3]
        Density of the fluid.
    mean_velocity : [m/s]
        Mean velocity.
    annulus_outer_diameter : [m]
        Diameter of the hole or bore of the casing.
    annulus_inner_diameter : [m]
        Outside diameter of the string.

    Returns
    -------
    friction_gradient : [Pa/m]
        Pressure lost per length.
    """
    # 1.4327e-7 psi/ft per ppg (ft/min)^2 / in, by the exact units
    rule = 1.4327e-7 * (6894.757293168361 / 0.3048) / (119.82642731689663 * 0.00508**2 / 0.0254)
    gap = annulus_outer_diameter - annulus_inner_diameter
    return rule * fluid_density * mean_velocity**2 / gap


@published(
    formula="p_s = C_s rho_f q^1.86",
    source="api-rp-13d",
    where="surface line loss, psi = C (ppg)(gpm/100)^1.86 in coherent units; from memory",
    valid={"surface_line_constant": Limit(0.1, 1.1, "cases 1 to 5: 1.0, 0.36, 0.22, 0.15, 0.15")},
    example={
        "fluid_density": "1.20 sg",
        "flow_rate": "3000 L/min",
        "surface_line_constant": "0.15",
    },
)
def surface_line_loss(fluid_density: Real, flow_rate: Real, surface_line_constant: Real) -> Real:
    """Pressure lost in standpipe, hose, swivel and kelly by the standard's classes.

    Parameters
    ----------
    fluid_density : [kg/m3]
        Density of the mud.
    flow_rate : [m3/s]
        Flow rate, zero or more.
    surface_line_constant : [-]
        Constant of the class of surface equipment, for ppg and gpm/100.

    Returns
    -------
    surface_line_loss : [Pa]
        Pressure lost.
    """
    hundred_gpm = 100.0 * 3.785411784e-3 / 60.0
    in_ppg = fluid_density / 119.82642731689663
    return 6894.757293168361 * surface_line_constant * in_ppg * (flow_rate / hundred_gpm) ** 1.86


_ECCENTRIC = {
    "eccentricity": "0.6",
    "annulus_outer_diameter": "12.25 in",
    "annulus_inner_diameter": "5 in",
    "flow_index": "0.7",
}
_ECCENTRIC_VALID = {
    "eccentricity": Limit(0.0, 0.95, "0 concentric, 1 touching"),
    "flow_index": Limit(0.4, 1.0),
}


def _eccentricity_factor(
    e: Real, ratio: Real, n: Real, linear: float, square: float, cube: float
) -> Real:
    return (
        1.0
        - linear * e / n * ratio**0.8454
        - square * e**2 * np.sqrt(n) * ratio**0.1852
        + cube * e**3 * np.sqrt(n) * ratio**0.2527
    )


@published(
    formula=(
        "R_e = 1 - 0.072 e/n r^0.8454 - 3/2 e^2 sqrt(n) r^0.1852 + 0.96 e^3 sqrt(n) r^0.2527, "
        "quad r = d_i/d_o"
    ),
    source="haciislamoglu-langlinais-1990",
    where="laminar correction; from memory",
    valid=_ECCENTRIC_VALID,
    validity_note="Diameter ratio 0.3 to 0.9.",
    example=_ECCENTRIC,
)
def eccentricity_factor_laminar(
    eccentricity: Real,
    annulus_outer_diameter: Real,
    annulus_inner_diameter: Real,
    flow_index: Real,
) -> Real:
    """Share of the concentric friction gradient that is left when the string lies aside, laminar.

    Parameters
    ----------
    eccentricity : [-]
        Offset of the string over the radial clearance.
    annulus_outer_diameter : [m]
        Diameter of the hole or bore of the casing.
    annulus_inner_diameter : [m]
        Outside diameter of the string.
    flow_index : [-]
        Flow index n.

    Returns
    -------
    eccentricity_factor : [-]
        Eccentric over concentric gradient.
    """
    ratio = annulus_inner_diameter / annulus_outer_diameter
    return _eccentricity_factor(eccentricity, ratio, flow_index, 0.072, 1.5, 0.96)


@published(
    formula=(
        "R_e = 1 - 0.048 e/n r^0.8454 - 2/3 e^2 sqrt(n) r^0.1852 + 0.285 e^3 sqrt(n) r^0.2527, "
        "quad r = d_i/d_o"
    ),
    source="haciislamoglu-cartalos-1994",
    where="turbulent correction; from memory",
    valid=_ECCENTRIC_VALID,
    validity_note="Diameter ratio 0.3 to 0.9.",
    example=_ECCENTRIC,
)
def eccentricity_factor_turbulent(
    eccentricity: Real,
    annulus_outer_diameter: Real,
    annulus_inner_diameter: Real,
    flow_index: Real,
) -> Real:
    """Share of the concentric friction gradient that is left when the string lies aside, turbulent.

    Parameters
    ----------
    eccentricity : [-]
        Offset of the string over the radial clearance.
    annulus_outer_diameter : [m]
        Diameter of the hole or bore of the casing.
    annulus_inner_diameter : [m]
        Outside diameter of the string.
    flow_index : [-]
        Flow index n.

    Returns
    -------
    eccentricity_factor : [-]
        Eccentric over concentric gradient.
    """
    ratio = annulus_inner_diameter / annulus_outer_diameter
    return _eccentricity_factor(eccentricity, ratio, flow_index, 0.048, 2.0 / 3.0, 0.285)
