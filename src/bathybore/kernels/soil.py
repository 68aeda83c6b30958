"""The soft sea bed: clay strength, the conductor that stands in it, consolidation.

Undrained clay. A jetted conductor carries little at first and gains as the clay closes
on it and its excess pore pressure drains; what it gains is a matter of the site, so the
share at release and the gain are asked for and have no default.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published

# Inclination of the wellhead: common practice of deep-water operators, 1 degree is looked at,
# 1.5 degrees is refused (connector latching, riser bending, casing wear).
WELLHEAD_INCLINATION_TIGHT: Final = np.pi / 180.0
WELLHEAD_INCLINATION_LIMIT: Final = 1.5 * np.pi / 180.0

_CLAY: Final = "Clay sheared without drainage; not sand, gravel, chalk or rock."
_POSITIVE_DEPTH: Final = Limit(0.0, 1000.0, "soft sediment below the sea bed")
_TINY: Final = 1e-300


@published(
    formula='s_u = s_"u0" + k_u z',
    source="common-practice",
    where="linear profile of normally consolidated deep-water clay",
    valid={"depth_below_sea_bed": Limit(0.0, 300.0, "soft sediment")},
    validity_note=_CLAY,
    example={
        "strength_at_sea_bed": "2 kPa",
        "strength_gradient": "1.5 kPa/m",
        "depth_below_sea_bed": "60 m",
    },
)
def undrained_shear_strength(
    strength_at_sea_bed: Real, strength_gradient: Real, depth_below_sea_bed: Real
) -> Real:
    """Undrained shear strength of clay that grows evenly with depth.

    Parameters
    ----------
    strength_at_sea_bed : [Pa]
        Undrained shear strength at the sea bed.
    strength_gradient : [Pa/m]
        Strength gained per depth; 1 to 2 kPa/m in soft deep-water clay.
    depth_below_sea_bed : [m]
        Depth below the sea bed.

    Returns
    -------
    undrained_shear_strength : [Pa]
        Undrained shear strength.
    """
    return strength_at_sea_bed + strength_gradient * depth_below_sea_bed


@published(
    formula="sigma'_v = gamma' z",
    source="definition",
    where="submerged weight of the soil above",
    validity_note="Pore pressure hydrostatic from the sea bed.",
    example={"submerged_unit_weight": "6 kN/m3", "depth_below_sea_bed": "60 m"},
)
def soil_effective_overburden(submerged_unit_weight: Real, depth_below_sea_bed: Real) -> Real:
    """Vertical effective stress in normally pressured sediment of one unit weight.

    Parameters
    ----------
    submerged_unit_weight : [N/m3]
        Weight of the soil in water per volume.
    depth_below_sea_bed : [m]
        Depth below the sea bed.

    Returns
    -------
    vertical_effective_stress : [Pa]
        Vertical effective stress.
    """
    return submerged_unit_weight * depth_below_sea_bed


@published(
    formula=(
        "alpha_s = min(1, 0.5 psi^(-0.5)) quad psi <= 1 \\ "
        "alpha_s = 0.5 psi^(-0.25) quad psi > 1 \\ psi = s_u / sigma'"
    ),
    source="api-rp-2geo",
    where="skin friction of piles in cohesive soil, from memory",
    valid={"undrained_shear_strength": Limit(0.0, 5e5, "clay, not rock")},
    validity_note=_CLAY + " Driven pile after full set-up: an upper bound for a jetted conductor.",
    example={"undrained_shear_strength": "92 kPa", "vertical_effective_stress": "360 kPa"},
)
def adhesion_factor(undrained_shear_strength: Real, vertical_effective_stress: Real) -> Real:
    """Skin friction on a pile as a share of undrained strength, set-up complete.

    Parameters
    ----------
    undrained_shear_strength : [Pa]
        Undrained shear strength.
    vertical_effective_stress : [Pa]
        Vertical effective stress.

    Returns
    -------
    adhesion_factor : [-]
        Share of the undrained strength.
    """
    psi = np.maximum(undrained_shear_strength, _TINY) / np.maximum(vertical_effective_stress, _TINY)
    psi = np.clip(psi, 1e-12, 1e12)  # no strength gives the cap, no overburden a vanishing share
    result: Real = np.minimum(np.where(psi <= 1.0, 0.5 * psi**-0.5, 0.5 * psi**-0.25), 1.0)
    return result


@published(
    formula="f_s = alpha_s s_u",
    source="api-rp-2geo",
    where="skin friction of piles in cohesive soil, from memory",
    valid={"adhesion_factor": Limit(0.0, 1.0, "a fraction")},
    validity_note=_CLAY,
    example={"adhesion_factor": "0.99", "undrained_shear_strength": "92 kPa"},
)
def unit_skin_friction(adhesion_factor: Real, undrained_shear_strength: Real) -> Real:
    """Friction of clay on a pile per area of its side.

    Parameters
    ----------
    adhesion_factor : [-]
        Share of the undrained strength.
    undrained_shear_strength : [Pa]
        Undrained shear strength.

    Returns
    -------
    unit_skin_friction : [Pa]
        Friction per area.
    """
    return adhesion_factor * undrained_shear_strength


@published(
    formula='Q_f = pi D alpha_s (s_"u0" L_p + k_u L_p^2 / 2)',
    source="api-rp-2geo",
    where="skin friction integrated over a linear strength profile, from memory",
    valid={"adhesion_factor": Limit(0.0, 1.0, "a fraction"), "penetration": _POSITIVE_DEPTH},
    validity_note=_CLAY + " Outside skin only; for layers add their unit friction times area.",
    example={
        "outside_diameter": "36 in",
        "penetration": "75 m",
        "strength_at_sea_bed": "2 kPa",
        "strength_gradient": "1.5 kPa/m",
        "adhesion_factor": "0.5",
    },
)
def shaft_resistance(
    outside_diameter: Real,
    penetration: Real,
    strength_at_sea_bed: Real,
    strength_gradient: Real,
    adhesion_factor: Real,
) -> Real:
    """Friction on the outside of a conductor in clay whose strength grows evenly with depth.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the conductor.
    penetration : [m]
        Length below the sea bed.
    strength_at_sea_bed : [Pa]
        Undrained shear strength at the sea bed.
    strength_gradient : [Pa/m]
        Strength gained per depth.
    adhesion_factor : [-]
        Share of the undrained strength, one value over the length.

    Returns
    -------
    shaft_resistance : [N]
        Axial resistance of the side.
    """
    area_mean = strength_at_sea_bed * penetration + 0.5 * strength_gradient * np.square(penetration)
    result: Real = np.pi * outside_diameter * adhesion_factor * area_mean
    return result


@published(
    formula="Q_l = pi D f_s h",
    source="definition",
    where="friction times the area of the side",
    example={"outside_diameter": "36 in", "unit_skin_friction": "20 kPa", "layer_thickness": "5 m"},
)
def layer_shaft_resistance(
    outside_diameter: Real, unit_skin_friction: Real, layer_thickness: Real
) -> Real:
    """Friction on the outside of a conductor over one layer; the layers add up.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the conductor.
    unit_skin_friction : [Pa]
        Mean friction per area over the layer.
    layer_thickness : [m]
        Height of the layer.

    Returns
    -------
    shaft_resistance : [N]
        Axial resistance of the side over the layer.
    """
    return np.pi * outside_diameter * unit_skin_friction * layer_thickness


@published(
    formula="Q_t = N_c s_u A_t",
    source="api-rp-2geo",
    where="end bearing in cohesive soil, nine times the undrained strength, from memory",
    validity_note=_CLAY + " Jetting washes the soil below a conductor: then no tip area counts.",
    example={"undrained_shear_strength": "115 kPa", "tip_area": "0.11 m2"},
)
def end_bearing(undrained_shear_strength: Real, tip_area: Real, bearing_factor: Real = 9.0) -> Real:
    """Resistance of clay under the tip of a pile or conductor.

    Parameters
    ----------
    undrained_shear_strength : [Pa]
        Undrained shear strength at the tip.
    tip_area : [m2]
        Area that bears: steel only when the plug moves, the full circle when it does not.
    bearing_factor : [-]
        Bearing capacity factor for deep tips.

    Returns
    -------
    end_bearing : [N]
        Axial resistance of the tip.
    """
    return bearing_factor * undrained_shear_strength * tip_area


@published(
    formula="chi = min(1, chi_0 + beta_t log_10 (max(t, t_1) / t_1))",
    source="jeanjean-2002",
    where="form of the gain with the logarithm of time, from memory",
    valid={
        "immediate_share": Limit(0.0, 1.0, "a fraction"),
        "recovery_per_decade": Limit(0.0, 1.0, "share gained when time grows tenfold"),
    },
    validity_note="Both shares belong to the site and the way of jetting; they are not defaults.",
    caution="Jetting too fast, or working the pipe, can undo most of it.",
    example={
        "elapsed_time": "24 h",
        "immediate_share": "0.3",
        "recovery_per_decade": "0.15",
        "set_up_reference_time": "1 h",
    },
)
def set_up_share(
    elapsed_time: Real,
    immediate_share: Real,
    recovery_per_decade: Real,
    set_up_reference_time: Real,
) -> Real:
    """Share of the full skin friction that a jetted conductor has regained.

    Parameters
    ----------
    elapsed_time : [s]
        Time since jetting stopped.
    immediate_share : [-]
        Share at the reference time and before it.
    recovery_per_decade : [-]
        Share gained for each tenfold of time.
    set_up_reference_time : [s]
        Time from which the gain is counted.

    Returns
    -------
    set_up_share : [-]
        Share of the full skin friction, one at most.
    """
    decades = np.log10(np.maximum(elapsed_time / set_up_reference_time, 1.0))
    result: Real = np.minimum(immediate_share + recovery_per_decade * decades, 1.0)
    return result


@published(
    formula="Q_a = chi Q_f + Q_t",
    source="common-practice",
    where="skin friction at its set-up plus the tip",
    valid={"set_up_share": Limit(0.0, 1.0, "a fraction")},
    example={"shaft_resistance": "6 MN", "set_up_share": "0.5", "end_bearing": "0 N"},
)
def axial_capacity(shaft_resistance: Real, set_up_share: Real, end_bearing: Real) -> Real:
    """Axial load in compression that a conductor bears at a time after its installation.

    Parameters
    ----------
    shaft_resistance : [N]
        Axial resistance of the side, set-up complete.
    set_up_share : [-]
        Share of the skin friction regained.
    end_bearing : [N]
        Axial resistance of the tip; zero below a jetted conductor.

    Returns
    -------
    axial_capacity : [N]
        Axial capacity.
    """
    return set_up_share * shaft_resistance + end_bearing


@published(
    formula=('R_p = alpha_p pi (D + d) (s_"u0" L_p + k_u L_p^2 / 2) + N_c A_t (s_"u0" + k_u L_p)'),
    source="common-practice",
    where="open pipe pushed into clay: side friction both ways and the steel ring",
    valid={"penetration": _POSITIVE_DEPTH, "penetration_adhesion": Limit(0.0, 1.0, "a fraction")},
    validity_note=_CLAY + " The plug moves up inside; slow and steady.",
    example={
        "outside_diameter": "36 in",
        "inside_diameter": "33 in",
        "penetration": "20 m",
        "strength_at_sea_bed": "2 kPa",
        "strength_gradient": "1.5 kPa/m",
        "penetration_adhesion": "0.3",
        "tip_area": "0.105 m2",
    },
)
def penetration_resistance(
    outside_diameter: Real,
    inside_diameter: Real,
    penetration: Real,
    strength_at_sea_bed: Real,
    strength_gradient: Real,
    penetration_adhesion: Real,
    tip_area: Real,
    bearing_factor: Real = 9.0,
) -> Real:
    """Resistance of clay against an open pipe that sinks into it.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe.
    inside_diameter : [m]
        Inside diameter of the pipe.
    penetration : [m]
        Length below the sea bed.
    strength_at_sea_bed : [Pa]
        Undrained shear strength at the sea bed.
    strength_gradient : [Pa/m]
        Strength gained per depth.
    penetration_adhesion : [-]
        Share of the undrained strength on a moving wall, about one over sensitivity.
    tip_area : [m2]
        Area of the steel ring.
    bearing_factor : [-]
        Bearing capacity factor of the ring.

    Returns
    -------
    penetration_resistance : [N]
        Resistance at that penetration.
    """
    mean = strength_at_sea_bed * penetration + 0.5 * strength_gradient * np.square(penetration)
    side = penetration_adhesion * np.pi * (outside_diameter + inside_diameter) * mean
    ring = bearing_factor * tip_area * (strength_at_sea_bed + strength_gradient * penetration)
    result: Real = side + ring
    return result


@published(
    formula=(
        "a L_p^2 + b L_p + c = 0 , quad a = alpha_p pi (D + d) k_u / 2 , quad "
        'b = alpha_p pi (D + d) s_"u0" + N_c A_t k_u , quad c = N_c A_t s_"u0" - W_s'
    ),
    source="common-practice",
    where="penetration resistance set equal to the submerged weight and solved",
    valid={"penetration_adhesion": Limit(0.0, 1.0, "a fraction")},
    validity_note=_CLAY + " The weight at the sea bed is held in water; zero if it stands on top.",
    example={
        "submerged_weight": "300 kN",
        "outside_diameter": "36 in",
        "inside_diameter": "33 in",
        "strength_at_sea_bed": "2 kPa",
        "strength_gradient": "1.5 kPa/m",
        "penetration_adhesion": "0.3",
        "tip_area": "0.105 m2",
    },
)
def self_weight_penetration(
    submerged_weight: Real,
    outside_diameter: Real,
    inside_diameter: Real,
    strength_at_sea_bed: Real,
    strength_gradient: Real,
    penetration_adhesion: Real,
    tip_area: Real,
    bearing_factor: Real = 9.0,
) -> Real:
    """Depth to which an open pipe sinks into clay under its own weight.

    The root is written as -2c / (b + sqrt(b^2 - 4ac)), which stays right when the
    strength does not grow with depth (a = 0).

    Parameters
    ----------
    submerged_weight : [N]
        Weight in water that rests on the sea bed.
    outside_diameter : [m]
        Outside diameter of the pipe.
    inside_diameter : [m]
        Inside diameter of the pipe.
    strength_at_sea_bed : [Pa]
        Undrained shear strength at the sea bed.
    strength_gradient : [Pa/m]
        Strength gained per depth.
    penetration_adhesion : [-]
        Share of the undrained strength on a moving wall.
    tip_area : [m2]
        Area of the steel ring.
    bearing_factor : [-]
        Bearing capacity factor of the ring.

    Returns
    -------
    penetration : [m]
        Penetration at rest.
    """
    skin = penetration_adhesion * np.pi * (outside_diameter + inside_diameter)
    ring = bearing_factor * tip_area
    a = 0.5 * skin * strength_gradient
    b = skin * strength_at_sea_bed + ring * strength_gradient
    excess = np.maximum(submerged_weight - ring * strength_at_sea_bed, 0.0)
    result: Real = 2.0 * excess / (b + np.sqrt(np.square(b) + 4.0 * a * excess))
    return result


# ---- lateral ----------------------------------------------------------------------------

_P_Y: Final = {
    "undrained_shear_strength": "15 kPa",
    "outside_diameter": "36 in",
    "submerged_unit_weight": "6 kN/m3",
}


@published(
    formula="X_R = (6 D) / (gamma' D / s_u + J)",
    source="api-rp-2geo",
    where="lateral capacity of soft clay, after Matlock (1970)",
    valid={"matlock_factor": Limit(0.25, 0.5, "stiffer to soft clay")},
    validity_note=_CLAY + " Strength constant with depth.",
    example=_P_Y,
)
def reduced_resistance_depth(
    undrained_shear_strength: Real,
    outside_diameter: Real,
    submerged_unit_weight: Real,
    matlock_factor: Real = 0.5,
) -> Real:
    """Depth below which soft clay flows around a pile and its lateral capacity is full.

    Parameters
    ----------
    undrained_shear_strength : [Pa]
        Undrained shear strength.
    outside_diameter : [m]
        Outside diameter of the pile.
    submerged_unit_weight : [N/m3]
        Weight of the soil in water per volume.
    matlock_factor : [-]
        Empirical factor J.

    Returns
    -------
    reduced_resistance_depth : [m]
        Depth below the sea bed.
    """
    ratio = submerged_unit_weight * outside_diameter / undrained_shear_strength
    return 6.0 * outside_diameter / (ratio + matlock_factor)


@published(
    formula="p_u = min[(3 s_u + gamma' z) D + J s_u z , 9 s_u D]",
    source="api-rp-2geo",
    where="lateral capacity of soft clay, after Matlock (1970)",
    valid={
        "matlock_factor": Limit(0.25, 0.5, "stiffer to soft clay"),
        "depth_below_sea_bed": _POSITIVE_DEPTH,
    },
    validity_note=_CLAY + " Per length of pile: the term with J is not multiplied by the diameter.",
    example={**_P_Y, "depth_below_sea_bed": "4 m"},
)
def ultimate_lateral_resistance(
    undrained_shear_strength: Real,
    outside_diameter: Real,
    submerged_unit_weight: Real,
    depth_below_sea_bed: Real,
    matlock_factor: Real = 0.5,
) -> Real:
    """Greatest lateral resistance of soft clay on a pile per length of it.

    Near the sea bed a wedge lifts, deeper down the clay flows around; the lesser governs.

    Parameters
    ----------
    undrained_shear_strength : [Pa]
        Undrained shear strength at the depth.
    outside_diameter : [m]
        Outside diameter of the pile.
    submerged_unit_weight : [N/m3]
        Weight of the soil in water per volume.
    depth_below_sea_bed : [m]
        Depth below the sea bed.
    matlock_factor : [-]
        Empirical factor J.

    Returns
    -------
    ultimate_lateral_resistance : [N/m]
        Force per length.
    """
    wedge = (
        3.0 * undrained_shear_strength + submerged_unit_weight * depth_below_sea_bed
    ) * outside_diameter + matlock_factor * undrained_shear_strength * depth_below_sea_bed
    result: Real = np.minimum(wedge, 9.0 * undrained_shear_strength * outside_diameter)
    return result


@published(
    formula="p_y = min[p_u / 2 (y / y_c)^(1/3) , p_u] , quad y_c = 2.5 epsilon_c D",
    source="api-rp-2geo",
    where="static p-y curve of soft clay, after Matlock (1970), from memory",
    valid={"half_strength_strain": Limit(0.002, 0.05, "stiff to very soft clay")},
    validity_note="Static, below the depth of reduced resistance; cyclic load softens the top.",
    example={
        "ultimate_lateral_resistance": "93 kN/m",
        "lateral_displacement": "30 mm",
        "half_strength_strain": "0.01",
        "outside_diameter": "36 in",
    },
)
def soft_clay_lateral_resistance(
    ultimate_lateral_resistance: Real,
    lateral_displacement: Real,
    half_strength_strain: Real,
    outside_diameter: Real,
) -> Real:
    """Lateral resistance of soft clay on a pile that has moved sideways.

    Parameters
    ----------
    ultimate_lateral_resistance : [N/m]
        Greatest resistance per length.
    lateral_displacement : [m]
        Displacement of the pile, as a magnitude.
    half_strength_strain : [-]
        Strain at half the strength in an undrained compression test.
    outside_diameter : [m]
        Outside diameter of the pile.

    Returns
    -------
    lateral_resistance : [N/m]
        Force per length, against the displacement.
    """
    reference = 2.5 * half_strength_strain * outside_diameter
    share = 0.5 * np.cbrt(lateral_displacement / reference)
    result: Real = ultimate_lateral_resistance * np.minimum(share, 1.0)
    return result


# ---- consolidation ----------------------------------------------------------------------


@published(
    formula="T_v = (c_v t) / H_d^2",
    source="terzaghi-peck-mesri-1996",
    where="one-dimensional consolidation, from memory",
    example={
        "consolidation_coefficient": "3e-8 m2/s",
        "elapsed_time": "30 d",
        "drainage_length": "0.5 m",
    },
)
def consolidation_time_factor(
    consolidation_coefficient: Real, elapsed_time: Real, drainage_length: Real
) -> Real:
    """Time of consolidation without units.

    Parameters
    ----------
    consolidation_coefficient : [m2/s]
        Coefficient of consolidation.
    elapsed_time : [s]
        Time since the load came on.
    drainage_length : [m]
        Longest way that pore water has to go.

    Returns
    -------
    consolidation_time_factor : [-]
        Time factor.
    """
    return consolidation_coefficient * elapsed_time / np.square(drainage_length)


@published(
    formula=("U_c = 1 - sum_(m = 0)^infinity 2 / M^2 e^(-M^2 T_v) , quad M = pi / 2 (2 m + 1)"),
    source="terzaghi-peck-mesri-1996",
    where="one-dimensional consolidation, uniform initial excess pressure, from memory",
    valid={"consolidation_time_factor": Limit(0.0, 1e6, "from the load on")},
    example={"consolidation_time_factor": "0.197"},
)
def consolidation_degree(consolidation_time_factor: Real) -> Real:
    """Mean share of the excess pore pressure that has drained away.

    The series converges slowly early on; there its other form holds, 2 sqrt(T/pi), whose
    error at the change-over (T = 0.03) is below 1e-14.

    Parameters
    ----------
    consolidation_time_factor : [-]
        Time factor.

    Returns
    -------
    consolidation_degree : [-]
        Mean degree of consolidation.
    """
    factor = np.asarray(consolidation_time_factor, dtype=float)
    late = np.maximum(factor, 0.03)
    series = np.ones_like(factor)
    for m in range(14):  # the next term is below exp(-50)
        squared = (np.pi * (m + 0.5)) ** 2
        series = series - 2.0 / squared * np.exp(-squared * late)
    early = 2.0 * np.sqrt(np.maximum(factor, 0.0) / np.pi)
    result: Real = np.where(factor < 0.03, early, series)
    return result
