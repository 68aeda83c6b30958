"""Pressures at which the wall of a vertical hole in rock caves in, breaks open or takes fluid.

The Kirsch stresses of the wall meet the strength of the rock. Compression is positive;
horizontal and vertical stresses are principal and total. The wall is taken as sealed by
mud cake (the fluid does not enter) unless the text says otherwise.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published

_POISSON: Final = Limit(0.0, 0.5, "isotropic elastic rock")
_RATIO: Final = Limit(1.0, 130.0, "friction angle 0 to 80 degrees")
_ROCK_ONLY: Final = (
    "Vertical hole in isotropic, linear elastic rock with a principal stress vertical; "
    "not soft sediment near the sea bed, where plasticity carries the wall."
)
_STRESSES: Final = {
    "major_horizontal_stress": "45 MPa",
    "minor_horizontal_stress": "38 MPa",
    "vertical_stress": "50 MPa",
    "pore_pressure": "22 MPa",
    "poisson_ratio": "0.25",
}


@published(
    formula=(
        'p_"col" = max[(A - C_0) / (1 + q) , (B - C_0) / q , A - q B - C_0 , A_0 - q B_0 - C_0] '
        "+ p_p \\ "
        "A = 3 S_H - S_h - 2 p_p , quad B = S_v + 2 nu (S_H - S_h) - p_p \\ "
        "A_0 = 3 S_h - S_H - 2 p_p , quad B_0 = S_v - 2 nu (S_H - S_h) - p_p"
    ),
    source="al-ajmi-zimmerman-2006",
    where="Mohr-Coulomb collapse pressures of a vertical hole, three orders of wall stress",
    valid={"poisson_ratio": _POISSON, "failure_stress_ratio": _RATIO},
    validity_note=_ROCK_ONLY,
    caution="Elastic and without the help of the intermediate stress: on the safe side.",
    example={
        **_STRESSES,
        "unconfined_compressive_strength": "34.64 MPa",
        "failure_stress_ratio": "3",
    },
)
def collapse_pressure_mohr_coulomb(
    major_horizontal_stress: Real,
    minor_horizontal_stress: Real,
    vertical_stress: Real,
    pore_pressure: Real,
    poisson_ratio: Real,
    unconfined_compressive_strength: Real,
    failure_stress_ratio: Real,
) -> Real:
    """Lowest pressure in a vertical hole at which its wall does not fail in shear (Coulomb).

    The criterion s_max - q s_min - UCS over the three wall stresses is the greatest of
    that difference over all ordered pairs. Pairs that ease as the hole pressure rises are
    hoop-radial, axial-radial and hoop-axial; each gives one pressure, the greatest governs.
    Hoop and axial stress swing together with the angle, so a pair is worst either across
    the greater horizontal stress (A, B) or along it (A_0, B_0).

    Parameters
    ----------
    major_horizontal_stress : [Pa]
        Greater horizontal principal stress, total.
    minor_horizontal_stress : [Pa]
        Lesser horizontal principal stress, total.
    vertical_stress : [Pa]
        Vertical stress, total.
    pore_pressure : [Pa]
        Pore pressure in the wall.
    poisson_ratio : [-]
        Poisson's ratio of the rock.
    unconfined_compressive_strength : [Pa]
        Unconfined compressive strength.
    failure_stress_ratio : [-]
        Slope q of the criterion sigma1 = UCS + q sigma3.

    Returns
    -------
    hole_collapse_pressure : [Pa]
        Pressure in the hole, gauge as the inputs are; below zero where the wall needs none.
    """
    difference = major_horizontal_stress - minor_horizontal_stress
    strength, q = unconfined_compressive_strength, failure_stress_ratio
    hoop = 3.0 * major_horizontal_stress - minor_horizontal_stress - 2.0 * pore_pressure
    axial = vertical_stress + 2.0 * poisson_ratio * difference - pore_pressure
    hoop_low = 3.0 * minor_horizontal_stress - major_horizontal_stress - 2.0 * pore_pressure
    axial_low = vertical_stress - 2.0 * poisson_ratio * difference - pore_pressure
    over_radial = np.maximum((hoop - strength) / (1.0 + q), (axial - strength) / q)
    over_axial = np.maximum(hoop - q * axial, hoop_low - q * axial_low) - strength
    result: Real = np.maximum(over_radial, over_axial) + pore_pressure
    return result


def _mogi_root(hoop: Array, axial: Array, a: Array, b: Array, m0: Array, m1: Array) -> Array:
    """Smaller root x of tau_oct(x) = a + b (m0 + m1 x), NaN where there is none.

    With radial x, hoop A - x and axial B: 9 tau^2 = 6 x^2 - 6 A x + 2 A^2 - 2 A B + 2 B^2.
    """
    strength0, strength1 = 3.0 * (a + b * m0), 3.0 * b * m1
    square = 6.0 - strength1**2
    linear = -6.0 * hoop - 2.0 * strength0 * strength1
    constant = 2.0 * (hoop**2 - hoop * axial + axial**2) - strength0**2
    discriminant = linear**2 - 4.0 * square * constant
    root = (-linear - np.sqrt(np.maximum(discriminant, 0.0))) / (2.0 * square)
    exists = (discriminant >= 0.0) & (strength0 + strength1 * root >= 0.0)
    return np.where(exists, root, np.nan)


@published(
    formula=(
        'p_"col" = p_p + x : quad tau_"oct" (x, A - x, B) = a_M + b_M (sigma_1 + sigma_3) / 2 \\ '
        "A = 3 S_H - S_h - 2 p_p , quad B = S_v + 2 nu (S_H - S_h) - p_p"
    ),
    source="al-ajmi-zimmerman-2006",
    where="Mogi-Coulomb, vertical hole; criterion as printed in Zhang (2019), eq. 3.71",
    valid={
        "poisson_ratio": _POISSON,
        "mogi_slope": Limit(0.0, 0.93, "friction angle 0 to 80 degrees"),
    },
    validity_note=_ROCK_ONLY + " Infinite where no pressure holds the wall.",
    caution="Counts on the intermediate stress; Mohr-Coulomb asks for more pressure.",
    example={**_STRESSES, "mogi_intercept": "8.165 MPa", "mogi_slope": "0.4714"},
)
def collapse_pressure_mogi_coulomb(
    major_horizontal_stress: Real,
    minor_horizontal_stress: Real,
    vertical_stress: Real,
    pore_pressure: Real,
    poisson_ratio: Real,
    mogi_intercept: Real,
    mogi_slope: Real,
) -> Real:
    """Lowest pressure in a vertical hole at which its wall does not fail (Mogi-Coulomb).

    Across the greater horizontal stress the effective wall stresses are x, A - x and B.
    In each order of the three the criterion is a quadratic in x; the root that has that
    order is the answer. Well below it the wall always fails, so no root at all means that
    no pressure holds the wall, and the answer is infinite.

    Parameters
    ----------
    major_horizontal_stress : [Pa]
        Greater horizontal principal stress, total.
    minor_horizontal_stress : [Pa]
        Lesser horizontal principal stress, total.
    vertical_stress : [Pa]
        Vertical stress, total.
    pore_pressure : [Pa]
        Pore pressure in the wall.
    poisson_ratio : [-]
        Poisson's ratio of the rock.
    mogi_intercept : [Pa]
        Intercept of the Mogi-Coulomb line.
    mogi_slope : [-]
        Slope of the Mogi-Coulomb line.

    Returns
    -------
    hole_collapse_pressure : [Pa]
        Pressure in the hole, gauge as the inputs are; below zero where the wall needs none.
    """
    difference = major_horizontal_stress - minor_horizontal_stress
    hoop = np.asarray(3.0 * major_horizontal_stress - minor_horizontal_stress - 2.0 * pore_pressure)
    axial = np.asarray(vertical_stress + 2.0 * poisson_ratio * difference - pore_pressure)
    a, b = np.asarray(mogi_intercept), np.asarray(mogi_slope)
    slack = 1e-9 * (np.abs(hoop) + np.abs(axial) + np.abs(a))  # two orders meet at one pressure
    zero, half = np.asarray(0.0), np.asarray(0.5)
    greatest = _mogi_root(hoop, axial, a, b, 0.5 * axial, half)
    middle = _mogi_root(hoop, axial, a, b, 0.5 * hoop, zero)
    least = _mogi_root(hoop, axial, a, b, 0.5 * (hoop + axial), -half)
    in_order = (
        np.where(
            (hoop - greatest <= axial + slack) & (2.0 * greatest <= hoop + slack), greatest, np.nan
        ),
        np.where((middle <= axial + slack) & (axial <= hoop - middle + slack), middle, np.nan),
        np.where((least >= axial - slack) & (2.0 * least <= hoop + slack), least, np.nan),
    )
    effective = np.fmax(np.fmax(in_order[0], in_order[1]), in_order[2])
    result: Real = np.where(np.isnan(effective), np.inf, effective + pore_pressure)
    return result


@published(
    formula="p_b = 3 S_h - S_H - p_p + T_0 + sigma_T",
    source="hubbert-willis-1957",
    where="sealed wall; least hoop stress of Kirsch against tensile strength",
    validity_note=_ROCK_ONLY,
    caution="May lie below the least stress; then the least stress is the loss limit.",
    example={
        "major_horizontal_stress": "45 MPa",
        "minor_horizontal_stress": "38 MPa",
        "pore_pressure": "22 MPa",
        "rock_tensile_strength": "3 MPa",
    },
)
def breakdown_pressure(
    major_horizontal_stress: Real,
    minor_horizontal_stress: Real,
    pore_pressure: Real,
    rock_tensile_strength: Real,
    wall_thermal_stress: Real = 0.0,
) -> Real:
    """Pressure at which an intact, sealed wall of a vertical hole breaks open.

    Parameters
    ----------
    major_horizontal_stress : [Pa]
        Greater horizontal principal stress, total.
    minor_horizontal_stress : [Pa]
        Lesser horizontal principal stress, total.
    pore_pressure : [Pa]
        Pore pressure in the wall.
    rock_tensile_strength : [Pa]
        Tensile strength of the rock; zero where it is already cracked.
    wall_thermal_stress : [Pa]
        Hoop stress added by heating the wall; negative where circulation cools it.

    Returns
    -------
    breakdown_pressure : [Pa]
        Pressure in the hole at breakdown.
    """
    return (
        3.0 * minor_horizontal_stress
        - major_horizontal_stress
        - pore_pressure
        + rock_tensile_strength
        + wall_thermal_stress
    )


@published(
    formula=(
        "p_b = (3 S_h - S_H + T_0 - 2 eta p_p) / (2 (1 - eta)) , quad "
        "eta = alpha_B (1 - 2 nu) / (2 (1 - nu))"
    ),
    source="haimson-fairhurst-1967",
    where="wall that lets fluid in, from memory",
    valid={"poisson_ratio": _POISSON, "biot_coefficient": Limit(0.0, 1.0, "a fraction")},
    validity_note=_ROCK_ONLY,
    example={
        "major_horizontal_stress": "45 MPa",
        "minor_horizontal_stress": "38 MPa",
        "pore_pressure": "22 MPa",
        "rock_tensile_strength": "3 MPa",
        "poisson_ratio": "0.25",
    },
)
def breakdown_pressure_permeable(
    major_horizontal_stress: Real,
    minor_horizontal_stress: Real,
    pore_pressure: Real,
    rock_tensile_strength: Real,
    poisson_ratio: Real,
    biot_coefficient: Real = 1.0,
) -> Real:
    """Pressure at which a wall that the fluid enters breaks open: the lower bound.

    Parameters
    ----------
    major_horizontal_stress : [Pa]
        Greater horizontal principal stress, total.
    minor_horizontal_stress : [Pa]
        Lesser horizontal principal stress, total.
    pore_pressure : [Pa]
        Pore pressure far from the hole.
    rock_tensile_strength : [Pa]
        Tensile strength of the rock.
    poisson_ratio : [-]
        Poisson's ratio of the rock.
    biot_coefficient : [-]
        Biot's coefficient.

    Returns
    -------
    breakdown_pressure : [Pa]
        Pressure in the hole at breakdown.
    """
    eta = 0.5 * biot_coefficient * (1.0 - 2.0 * poisson_ratio) / (1.0 - poisson_ratio)
    return (
        3.0 * minor_horizontal_stress
        - major_horizontal_stress
        + rock_tensile_strength
        - 2.0 * eta * pore_pressure
    ) / (2.0 * (1.0 - eta))


@published(
    formula='p_"loss" = min(p_b , S_3)',
    source="common-practice",
    where="a crack opened once takes fluid at the least stress",
    caution="A pressure between the two is borne only while the wall is uncracked.",
    example={"breakdown_pressure": "50 MPa", "least_principal_stress": "38 MPa"},
)
def loss_limit_pressure(breakdown_pressure: Real, least_principal_stress: Real) -> Real:
    """Pressure that planning must not exceed: the lesser of breakdown and least stress.

    Parameters
    ----------
    breakdown_pressure : [Pa]
        Pressure at which the intact wall breaks open.
    least_principal_stress : [Pa]
        Least total principal stress.

    Returns
    -------
    loss_limit_pressure : [Pa]
        Pressure at which losses must be expected.
    """
    result: Real = np.minimum(breakdown_pressure, least_principal_stress)
    return result
