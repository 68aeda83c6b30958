"""Stress in the rock: overburden, the wall of the hole, strength, collapse and faults.

Compression is positive, as is usual in rock mechanics. Stresses are total unless the
text says effective. The far-field stresses of the wall equations stand in the frame of
the hole: z along the hole, x the direction from which the wall angle is counted.
Elastic wall theory is for rock; in the first hundred metres of soft sediment it does
not hold (see soil).
"""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published

_FRACTION: Final = Limit(0.0, 1.0, "a fraction")
_POISSON: Final = Limit(0.0, 0.5, "isotropic elastic rock")
_FRICTION_ANGLE: Final = Limit(0.0, 1.4, "up to 80 degrees")
_ROCK_ONLY: Final = "Isotropic, linear elastic rock; not soft sediment near the sea bed."


@published(
    formula="rho_b = (1 - phi) rho_g + phi rho_f",
    source="definition",
    where="mass balance of grains and pore fluid",
    valid={"porosity": _FRACTION},
    example={
        "porosity": "0.2",
        "grain_density": "2650 kg/m3",
        "pore_fluid_density": "1025 kg/m3",
    },
)
def bulk_density(porosity: Real, grain_density: Real, pore_fluid_density: Real) -> Real:
    """Density of a rock with its pores full of fluid.

    Parameters
    ----------
    porosity : [-]
        Share of the volume that is pores.
    grain_density : [kg/m3]
        Density of the solid grains.
    pore_fluid_density : [kg/m3]
        Density of the fluid in the pores.

    Returns
    -------
    bulk_density : [kg/m3]
        Density of the saturated rock.
    """
    return (1.0 - porosity) * grain_density + porosity * pore_fluid_density


@published(
    formula="Gamma_v = rho_b g",
    source="definition",
    where="weight per area and length",
    example={"bulk_density": "2320 kg/m3", "gravity": "9.80665 m/s2"},
)
def overburden_gradient(bulk_density: Real, gravity: Real) -> Real:
    """Growth of the vertical stress with depth in rock of one density.

    Parameters
    ----------
    bulk_density : [kg/m3]
        Density of the saturated rock.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    overburden_gradient : [Pa/m]
        Vertical stress gained per length of depth.
    """
    return bulk_density * gravity


@published(
    formula="phi = phi_0 exp(-z / lambda_c)",
    source="athy-1930",
    where="exponential compaction, from memory",
    valid={"sea_bed_porosity": _FRACTION},
    example={
        "sea_bed_porosity": "0.6",
        "compaction_length": "2000 m",
        "depth_below_sea_bed": "1000 m",
    },
)
def athy_porosity(
    sea_bed_porosity: Real, compaction_length: Real, depth_below_sea_bed: Real
) -> Real:
    """Porosity of normally compacted sediment at a depth.

    Parameters
    ----------
    sea_bed_porosity : [-]
        Porosity at the sea bed.
    compaction_length : [m]
        Depth over which porosity falls to 1/e.
    depth_below_sea_bed : [m]
        Depth below the sea bed.

    Returns
    -------
    porosity : [-]
        Porosity at that depth.
    """
    result: Real = sea_bed_porosity * np.exp(-depth_below_sea_bed / compaction_length)
    return result


@published(
    formula="S_v = S_0 + rho_b g h",
    source="definition",
    where="equilibrium of a column of one layer",
    example={
        "vertical_stress_above": "25 MPa",
        "bulk_density": "1900 kg/m3",
        "layer_thickness": "300 m",
        "gravity": "9.80665 m/s2",
    },
)
def vertical_stress_below_layer(
    vertical_stress_above: Real, bulk_density: Real, layer_thickness: Real, gravity: Real
) -> Real:
    """Vertical stress at the foot of a layer; at the sea bed the sea's pressure starts it.

    Parameters
    ----------
    vertical_stress_above : [Pa]
        Vertical stress at the top of the layer; the sea pressure for the first one.
    bulk_density : [kg/m3]
        Density of the saturated layer.
    layer_thickness : [m]
        Height of the layer.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    vertical_stress : [Pa]
        Vertical stress at the foot.
    """
    return vertical_stress_above + bulk_density * gravity * layer_thickness


@published(
    formula="S_v = p_0 + g [rho_g z - (rho_g - rho_f) phi_0 lambda_c (1 - e^(-z / lambda_c))]",
    source="definition",
    where="bulk density integrated over the exponential compaction of Athy (1930)",
    valid={"sea_bed_porosity": _FRACTION},
    example={
        "sea_bed_pressure": "30 MPa",
        "grain_density": "2680 kg/m3",
        "pore_fluid_density": "1030 kg/m3",
        "sea_bed_porosity": "0.6",
        "compaction_length": "2000 m",
        "depth_below_sea_bed": "1500 m",
        "gravity": "9.80665 m/s2",
    },
)
def vertical_stress_compacting(
    sea_bed_pressure: Real,
    grain_density: Real,
    pore_fluid_density: Real,
    sea_bed_porosity: Real,
    compaction_length: Real,
    depth_below_sea_bed: Real,
    gravity: Real,
) -> Real:
    """Vertical stress under sea and sediment whose porosity falls exponentially with depth.

    Parameters
    ----------
    sea_bed_pressure : [Pa]
        Pressure of the sea on its bed.
    grain_density : [kg/m3]
        Density of the solid grains.
    pore_fluid_density : [kg/m3]
        Density of the fluid in the pores.
    sea_bed_porosity : [-]
        Porosity at the sea bed.
    compaction_length : [m]
        Depth over which porosity falls to 1/e.
    depth_below_sea_bed : [m]
        Depth below the sea bed.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    vertical_stress : [Pa]
        Vertical stress.
    """
    pores = (
        -sea_bed_porosity * compaction_length * np.expm1(-depth_below_sea_bed / compaction_length)
    )
    solid = grain_density * depth_below_sea_bed - (grain_density - pore_fluid_density) * pores
    result: Real = sea_bed_pressure + gravity * solid
    return result


@published(
    formula="sigma' = S - alpha_B p_p",
    source="biot-1941",
    where="effective stress with Biot's coefficient, from memory",
    valid={"biot_coefficient": _FRACTION},
    example={"total_stress": "60 MPa", "pore_pressure": "40 MPa"},
)
def effective_stress(total_stress: Real, pore_pressure: Real, biot_coefficient: Real = 1.0) -> Real:
    """Part of a stress that the grains carry.

    Parameters
    ----------
    total_stress : [Pa]
        Total stress, compression positive.
    pore_pressure : [Pa]
        Pressure of the fluid in the pores.
    biot_coefficient : [-]
        Share of the pore pressure that counts; one is Terzaghi's form.

    Returns
    -------
    effective_stress : [Pa]
        Effective stress.
    """
    return total_stress - biot_coefficient * pore_pressure


# ---- the wall of the hole ----------------------------------------------------------------

_FAR_FIELD: Final = {
    "far_field_stress_x": "50 MPa",
    "far_field_stress_y": "40 MPa",
    "far_field_shear_stress": "5 MPa",
}


@published(
    formula=(
        "sigma_theta = (sigma_x + sigma_y) / 2 (1 + a^2) "
        "- [(sigma_x - sigma_y) / 2 cos 2 theta + tau_(x y) sin 2 theta] (1 + 3 a^4) - p_w a^2"
    ),
    source="kirsch-1898",
    where="circular hole in plane strain, total stresses, from memory",
    valid={"radius_ratio": Limit(0.0, 1.0, "outside the hole")},
    validity_note=_ROCK_ONLY,
    example={**_FAR_FIELD, "wall_angle": "30 deg", "hole_pressure": "35 MPa"},
)
def kirsch_hoop_stress(
    far_field_stress_x: Real,
    far_field_stress_y: Real,
    far_field_shear_stress: Real,
    wall_angle: Real,
    hole_pressure: Real,
    radius_ratio: Real = 1.0,
) -> Real:
    """Stress along the circumference at or near the wall of a hole in elastic rock.

    Parameters
    ----------
    far_field_stress_x : [Pa]
        Total stress far from the hole along x.
    far_field_stress_y : [Pa]
        Total stress far from the hole along y.
    far_field_shear_stress : [Pa]
        Shear stress xy far from the hole.
    wall_angle : [rad]
        Angle around the hole from x towards y.
    hole_pressure : [Pa]
        Pressure of the fluid in the hole.
    radius_ratio : [-]
        Hole radius over the distance from the axis; one at the wall.

    Returns
    -------
    rock_hoop_stress : [Pa]
        Total hoop stress.
    """
    a2 = np.square(radius_ratio)
    mean = 0.5 * (far_field_stress_x + far_field_stress_y)
    half = 0.5 * (far_field_stress_x - far_field_stress_y)
    swing = half * np.cos(2.0 * wall_angle) + far_field_shear_stress * np.sin(2.0 * wall_angle)
    result: Real = mean * (1.0 + a2) - swing * (1.0 + 3.0 * a2**2) - hole_pressure * a2
    return result


@published(
    formula=(
        "sigma_r = (sigma_x + sigma_y) / 2 (1 - a^2) + [(sigma_x - sigma_y) / 2 cos 2 theta "
        "+ tau_(x y) sin 2 theta] (1 - 4 a^2 + 3 a^4) + p_w a^2"
    ),
    source="kirsch-1898",
    where="circular hole in plane strain, total stresses, from memory",
    valid={"radius_ratio": Limit(0.0, 1.0, "outside the hole")},
    validity_note=_ROCK_ONLY,
    example={
        **_FAR_FIELD,
        "wall_angle": "30 deg",
        "hole_pressure": "35 MPa",
        "radius_ratio": "0.8",
    },
)
def kirsch_radial_stress(
    far_field_stress_x: Real,
    far_field_stress_y: Real,
    far_field_shear_stress: Real,
    wall_angle: Real,
    hole_pressure: Real,
    radius_ratio: Real = 1.0,
) -> Real:
    """Stress towards the axis at or near the wall of a hole; at the wall the pressure in it.

    Parameters
    ----------
    far_field_stress_x : [Pa]
        Total stress far from the hole along x.
    far_field_stress_y : [Pa]
        Total stress far from the hole along y.
    far_field_shear_stress : [Pa]
        Shear stress xy far from the hole.
    wall_angle : [rad]
        Angle around the hole from x towards y.
    hole_pressure : [Pa]
        Pressure of the fluid in the hole.
    radius_ratio : [-]
        Hole radius over the distance from the axis; one at the wall.

    Returns
    -------
    rock_radial_stress : [Pa]
        Total radial stress.
    """
    a2 = np.square(radius_ratio)
    mean = 0.5 * (far_field_stress_x + far_field_stress_y)
    half = 0.5 * (far_field_stress_x - far_field_stress_y)
    swing = half * np.cos(2.0 * wall_angle) + far_field_shear_stress * np.sin(2.0 * wall_angle)
    result: Real = mean * (1.0 - a2) + swing * (1.0 - 4.0 * a2 + 3.0 * a2**2) + hole_pressure * a2
    return result


@published(
    formula=(
        "tau_(r theta) = [tau_(x y) cos 2 theta - (sigma_x - sigma_y) / 2 sin 2 theta] "
        "(1 + 2 a^2 - 3 a^4)"
    ),
    source="kirsch-1898",
    where="circular hole in plane strain, from memory",
    valid={"radius_ratio": Limit(0.0, 1.0, "outside the hole")},
    validity_note=_ROCK_ONLY,
    example={**_FAR_FIELD, "wall_angle": "30 deg", "radius_ratio": "0.8"},
)
def kirsch_shear_stress(
    far_field_stress_x: Real,
    far_field_stress_y: Real,
    far_field_shear_stress: Real,
    wall_angle: Real,
    radius_ratio: Real = 1.0,
) -> Real:
    """Shear between the radial and hoop directions near a hole; none at the wall.

    Parameters
    ----------
    far_field_stress_x : [Pa]
        Total stress far from the hole along x.
    far_field_stress_y : [Pa]
        Total stress far from the hole along y.
    far_field_shear_stress : [Pa]
        Shear stress xy far from the hole.
    wall_angle : [rad]
        Angle around the hole from x towards y.
    radius_ratio : [-]
        Hole radius over the distance from the axis; one at the wall.

    Returns
    -------
    rock_shear_stress : [Pa]
        Shear stress in the cross-section of the hole.
    """
    a2 = np.square(radius_ratio)
    half = 0.5 * (far_field_stress_x - far_field_stress_y)
    swing = far_field_shear_stress * np.cos(2.0 * wall_angle) - half * np.sin(2.0 * wall_angle)
    result: Real = swing * (1.0 + 2.0 * a2 - 3.0 * a2**2)
    return result


@published(
    formula=(
        "sigma_(z z) = sigma_z - nu a^2 "
        "[2 (sigma_x - sigma_y) cos 2 theta + 4 tau_(x y) sin 2 theta]"
    ),
    source="kirsch-1898",
    where="plane strain along the hole, total stresses, from memory",
    valid={"poisson_ratio": _POISSON, "radius_ratio": Limit(0.0, 1.0, "outside the hole")},
    validity_note=_ROCK_ONLY,
    example={
        **_FAR_FIELD,
        "far_field_stress_z": "43 MPa",
        "wall_angle": "30 deg",
        "poisson_ratio": "0.25",
    },
)
def kirsch_axial_stress(
    far_field_stress_x: Real,
    far_field_stress_y: Real,
    far_field_shear_stress: Real,
    far_field_stress_z: Real,
    wall_angle: Real,
    poisson_ratio: Real,
    radius_ratio: Real = 1.0,
) -> Real:
    """Stress along the hole at or near its wall in elastic rock.

    Parameters
    ----------
    far_field_stress_x : [Pa]
        Total stress far from the hole along x.
    far_field_stress_y : [Pa]
        Total stress far from the hole along y.
    far_field_shear_stress : [Pa]
        Shear stress xy far from the hole.
    far_field_stress_z : [Pa]
        Total stress far from the hole along its axis.
    wall_angle : [rad]
        Angle around the hole from x towards y.
    poisson_ratio : [-]
        Poisson's ratio of the rock.
    radius_ratio : [-]
        Hole radius over the distance from the axis; one at the wall.

    Returns
    -------
    rock_axial_stress : [Pa]
        Total axial stress.
    """
    difference = far_field_stress_x - far_field_stress_y
    swing = 2.0 * difference * np.cos(2.0 * wall_angle) + 4.0 * far_field_shear_stress * np.sin(
        2.0 * wall_angle
    )
    result: Real = far_field_stress_z - poisson_ratio * np.square(radius_ratio) * swing
    return result


@published(
    formula="tau_(theta z) = (1 + a^2) (tau_(y z) cos theta - tau_(x z) sin theta)",
    source="kirsch-1898",
    where="antiplane part for a hole oblique to the stresses, from memory",
    valid={"radius_ratio": Limit(0.0, 1.0, "outside the hole")},
    validity_note=_ROCK_ONLY,
    example={
        "far_field_shear_stress_xz": "2 MPa",
        "far_field_shear_stress_yz": "1 MPa",
        "wall_angle": "30 deg",
    },
)
def kirsch_axial_shear_stress(
    far_field_shear_stress_xz: Real,
    far_field_shear_stress_yz: Real,
    wall_angle: Real,
    radius_ratio: Real = 1.0,
) -> Real:
    """Shear between the hoop and axial directions at the wall of an oblique hole.

    Parameters
    ----------
    far_field_shear_stress_xz : [Pa]
        Shear stress xz far from the hole.
    far_field_shear_stress_yz : [Pa]
        Shear stress yz far from the hole.
    wall_angle : [rad]
        Angle around the hole from x towards y.
    radius_ratio : [-]
        Hole radius over the distance from the axis; one at the wall.

    Returns
    -------
    rock_axial_shear_stress : [Pa]
        Shear stress between hoop and axial directions.
    """
    swing = far_field_shear_stress_yz * np.cos(wall_angle) - far_field_shear_stress_xz * np.sin(
        wall_angle
    )
    result: Real = (1.0 + np.square(radius_ratio)) * swing
    return result


def rotate_to_hole(stress: Array, azimuth: Real, inclination: Real) -> Array:
    """Turn a stress tensor from north-east-down axes into the frame of a hole.

    x of the hole points to its high side, z down along it, y completes a right-handed
    set: S' = R S R^T with the unit vectors as the rows of R.

    Parameters
    ----------
    stress : (..., 3, 3) [Pa]
        Tensor with axes north, east, down.
    azimuth : (...) [rad]
        Direction of the hole from north towards east.
    inclination : (...) [rad]
        Inclination of the hole from the vertical.

    Returns
    -------
    stress : (..., 3, 3) [Pa]
        Tensor in the frame of the hole.
    """
    a, i = np.broadcast_arrays(np.asarray(azimuth, float), np.asarray(inclination, float))
    zero = np.zeros_like(a)
    rows = [
        [np.cos(i) * np.cos(a), np.cos(i) * np.sin(a), -np.sin(i)],
        [-np.sin(a), np.cos(a), zero],
        [np.sin(i) * np.cos(a), np.sin(i) * np.sin(a), np.cos(i)],
    ]
    rotation = np.stack([np.stack(row, axis=-1) for row in rows], axis=-2)
    return np.asarray(rotation @ stress @ np.swapaxes(rotation, -1, -2))


def principal_stresses(stress: Array) -> Array:
    """Return the three principal stresses of a symmetric tensor, the greatest first.

    Parameters
    ----------
    stress : (..., 3, 3) [Pa]
        Symmetric stress tensor.

    Returns
    -------
    principal_stresses : (..., 3) [Pa]
        Principal stresses in falling order.
    """
    falling: Array = np.linalg.eigvalsh(stress)[..., ::-1].astype(float)
    return falling


@published(
    formula="S_H = (S_N + S_E) / 2 + sqrt(((S_N - S_E) / 2)^2 + S_(N E)^2)",
    source="definition",
    where="Mohr's circle in the horizontal plane",
    example={"north_stress": "59 MPa", "east_stress": "68 MPa", "north_east_shear_stress": "1 MPa"},
)
def major_horizontal_stress(
    north_stress: Real, east_stress: Real, north_east_shear_stress: Real
) -> Real:
    """Greater principal stress of the horizontal plane.

    Parameters
    ----------
    north_stress : [Pa]
        Horizontal stress towards north.
    east_stress : [Pa]
        Horizontal stress towards east.
    north_east_shear_stress : [Pa]
        Shear stress north-east.

    Returns
    -------
    major_horizontal_stress : [Pa]
        Greater horizontal principal stress.
    """
    result: Real = 0.5 * (north_stress + east_stress) + np.hypot(
        0.5 * (north_stress - east_stress), north_east_shear_stress
    )
    return result


@published(
    formula="S_h = (S_N + S_E) / 2 - sqrt(((S_N - S_E) / 2)^2 + S_(N E)^2)",
    source="definition",
    where="Mohr's circle in the horizontal plane",
    example={"north_stress": "59 MPa", "east_stress": "68 MPa", "north_east_shear_stress": "1 MPa"},
)
def minor_horizontal_stress(
    north_stress: Real, east_stress: Real, north_east_shear_stress: Real
) -> Real:
    """Lesser principal stress of the horizontal plane.

    Parameters
    ----------
    north_stress : [Pa]
        Horizontal stress towards north.
    east_stress : [Pa]
        Horizontal stress towards east.
    north_east_shear_stress : [Pa]
        Shear stress north-east.

    Returns
    -------
    minor_horizontal_stress : [Pa]
        Lesser horizontal principal stress.
    """
    result: Real = 0.5 * (north_stress + east_stress) - np.hypot(
        0.5 * (north_stress - east_stress), north_east_shear_stress
    )
    return result


@published(
    formula='beta_H = 1/2 "atan2"(2 S_(N E), S_N - S_E)',
    source="definition",
    where="Mohr's circle in the horizontal plane",
    validity_note="Undefined where the two horizontal stresses are equal; zero is returned.",
    example={"north_stress": "59 MPa", "east_stress": "68 MPa", "north_east_shear_stress": "1 MPa"},
)
def major_horizontal_stress_azimuth(
    north_stress: Real, east_stress: Real, north_east_shear_stress: Real
) -> Real:
    """Direction of the greater horizontal stress, from north towards east.

    Parameters
    ----------
    north_stress : [Pa]
        Horizontal stress towards north.
    east_stress : [Pa]
        Horizontal stress towards east.
    north_east_shear_stress : [Pa]
        Shear stress north-east.

    Returns
    -------
    stress_azimuth : [rad]
        Azimuth between minus and plus a quarter turn.
    """
    result: Real = 0.5 * np.arctan2(2.0 * north_east_shear_stress, north_stress - east_stress)
    return result


@published(
    formula="sigma_n = (S_1 + S_3) / 2 + (S_1 - S_3) / 2 cos 2 beta",
    source="definition",
    where="Mohr's circle",
    example={
        "greatest_principal_stress": "30 MPa",
        "least_principal_stress": "10 MPa",
        "fault_normal_angle": "30 deg",
    },
)
def fault_normal_stress(
    greatest_principal_stress: Real, least_principal_stress: Real, fault_normal_angle: Real
) -> Real:
    """Stress across a fault plane that contains the intermediate principal direction.

    Parameters
    ----------
    greatest_principal_stress : [Pa]
        Greatest principal stress.
    least_principal_stress : [Pa]
        Least principal stress.
    fault_normal_angle : [rad]
        Angle between the normal of the fault and the greatest principal stress.

    Returns
    -------
    fault_normal_stress : [Pa]
        Normal stress on the fault.
    """
    result: Real = 0.5 * (greatest_principal_stress + least_principal_stress) + 0.5 * (
        greatest_principal_stress - least_principal_stress
    ) * np.cos(2.0 * fault_normal_angle)
    return result


@published(
    formula="tau_n = (S_1 - S_3) / 2 sin 2 beta",
    source="definition",
    where="Mohr's circle",
    example={
        "greatest_principal_stress": "30 MPa",
        "least_principal_stress": "10 MPa",
        "fault_normal_angle": "30 deg",
    },
)
def fault_shear_stress(
    greatest_principal_stress: Real, least_principal_stress: Real, fault_normal_angle: Real
) -> Real:
    """Shear along a fault plane that contains the intermediate principal direction.

    Parameters
    ----------
    greatest_principal_stress : [Pa]
        Greatest principal stress.
    least_principal_stress : [Pa]
        Least principal stress.
    fault_normal_angle : [rad]
        Angle between the normal of the fault and the greatest principal stress.

    Returns
    -------
    fault_shear_stress : [Pa]
        Shear stress on the fault.
    """
    result: Real = (
        0.5
        * (greatest_principal_stress - least_principal_stress)
        * np.sin(2.0 * fault_normal_angle)
    )
    return result


@published(
    formula="T_s = tau_n / (sigma_n - p_p)",
    source="definition",
    where="slip tendency; the fault slides where it exceeds the friction coefficient",
    validity_note="Normal stress above pore pressure.",
    example={
        "fault_shear_stress": "8.66 MPa",
        "fault_normal_stress": "25 MPa",
        "pore_pressure": "8 MPa",
    },
)
def slip_tendency(fault_shear_stress: Real, fault_normal_stress: Real, pore_pressure: Real) -> Real:
    """Shear over effective normal stress on a fault.

    Parameters
    ----------
    fault_shear_stress : [Pa]
        Shear stress on the fault.
    fault_normal_stress : [Pa]
        Normal stress on the fault, total.
    pore_pressure : [Pa]
        Pressure of the fluid in the fault.

    Returns
    -------
    slip_tendency : [-]
        Ratio to compare with the coefficient of friction.
    """
    return fault_shear_stress / (fault_normal_stress - pore_pressure)
