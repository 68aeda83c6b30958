"""The wall of a hole of any inclination: where it caves in, how wide, and where it breaks open.

Around the wall the stresses of Kirsch change with the angle; at each angle the least pressure
that holds the rock is solved for, and the worst angle (or, where a breakout of some width
is allowed, the worst arc left over) gives the answer. Compression is positive. The wall is
sealed: the fluid in the hole does not enter. At one angle, with x the pressure in the hole
less the pore pressure, the effective stresses are x towards the axis, h - x along the
circumference, z along the hole, and t the shear between the last two.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published
from bathybore.kernels._roots import bracketed_root
from bathybore.kernels.rock_stress import (
    kirsch_axial_shear_stress,
    kirsch_axial_stress,
    kirsch_hoop_stress,
    rotate_to_hole,
)

_ANGLES: Final = 180  # one a degree: half of the wall, the other half is its mirror image
_NEVER: Final = 1e100  # Pa; no pressure holds: finite, so that it can be sorted and mixed
_SMALL: Final = 1e-6  # Pa; a root this sharp is sharper than any stress is known
_MOGI: Final = 2.0 * np.sqrt(2.0) / 3.0

_VALID: Final = {
    "poisson_ratio": Limit(0.0, 0.5, "isotropic elastic rock"),
    "inclination": Limit(0.0, np.pi / 2.0, "vertical to horizontal"),
    "breakout_width": Limit(0.0, np.pi / 2.0, "up to 90 degrees on each side"),
}
_NOTE: Final = (
    "Isotropic, linear elastic rock with a principal stress vertical; not soft sediment near the "
    "sea bed, where plasticity carries the wall. Infinite where no pressure holds the wall."
)
_WIDTH: Final = (
    "A breakout that is allowed still fills the hole with rock: cuttings must be lifted."
)
_FIELD: Final = {
    "major_horizontal_stress": "45 MPa",
    "minor_horizontal_stress": "38 MPa",
    "vertical_stress": "50 MPa",
    "pore_pressure": "22 MPa",
    "poisson_ratio": "0.25",
    "stress_azimuth": "20 deg",
    "inclination": "30 deg",
    "hole_azimuth": "65 deg",
}
_WALL: Final = (
    "h = sigma_theta (S_H, S_h, S_v, beta_H, theta, alpha_h) + sigma_T - 2 p_p , quad "
    "z = sigma_(z z) (nu) + sigma_T - p_p"
)
_WORST: Final = 'p_"col" = p_p + max x quad "over the wall but an arc" w_b \\ '


@dataclass(frozen=True)
class _Wall:
    """Effective stresses around the wall, the angle along the last axis."""

    h: Array
    z: Array
    t: Array


def _wall(
    major: Real,
    minor: Real,
    vertical: Real,
    pore: Real,
    poisson: Real,
    direction: Real,
    inclination: Real,
    azimuth: Real,
    thermal: Real,
) -> _Wall:
    turned = rotate_to_hole(_tensor(major, minor, vertical, direction), azimuth, inclination)
    x, y, along = (turned[..., i, i, None] for i in range(3))
    xy, xz, yz = (turned[..., i, j, None] for i, j in ((0, 1), (0, 2), (1, 2)))
    angle = np.linspace(0.0, np.pi, _ANGLES, endpoint=False)
    p = np.asarray(pore)[..., None]
    heat, nu = np.asarray(thermal)[..., None], np.asarray(poisson)[..., None]
    hoop = kirsch_hoop_stress(x, y, xy, angle, 0.0) + heat - 2.0 * p
    axial = kirsch_axial_stress(x, y, xy, along, angle, nu) + heat - p
    shear = kirsch_axial_shear_stress(xz, yz, angle)
    h, z, t = np.broadcast_arrays(hoop, axial, shear)
    return _Wall(h, z, t)


def _tensor(major: Real, minor: Real, vertical: Real, direction: Real) -> Array:
    """Return far-field stresses as a tensor with axes north, east, down."""
    cosine, sine = np.cos(direction), np.sin(direction)
    north = major * cosine**2 + minor * sine**2
    east = major * sine**2 + minor * cosine**2
    shear = (np.asarray(major) - minor) * sine * cosine
    north, east, shear, down, zero = np.broadcast_arrays(north, east, shear, vertical, 0.0)
    rows = [[north, shear, zero], [shear, east, zero], [zero, zero, down]]
    return np.stack([np.stack(row, axis=-1) for row in rows], axis=-2).astype(float)


def _peak(around: Array) -> Array:
    """Return the greatest value round the wall, between the angles as well (a parabola)."""
    top = np.argmax(around, axis=-1)[..., None]
    before, at, after = (
        np.take_along_axis(around, (top + step) % _ANGLES, axis=-1)[..., 0] for step in (-1, 0, 1)
    )
    bend = 2.0 * at - before - after
    lift = np.square(after - before) / (8.0 * np.where(bend > 0.0, bend, 1.0))
    return np.asarray(np.where((bend > 0.0) & (at < 0.1 * _NEVER), at + lift, at))


def _over_all_but(around: Array, width: Real) -> Array:
    """Return the least pressure below which more of the wall fails than an arc of ``width``.

    Failing arcs are counted together, so that two narrow ones are judged as one wide one.
    """
    falling = -np.sort(-around, axis=-1)
    levels = np.concatenate([_peak(around)[..., None], falling], axis=-1)
    # the j-th greatest value stands for the j-th degree: half of it lies above
    share = np.asarray(width, dtype=float) * (_ANGLES / np.pi)
    shape = np.broadcast_shapes(share.shape, levels.shape[:-1])
    share = np.broadcast_to(np.clip(share, 0.0, _ANGLES - 1.0), shape)
    levels = np.broadcast_to(levels, (*shape, _ANGLES + 1))
    place = np.floor(share + 0.5).astype(int)
    first = place == 0
    part = np.where(first, 2.0 * share, share + 0.5 - place)
    here = np.take_along_axis(levels, place[..., None], axis=-1)[..., 0]
    below = np.take_along_axis(levels, place[..., None] + 1, axis=-1)[..., 0]
    return np.asarray((1.0 - part) * here + part * below)


def _answer(around: Array, pore: Real, width: Real) -> Real:
    worst = _over_all_but(around, width)
    result: Real = np.where(worst > 1e-6 * _NEVER, np.inf, worst + pore)
    return result


def _coulomb(wall: _Wall, strength: Array, q: Array) -> Array:
    """Least x at which both pairs that ease as x grows just hold, each a quadratic in x."""
    h, z, t = wall.h, wall.z, wall.t
    over, along = q * (h - strength), (1.0 + q) * (z - strength)
    spread = np.hypot(over - along, 2.0 * np.sqrt(q * (1.0 + q)) * t)
    against_radial = 0.5 * (over + along + spread) / (q * (1.0 + q))
    # in the plane of the wall itself: greatest against least of hoop, axial and their shear
    room = strength + (q - 1.0) * z
    inside = np.square(np.maximum(room, 0.0)) - 4.0 * q * np.square(t)
    reach = ((q - 1.0) * room + (1.0 + q) * np.sqrt(np.maximum(inside, 0.0))) / (2.0 * q)
    in_the_wall = np.where((room >= 0.0) & (inside >= 0.0), h - z - reach, _NEVER)
    return np.asarray(np.maximum(against_radial, in_the_wall))


@published(
    formula=(
        _WORST + "x = max[x_1 , x_2] , quad (h - C_0 - (1 + q) x_1) (z - C_0 - q x_1) = t^2 \\ "
        "x_2 = h - z - ((q - 1) D + (1 + q) sqrt(D^2 - 4 q t^2)) / (2 q) , quad "
        "D = C_0 + (q - 1) z \\ " + _WALL
    ),
    source="al-ajmi-zimmerman-2006",
    where="Mohr-Coulomb on the wall of an inclined hole, solved for the pressure here",
    valid={**_VALID, "failure_stress_ratio": Limit(1.0, 130.0, "friction angle 0 to 80 degrees")},
    validity_note=_NOTE,
    caution="Elastic and without the help of the intermediate stress: on the safe side. " + _WIDTH,
    example={
        **_FIELD,
        "unconfined_compressive_strength": "34.64 MPa",
        "failure_stress_ratio": "3",
        "breakout_width": "30 deg",
        "wall_thermal_stress": "-2 MPa",
    },
)
def inclined_collapse_mohr_coulomb(
    major_horizontal_stress: Real,
    minor_horizontal_stress: Real,
    vertical_stress: Real,
    pore_pressure: Real,
    poisson_ratio: Real,
    unconfined_compressive_strength: Real,
    failure_stress_ratio: Real,
    stress_azimuth: Real = 0.0,
    inclination: Real = 0.0,
    hole_azimuth: Real = 0.0,
    breakout_width: Real = 0.0,
    wall_thermal_stress: Real = 0.0,
) -> Real:
    """Lowest pressure at which no more of a hole's wall than an arc fails in shear (Coulomb).

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
    stress_azimuth : [rad]
        Direction of the greater horizontal stress from north towards east.
    inclination : [rad]
        Inclination of the hole from the vertical.
    hole_azimuth : [rad]
        Direction of the hole from north towards east.
    breakout_width : [rad]
        Arc on each side of the hole that may fail.
    wall_thermal_stress : [Pa]
        Stress added along the wall by heating; negative where circulation cools it.

    Returns
    -------
    hole_collapse_pressure : [Pa]
        Pressure in the hole, gauge as the inputs are; below zero where the wall needs none.
    """
    wall = _wall(
        major_horizontal_stress,
        minor_horizontal_stress,
        vertical_stress,
        pore_pressure,
        poisson_ratio,
        stress_azimuth,
        inclination,
        hole_azimuth,
        wall_thermal_stress,
    )
    strength = np.asarray(unconfined_compressive_strength)[..., None]
    around = _coulomb(wall, strength, np.asarray(failure_stress_ratio)[..., None])
    return _answer(around, pore_pressure, breakout_width)


def _mogi(wall: _Wall, a: Array, b: Array) -> Array:
    """Least x at which the octahedral shear stress is what Mogi-Coulomb bears.

    The margin g(x) grows while x is the least stress and is concave while it is the middle
    one, so left of its highest point, which lies at one of three places, it has one root.
    """
    h, z, t, a, b = np.broadcast_arrays(wall.h, wall.z, wall.t, a, b)

    def margin(x: Array) -> Array:
        middle, half = 0.5 * (h - x + z), np.hypot(0.5 * (h - x - z), t)
        greatest, least = np.maximum(x, middle + half), np.minimum(x, middle - half)
        squares = np.square(x - (h - x)) + np.square(h - x - z) + np.square(z - x)
        shear = np.sqrt(squares + 6.0 * np.square(t)) / 3.0
        return np.asarray(a + 0.5 * b * (greatest + least) - shear)

    rest = 0.5 * np.square(h - 2.0 * z) + 6.0 * np.square(t)  # 9 tau^2 at x = h / 2
    places = np.stack(
        [
            0.5 * h,
            0.5 * h - b * np.sqrt(rest / (16.0 - 6.0 * np.square(b))),
            0.25 * (h + 2.0 * z - np.sqrt(np.square(h - 2.0 * z) + 8.0 * np.square(t))),
        ]
    )
    best = np.argmax(np.stack([margin(place) for place in places]), axis=0)
    high = np.take_along_axis(places, best[None], axis=0)[0]
    holds = margin(high) >= 0.0
    # far to the left the shear outgrows any strength
    low = high - 10.0 * (np.abs(h) + np.abs(z) + np.abs(t) + a) - 1.0
    root = bracketed_root(
        lambda x: np.where(holds, margin(x), x - low),
        low,
        np.where(holds, high, low + 1.0),
        "pressure that holds the wall",
        absolute=_SMALL,
    )
    return np.asarray(np.where(holds, root, _NEVER))


@published(
    formula=(_WORST + 'tau_"oct" (x, h - x, z, t) = a_M + b_M (sigma_1 + sigma_3) / 2 \\ ' + _WALL),
    source="al-ajmi-zimmerman-2006",
    where="Mogi-Coulomb on the wall of an inclined hole, solved for the pressure here",
    valid={**_VALID, "mogi_slope": Limit(0.0, 0.93, "friction angle 0 to 80 degrees")},
    validity_note=_NOTE,
    caution="Counts on the intermediate stress; Mohr-Coulomb asks for more pressure. " + _WIDTH,
    example={
        **_FIELD,
        "mogi_intercept": "8.165 MPa",
        "mogi_slope": "0.4714",
        "breakout_width": "30 deg",
        "wall_thermal_stress": "-2 MPa",
    },
)
def inclined_collapse_mogi_coulomb(
    major_horizontal_stress: Real,
    minor_horizontal_stress: Real,
    vertical_stress: Real,
    pore_pressure: Real,
    poisson_ratio: Real,
    mogi_intercept: Real,
    mogi_slope: Real,
    stress_azimuth: Real = 0.0,
    inclination: Real = 0.0,
    hole_azimuth: Real = 0.0,
    breakout_width: Real = 0.0,
    wall_thermal_stress: Real = 0.0,
) -> Real:
    """Lowest pressure at which no more of a hole's wall than an arc fails (Mogi-Coulomb).

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
    stress_azimuth : [rad]
        Direction of the greater horizontal stress from north towards east.
    inclination : [rad]
        Inclination of the hole from the vertical.
    hole_azimuth : [rad]
        Direction of the hole from north towards east.
    breakout_width : [rad]
        Arc on each side of the hole that may fail.
    wall_thermal_stress : [Pa]
        Stress added along the wall by heating; negative where circulation cools it.

    Returns
    -------
    hole_collapse_pressure : [Pa]
        Pressure in the hole, gauge as the inputs are; below zero where the wall needs none.

    Raises
    ------
    NotConverged
        A root was not found to the tolerance.
    """
    wall = _wall(
        major_horizontal_stress,
        minor_horizontal_stress,
        vertical_stress,
        pore_pressure,
        poisson_ratio,
        stress_azimuth,
        inclination,
        hole_azimuth,
        wall_thermal_stress,
    )
    a, b = (np.asarray(v, dtype=float)[..., None] for v in (mogi_intercept, mogi_slope))
    return _answer(_mogi(wall, a, b), pore_pressure, breakout_width)


@published(
    formula="S_L = c / tan phi",
    source="ewy-1999",
    where="modified Lade criterion, from memory",
    valid={"friction_angle": Limit(0.01, 1.4, "0.6 to 80 degrees; it has no frictionless limit")},
    example={"cohesion": "10 MPa", "friction_angle": "30 deg"},
)
def lade_cohesion_stress(cohesion: Real, friction_angle: Real) -> Real:
    """Stress that stands for cohesion in the modified Lade criterion.

    Parameters
    ----------
    cohesion : [Pa]
        Cohesion.
    friction_angle : [rad]
        Angle of internal friction.

    Returns
    -------
    lade_cohesion_stress : [Pa]
        Stress added to every principal stress.
    """
    result: Real = cohesion / np.tan(friction_angle)
    return result


@published(
    formula="eta_L = (4 tan^2 phi (9 - 7 sin phi)) / (1 - sin phi)",
    source="ewy-1999",
    where="modified Lade criterion, from memory",
    valid={"friction_angle": Limit(0.01, 1.4, "0.6 to 80 degrees; it has no frictionless limit")},
    example={"friction_angle": "30 deg"},
)
def lade_friction(friction_angle: Real) -> Real:
    """Measure of internal friction in the modified Lade criterion.

    Parameters
    ----------
    friction_angle : [rad]
        Angle of internal friction.

    Returns
    -------
    lade_friction : [-]
        Invariant ratio at failure less 27.
    """
    sine = np.sin(friction_angle)
    result: Real = 4.0 * np.square(np.tan(friction_angle)) * (9.0 - 7.0 * sine) / (1.0 - sine)
    return result


def _lade(wall: _Wall, cohesion: Array, friction: Array) -> Array:
    """Least x with I1^3 / I3 = 27 + eta; I1 does not change with x and I3 is a quadratic in it."""
    z = wall.z + cohesion
    hoop = wall.h + 2.0 * cohesion
    first = hoop + z
    wanted = first**3 / (27.0 + friction)
    linear = hoop * z - np.square(wall.t)
    inside = np.square(linear) - 4.0 * z * wanted
    holds = (z > 0.0) & (linear > 0.0) & (inside >= 0.0) & (first > 0.0)
    root = 2.0 * wanted / np.where(holds, linear + np.sqrt(np.maximum(inside, 0.0)), 1.0)
    return np.asarray(np.where(holds, root - cohesion, _NEVER))


@published(
    formula=(
        _WORST
        + "(h + z + 3 S_L)^3 / ((x + S_L) [(h - x + S_L) (z + S_L) - t^2]) = 27 + eta_L \\ "
        + _WALL
    ),
    source="ewy-1999",
    where="modified Lade, from memory; solved for the pressure on an inclined wall here",
    valid={**_VALID, "lade_friction": Limit(0.0, 1e4, "friction angle below about 80 degrees")},
    validity_note=_NOTE,
    caution="Counts on the intermediate stress; Mohr-Coulomb asks for more pressure. " + _WIDTH,
    example={
        **_FIELD,
        "lade_cohesion_stress": "17.32 MPa",
        "lade_friction": "14.667",
        "breakout_width": "30 deg",
        "wall_thermal_stress": "-2 MPa",
    },
)
def inclined_collapse_modified_lade(
    major_horizontal_stress: Real,
    minor_horizontal_stress: Real,
    vertical_stress: Real,
    pore_pressure: Real,
    poisson_ratio: Real,
    lade_cohesion_stress: Real,
    lade_friction: Real,
    stress_azimuth: Real = 0.0,
    inclination: Real = 0.0,
    hole_azimuth: Real = 0.0,
    breakout_width: Real = 0.0,
    wall_thermal_stress: Real = 0.0,
) -> Real:
    """Lowest pressure at which no more of a hole's wall than an arc fails (modified Lade).

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
    lade_cohesion_stress : [Pa]
        Stress that stands for cohesion.
    lade_friction : [-]
        Invariant ratio at failure less 27.
    stress_azimuth : [rad]
        Direction of the greater horizontal stress from north towards east.
    inclination : [rad]
        Inclination of the hole from the vertical.
    hole_azimuth : [rad]
        Direction of the hole from north towards east.
    breakout_width : [rad]
        Arc on each side of the hole that may fail.
    wall_thermal_stress : [Pa]
        Stress added along the wall by heating; negative where circulation cools it.

    Returns
    -------
    hole_collapse_pressure : [Pa]
        Pressure in the hole, gauge as the inputs are; below zero where the wall needs none.
    """
    wall = _wall(
        major_horizontal_stress,
        minor_horizontal_stress,
        vertical_stress,
        pore_pressure,
        poisson_ratio,
        stress_azimuth,
        inclination,
        hole_azimuth,
        wall_thermal_stress,
    )
    cohesion = np.asarray(lade_cohesion_stress, dtype=float)[..., None]
    friction = np.asarray(lade_friction, dtype=float)[..., None]
    return _answer(_lade(wall, cohesion, friction), pore_pressure, breakout_width)


@published(
    formula=('p_b = p_p + min[h + T_0 - t^2 / (z + T_0)] , quad "min round the wall" \\ ' + _WALL),
    source="kirsch-1898",
    where="sealed wall of an inclined hole; least principal stress against tensile strength",
    valid={key: _VALID[key] for key in ("poisson_ratio", "inclination")},
    validity_note=_NOTE.replace(
        "Infinite where no pressure holds the wall.",
        "Minus infinite where the wall is pulled apart along the hole whatever the pressure.",
    ),
    caution="May lie below the least stress; then the least stress is the loss limit.",
    example={**_FIELD, "rock_tensile_strength": "3 MPa", "wall_thermal_stress": "-2 MPa"},
)
def inclined_breakdown_pressure(
    major_horizontal_stress: Real,
    minor_horizontal_stress: Real,
    vertical_stress: Real,
    pore_pressure: Real,
    poisson_ratio: Real,
    rock_tensile_strength: Real,
    stress_azimuth: Real = 0.0,
    inclination: Real = 0.0,
    hole_azimuth: Real = 0.0,
    wall_thermal_stress: Real = 0.0,
) -> Real:
    """Pressure at which an intact, sealed wall of a hole of any inclination breaks open.

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
    rock_tensile_strength : [Pa]
        Tensile strength of the rock; zero where it is already cracked.
    stress_azimuth : [rad]
        Direction of the greater horizontal stress from north towards east.
    inclination : [rad]
        Inclination of the hole from the vertical.
    hole_azimuth : [rad]
        Direction of the hole from north towards east.
    wall_thermal_stress : [Pa]
        Stress added along the wall by heating; negative where circulation cools it.

    Returns
    -------
    breakdown_pressure : [Pa]
        Pressure in the hole at breakdown.
    """
    wall = _wall(
        major_horizontal_stress,
        minor_horizontal_stress,
        vertical_stress,
        pore_pressure,
        poisson_ratio,
        stress_azimuth,
        inclination,
        hole_azimuth,
        wall_thermal_stress,
    )
    strength = np.asarray(rock_tensile_strength)[..., None]
    along = wall.z + strength
    held = along > 0.0
    around = wall.h + strength - np.square(wall.t) / np.where(held, along, 1.0)
    least = -_peak(-np.asarray(np.where(held, around, -_NEVER)))
    result: Real = np.where(least < -1e-6 * _NEVER, -np.inf, least + pore_pressure)
    return result
