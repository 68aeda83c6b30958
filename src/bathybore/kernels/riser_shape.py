"""The riser as a string in the current: sag, end angles, periods, vortex shedding, stack load."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published
from bathybore.kernels._roots import bracketed_root, newton_root

FIRST_BESSEL_ZERO: Final = 2.404825557695773  # J0(x) = 0, mathematical constant

_FOLD: Final = 1e-12  # of a tension: less is none
# Of a mean: so near to one that the closed form has too few digits left, and its series has all.
_NEAR_ONE: Final = 1e-7

_STRING_NOTE: Final = (
    "small angles, static, bending stiffness left out: right for a flex-jointed riser many times "
    "longer than sqrt(EI/T)"
)


@published(
    formula="y = (q L^2) / (8 T_s)",
    source="sparks-2007",
    where="parabola of a string under uniform load",
    validity_note="tension uniform, sag small against length",
    example={"transverse_load": "300 N/m", "length": "1500 m", "string_tension": "3 MN"},
)
def tensioned_string_sag(transverse_load: Real, length: Real, string_tension: Real) -> Real:
    """Sag at mid-span of a tensioned string under a uniform cross load.

    Parameters
    ----------
    transverse_load : [N/m]
        Cross load per length.
    length : [m]
        Length between the ends.
    string_tension : [N]
        Effective tension, uniform.

    Returns
    -------
    mid_span_sag : [m]
        Deflection at mid-span.
    """
    return transverse_load * length**2 / (8.0 * string_tension)


@published(
    formula="theta_e = (q L) / (2 T_s)",
    source="sparks-2007",
    where="parabola of a string under uniform load",
    valid={"string_tension": Limit(1.0, 1e9)},
    validity_note="tension uniform, sag small against length",
    example={"transverse_load": "300 N/m", "length": "1500 m", "string_tension": "3 MN"},
)
def tensioned_string_end_slope(transverse_load: Real, length: Real, string_tension: Real) -> Real:
    """Slope at the ends of a tensioned string under a uniform cross load.

    Parameters
    ----------
    transverse_load : [N/m]
        Cross load per length.
    length : [m]
        Length between the ends.
    string_tension : [N]
        Effective tension, uniform.

    Returns
    -------
    end_slope : [rad]
        Slope at either end.
    """
    return transverse_load * length / (2.0 * string_tension)


@published(
    formula='y = (q L^2) / (8 T_s) - q / (T_s k^2) (1 - 1 / "cosh"(k L / 2)), quad '
    "k = sqrt(T_s / B_s)",
    source="timoshenko-strength-2",
    where="tie rod with uniform load; from memory",
    validity_note="tension uniform, pinned ends",
    example={
        "transverse_load": "300 N/m",
        "length": "1500 m",
        "string_tension": "3 MN",
        "bending_stiffness": "4e8 N m2",
    },
)
def tensioned_beam_sag(
    transverse_load: Real, length: Real, string_tension: Real, bending_stiffness: Real
) -> Real:
    """Sag at mid-span of a tensioned beam with pinned ends under a uniform cross load.

    Parameters
    ----------
    transverse_load : [N/m]
        Cross load per length.
    length : [m]
        Length between the ends.
    string_tension : [N]
        Effective tension, uniform.
    bending_stiffness : [N m2]
        Young's modulus times second moment of area.

    Returns
    -------
    mid_span_sag : [m]
        Deflection at mid-span.
    """
    squared = string_tension / bending_stiffness
    half = 0.5 * np.sqrt(squared) * length
    # 1/cosh by falling exponentials: long risers would overflow cosh
    sech = 2.0 * np.exp(-half) / (1.0 + np.exp(-2.0 * half))
    string = tensioned_string_sag(transverse_load, length, string_tension)
    return string - transverse_load / (string_tension * squared) * (1.0 - sech)


@published(
    formula="q = 1/2 rho_w C_D D_h U^2",
    source="dnv-rp-c205",
    where="drag term of Morison's formula",
    validity_note="steady current across the riser",
    example={
        "drag_coefficient": "1.0",
        "hydrodynamic_diameter": "1.3 m",
        "current_speed": "1 kn",
        "sea_water_density": "1030 kg/m3",
    },
)
def current_load(
    drag_coefficient: Real,
    hydrodynamic_diameter: Real,
    current_speed: Real,
    sea_water_density: Real,
) -> Real:
    """Load of a current across a riser, per length.

    Parameters
    ----------
    drag_coefficient : [-]
        Drag coefficient on the hydrodynamic diameter.
    hydrodynamic_diameter : [m]
        Diameter over buoyancy or lines that the water meets.
    current_speed : [m/s]
        Speed of the current.
    sea_water_density : [kg/m3]
        Density of the sea.

    Returns
    -------
    transverse_load : [N/m]
        Load per length, down the current.
    """
    pressure = 0.5 * sea_water_density * current_speed**2
    return pressure * drag_coefficient * hydrodynamic_diameter


@published(
    formula="C_D = 0.65 quad k_r / D_h < 10^(-4); quad "
    "(29 + 4 log_10(k_r / D_h)) / 20; quad 1.05 quad k_r / D_h > 10^(-2)",
    source="dnv-rp-c205",
    where="section 6.7, high Reynolds number; from memory",
    validity_note="Reynolds number above about one million; no vortex-induced vibration",
    example={"surface_roughness": "1 mm", "hydrodynamic_diameter": "1.3 m"},
    caution="Vibration by vortices raises drag well above this.",
)
def rough_drag_coefficient(surface_roughness: Real, hydrodynamic_diameter: Real) -> Real:
    """Drag coefficient of a rough cylinder in a fast steady current.

    Parameters
    ----------
    surface_roughness : [m]
        Height of the roughness.
    hydrodynamic_diameter : [m]
        Diameter that the water meets.

    Returns
    -------
    drag_coefficient : [-]
        Drag coefficient.
    """
    ratio = np.clip(surface_roughness / hydrodynamic_diameter, 1e-4, 1e-2)
    coefficient: Array = (29.0 + 4.0 * np.log10(ratio)) / 20.0
    return coefficient


@published(
    formula='f_v = S_"t" U / D_h',
    source="dnv-rp-c205",
    where="chapter 9, Strouhal relation",
    valid={"strouhal_number": Limit(0.1, 0.5, "about 0.2 below the drag crisis")},
    example={
        "strouhal_number": "0.2",
        "current_speed": "1 m/s",
        "hydrodynamic_diameter": "1.2 m",
    },
)
def vortex_shedding_frequency(
    strouhal_number: Real, current_speed: Real, hydrodynamic_diameter: Real
) -> Real:
    """Frequency at which vortices leave a cylinder in a current.

    Parameters
    ----------
    strouhal_number : [-]
        Strouhal number.
    current_speed : [m/s]
        Speed of the current.
    hydrodynamic_diameter : [m]
        Diameter that the water meets.

    Returns
    -------
    vortex_shedding_frequency : [1/s]
        Vortices of one side per unit time.
    """
    return strouhal_number * current_speed / hydrodynamic_diameter


@published(
    formula="V_r = (U T_r) / D_h",
    source="dnv-rp-c205",
    where="chapter 9, reduced velocity",
    example={
        "current_speed": "1 m/s",
        "lateral_period": "8 s",
        "hydrodynamic_diameter": "1.2 m",
    },
    caution="Across the flow, vibration is to be looked for from about 4 to 16.",
)
def reduced_velocity(
    current_speed: Real, lateral_period: Real, hydrodynamic_diameter: Real
) -> Real:
    """Way of the water in one natural period, in diameters.

    Parameters
    ----------
    current_speed : [m/s]
        Speed of the current.
    lateral_period : [s]
        Natural period of the mode looked at.
    hydrodynamic_diameter : [m]
        Diameter that the water meets.

    Returns
    -------
    reduced_velocity : [-]
        Reduced velocity.
    """
    return current_speed * lateral_period / hydrodynamic_diameter


@published(
    formula="T_r = (4 L_r sqrt(m_l)) / (n_m (sqrt(T_t) + sqrt(T_b)))",
    source="sparks-2007",
    where="short-wave solution of a string whose tension grows evenly; from memory",
    valid={"mode_number": Limit(1.0, 200.0)},
    validity_note="string with pinned ends; exact for uniform tension and for high modes",
    example={
        "mode_number": "1",
        "riser_length": "3000 m",
        "top_tension": "6 MN",
        "bottom_tension": "2 MN",
        "riser_linear_mass": "1400 kg/m",
    },
)
def lateral_period(
    mode_number: Real,
    riser_length: Real,
    top_tension: Real,
    bottom_tension: Real,
    riser_linear_mass: Real,
) -> Real:
    """Natural period of a mode across a tensioned riser.

    A wave of the string travels at sqrt(T/m); the mode fits when the way up takes n
    half periods, and the integral of sqrt(m/T) is closed when T grows evenly.

    Parameters
    ----------
    mode_number : [-]
        Half waves along the riser.
    riser_length : [m]
        Length from the lower to the upper flex joint.
    top_tension : [N]
        Effective tension at the top.
    bottom_tension : [N]
        Effective tension at the foot.
    riser_linear_mass : [kg/m]
        Mass per length with contents and the water that moves along.

    Returns
    -------
    lateral_period : [s]
        Natural period.
    """
    speeds = np.sqrt(top_tension) + np.sqrt(bottom_tension)
    return 4.0 * riser_length * np.sqrt(riser_linear_mass) / (mode_number * speeds)


@published(
    formula="T_r = (4 pi) / 2.4048 sqrt((m_l L_r) / w_e)",
    source="sparks-2007",
    where="hanging string, first zero of the Bessel function J0",
    validity_note="riser hung from the top, free below, no weight at its foot",
    example={
        "riser_length": "3000 m",
        "effective_weight_per_length": "1.2 kN/m",
        "riser_linear_mass": "1400 kg/m",
    },
)
def hung_riser_lateral_period(
    riser_length: Real, effective_weight_per_length: Real, riser_linear_mass: Real
) -> Real:
    """First swinging period of a riser that hangs free.

    Parameters
    ----------
    riser_length : [m]
        Hanging length.
    effective_weight_per_length : [N/m]
        Weight in water less lift, per length.
    riser_linear_mass : [kg/m]
        Mass per length with contents and the water that moves along.

    Returns
    -------
    lateral_period : [s]
        Natural period.
    """
    fall = riser_linear_mass * riser_length / effective_weight_per_length
    return 4.0 * np.pi / FIRST_BESSEL_ZERO * np.sqrt(fall)


@published(
    formula='T_n = (2 pi L_r) / x sqrt(m_l / A_"E"), quad x tan x = (m_l L_r) / m_k',
    source="timoshenko-vibration",
    where="longitudinal vibration of a bar with a mass at its end; from memory",
    validity_note="top held, riser uniform",
    example={
        "riser_length": "3000 m",
        "riser_linear_mass": "1000 kg/m",
        "axial_stiffness": "6 GN",
        "hung_stack_mass": "250 t",
    },
)
def hung_riser_axial_period(
    riser_length: Real,
    riser_linear_mass: Real,
    axial_stiffness: Real,
    hung_stack_mass: Real,
) -> Real:
    """First axial period of a hung riser with the stack at its foot.

    Parameters
    ----------
    riser_length : [m]
        Hanging length.
    riser_linear_mass : [kg/m]
        Mass per length with contents and the water that moves along.
    axial_stiffness : [N]
        Young's modulus times steel area.
    hung_stack_mass : [kg]
        Mass at the foot with the water that moves along.

    Returns
    -------
    axial_natural_period : [s]
        Natural period.

    Raises
    ------
    NotConverged
        Never for positive inputs: the root lies between 0 and a quarter turn.
    """
    ratio = np.asarray(riser_linear_mass * riser_length / hung_stack_mass)
    # x sin x - r cos x has the same root and no pole
    root = bracketed_root(
        lambda x: x * np.sin(x) - ratio * np.cos(x),
        np.zeros(ratio.shape),
        np.full(ratio.shape, np.pi / 2.0),
        "axial period of the hung riser",
    )
    crossing = riser_length * np.sqrt(riser_linear_mass / axial_stiffness)
    period: Array = np.asarray(2.0 * np.pi * crossing / root)
    return period[()]


def _weighted_compliances(relative_weight: Real) -> tuple[Real, Real, Real]:
    """Return the integrals over s from 0 to 1 of 1, s and s² over (1 + x s).

    For an almost weightless riser (x near zero) the closed forms lose their digits
    and their power series takes over.
    """
    x = np.asarray(relative_weight, dtype=np.float64)
    small = np.abs(x) < 0.1
    safe = np.where(small, 1.0, x)
    zeroth = np.log1p(safe) / safe
    first = (1.0 - zeroth) / safe
    second = (0.5 - first) / safe
    series = [
        sum(((-x) ** k / (k + n + 1) for k in range(18)), start=np.zeros(x.shape)) for n in range(3)
    ]
    return (
        np.where(small, series[0], zeroth),
        np.where(small, series[1], first),
        np.where(small, series[2], second),
    )


_SHAPE_FORMULA: Final = (
    "a = L_r / T_b integral_0^1 (dif s) / (1 + x s), quad x = (w_e L_r) / T_b, quad "
    "b = L_r^2 / T_b integral_0^1 (q_b s + (q_t - q_b) s^2 / 2) / (1 + x s) dif s"
)
_SHAPE_EXAMPLE: Final = {
    "riser_length": "3000 m",
    "bottom_tension": "2 MN",
    "effective_weight_per_length": "1.2 kN/m",
    "current_load_at_top": "300 N/m",
    "current_load_at_bottom": "20 N/m",
}


def _compliance(
    riser_length: Real,
    bottom_tension: Real,
    effective_weight_per_length: Real,
    current_load_at_top: Real,
    current_load_at_bottom: Real,
) -> tuple[Real, Real]:
    """Return offset per cross force at the foot, and the offset that the current takes off it.

    Across the riser T y' = C - (load below): the slope follows from one integration,
    the offset from a second one, both closed because T grows evenly with height.
    """
    zeroth, first, second = _weighted_compliances(
        effective_weight_per_length * riser_length / bottom_tension
    )
    per_force = riser_length / bottom_tension * zeroth
    rise = current_load_at_top - current_load_at_bottom
    load = current_load_at_bottom * first + 0.5 * rise * second
    return per_force, riser_length**2 / bottom_tension * load


@published(
    formula="theta_b = (delta_v + b) / (a T_b), \\ " + _SHAPE_FORMULA,
    source="sparks-2007",
    where="string with evenly growing tension; load growing evenly from foot to top",
    valid={"bottom_tension": Limit(1.0, 1e9, "a riser in tension at its foot")},
    validity_note=_STRING_NOTE,
    example={**_SHAPE_EXAMPLE, "vessel_offset": "60 m"},
)
def lower_flex_joint_angle(
    riser_length: Real,
    bottom_tension: Real,
    effective_weight_per_length: Real,
    current_load_at_top: Real,
    current_load_at_bottom: Real,
    vessel_offset: Real,
) -> Real:
    """Angle of the riser off the vertical at its foot, from offset and current.

    Positive offset and positive load point the same way: a vessel set down the current
    has the greatest angle at the foot.

    Parameters
    ----------
    riser_length : [m]
        Length from the lower to the upper flex joint.
    bottom_tension : [N]
        Effective tension at the foot.
    effective_weight_per_length : [N/m]
        Weight of riser and mud in water, less lift, per length.
    current_load_at_top : [N/m]
        Cross load per length at the top.
    current_load_at_bottom : [N/m]
        Cross load per length at the foot.
    vessel_offset : [m]
        Horizontal distance from above the well to the vessel.

    Returns
    -------
    lower_flex_joint_angle : [rad]
        Slope at the foot; the stack's own lean comes off it.
    """
    per_force, by_current = _compliance(
        riser_length,
        bottom_tension,
        effective_weight_per_length,
        current_load_at_top,
        current_load_at_bottom,
    )
    return (vessel_offset + by_current) / (per_force * bottom_tension)


@published(
    formula="theta_t = ((delta_v + b) / a - (q_t + q_b) L_r / 2) / (T_b + w_e L_r), \\ "
    + _SHAPE_FORMULA,
    source="sparks-2007",
    where="string with evenly growing tension; load growing evenly from foot to top",
    valid={"bottom_tension": Limit(1.0, 1e9, "a riser in tension at its foot")},
    validity_note=_STRING_NOTE,
    example={**_SHAPE_EXAMPLE, "vessel_offset": "60 m"},
)
def upper_flex_joint_angle(
    riser_length: Real,
    bottom_tension: Real,
    effective_weight_per_length: Real,
    current_load_at_top: Real,
    current_load_at_bottom: Real,
    vessel_offset: Real,
) -> Real:
    """Angle of the riser off the vertical at its top, from offset and current.

    Parameters
    ----------
    riser_length : [m]
        Length from the lower to the upper flex joint.
    bottom_tension : [N]
        Effective tension at the foot.
    effective_weight_per_length : [N/m]
        Weight of riser and mud in water, less lift, per length.
    current_load_at_top : [N/m]
        Cross load per length at the top.
    current_load_at_bottom : [N/m]
        Cross load per length at the foot.
    vessel_offset : [m]
        Horizontal distance from above the well to the vessel.

    Returns
    -------
    upper_flex_joint_angle : [rad]
        Slope at the top, positive when the riser leans towards the offset.
    """
    per_force, by_current = _compliance(
        riser_length,
        bottom_tension,
        effective_weight_per_length,
        current_load_at_top,
        current_load_at_bottom,
    )
    at_foot = (vessel_offset + by_current) / per_force
    total = 0.5 * (current_load_at_top + current_load_at_bottom) * riser_length
    return (at_foot - total) / (bottom_tension + effective_weight_per_length * riser_length)


@published(
    formula="delta_v = theta_b a T_b - b, \\ " + _SHAPE_FORMULA,
    source="sparks-2007",
    where="string with evenly growing tension; load growing evenly from foot to top",
    valid={"bottom_tension": Limit(1.0, 1e9, "a riser in tension at its foot")},
    validity_note=_STRING_NOTE,
    example={**_SHAPE_EXAMPLE, "lower_flex_joint_angle": "2 deg"},
    caution="Negative: the current alone bends the foot past this angle; stand up the current.",
)
def offset_at_lower_angle(
    riser_length: Real,
    bottom_tension: Real,
    effective_weight_per_length: Real,
    current_load_at_top: Real,
    current_load_at_bottom: Real,
    lower_flex_joint_angle: Real,
) -> Real:
    """Offset down the current at which the foot of the riser reaches an angle.

    Parameters
    ----------
    riser_length : [m]
        Length from the lower to the upper flex joint.
    bottom_tension : [N]
        Effective tension at the foot.
    effective_weight_per_length : [N/m]
        Weight of riser and mud in water, less lift, per length.
    current_load_at_top : [N/m]
        Cross load per length at the top.
    current_load_at_bottom : [N/m]
        Cross load per length at the foot.
    lower_flex_joint_angle : [rad]
        Angle at the foot not to be passed.

    Returns
    -------
    vessel_offset : [m]
        Offset at that angle, positive down the current.
    """
    per_force, by_current = _compliance(
        riser_length,
        bottom_tension,
        effective_weight_per_length,
        current_load_at_top,
        current_load_at_bottom,
    )
    return lower_flex_joint_angle * bottom_tension * per_force - by_current


@published(
    formula="M_k = k_f theta_b + T_b h_f sin theta_b",
    source="definition",
    where="moment of the leaning riser about the wellhead",
    validity_note="stack upright, current on the stack left out",
    example={
        "flex_joint_stiffness": "60 kN m/deg",
        "lower_flex_joint_angle": "2 deg",
        "bottom_tension": "1 MN",
        "flex_joint_height": "12 m",
    },
)
def wellhead_bending_moment(
    flex_joint_stiffness: Real,
    lower_flex_joint_angle: Real,
    bottom_tension: Real,
    flex_joint_height: Real,
) -> Real:
    """Bending moment at the wellhead from the riser's lean and pull.

    Parameters
    ----------
    flex_joint_stiffness : [N m/rad]
        Turning stiffness of the lower flex joint.
    lower_flex_joint_angle : [rad]
        Angle of the riser off the vertical at the flex joint.
    bottom_tension : [N]
        Effective tension at the flex joint.
    flex_joint_height : [m]
        Height of the flex joint above the wellhead.

    Returns
    -------
    wellhead_bending_moment : [N m]
        Moment at the wellhead.
    """
    pull = bottom_tension * np.sin(lower_flex_joint_angle)
    return flex_joint_stiffness * lower_flex_joint_angle + pull * flex_joint_height


def even_weight(heights: Array, weight_below: Array, foot_tension: float) -> float:
    """Return the weight per length [N/m] of an even string that leans as one of uneven weight does.

    A string leans by the integral of one over its tension for every bit of side force at its
    ends. The even one has the same tension at the foot and the same integral.

    Parameters
    ----------
    heights : [m] above the foot, growing
    weight_below : [N] between the foot and each height

    Raises
    ------
    NotConverged
        The weight was not found.
    """
    tall, tension = float(heights[-1]), foot_tension + weight_below
    each = foot_tension / tall
    low, high = -(1.0 - _FOLD), 1e3
    if not (tension > 0.0).all():
        return low * each  # slack somewhere: as a string that nothing pulls at its top
    mean_wanted = float(np.trapezoid(1.0 / tension, heights)) * each

    # In shares of the tension at the foot over the height: the mean of one over the tension of
    # the even string is ln(1 + s)/s = 1 - s/2 + s²/3 - ..., which falls with s.
    lack = 1.0 - mean_wanted
    if abs(lack) < _NEAR_ONE:
        return 2.0 * lack * (1.0 + 4.0 / 3.0 * lack) * each

    def excess(share: Array) -> tuple[Array, Array]:
        some = np.where(np.abs(share) > _FOLD, share, _FOLD)
        mean = np.log1p(some) / some
        return mean_wanted - mean, (mean - 1.0 / (1.0 + some)) / some

    if float(excess(np.asarray(low))[0]) >= 0.0:
        return low * each
    # a logarithmic mean is no less than the geometric one: no root lies beyond this
    start = min(max(mean_wanted**-2 - 1.0, low), high)
    what = "even string that leans as the joints do"
    return float(newton_root(excess, low, high, start, what)) * each
