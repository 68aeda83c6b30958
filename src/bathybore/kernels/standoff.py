"""Centralizers: how far a casing stays off the wall between them and at them."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published

_TEST_SHARE: Final = 0.67  # standoff at which a bow spring's restoring force is measured
_SPAN: Final = {
    "lateral_load": "2 kN",
    "centralizer_spacing": "24 m",
    "young_modulus": "207 GPa",
    "second_moment_of_area": "4.8e-5 m4",
    "effective_tension": "400 kN",
}


@published(
    formula="F_l = w_e s_c sin theta + 2 T_e sin(kappa s_c \\/ 2)",
    source="api-rp-10d-2",
    where="lateral load on a span: weight across the hole and pull round a bend; from memory",
    validity_note="Weight and bend taken in one plane, adding: the worse way.",
    example={
        "effective_weight_per_length": "500 N/m",
        "centralizer_spacing": "24 m",
        "inclination": "2 deg",
        "effective_tension": "400 kN",
        "dogleg_severity": "0.02 deg/m",
    },
)
def centralizer_lateral_load(
    effective_weight_per_length: Real,
    centralizer_spacing: Real,
    inclination: Real,
    effective_tension: Real,
    dogleg_severity: Real,
) -> Real:
    """Load across the hole that one centralizer has to hold.

    Parameters
    ----------
    effective_weight_per_length : [N/m]
        Weight of the casing in its fluids.
    centralizer_spacing : [m]
        Distance between centralizers.
    inclination : [rad]
        From the vertical.
    effective_tension : [N]
        Pull in the casing.
    dogleg_severity : [rad/m]
        Curvature of the hole.

    Returns
    -------
    lateral_load : [N]
        Load of one span.
    """
    weight = effective_weight_per_length * centralizer_spacing * np.sin(inclination)
    bend = 2.0 * effective_tension * np.sin(0.5 * np.asarray(dogleg_severity) * centralizer_spacing)
    return weight + bend


def _stiffened(u: Array) -> Array:
    """Return 24/u^4 (u^2/2 - u (cosh u - 1)/sinh u): one without tension, falling with it."""
    small = u < 0.3
    safe = np.where(small, 1.0, u)
    # (cosh u - 1)/sinh u = tanh(u/2), which does not overflow
    whole = 24.0 / safe**4 * (0.5 * safe**2 - safe * np.tanh(0.5 * safe))
    series = 1.0 - u**2 / 10.0 + 17.0 * u**4 / 1680.0
    return np.where(small, series, whole)


@published(
    formula=(
        "delta_c = (F_l s_c^3)/(384 E I) 24/u^4 (u^2/2 - u tanh u/2), "
        "quad u = sqrt(T_e s_c^2 \\/ (4 E I))"
    ),
    source="api-rp-10d-2",
    where="beam held at both ends and pulled, sag in the middle; from memory",
    valid={"effective_tension": Limit(0.0, 1e8, "in compression it sags further")},
    example=_SPAN,
)
def casing_sag(
    lateral_load: Real,
    centralizer_spacing: Real,
    young_modulus: Real,
    second_moment_of_area: Real,
    effective_tension: Real,
) -> Real:
    """Sag of a casing half-way between two centralizers.

    Parameters
    ----------
    lateral_load : [N]
        Load of the span.
    centralizer_spacing : [m]
        Distance between centralizers.
    young_modulus : [Pa]
        Of the steel.
    second_moment_of_area : [m4]
        Of the casing.
    effective_tension : [N]
        Pull in the casing.

    Returns
    -------
    casing_sag : [m]
        Sag towards the low side.
    """
    stiffness = np.asarray(young_modulus) * second_moment_of_area
    pull = np.maximum(effective_tension, 0.0)
    u = np.sqrt(pull * np.asarray(centralizer_spacing) ** 2 / (4.0 * stiffness))
    bare = lateral_load * np.asarray(centralizer_spacing) ** 3 / (384.0 * stiffness)
    return bare * _stiffened(u)


@published(
    formula="S_o = max(0, 1 - 0.33 F_l/F_c - (2 delta_c)/(d_h - D))",
    source="api-rp-10d-2",
    where="bow spring taken as linear through its restoring force at 67 % standoff; from memory",
    valid={"centralizer_restoring_force": Limit(1.0, 1e6)},
    validity_note="Hole of gauge. Springs are stiffer than linear when pressed hard.",
    example={
        "lateral_load": "2 kN",
        "centralizer_restoring_force": "7 kN",
        "casing_sag": "1 mm",
        "hole_diameter": "12.25 in",
        "outside_diameter": "9.625 in",
    },
)
def standoff(
    lateral_load: Real,
    centralizer_restoring_force: Real,
    casing_sag: Real,
    hole_diameter: Real,
    outside_diameter: Real,
) -> Real:
    """Least standoff of a casing: what the springs give and the casing sags between them.

    Parameters
    ----------
    lateral_load : [N]
        Load on one centralizer.
    centralizer_restoring_force : [N]
        Its restoring force at 67 % standoff, by its test.
    casing_sag : [m]
        Sag between centralizers; zero for the standoff at one.
    hole_diameter : [m]
        Diameter of the hole.
    outside_diameter : [m]
        Outside diameter of the casing.

    Returns
    -------
    standoff : [-]
        Least distance from the wall over that of a casing in the middle; zero on the wall.
    """
    given = (1.0 - _TEST_SHARE) * np.asarray(lateral_load) / centralizer_restoring_force
    sagged = 2.0 * np.asarray(casing_sag) / (np.asarray(hole_diameter) - outside_diameter)
    return np.maximum(0.0, 1.0 - given - sagged)
