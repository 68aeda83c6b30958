"""Sections, pressure and tension strength of pipe bodies and threads, API TR 5C3 / ISO/TR 10400."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published

INCH: Final = 0.0254  # exact, SI brochure; the thread equations are fitted in inches
STEEL_DENSITY: Final = 7850.0  # 65.5 lb/gal, common practice
# 0.03 % of the room-temperature yield per degF above room temperature, common practice
YIELD_DERATING_PER_KELVIN: Final = 0.0003 * 1.8
ROOM_TEMPERATURE: Final = 293.15


@published(
    formula="d = D - 2 t",
    source="definition",
    where="geometry",
    example={"outside_diameter": "9 5/8 in", "wall": "0.472 in"},
)
def inside_diameter_of(outside_diameter: Real, wall: Real) -> Real:
    """Inside diameter of a pipe of nominal wall.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    wall : [m]
        Wall thickness.

    Returns
    -------
    inside_diameter : [m]
        Diameter of the bore.
    """
    return outside_diameter - 2.0 * wall


@published(
    formula="A_s = pi (D - t) t",
    source="definition",
    where="geometry",
    example={"outside_diameter": "9 5/8 in", "wall": "0.472 in"},
)
def pipe_body_area(outside_diameter: Real, wall: Real) -> Real:
    """Cross-section of steel of a pipe body.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    wall : [m]
        Wall thickness.

    Returns
    -------
    pipe_body_area : [m2]
        Area between the outside and the bore.
    """
    return np.pi * (outside_diameter - wall) * wall


@published(
    formula="I = pi / 64 (D^4 - d^4)",
    source="definition",
    where="geometry",
    example={"outside_diameter": "5 in", "inside_diameter": "4.276 in"},
)
def second_moment_of_area(outside_diameter: Real, inside_diameter: Real) -> Real:
    """Second moment of area of a round pipe about a diameter.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    inside_diameter : [m]
        Diameter of the bore.

    Returns
    -------
    second_moment_of_area : [m4]
        Times Young's modulus it is the bending stiffness.
    """
    return np.pi / 64.0 * (outside_diameter**4 - inside_diameter**4)


@published(
    formula="m = pi (D - t) t rho_s",
    source="definition",
    where="geometry; API 5CT prints it as 10.69 (D - t) t lb/ft with inches",
    example={"outside_diameter": "9 5/8 in", "wall": "0.472 in"},
    caution="Plain-end pipe: couplings, upsets and tool joints come on top.",
)
def linear_mass_of_pipe(
    outside_diameter: Real, wall: Real, steel_density: Real = STEEL_DENSITY
) -> Real:
    """Mass per length of plain-end pipe in air.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    wall : [m]
        Wall thickness.
    steel_density : [kg/m3]
        Density of the steel.

    Returns
    -------
    linear_mass : [kg/m]
        Mass per length.
    """
    return np.pi * (outside_diameter - wall) * wall * steel_density


@published(
    formula="F_Y = pi (D - t) t Y",
    source="api-tr-5c3",
    where="pipe-body yield strength",
    example={"outside_diameter": "13 3/8 in", "wall": "0.514 in", "yield_strength": "80 ksi"},
    caution="The body only: the connection may be weaker.",
)
def pipe_body_yield_force(outside_diameter: Real, wall: Real, yield_strength: Real) -> Real:
    """Axial force at which a pipe body yields, no pressure acting.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    wall : [m]
        Nominal wall thickness.
    yield_strength : [Pa]
        Specified minimum yield strength.

    Returns
    -------
    pipe_body_yield_force : [N]
        Axial force at yield.
    """
    return np.pi * (outside_diameter - wall) * wall * yield_strength


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


@published(
    formula='p_"iR" = (2 k U (k_w t - k_a a_N)) / (D - (k_w t - k_a a_N)) \\ '
    "k = (1 slash 2)^(n_h + 1) + (1 slash sqrt(3))^(n_h + 1)",
    source="api-tr-5c3",
    where="ductile rupture of capped pipe (Klever and Stewart), from memory",
    valid={"hardening_index": Limit(0.0, 0.3, "hardening of casing steels")},
    validity_note="No axial force beyond that of the end caps; no wear; steel tough enough "
    "that the pipe does not burst from a brittle crack.",
    example={
        "outside_diameter": "9 5/8 in",
        "wall": "0.472 in",
        "ultimate_strength": "95 ksi",
        "imperfection_depth": "0.0236 in",
        "hardening_index": "0.104",
    },
    caution="A limit of survival, not of use: the pipe has yielded long before.",
)
def ductile_rupture_pressure(
    outside_diameter: Real,
    wall: Real,
    ultimate_strength: Real,
    imperfection_depth: Real,
    hardening_index: Real,
    burst_strength_factor: Real = 1.0,
    wall_tolerance: Real = 0.875,
) -> Real:
    """Gauge pressure inside at which a closed-ended pipe bursts ductilely.

    The wall thins as it stretches until it can take no more pressure; the factor k is
    midway between the Tresca and von Mises answers. Cracks that inspection may have
    left are taken off the wall.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    wall : [m]
        Nominal wall thickness.
    ultimate_strength : [Pa]
        Specified minimum ultimate tensile strength.
    imperfection_depth : [m]
        Depth of the largest crack-like flaw that inspection lets pass (5 % of wall is usual).
    hardening_index : [-]
        Hardening index of the stress-strain curve.
    burst_strength_factor : [-]
        1 for quenched and tempered steel, 2 for as-rolled or unknown toughness.
    wall_tolerance : [-]
        Least wall as a fraction of nominal.

    Returns
    -------
    rupture_pressure : [Pa]
        Internal gauge pressure at rupture.
    """
    sound = wall_tolerance * wall - burst_strength_factor * imperfection_depth
    power = hardening_index + 1.0
    midway: Real = 0.5**power + (1.0 / np.sqrt(3.0)) ** power
    return 2.0 * midway * ultimate_strength * sound / (outside_diameter - sound)


@published(
    formula='F_b = 0.95 pi (D - t) t U [1.008 - 0.0396 (1.083 - Y / U) D / "in"]',
    source="api-tr-5c3",
    where="buttress casing joint strength, pipe thread",
    valid={"outside_diameter": Limit(0.114, 0.509, "API buttress sizes 4 1/2 to 20 in")},
    example={
        "outside_diameter": "9 5/8 in",
        "wall": "0.472 in",
        "yield_strength": "80 ksi",
        "ultimate_strength": "100 ksi",
    },
    caution="Pipe thread only: a coupling of smaller diameter or softer steel may govern.",
)
def buttress_joint_strength(
    outside_diameter: Real, wall: Real, yield_strength: Real, ultimate_strength: Real
) -> Real:
    """Axial force that parts the pipe thread of a buttress casing joint.

    A fit to full-scale pull tests; the diameter enters in inches.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    wall : [m]
        Nominal wall thickness.
    yield_strength : [Pa]
        Specified minimum yield strength of the pipe.
    ultimate_strength : [Pa]
        Specified minimum ultimate strength of the pipe.

    Returns
    -------
    buttress_joint_strength : [N]
        Minimum joint strength.
    """
    area = np.pi * (outside_diameter - wall) * wall
    size = 0.0396 * (1.083 - yield_strength / ultimate_strength) * outside_diameter / INCH
    return 0.95 * area * ultimate_strength * (1.008 - size)


@published(
    formula="F_r = 0.95 A_j min(U, "
    "L_e [(0.74 D^(-0.59) U) / (0.5 L_e + 0.14 D) + Y / (L_e + 0.14 D)]) \\ "
    'A_j = pi / 4 [(D - 0.1425 "in")^2 - (D - 2 t)^2]',
    source="api-tr-5c3",
    where="round-thread casing joint strength: fracture and jump-out, inches",
    valid={"outside_diameter": Limit(0.114, 0.509, "API round-thread sizes 4 1/2 to 20 in")},
    example={
        "outside_diameter": "9 5/8 in",
        "wall": "0.395 in",
        "engaged_thread_length": "4.046 in",
        "yield_strength": "80 ksi",
        "ultimate_strength": "100 ksi",
    },
)
def long_round_joint_strength(
    outside_diameter: Real,
    wall: Real,
    engaged_thread_length: Real,
    yield_strength: Real,
    ultimate_strength: Real,
) -> Real:
    """Axial force that parts a round-thread joint: the lesser of fracture and jump-out.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    wall : [m]
        Nominal wall thickness.
    engaged_thread_length : [m]
        Thread length L4 less 0.704 in (power-tight make-up of 8-round threads).
    yield_strength : [Pa]
        Specified minimum yield strength of the pipe.
    ultimate_strength : [Pa]
        Specified minimum ultimate strength of the pipe.

    Returns
    -------
    long_round_joint_strength : [N]
        Minimum joint strength.
    """
    diameter, thread = outside_diameter / INCH, engaged_thread_length / INCH
    bore = outside_diameter - 2.0 * wall
    under_last_thread = np.pi / 4.0 * ((outside_diameter - 0.1425 * INCH) ** 2 - bore**2)
    jump_out = thread * (
        0.74 * diameter**-0.59 * ultimate_strength / (0.5 * thread + 0.14 * diameter)
        + yield_strength / (thread + 0.14 * diameter)
    )
    return 0.95 * under_last_thread * np.minimum(jump_out, ultimate_strength)


@published(
    formula="Y_T = Y [1 - k_T max(0, T - T_0)]",
    source="common-practice",
    where="0.03 % per degF above room temperature, from memory",
    valid={"temperature": Limit(240.0, 500.0, "low-alloy pipe steels, straight-line derating")},
    example={"yield_strength": "110 ksi", "temperature": "150 degC"},
    caution="The maker's curve of the very steel replaces this line.",
)
def yield_at_temperature(
    yield_strength: Real,
    temperature: Real,
    yield_derating_rate: Real = YIELD_DERATING_PER_KELVIN,
    reference_temperature: Real = ROOM_TEMPERATURE,
) -> Real:
    """Yield strength at temperature, falling along a straight line; never above the specified one.

    Parameters
    ----------
    yield_strength : [Pa]
        Specified minimum yield strength at the reference temperature.
    temperature : [K]
        Temperature of the steel.
    yield_derating_rate : [1/K]
        Share of the yield strength lost per degree.
    reference_temperature : [K]
        Temperature of the specified strength.

    Returns
    -------
    yield_at_temperature : [Pa]
        Yield strength at temperature.
    """
    hotter = np.maximum(temperature - reference_temperature, 0.0)
    return yield_strength * (1.0 - yield_derating_rate * hotter)


@published(
    formula="Q_D = k_D Q",
    source="definition",
    where="what a design factor means",
    valid={"design_factor": Limit(1.0, 10.0, "below 1 a load may exceed the capacity")},
    example={"load": "100 klbf", "design_factor": "1.8"},
)
def required_capacity(load: Real, design_factor: Real) -> Real:
    """Capacity that a load needs once the design factor is applied.

    Parameters
    ----------
    load : [N]
        Load that acts.
    design_factor : [-]
        Least ratio of capacity to load.

    Returns
    -------
    required_capacity : [N]
        Least capacity.
    """
    return design_factor * load
