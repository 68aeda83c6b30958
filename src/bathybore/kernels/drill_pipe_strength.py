"""Strength of drill pipe, new and worn, API RP 7G."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published

# Shear yield over tensile yield as API RP 7G rounds it; von Mises gives 1/sqrt(3) = 0.57735.
SHEAR_YIELD: Final = 0.577
PSI: Final = 6894.757293168361  # exact from the pound and the inch
WALL_LEFT: Final = Limit(0.5, 1.0, "share of nominal wall; premium class keeps 0.8, class 2 0.7")


def _polar_modulus(outside_diameter: Real, bore: Real) -> Real:
    return np.pi / 16.0 * (outside_diameter**4 - bore**4) / outside_diameter


@published(
    formula="Z_p = pi / 16 (D^4 - d^4) / D, quad d = D - 2 t",
    source="definition",
    where="geometry",
    example={"outside_diameter": "5 in", "wall": "0.362 in"},
)
def polar_section_modulus(outside_diameter: Real, wall: Real) -> Real:
    """Polar section modulus of a round pipe: torque over shear stress at the outside.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    wall : [m]
        Wall thickness.

    Returns
    -------
    polar_section_modulus : [m3]
        Polar second moment of area over the outside radius.
    """
    return _polar_modulus(outside_diameter, outside_diameter - 2.0 * wall)


@published(
    formula="M_Y = 0.577 Y pi / 16 (D^4 - d^4) / D, quad d = D - 2 t",
    source="api-rp-7g",
    where="appendix A, torsional yield strength of drill pipe",
    example={"outside_diameter": "5 in", "wall": "0.362 in", "yield_strength": "135 ksi"},
    caution="The pipe body: the tool joint is often weaker.",
)
def torsional_yield(outside_diameter: Real, wall: Real, yield_strength: Real) -> Real:
    """Torque at which a drill-pipe body starts to yield, no tension acting.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body, worn where it is worn.
    wall : [m]
        Wall thickness, worn where it is worn.
    yield_strength : [Pa]
        Specified minimum yield strength.

    Returns
    -------
    torsional_yield : [N m]
        Torque at yield.
    """
    modulus = _polar_modulus(outside_diameter, outside_diameter - 2.0 * wall)
    return SHEAR_YIELD * yield_strength * modulus


@published(
    formula="F_M = pi (D - t) t sqrt(max(0, Y^2 - (M_t / (0.577 Z_p (D, t)))^2))",
    source="api-rp-7g",
    where="appendix A, combined torsion and tension, solved for tension",
    example={
        "outside_diameter": "5 in",
        "wall": "0.362 in",
        "yield_strength": "135 ksi",
        "torque": "20000 ft-lbf",
    },
    caution="Nothing is left where the torque alone reaches torsional yield.",
)
def tension_under_torque(
    outside_diameter: Real, wall: Real, yield_strength: Real, torque: Real
) -> Real:
    """Axial force that yields a drill-pipe body while it carries a torque.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    wall : [m]
        Wall thickness.
    yield_strength : [Pa]
        Specified minimum yield strength.
    torque : [N m]
        Torque in the pipe.

    Returns
    -------
    tension_under_torque : [N]
        Axial force at yield; zero where the torque has used up all strength.
    """
    modulus = _polar_modulus(outside_diameter, outside_diameter - 2.0 * wall)
    twisted = torque / (SHEAR_YIELD * modulus)
    left = np.sqrt(np.maximum(yield_strength**2 - twisted**2, 0.0))
    return np.pi * (outside_diameter - wall) * wall * left


@published(
    formula="M_Y = 0.577 Z_p (D, t) sqrt(max(0, Y^2 - (F_a / (pi (D - t) t))^2))",
    source="api-rp-7g",
    where="appendix A, combined torsion and tension",
    example={
        "outside_diameter": "5 in",
        "wall": "0.362 in",
        "yield_strength": "135 ksi",
        "axial_force": "300 klbf",
    },
)
def torsional_yield_under_tension(
    outside_diameter: Real, wall: Real, yield_strength: Real, axial_force: Real
) -> Real:
    """Torque that yields a drill-pipe body while it carries a tension.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    wall : [m]
        Wall thickness.
    yield_strength : [Pa]
        Specified minimum yield strength.
    axial_force : [N]
        Tension in the pipe.

    Returns
    -------
    torsional_yield : [N m]
        Torque at yield; zero where the tension has used up all strength.
    """
    modulus = _polar_modulus(outside_diameter, outside_diameter - 2.0 * wall)
    stretched = axial_force / (np.pi * (outside_diameter - wall) * wall)
    left = np.sqrt(np.maximum(yield_strength**2 - stretched**2, 0.0))
    return SHEAR_YIELD * modulus * left


@published(
    formula="D_w = D - 2 (1 - k_r) t",
    source="api-rp-7g",
    where="used drill pipe: uniform wear of the outside, bore unchanged",
    valid={"remaining_wall": WALL_LEFT},
    example={"outside_diameter": "5 in", "wall": "0.362 in", "remaining_wall": "0.8"},
)
def worn_outside_diameter(outside_diameter: Real, wall: Real, remaining_wall: Real) -> Real:
    """Outside diameter of drill pipe worn evenly from outside, the bore as new.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter when new.
    wall : [m]
        Nominal wall thickness when new.
    remaining_wall : [-]
        Wall left as a fraction of nominal: premium 0.8, class 2 0.7.

    Returns
    -------
    worn_outside_diameter : [m]
        Outside diameter after wear.
    """
    return outside_diameter - 2.0 * (1.0 - remaining_wall) * wall


@published(
    formula='p_"iw" = (2 Y k_r t) / D',
    source="api-rp-7g",
    where="internal pressure of used drill pipe: remaining wall over nominal diameter, no 0.875",
    valid={"remaining_wall": WALL_LEFT},
    example={
        "outside_diameter": "5 in",
        "wall": "0.362 in",
        "yield_strength": "135 ksi",
        "remaining_wall": "0.9",
    },
    caution="The remaining wall is measured, so the mill tolerance of 0.875 is not taken again.",
)
def worn_pipe_internal_yield_pressure(
    outside_diameter: Real, wall: Real, yield_strength: Real, remaining_wall: Real
) -> Real:
    """Gauge pressure inside at which worn drill pipe starts to yield.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter when new.
    wall : [m]
        Nominal wall thickness when new.
    yield_strength : [Pa]
        Specified minimum yield strength.
    remaining_wall : [-]
        Wall left as a fraction of nominal.

    Returns
    -------
    worn_internal_yield_pressure : [Pa]
        Internal gauge pressure at yield.
    """
    return 2.0 * yield_strength * remaining_wall * wall / outside_diameter


@published(
    formula='sigma_"bf" = 19500 - 10 / 67 s - 0.6 / 670^2 (s - 33500)^2 quad "(psi)", '
    'quad s = sigma_a / "psi"',
    source="api-rp-7g",
    where="dogleg limits, grade E-75 (Lubinski), from memory",
    valid={"axial_stress": Limit(0.0, 67e3 * PSI, "tensile stress in the pipe body")},
    example={"axial_stress": "20 ksi"},
    caution="No corrosion; sour or salt water lowers it.",
)
def fatigue_bending_stress_grade_e(axial_stress: Real) -> Real:
    """Bending stress that grade E-75 drill pipe bears without fatigue, under tension.

    Parameters
    ----------
    axial_stress : [Pa]
        Tensile stress by the load below, buoyed.

    Returns
    -------
    fatigue_bending_stress : [Pa]
        Greatest bending stress; not below zero.
    """
    s = axial_stress / PSI
    return PSI * np.maximum(19500.0 - 10.0 / 67.0 * s - 0.6 / 670.0**2 * (s - 33500.0) ** 2, 0.0)


@published(
    formula='sigma_"bf" = 20000 (1 - s / 145000) quad "(psi)", quad s = sigma_a / "psi"',
    source="api-rp-7g",
    where="dogleg limits, grade S-135 (Lubinski), from memory",
    valid={"axial_stress": Limit(0.0, 133.4e3 * PSI, "tensile stress in the pipe body")},
    example={"axial_stress": "40 ksi"},
    caution="No corrosion; sour or salt water lowers it.",
)
def fatigue_bending_stress_grade_s(axial_stress: Real) -> Real:
    """Bending stress that grade S-135 drill pipe bears without fatigue, under tension.

    Parameters
    ----------
    axial_stress : [Pa]
        Tensile stress by the load below, buoyed.

    Returns
    -------
    fatigue_bending_stress : [Pa]
        Greatest bending stress; not below zero.
    """
    return PSI * np.maximum(20000.0 * (1.0 - axial_stress / PSI / 145000.0), 0.0)
