"""Strings in crooked holes: bending, fatigue doglegs, side force, drag, torque and buckling."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published

YOUNG_MODULUS: Final = 30e6 * 6894.757293168361  # 30e6 psi, API RP 7G
SHEAR_MODULUS: Final = 11.5e6 * 6894.757293168361  # 11.5e6 psi, steel, common practice
HALF_JOINT: Final = 15.0 * 0.3048  # half of a range-2 joint of 30 ft, API RP 7G
# The drag equation is smooth but for the change of contact side: 256 classical
# Runge-Kutta steps hold its closed form to 1e-9.
STEPS: Final = 256

FRICTION: Final = Limit(0.0, 1.0, "steel on steel or rock in mud: 0.15 to 0.4")
INCLINED: Final = Limit(0.0, np.pi / 2.0, "hole not turning upwards")


def _stiffness(outside_diameter: Real, inside_diameter: Real, young_modulus: Real) -> Real:
    return young_modulus * np.pi / 64.0 * (outside_diameter**4 - inside_diameter**4)


@published(
    formula="sigma_b = (E D kappa) / 2",
    source="definition",
    where="bending of a beam to a given curvature",
    example={"outside_diameter": "9 5/8 in", "dogleg_severity": "0.1 deg/m"},
    caution="Pipe that follows the hole; between tool joints under tension the bend is sharper.",
)
def bending_stress_from_dogleg(
    outside_diameter: Real, dogleg_severity: Real, young_modulus: Real = YOUNG_MODULUS
) -> Real:
    """Bending stress at the outside of a pipe bent to the curvature of the hole.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    dogleg_severity : [rad/m]
        Curvature of the hole.
    young_modulus : [Pa]
        Young's modulus.

    Returns
    -------
    bending_stress : [Pa]
        Tension on one side, compression on the other.
    """
    return 0.5 * young_modulus * outside_diameter * dogleg_severity


@published(
    formula='kappa_p = (2 sigma_"bf") / (E D) tanh(x) / x, '
    "quad x = l_j sqrt(F_a / (E pi / 64 (D^4 - d^4)))",
    source="lubinski-1961",
    where="permissible dogleg of drill pipe, as in API RP 7G",
    valid={"axial_force": Limit(0.0, 2e7, "tension")},
    example={
        "outside_diameter": "5 in",
        "inside_diameter": "4.276 in",
        "axial_force": "100 klbf",
        "fatigue_bending_stress": "17 ksi",
    },
    caution="Tool joints touch the wall, the pipe between them does not; rotating.",
)
def permissible_dogleg(
    outside_diameter: Real,
    inside_diameter: Real,
    axial_force: Real,
    fatigue_bending_stress: Real,
    joint_half_length: Real = HALF_JOINT,
    young_modulus: Real = YOUNG_MODULUS,
) -> Real:
    """Dogleg severity that rotating drill pipe bears without fatigue under tension.

    Tension straightens the pipe between tool joints and gathers the bend at them: the
    pipe is a tensioned beam held at its joints.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    inside_diameter : [m]
        Diameter of the bore.
    axial_force : [N]
        Tension, by the buoyed load below.
    fatigue_bending_stress : [Pa]
        Greatest bending stress without fatigue at that tension.
    joint_half_length : [m]
        Half of the distance between tool joints.
    young_modulus : [Pa]
        Young's modulus.

    Returns
    -------
    permissible_dogleg : [rad/m]
        Greatest dogleg severity.
    """
    stiffness = _stiffness(outside_diameter, inside_diameter, young_modulus)
    x = joint_half_length * np.sqrt(np.maximum(axial_force, 0.0) / stiffness)
    small = x < 1e-4
    safe = np.where(small, 1.0, x)
    gathered = np.where(small, 1.0 - x**2 / 3.0, np.tanh(safe) / safe)
    return 2.0 * fatigue_bending_stress / (young_modulus * outside_diameter) * gathered


@published(
    formula="n_s = sqrt((w_e sin theta - T_e b_r)^2 + (T_e sin theta omega_r)^2)",
    source="johancsik-1984",
    where="side force on an element, written per length",
    valid={"inclination": INCLINED},
    example={
        "effective_tension": "500 kN",
        "effective_weight_per_length": "300 N/m",
        "inclination": "30 deg",
        "build_rate": "0.05 deg/m",
        "turn_rate": "0.01 deg/m",
    },
    caution="Soft string: bending stiffness, which matters for casing in tight bends, is left out.",
)
def side_force_per_length(
    effective_tension: Real,
    effective_weight_per_length: Real,
    inclination: Real,
    build_rate: Real,
    turn_rate: Real,
) -> Real:
    """Contact force per length of a string without stiffness in a curved hole.

    In a building hole tension lifts the string to the high side against its weight:
    the two are subtracted; in a dropping hole they add.

    Parameters
    ----------
    effective_tension : [N]
        Effective tension, negative in compression.
    effective_weight_per_length : [N/m]
        Effective weight per length.
    inclination : [rad]
        Inclination of the hole.
    build_rate : [rad/m]
        Gain of inclination per length downwards.
    turn_rate : [rad/m]
        Gain of azimuth per length.

    Returns
    -------
    side_force_per_length : [N/m]
        Contact force, not negative.
    """
    sine = np.sin(inclination)
    upright = effective_weight_per_length * sine - effective_tension * build_rate
    return np.hypot(upright, effective_tension * sine * turn_rate)


@published(
    formula="F_d = mu n_s L",
    source="johancsik-1984",
    where="friction on an element",
    valid={"friction_coefficient": FRICTION},
    example={
        "side_force_per_length": "260 N/m",
        "length": "1000 m",
        "friction_coefficient": "0.25",
    },
)
def drag_force(side_force_per_length: Real, length: Real, friction_coefficient: Real) -> Real:
    """Friction along a section that slides without turning.

    Parameters
    ----------
    side_force_per_length : [N/m]
        Contact force per length.
    length : [m]
        Length of the section.
    friction_coefficient : [-]
        Friction of the string on the wall.

    Returns
    -------
    drag_force : [N]
        Against the motion.
    """
    return friction_coefficient * side_force_per_length * length


@published(
    formula="M_r = mu n_s L D_c / 2",
    source="johancsik-1984",
    where="torque of friction on an element",
    valid={"friction_coefficient": FRICTION},
    example={
        "side_force_per_length": "260 N/m",
        "length": "1000 m",
        "friction_coefficient": "0.25",
        "contact_diameter": "7 in",
    },
    caution="The diameter of the tool joints, not of the pipe body.",
)
def rotating_torque(
    side_force_per_length: Real, length: Real, friction_coefficient: Real, contact_diameter: Real
) -> Real:
    """Torque that friction takes along a section that turns without sliding.

    Parameters
    ----------
    side_force_per_length : [N/m]
        Contact force per length.
    length : [m]
        Length of the section.
    friction_coefficient : [-]
        Friction of the string on the wall.
    contact_diameter : [m]
        Diameter at which the string touches.

    Returns
    -------
    rotating_torque : [N m]
        Torque of this section.
    """
    return friction_coefficient * side_force_per_length * length * contact_diameter / 2.0


def _tension_above(
    tension_below: Real,
    weight: Real,
    length: Real,
    inclination_above: Real,
    inclination_below: Real,
    signed_friction: Real,
) -> Real:
    """March the soft-string equation upwards: dT/ds = w cos(inc) + friction |w sin(inc) - T k|."""
    curvature = (inclination_below - inclination_above) / length
    step = length / STEPS
    tension = tension_below + 0.0 * curvature

    def slope(up: Real, pull: Real) -> Real:
        inclination = inclination_below - curvature * up
        side = np.abs(weight * np.sin(inclination) - pull * curvature)
        return weight * np.cos(inclination) + signed_friction * side

    for index in range(STEPS):
        here = index * step
        first = slope(here, tension)
        second = slope(here + step / 2.0, tension + step / 2.0 * first)
        third = slope(here + step / 2.0, tension + step / 2.0 * second)
        fourth = slope(here + step, tension + step * third)
        tension = tension + step / 6.0 * (first + 2.0 * second + 2.0 * third + fourth)
    return tension


ARC: Final = {
    "tension_below": "200 kN",
    "effective_weight_per_length": "300 N/m",
    "length": "800 m",
    "inclination_above": "2 deg",
    "inclination_below": "60 deg",
    "friction_coefficient": "0.25",
}
ARC_VALID: Final = {
    "friction_coefficient": FRICTION,
    "inclination_above": INCLINED,
    "inclination_below": INCLINED,
}
ARC_CAUTION: Final = "One vertical plane, constant curvature, no stiffness; buckling not included."


@published(
    formula="T_1 = T_2 + integral_0^L (w_e cos theta + mu abs(w_e sin theta - T dif theta "
    "slash dif s)) dif s, quad theta = theta_2 dots theta_1",
    source="johancsik-1984",
    where="soft string, integrated along an arc of constant curvature",
    valid=ARC_VALID,
    example=ARC,
    caution=ARC_CAUTION,
)
def pick_up_tension(
    tension_below: Real,
    effective_weight_per_length: Real,
    length: Real,
    inclination_above: Real,
    inclination_below: Real,
    friction_coefficient: Real,
) -> Real:
    """Tension at the top of a section while the string is pulled up: weight plus friction.

    Parameters
    ----------
    tension_below : [N]
        Effective tension at the foot of the section.
    effective_weight_per_length : [N/m]
        Effective weight per length.
    length : [m]
        Measured length of the section.
    inclination_above : [rad]
        Inclination at the top of the section.
    inclination_below : [rad]
        Inclination at its foot; the same for a straight section.
    friction_coefficient : [-]
        Friction of the string on the wall.

    Returns
    -------
    tension_above : [N]
        Effective tension at the top of the section.
    """
    return _tension_above(
        tension_below,
        effective_weight_per_length,
        length,
        inclination_above,
        inclination_below,
        friction_coefficient,
    )


@published(
    formula="T_1 = T_2 + integral_0^L (w_e cos theta - mu abs(w_e sin theta - T dif theta "
    "slash dif s)) dif s, quad theta = theta_2 dots theta_1",
    source="johancsik-1984",
    where="soft string, integrated along an arc of constant curvature",
    valid=ARC_VALID,
    example=ARC,
    caution=ARC_CAUTION,
)
def slack_off_tension(
    tension_below: Real,
    effective_weight_per_length: Real,
    length: Real,
    inclination_above: Real,
    inclination_below: Real,
    friction_coefficient: Real,
) -> Real:
    """Tension at the top of a section while the string is lowered: weight less friction.

    Parameters
    ----------
    tension_below : [N]
        Effective tension at the foot of the section.
    effective_weight_per_length : [N/m]
        Effective weight per length.
    length : [m]
        Measured length of the section.
    inclination_above : [rad]
        Inclination at the top of the section.
    inclination_below : [rad]
        Inclination at its foot; the same for a straight section.
    friction_coefficient : [-]
        Friction of the string on the wall.

    Returns
    -------
    tension_above : [N]
        Effective tension at the top; negative where the string must be pushed.
    """
    return _tension_above(
        tension_below,
        effective_weight_per_length,
        length,
        inclination_above,
        inclination_below,
        -np.asarray(friction_coefficient),
    )


@published(
    formula="T_1 = T_2 e^(mu phi_w)",
    source="definition",
    where="capstan (Euler and Eytelwein)",
    valid={"friction_coefficient": FRICTION},
    example={"tension_below": "200 kN", "friction_coefficient": "0.25", "wrap_angle": "90 deg"},
    caution="Weight of the string in the bend left out.",
)
def capstan_tension(tension_below: Real, friction_coefficient: Real, wrap_angle: Real) -> Real:
    """Tension above a bend that a weightless string is pulled through.

    Parameters
    ----------
    tension_below : [N]
        Tension below the bend.
    friction_coefficient : [-]
        Friction of the string on the wall.
    wrap_angle : [rad]
        Change of direction over the bend.

    Returns
    -------
    tension_above : [N]
        Tension above the bend.
    """
    return tension_below * np.exp(friction_coefficient * wrap_angle)


@published(
    formula="Phi = (M_t L) / (G pi / 32 (D^4 - d^4))",
    source="definition",
    where="torsion of a round bar",
    example={
        "torque": "20 kN m",
        "length": "5000 m",
        "outside_diameter": "5 7/8 in",
        "inside_diameter": "5.153 in",
    },
    caution="One torque all along: friction in the hole makes the true twist less.",
)
def wind_up(
    torque: Real,
    length: Real,
    outside_diameter: Real,
    inside_diameter: Real,
    shear_modulus: Real = SHEAR_MODULUS,
) -> Real:
    """Twist of a string under torque.

    Parameters
    ----------
    torque : [N m]
        Torque, the same along the length.
    length : [m]
        Length of the string.
    outside_diameter : [m]
        Outside diameter of the pipe body.
    inside_diameter : [m]
        Diameter of the bore.
    shear_modulus : [Pa]
        Shear modulus.

    Returns
    -------
    wind_up_angle : [rad]
        Angle between the ends; 2 pi is a turn.
    """
    polar = np.pi / 32.0 * (outside_diameter**4 - inside_diameter**4)
    return torque * length / (shear_modulus * polar)


BUCKLING: Final = {
    "outside_diameter": "5 in",
    "inside_diameter": "4.276 in",
    "effective_weight_per_length": "250 N/m",
    "radial_clearance": "2.5 in",
    "inclination": "30 deg",
}


@published(
    formula='F_"cr" = 2 sqrt((E pi / 64 (D^4 - d^4) w_e sin theta) / c_r)',
    source="dawson-paslay-1984",
    where="sinusoidal buckling in an inclined hole",
    valid={"inclination": Limit(0.05, np.pi / 2.0, "below 3 deg use the vertical form")},
    example=BUCKLING,
)
def critical_buckling_load(
    outside_diameter: Real,
    inside_diameter: Real,
    effective_weight_per_length: Real,
    radial_clearance: Real,
    inclination: Real,
    young_modulus: Real = YOUNG_MODULUS,
) -> Real:
    """Effective compression at which a string on the low side of the hole buckles to a sine.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    inside_diameter : [m]
        Diameter of the bore.
    effective_weight_per_length : [N/m]
        Effective weight per length.
    radial_clearance : [m]
        Gap between string and wall: half of the difference of diameters, at the tool joints.
    inclination : [rad]
        Inclination of the hole.
    young_modulus : [Pa]
        Young's modulus.

    Returns
    -------
    critical_buckling_load : [N]
        Compression at the onset.
    """
    stiffness = _stiffness(outside_diameter, inside_diameter, young_modulus)
    lateral = effective_weight_per_length * np.sin(inclination)
    return 2.0 * np.sqrt(stiffness * lateral / radial_clearance)


@published(
    formula='F_"hel" = 2 sqrt(2) sqrt((E pi / 64 (D^4 - d^4) w_e sin theta) / c_r)',
    source="chen-1990",
    where="helical buckling in an inclined hole",
    valid={"inclination": Limit(0.05, np.pi / 2.0, "below 3 deg use the vertical form")},
    example=BUCKLING,
)
def helical_buckling_load(
    outside_diameter: Real,
    inside_diameter: Real,
    effective_weight_per_length: Real,
    radial_clearance: Real,
    inclination: Real,
    young_modulus: Real = YOUNG_MODULUS,
) -> Real:
    """Effective compression at which a string in an inclined hole winds to a helix.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    inside_diameter : [m]
        Diameter of the bore.
    effective_weight_per_length : [N/m]
        Effective weight per length.
    radial_clearance : [m]
        Gap between string and wall.
    inclination : [rad]
        Inclination of the hole.
    young_modulus : [Pa]
        Young's modulus.

    Returns
    -------
    helical_buckling_load : [N]
        Compression at the onset.
    """
    stiffness = _stiffness(outside_diameter, inside_diameter, young_modulus)
    lateral = effective_weight_per_length * np.sin(inclination)
    return 2.0 * np.sqrt(2.0 * stiffness * lateral / radial_clearance)


@published(
    formula='F_"cv" = 1.94 (E pi / 64 (D^4 - d^4) w_e^2)^(1/3)',
    source="lubinski-1950",
    where="buckling of the first order, both ends hinged, from memory",
    valid={"effective_weight_per_length": Limit(0.0, 2e4, "a string that does not float")},
    example={
        "outside_diameter": "8 in",
        "inside_diameter": "2.8125 in",
        "effective_weight_per_length": "1900 N/m",
    },
    caution="A much longer string that no wall holds buckles at up to 20 % less.",
)
def vertical_critical_buckling_load(
    outside_diameter: Real,
    inside_diameter: Real,
    effective_weight_per_length: Real,
    young_modulus: Real = YOUNG_MODULUS,
) -> Real:
    """Effective compression at the foot at which a hanging string in a vertical hole first buckles.

    A bar under its own weight, hinged at the foot and held sideways at the top, about eight
    lengths (E I / w)^(1/3) long.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter.
    inside_diameter : [m]
        Diameter of the bore.
    effective_weight_per_length : [N/m]
        Effective weight per length.
    young_modulus : [Pa]
        Young's modulus.

    Returns
    -------
    vertical_critical_buckling_load : [N]
        Compression at the foot.
    """
    stiffness = _stiffness(outside_diameter, inside_diameter, young_modulus)
    return 1.94 * np.cbrt(stiffness * effective_weight_per_length**2)
