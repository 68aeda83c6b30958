"""Stresses in a pipe wall under pressure, tension, bending and torque, and their equivalent."""

from __future__ import annotations

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import published


def _lame(
    outside_diameter: Real, wall: Real, internal_pressure: Real, external_pressure: Real
) -> tuple[Real, Real]:
    """Mean and varying part: hoop is mean + part / d^2, radial is mean - part / d^2."""
    outside, inside = outside_diameter**2, (outside_diameter - 2.0 * wall) ** 2
    mean = (internal_pressure * inside - external_pressure * outside) / (outside - inside)
    part = (internal_pressure - external_pressure) * inside * outside / (outside - inside)
    return mean, part


def _von_mises(axial: Real, hoop: Real, radial: Real, shear: Real) -> Real:
    return np.sqrt(
        0.5 * ((axial - hoop) ** 2 + (hoop - radial) ** 2 + (radial - axial) ** 2) + 3.0 * shear**2
    )


@published(
    formula="sigma_a = F_a / (pi (D - t) t)",
    source="definition",
    where="force over area",
    example={"axial_force": "600 klbf", "outside_diameter": "9 5/8 in", "wall": "0.545 in"},
)
def axial_stress_of_force(axial_force: Real, outside_diameter: Real, wall: Real) -> Real:
    """Mean axial stress of a pipe body under a true axial force.

    Parameters
    ----------
    axial_force : [N]
        True (wall) force, tension positive; not the effective tension.
    outside_diameter : [m]
        Outside diameter of the pipe body.
    wall : [m]
        Wall thickness.

    Returns
    -------
    axial_stress : [Pa]
        Axial stress, tension positive.
    """
    return axial_force / (np.pi * (outside_diameter - wall) * wall)


@published(
    formula="sigma_theta = (p_i d^2 - p_e D^2 + (p_i - p_e) d^2 D^2 / (4 r^2)) / (D^2 - d^2), "
    "quad d = D - 2 t",
    source="timoshenko-strength-2",
    where="thick cylinders (Lamé), from memory",
    example={
        "outside_diameter": "9 5/8 in",
        "wall": "0.545 in",
        "internal_pressure": "50 MPa",
        "external_pressure": "10 MPa",
        "wall_radius": "4.2675 in",
    },
    validity_note="Elastic; radius between bore and outside.",
)
def lame_hoop_stress(
    outside_diameter: Real,
    wall: Real,
    internal_pressure: Real,
    external_pressure: Real,
    wall_radius: Real,
) -> Real:
    """Hoop stress at a radius of a thick pipe under pressure inside and outside.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    wall : [m]
        Wall thickness.
    internal_pressure : [Pa]
        Pressure inside.
    external_pressure : [Pa]
        Pressure outside.
    wall_radius : [m]
        Radius of the point, from the pipe axis.

    Returns
    -------
    pipe_hoop_stress : [Pa]
        Hoop stress, tension positive.
    """
    mean, part = _lame(outside_diameter, wall, internal_pressure, external_pressure)
    return mean + part / (2.0 * wall_radius) ** 2


@published(
    formula="sigma_r = (p_i d^2 - p_e D^2 - (p_i - p_e) d^2 D^2 / (4 r^2)) / (D^2 - d^2), "
    "quad d = D - 2 t",
    source="timoshenko-strength-2",
    where="thick cylinders (Lamé), from memory",
    example={
        "outside_diameter": "9 5/8 in",
        "wall": "0.545 in",
        "internal_pressure": "50 MPa",
        "external_pressure": "10 MPa",
        "wall_radius": "4.2675 in",
    },
    validity_note="Elastic; radius between bore and outside.",
)
def lame_radial_stress(
    outside_diameter: Real,
    wall: Real,
    internal_pressure: Real,
    external_pressure: Real,
    wall_radius: Real,
) -> Real:
    """Radial stress at a radius of a thick pipe under pressure inside and outside.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    wall : [m]
        Wall thickness.
    internal_pressure : [Pa]
        Pressure inside.
    external_pressure : [Pa]
        Pressure outside.
    wall_radius : [m]
        Radius of the point, from the pipe axis.

    Returns
    -------
    pipe_radial_stress : [Pa]
        Radial stress, tension positive; minus the pressure at either surface.
    """
    mean, part = _lame(outside_diameter, wall, internal_pressure, external_pressure)
    return mean - part / (2.0 * wall_radius) ** 2


@published(
    formula='sigma_"VM" = sqrt(((sigma_a - sigma_theta)^2 + (sigma_theta - sigma_r)^2 '
    "+ (sigma_r - sigma_a)^2) / 2 + 3 tau_t^2)",
    source="timoshenko-strength-2",
    where="energy of distortion (von Mises), from memory",
    example={
        "axial_stress": "200 MPa",
        "pipe_hoop_stress": "300 MPa",
        "pipe_radial_stress": "-50 MPa",
        "pipe_shear_stress": "20 MPa",
    },
)
def von_mises_stress(
    axial_stress: Real, pipe_hoop_stress: Real, pipe_radial_stress: Real, pipe_shear_stress: Real
) -> Real:
    """Equivalent stress of axial, hoop, radial and shear stress at a point of a pipe.

    Pressure on all sides adds nothing: only differences of stress distort.

    Parameters
    ----------
    axial_stress : [Pa]
        Axial stress, bending included, tension positive.
    pipe_hoop_stress : [Pa]
        Hoop stress, tension positive.
    pipe_radial_stress : [Pa]
        Radial stress, tension positive.
    pipe_shear_stress : [Pa]
        Shear stress by torque.

    Returns
    -------
    equivalent_stress : [Pa]
        To compare with the yield strength.
    """
    return _von_mises(axial_stress, pipe_hoop_stress, pipe_radial_stress, pipe_shear_stress)


@published(
    formula='sigma_"VM" = max_(r in {d slash 2, D slash 2}, plus.minus) '
    "sqrt(((sigma - sigma_theta)^2 + (sigma_theta - sigma_r)^2 + (sigma_r - sigma)^2) / 2 "
    "+ 3 tau^2) \\ sigma = F_a / (pi (D - t) t) plus.minus sigma_b (2 r) / D, "
    "quad tau = (32 M_t r) / (pi (D^4 - d^4)), "
    "quad sigma_theta, sigma_r (p_i, p_e, r)",
    source="api-tr-5c3",
    where="triaxial yield of the pipe body: Lamé and von Mises with bending and torque",
    validity_note="The pipe body; connections have their own envelopes.",
    example={
        "outside_diameter": "9 5/8 in",
        "wall": "0.545 in",
        "axial_force": "600 klbf",
        "internal_pressure": "50 MPa",
        "external_pressure": "10 MPa",
        "bending_stress": "30 MPa",
        "torque": "10 kN m",
    },
    caution="Yield only: collapse of thin pipe has its own equations.",
)
def triaxial_equivalent_stress(
    outside_diameter: Real,
    wall: Real,
    axial_force: Real,
    internal_pressure: Real,
    external_pressure: Real,
    bending_stress: Real = 0.0,
    torque: Real = 0.0,
) -> Real:
    """Greatest von Mises stress in a pipe body under all its loads together.

    Lamé stresses at bore and outside, the axial stress with bending added on the one
    side and taken off on the other; bending and torsion grow with the radius. The
    worst of the four points counts.

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.
    wall : [m]
        Wall thickness (take off tolerance and wear first where they must count).
    axial_force : [N]
        True (wall) force, tension positive; not the effective tension.
    internal_pressure : [Pa]
        Pressure inside.
    external_pressure : [Pa]
        Pressure outside.
    bending_stress : [Pa]
        Bending stress at the outside, as a magnitude.
    torque : [N m]
        Torque in the pipe.

    Returns
    -------
    equivalent_stress : [Pa]
        To compare with the yield strength.
    """
    bore = outside_diameter - 2.0 * wall
    mean, part = _lame(outside_diameter, wall, internal_pressure, external_pressure)
    axial = axial_force / (np.pi * (outside_diameter - wall) * wall)
    polar = np.pi / 32.0 * (outside_diameter**4 - bore**4)
    worst: Real = 0.0
    sides = (1.0, -1.0) if np.any(bending_stress) else (1.0,)  # unbent, one is as the other
    for diameter in (bore, outside_diameter):
        hoop, radial = mean + part / diameter**2, mean - part / diameter**2
        shear = torque * diameter / (2.0 * polar)
        bending = bending_stress * diameter / outside_diameter
        for sign in sides:
            at_point = _von_mises(axial + sign * bending, hoop, radial, shear)
            worst = np.maximum(worst, at_point)
    return worst
