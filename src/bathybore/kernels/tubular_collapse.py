"""Collapse of pipe under outside pressure: the four API regimes and the effect of axial load."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published

PSI: Final = 6894.757293168361  # exact from the pound and the inch; the fits are in psi
# Elastic collapse constant as API prints it (46.95e6 psi); 0.7125 x 2 E / (1 - nu^2) is 46.98e6.
ELASTIC: Final = 46.95e6 * PSI

FITTED: Final = Limit(30e3 * PSI, 160e3 * PSI, "yield strengths of the collapse tests")
SLENDER: Final = "D/t between 6 and 100"


class _Fits(NamedTuple):
    """The five coefficients of a yield strength; powers written out, which is much faster."""

    a: Real
    b: Real
    c: Real
    f: Real
    g: Real


def _fits(yield_strength: Real) -> _Fits:
    y = yield_strength / PSI
    a = 2.8762 + y * (0.10679e-5 + y * (0.21301e-10 - 0.53132e-16 * y))
    b = 0.026233 + 0.50609e-6 * y
    c = PSI * (-465.93 + y * (0.030867 + y * (-0.10483e-7 + 0.36989e-13 * y)))
    ratio = b / a
    touch = 3.0 * ratio / (2.0 + ratio)  # wall over diameter where the curves touch
    thin = 1.0 - touch
    f = ELASTIC * (touch * touch * touch) / (yield_strength * (touch - ratio) * (thin * thin))
    return _Fits(a, b, c, f, f * ratio)


def _yield_plastic(yield_strength: Real, fits: _Fits) -> Real:
    # Far below any grade (yield nearly used up by tension) the curves no longer cross:
    # yield collapse then governs at every slenderness.
    safe = np.maximum(fits.b + fits.c / yield_strength, 1e-6)
    above = fits.a - 2.0
    return (np.sqrt(above * above + 8.0 * safe) + above) / (2.0 * safe)


def _plastic_transition(yield_strength: Real, fits: _Fits) -> Real:
    fall = fits.c + yield_strength * (fits.b - fits.g)
    return yield_strength * (fits.a - fits.f) / np.where(np.abs(fall) < 1.0, 1.0, fall)


def _transition_elastic(fits: _Fits) -> Real:
    ratio = fits.b / fits.a
    return (2.0 + ratio) / (3.0 * ratio)


def _collapse(outside_diameter: Real, wall: Real, yield_strength: Real) -> Real:
    """Collapse pressure for any yield strength down to zero."""
    slenderness = outside_diameter / wall
    y = np.maximum(yield_strength, 1.0)  # a yield used up leaves no collapse strength, see return
    by_yield = 2.0 * y * (slenderness - 1.0) / slenderness**2
    fits = _fits(y)
    plastic = y * (fits.a / slenderness - fits.b) - fits.c
    transition = y * (fits.f / slenderness - fits.g)
    elastic = ELASTIC / (slenderness * (slenderness - 1.0) ** 2)
    regime = np.where(slenderness <= _transition_elastic(fits), transition, elastic)
    regime = np.where(slenderness <= _plastic_transition(y, fits), plastic, regime)
    regime = np.where(slenderness <= _yield_plastic(y, fits), by_yield, regime)
    # For real grades this bound never acts; it keeps strength below the two limits of
    # mechanics when tension has used up most of the yield and the fits no longer hold.
    bounded = np.minimum(regime, np.minimum(by_yield, elastic))
    return np.where(yield_strength > 0.0, np.maximum(bounded, 0.0), 0.0)


def _left_by_tension(utilisation: Real) -> Real:
    """Share of the yield left in hoop compression; compression earns no credit."""
    used = np.clip(utilisation, 0.0, 1.0)
    return np.sqrt(1.0 - 0.75 * used**2) - 0.5 * used


@published(
    formula="A = 2.8762 + 1.0679 dot 10^(-6) y + 2.1301 dot 10^(-11) y^2 "
    '- 5.3132 dot 10^(-17) y^3, quad y = Y / "psi"',
    source="api-tr-5c3",
    where="historical collapse, empirical coefficients",
    valid={"yield_strength": FITTED},
    example={"yield_strength": "80 ksi"},
)
def collapse_coefficient_a(yield_strength: Real) -> Real:
    """Coefficient A of the API plastic-collapse curve.

    Parameters
    ----------
    yield_strength : [Pa]
        Yield strength, specified or reduced by tension.

    Returns
    -------
    collapse_coefficient_a : [-]
        Coefficient A.
    """
    return _fits(yield_strength).a


@published(
    formula='B = 0.026233 + 5.0609 dot 10^(-7) Y / "psi"',
    source="api-tr-5c3",
    where="historical collapse, empirical coefficients",
    valid={"yield_strength": FITTED},
    example={"yield_strength": "80 ksi"},
)
def collapse_coefficient_b(yield_strength: Real) -> Real:
    """Coefficient B of the API plastic-collapse curve.

    Parameters
    ----------
    yield_strength : [Pa]
        Yield strength, specified or reduced by tension.

    Returns
    -------
    collapse_coefficient_b : [-]
        Coefficient B.
    """
    return _fits(yield_strength).b


@published(
    formula='C / "psi" = -465.93 + 0.030867 y - 1.0483 dot 10^(-8) y^2 '
    '+ 3.6989 dot 10^(-14) y^3, quad y = Y / "psi"',
    source="api-tr-5c3",
    where="historical collapse, empirical coefficients",
    valid={"yield_strength": FITTED},
    example={"yield_strength": "80 ksi"},
)
def collapse_coefficient_c(yield_strength: Real) -> Real:
    """Coefficient C of the API plastic-collapse curve, a pressure.

    Parameters
    ----------
    yield_strength : [Pa]
        Yield strength, specified or reduced by tension.

    Returns
    -------
    collapse_coefficient_c : [Pa]
        Coefficient C.
    """
    return _fits(yield_strength).c


@published(
    formula='F = (46.95 dot 10^6 "psi" q^3) / (Y (q - B / A) (1 - q)^2), '
    "quad q = (3 B / A) / (2 + B / A)",
    source="api-tr-5c3",
    where="historical collapse, transition coefficients",
    valid={"yield_strength": FITTED},
    example={"yield_strength": "80 ksi"},
)
def collapse_coefficient_f(yield_strength: Real) -> Real:
    """Coefficient F of the API transition-collapse curve.

    Chosen so that the transition curve touches the elastic one.

    Parameters
    ----------
    yield_strength : [Pa]
        Yield strength, specified or reduced by tension.

    Returns
    -------
    collapse_coefficient_f : [-]
        Coefficient F.
    """
    return _fits(yield_strength).f


@published(
    formula="G = F(Y) B(Y) / A(Y)",
    source="api-tr-5c3",
    where="historical collapse, transition coefficients",
    valid={"yield_strength": FITTED},
    example={"yield_strength": "80 ksi"},
)
def collapse_coefficient_g(yield_strength: Real) -> Real:
    """Coefficient G of the API transition-collapse curve.

    Parameters
    ----------
    yield_strength : [Pa]
        Yield strength, specified or reduced by tension.

    Returns
    -------
    collapse_coefficient_g : [-]
        Coefficient G.
    """
    return _fits(yield_strength).g


@published(
    formula='r_"yp" = (sqrt((A - 2)^2 + 8 (B + C / Y)) + (A - 2)) / (2 (B + C / Y))',
    source="api-tr-5c3",
    where="historical collapse, range of yield collapse",
    valid={"yield_strength": FITTED},
    example={"yield_strength": "80 ksi"},
)
def diameter_wall_limit_yield_plastic(yield_strength: Real) -> Real:
    """Diameter over wall below which the bore yields before the pipe collapses plastically.

    Parameters
    ----------
    yield_strength : [Pa]
        Yield strength, specified or reduced by tension.

    Returns
    -------
    diameter_wall_limit_yield_plastic : [-]
        Ratio of outside diameter to wall.
    """
    return _yield_plastic(yield_strength, _fits(yield_strength))


@published(
    formula='r_"pt" = (Y (A - F)) / (C + Y (B - G))',
    source="api-tr-5c3",
    where="historical collapse, range of plastic collapse",
    valid={"yield_strength": FITTED},
    example={"yield_strength": "80 ksi"},
)
def diameter_wall_limit_plastic_transition(yield_strength: Real) -> Real:
    """Diameter over wall where plastic collapse gives way to transition collapse.

    Parameters
    ----------
    yield_strength : [Pa]
        Yield strength, specified or reduced by tension.

    Returns
    -------
    diameter_wall_limit_plastic_transition : [-]
        Ratio of outside diameter to wall.
    """
    return _plastic_transition(yield_strength, _fits(yield_strength))


@published(
    formula='r_"te" = (2 + B(Y) / A(Y)) / (3 B(Y) / A(Y))',
    source="api-tr-5c3",
    where="historical collapse, range of transition collapse",
    valid={"yield_strength": FITTED},
    example={"yield_strength": "80 ksi"},
)
def diameter_wall_limit_transition_elastic(yield_strength: Real) -> Real:
    """Diameter over wall above which the pipe buckles elastically.

    Parameters
    ----------
    yield_strength : [Pa]
        Yield strength, specified or reduced by tension.

    Returns
    -------
    diameter_wall_limit_transition_elastic : [-]
        Ratio of outside diameter to wall.
    """
    return _transition_elastic(_fits(yield_strength))


@published(
    formula="p_c = cases("
    '2 Y (r - 1) / r^2 &"if" r <= r_"yp", '
    'Y (A / r - B) - C &"if" r <= r_"pt", '
    'Y (F / r - G) &"if" r <= r_"te", '
    '(46.95 dot 10^6 "psi") / (r (r - 1)^2) &"otherwise") quad r = D / t',
    source="api-tr-5c3",
    where="historical collapse: yield, plastic, transition and elastic",
    valid={"yield_strength": FITTED},
    validity_note=SLENDER,
    example={"outside_diameter": "9 5/8 in", "wall": "0.472 in", "yield_strength": "80 ksi"},
    caution="No axial load, no pressure inside, no wear, no bending.",
)
def collapse_pressure(outside_diameter: Real, wall: Real, yield_strength: Real) -> Real:
    """External gauge pressure that collapses a pipe free of axial load.

    Thick pipe yields at the bore (Lamé), thin pipe buckles elastically; two fitted
    curves join them. The minimum strength by API, not the mean.

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
    collapse_pressure : [Pa]
        External gauge pressure at collapse.
    """
    return _collapse(outside_diameter, wall, yield_strength)


@published(
    formula="Y_a = Y (sqrt(1 - 0.75 s^2) - 0.5 s), quad s = min(1, max(0, sigma_a / Y))",
    source="api-tr-5c3",
    where="axial-stress equivalent grade",
    example={"yield_strength": "80 ksi", "axial_stress": "40 ksi"},
    caution="Compression earns no credit.",
)
def yield_reduced_by_tension(yield_strength: Real, axial_stress: Real) -> Real:
    """Yield strength left for collapse in a pipe under tension.

    The von Mises ellipse of axial and hoop stress, solved for hoop compression.

    Parameters
    ----------
    yield_strength : [Pa]
        Specified minimum yield strength.
    axial_stress : [Pa]
        Axial stress, tension positive; for a pipe with pressure inside, that pressure added.

    Returns
    -------
    reduced_yield_strength : [Pa]
        Yield strength to use in the collapse equations.
    """
    return yield_strength * _left_by_tension(axial_stress / yield_strength)


@published(
    formula="Delta p_c = p_c (D, t, Y_a), quad Y_a = Y (sqrt(1 - 0.75 s^2) - 0.5 s), "
    "quad s = min(1, max(0, (sigma_a + p_i) / Y))",
    source="api-tr-5c3",
    where="Addendum (2015), collapse under axial stress and internal pressure, from memory",
    validity_note=SLENDER,
    example={
        "outside_diameter": "9 5/8 in",
        "wall": "0.472 in",
        "yield_strength": "110 ksi",
        "axial_stress": "200 MPa",
        "internal_pressure": "10 MPa",
    },
    caution="A difference of pressures: add the pressure inside for the external pressure.",
)
def collapse_pressure_under_tension(
    outside_diameter: Real,
    wall: Real,
    yield_strength: Real,
    axial_stress: Real,
    internal_pressure: Real,
) -> Real:
    """External minus internal pressure that collapses a pipe under tension and pressure.

    Pressure on all sides does not yield steel: tension counts from the pressure inside,
    so that the yield is reduced by the axial stress plus that pressure.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    wall : [m]
        Nominal wall thickness.
    yield_strength : [Pa]
        Specified minimum yield strength.
    axial_stress : [Pa]
        Axial stress at the depth, tension positive.
    internal_pressure : [Pa]
        Pressure inside at the depth.

    Returns
    -------
    collapse_pressure_difference : [Pa]
        External minus internal pressure at collapse.
    """
    left = yield_strength * _left_by_tension((axial_stress + internal_pressure) / yield_strength)
    return _collapse(outside_diameter, wall, left)


@published(
    formula='p_"ec" = p_i + Delta p_c (D, t, Y, sigma_a + p_i)',
    source="api-tr-5c3",
    where="Addendum (2015), collapse under axial stress and internal pressure, from memory",
    validity_note=SLENDER,
    example={
        "outside_diameter": "9 5/8 in",
        "wall": "0.472 in",
        "yield_strength": "110 ksi",
        "axial_stress": "200 MPa",
        "internal_pressure": "10 MPa",
    },
)
def external_pressure_capacity(
    outside_diameter: Real,
    wall: Real,
    yield_strength: Real,
    axial_stress: Real,
    internal_pressure: Real,
) -> Real:
    """External pressure that collapses a pipe, given its tension and the pressure inside.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    wall : [m]
        Nominal wall thickness.
    yield_strength : [Pa]
        Specified minimum yield strength.
    axial_stress : [Pa]
        Axial stress at the depth, tension positive.
    internal_pressure : [Pa]
        Pressure inside at the depth.

    Returns
    -------
    external_pressure_at_collapse : [Pa]
        External pressure at collapse.
    """
    left = yield_strength * _left_by_tension((axial_stress + internal_pressure) / yield_strength)
    return internal_pressure + _collapse(outside_diameter, wall, left)


@published(
    formula='p_"eq" = p_e - (1 - 2 t / D) p_i',
    source="api-tr-5c3",
    where="effect of internal pressure on collapse, form before the 2015 addendum",
    example={
        "outside_diameter": "9 5/8 in",
        "wall": "0.472 in",
        "external_pressure": "40 MPa",
        "internal_pressure": "10 MPa",
    },
    caution="The older rule: compare with the collapse pressure reduced by axial stress alone.",
)
def equivalent_collapse_pressure(
    outside_diameter: Real, wall: Real, external_pressure: Real, internal_pressure: Real
) -> Real:
    """External pressure alone that loads a pipe as the given outside and inside pressures do.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    wall : [m]
        Nominal wall thickness.
    external_pressure : [Pa]
        Pressure outside.
    internal_pressure : [Pa]
        Pressure inside.

    Returns
    -------
    equivalent_external_pressure : [Pa]
        Pressure to compare with the collapse pressure.
    """
    return external_pressure - (1.0 - 2.0 * wall / outside_diameter) * internal_pressure


@published(
    formula='p_"ey" = p_i + Y (2 t (D - t)) / D^2 max(0, sqrt(1 - 0.75 s^2) - 0.5 s), '
    "quad s = (sigma_a + p_i) / Y",
    source="bourgoyne-1986",
    where="ch. 7, ellipse of plasticity",
    example={
        "outside_diameter": "5.5 in",
        "wall": "0.476 in",
        "yield_strength": "80 ksi",
        "axial_stress": "40 ksi",
        "internal_pressure": "10000 psi",
    },
    caution="Yield of the bore of thick pipe only: thin pipe collapses well before.",
)
def yield_collapse_ellipse(
    outside_diameter: Real,
    wall: Real,
    yield_strength: Real,
    axial_stress: Real,
    internal_pressure: Real,
) -> Real:
    """External pressure at which the bore of a pipe yields, the ellipse of plasticity.

    Lamé's hoop stress at the bore and the axial stress on the von Mises ellipse, the
    pressure inside added to both. A pipe that axial stress alone yields has none left.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    wall : [m]
        Nominal wall thickness.
    yield_strength : [Pa]
        Specified minimum yield strength.
    axial_stress : [Pa]
        Axial stress, tension positive.
    internal_pressure : [Pa]
        Pressure inside.

    Returns
    -------
    external_pressure_at_yield : [Pa]
        External pressure at which the bore starts to yield.
    """
    used = (axial_stress + internal_pressure) / yield_strength
    inside = 1.0 - 0.75 * used**2
    left = np.sqrt(np.maximum(inside, 0.0)) - 0.5 * used
    left = np.where(inside >= 0.0, np.maximum(left, 0.0), 0.0)
    area = 2.0 * wall * (outside_diameter - wall) / outside_diameter**2
    return internal_pressure + yield_strength * area * left


@published(
    formula="L_c = p_c / (k_D rho_f g)",
    source="definition",
    where="a fluid column outside, nothing inside",
    example={
        "collapse_pressure": "4760 psi",
        "design_factor": "1.125",
        "fluid_density": "12.5 ppg",
    },
    caution="Pipe empty inside and free of tension: tension lowers the collapse pressure.",
)
def collapse_depth_when_empty(
    collapse_pressure: Real, design_factor: Real, fluid_density: Real
) -> Real:
    """Height of an outside fluid column that uses up the collapse pressure of an empty pipe.

    Parameters
    ----------
    collapse_pressure : [Pa]
        Collapse pressure of the pipe.
    design_factor : [-]
        Least ratio of collapse pressure to load.
    fluid_density : [kg/m3]
        Density of the fluid outside.

    Returns
    -------
    collapse_length_capacity : [m]
        Height of the column.
    """
    return collapse_pressure / (design_factor * fluid_density * 9.80665)
