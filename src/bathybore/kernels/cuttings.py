"""Cuttings: how fast they fall, how well they rise, and what they do to the column.

A particle falling steadily balances its buoyant weight with drag,
C_D = 4/3 g d (rho_c - rho_f) / (rho_f v²). Every slip velocity here is that balance
with somebody's drag law; cuttings no heavier than the fluid do not fall (zero).
"""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published
from bathybore.kernels._roots import bracketed_root, newton_root
from bathybore.kernels.mud import STANDARD_GRAVITY

_GRAIN: Final[dict[str, str]] = {
    "cuttings_diameter": "0.25 in",
    "cuttings_density": "2.6 sg",
    "fluid_density": "1.20 sg",
    "apparent_viscosity": "60 cP",
}
_DIAMETER = Limit(1e-5, 0.05, "from silt to the largest cavings")


def _drive(diameter: Real, cuttings_density: Real, fluid_density: Real) -> Array:
    """Buoyant weight over projected area, 4/3 g d (rho_c - rho_f): what C_D rho v² balances."""
    heavier = np.maximum(np.asarray(cuttings_density) - fluid_density, 0.0)
    return np.asarray(4.0 / 3.0 * STANDARD_GRAVITY * diameter * heavier)


def _two_term(drive: Real, d: Real, density: Real, viscosity: Real, a: Real, b: Real) -> Array:
    """Velocity of the drag law C_D = a/Re + b: a quadratic, free of cancellation."""
    crawl = a * viscosity / (2.0 * density * d)
    return np.asarray(drive / density / (crawl + np.sqrt(crawl**2 + b * drive / density)))


@published(
    formula='"Re"_p = (rho_f v_s d_c) / mu_a',
    source="definition",
    where="Reynolds number of a particle",
    example={
        **{k: v for k, v in _GRAIN.items() if k != "cuttings_density"},
        "slip_velocity": "0.2 m/s",
    },
)
def particle_reynolds_number(
    cuttings_diameter: Real, fluid_density: Real, apparent_viscosity: Real, slip_velocity: Real
) -> Real:
    """Reynolds number of a falling particle.

    Parameters
    ----------
    cuttings_diameter : [m]
        Diameter of the sphere of equal volume.
    fluid_density : [kg/m3]
        Density of the fluid.
    apparent_viscosity : [Pa s]
        Viscosity that the particle meets.
    slip_velocity : [m/s]
        Velocity against the fluid.

    Returns
    -------
    particle_reynolds_number : [-]
        Particle Reynolds number.
    """
    return fluid_density * slip_velocity * cuttings_diameter / apparent_viscosity


@published(
    formula=(
        'C_D = 40/"Re"_p quad "below 3"; quad C_D = 22/sqrt("Re"_p) quad "to 300"; quad '
        'C_D = 1.5 quad "above" \\ '
        'v_s = sqrt(4/3 g d_c (rho_c - rho_f) / (rho_f C_D)), quad "Re"_p = rho_f v_s d_c \\/ mu_a'
    ),
    source="moore-1974",
    where="slip velocity, as in Bourgoyne et al. chapter 4; from memory",
    valid={"cuttings_diameter": _DIAMETER},
    validity_note="Steps by up to 8 % where its regimes meet; for searches take a smooth law.",
    example=_GRAIN,
)
def slip_velocity_moore(
    cuttings_diameter: Real, cuttings_density: Real, fluid_density: Real, apparent_viscosity: Real
) -> Real:
    """Slip velocity of cuttings after Moore, three regimes of drag.

    Parameters
    ----------
    cuttings_diameter : [m]
        Diameter of the cuttings.
    cuttings_density : [kg/m3]
        Density of the cuttings.
    fluid_density : [kg/m3]
        Density of the mud.
    apparent_viscosity : [Pa s]
        Viscosity that equates the losses in the annulus.

    Returns
    -------
    slip_velocity : [m/s]
        Velocity of fall against the mud.
    """
    drive = _drive(cuttings_diameter, cuttings_density, fluid_density)
    pull = drive / fluid_density
    scale = fluid_density * cuttings_diameter / apparent_viscosity
    laminar = pull * scale / 40.0
    middle = (pull / 22.0) ** (2.0 / 3.0) * scale ** (1.0 / 3.0)
    turbulent = np.sqrt(pull / 1.5)
    reynolds = middle * scale
    return np.where(reynolds < 3.0, laminar, np.where(reynolds > 300.0, turbulent, middle))


@published(
    formula=(
        "v_s = 12 mu_a/(rho_f d_c) / 1.72 "
        "[sqrt(1 + 16/3 1.72/24^2 g d_c^3 rho_f (rho_c - rho_f) / mu_a^2) - 1]"
    ),
    source="lapeyrouse-2002",
    where="chapter 5, slip velocity method 1 (Chien 1971), drag 24/Re + 1.72; from memory",
    valid={"cuttings_diameter": _DIAMETER},
    caution="The handbook form (0.45; 36,800) carries two and three digits: 0.3 % from this.",
    example=_GRAIN,
)
def slip_velocity_chien_1971(
    cuttings_diameter: Real, cuttings_density: Real, fluid_density: Real, apparent_viscosity: Real
) -> Real:
    """Slip velocity of cuttings by the early rule of Chien, plastic viscosity for viscosity.

    Parameters
    ----------
    cuttings_diameter : [m]
        Diameter of the cuttings.
    cuttings_density : [kg/m3]
        Density of the cuttings.
    fluid_density : [kg/m3]
        Density of the mud.
    apparent_viscosity : [Pa s]
        Viscosity; the handbook puts the plastic viscosity here.

    Returns
    -------
    slip_velocity : [m/s]
        Velocity of fall against the mud.
    """
    drive = _drive(cuttings_diameter, cuttings_density, fluid_density)
    return _two_term(drive, cuttings_diameter, fluid_density, apparent_viscosity, 24.0, 1.72)


def _chien_end(sphericity: Real) -> Array:
    """Drag of an irregular particle at high Reynolds number, Chien (1994)."""
    return np.asarray(67.289 * np.exp(-5.030 * np.asarray(sphericity)))


_SPHERICITY = Limit(0.2, 1.0, "1 is a sphere; cuttings are about 0.8")


@published(
    formula=(
        'C_D = 30/"Re"_p + 67.289 exp(-5.030 psi) \\ '
        'v_s = sqrt(4/3 g d_c (rho_c - rho_f)/(rho_f C_D)), quad "Re"_p = rho_f v_s d_c \\/ mu_a'
    ),
    source="chien-1994",
    where="settling velocity of irregularly shaped particles; from memory",
    valid={"sphericity": _SPHERICITY, "cuttings_diameter": _DIAMETER},
    validity_note="Particle Reynolds number 0.001 to 10,000.",
    example={**_GRAIN, "sphericity": "0.8"},
)
def slip_velocity_chien(
    cuttings_diameter: Real,
    cuttings_density: Real,
    fluid_density: Real,
    apparent_viscosity: Real,
    sphericity: Real = 0.8,
) -> Real:
    """Slip velocity of irregular cuttings in a fluid of known effective viscosity.

    Parameters
    ----------
    cuttings_diameter : [m]
        Diameter of the sphere of equal volume.
    cuttings_density : [kg/m3]
        Density of the cuttings.
    fluid_density : [kg/m3]
        Density of the mud.
    apparent_viscosity : [Pa s]
        Effective viscosity where the particle falls.
    sphericity : [-]
        Surface of the sphere of equal volume over surface of the particle.

    Returns
    -------
    slip_velocity : [m/s]
        Velocity of fall against the mud.
    """
    drive = _drive(cuttings_diameter, cuttings_density, fluid_density)
    end = _chien_end(sphericity)
    return _two_term(drive, cuttings_diameter, fluid_density, apparent_viscosity, 30.0, end)


@published(
    formula=(
        "67.289 exp(-5.030 psi) rho_f v_s^2 + 30 (tau_y + K (v_s \\/ d_c)^n) "
        "= 4/3 g d_c (rho_c - rho_f)"
    ),
    source="chien-1994",
    where="effective viscosity at the settling shear rate v/d; from memory",
    valid={"sphericity": _SPHERICITY, "cuttings_diameter": _DIAMETER},
    validity_note="Fluid otherwise at rest; in a moving annulus the gel is sheared and holds less.",
    example={
        **{k: v for k, v in _GRAIN.items() if k != "apparent_viscosity"},
        "yield_stress": "1 Pa",
        "consistency_index": "0.35 Pa s^n",
        "flow_index": "0.7",
        "sphericity": "0.8",
    },
)
def slip_velocity_herschel_bulkley(
    cuttings_diameter: Real,
    cuttings_density: Real,
    fluid_density: Real,
    yield_stress: Real,
    consistency_index: Real,
    flow_index: Real,
    sphericity: Real = 0.8,
) -> Real:
    """Slip velocity of irregular cuttings in a yield-stress mud that is otherwise at rest.

    Chien's drag with the viscosity of the mud at the shear rate v/d. The mud carries
    the particle for good, and the answer is zero, where
    yield stress > 4/90 g d (rho_c - rho_f).

    Parameters
    ----------
    cuttings_diameter : [m]
        Diameter of the sphere of equal volume.
    cuttings_density : [kg/m3]
        Density of the cuttings.
    fluid_density : [kg/m3]
        Density of the mud.
    yield_stress : [Pa]
        Yield stress.
    consistency_index : [Pa s^n]
        Consistency index K.
    flow_index : [-]
        Flow index n.
    sphericity : [-]
        Surface of the sphere of equal volume over surface of the particle.

    Returns
    -------
    slip_velocity : [m/s]
        Velocity of fall against the mud.

    Raises
    ------
    NotConverged
        The balance of weight and drag was not found.
    """
    drive = _drive(cuttings_diameter, cuttings_density, fluid_density)
    inertia = _chien_end(sphericity) * fluid_density
    held = 30.0 * np.asarray(yield_stress) >= drive

    def excess(v: Array) -> Real:
        viscous = consistency_index * (v / cuttings_diameter) ** flow_index
        return np.where(held, v, inertia * v**2 + 30.0 * (yield_stress + viscous) - drive)

    return bracketed_root(excess, 0.0, np.sqrt(drive / inertia), "slip velocity in a yielding mud")


@published(
    formula=(
        "67.289 exp(-5.030 psi) rho_f v_s^2 + 30 mu_a v_s \\/ d_c = 4/3 g d_c (rho_c - rho_f) \\ "
        "mu_a = (tau_y + K gamma_t^n)/gamma_t, quad gamma_t = sqrt(dot(gamma)^2 + (v_s \\/ d_c)^2)"
    ),
    source="chien-1994",
    where="drag from memory; the two shear rates added as squares is assumed",
    valid={"sphericity": _SPHERICITY, "cuttings_diameter": _DIAMETER},
    validity_note="One mean shear rate for the whole annulus; mud is stiffer in its middle.",
    example={
        **{k: v for k, v in _GRAIN.items() if k != "apparent_viscosity"},
        "yield_stress": "4 Pa",
        "consistency_index": "0.35 Pa s^n",
        "flow_index": "0.7",
        "shear_rate": "20 1/s",
        "sphericity": "0.8",
    },
)
def slip_velocity_in_moving_mud(
    cuttings_diameter: Real,
    cuttings_density: Real,
    fluid_density: Real,
    yield_stress: Real,
    consistency_index: Real,
    flow_index: Real,
    shear_rate: Real,
    sphericity: Real = 0.8,
) -> Real:
    """Slip velocity of irregular cuttings in a yield-stress mud that the flow shears already.

    A mud that would hold a particle for good at rest lets it fall once the flow has
    broken its gel: Chien's drag with the viscosity at both shear rates together.

    Parameters
    ----------
    cuttings_diameter : [m]
        Diameter of the sphere of equal volume.
    cuttings_density : [kg/m3]
        Density of the cuttings.
    fluid_density : [kg/m3]
        Density of the mud.
    yield_stress : [Pa]
        Yield stress.
    consistency_index : [Pa s^n]
        Consistency index K.
    flow_index : [-]
        Flow index n.
    shear_rate : [1/s]
        Shear rate of the flow around the particle, above zero.
    sphericity : [-]
        Surface of the sphere of equal volume over surface of the particle.

    Returns
    -------
    slip_velocity : [m/s]
        Velocity of fall against the mud.

    Raises
    ------
    NotConverged
        The balance of weight and drag was not found.
    """
    drive = _drive(cuttings_diameter, cuttings_density, fluid_density)
    inertia = _chien_end(sphericity) * fluid_density

    def excess(v: Array) -> tuple[Real, Real]:
        settling = v / cuttings_diameter
        rate = np.hypot(shear_rate, settling)
        part = settling / rate
        viscous = consistency_index * rate**flow_index
        drag = inertia * v * v + 30.0 * (yield_stress + viscous) * part - drive
        # the stress grows with the rate, and its share along the fall with the fall
        steeper = flow_index * viscous * part * part
        steeper = steeper + (yield_stress + viscous) * (1.0 - part * part)
        return drag, 2.0 * inertia * v + 30.0 * steeper / (rate * cuttings_diameter)

    fastest = np.sqrt(drive / inertia)
    return newton_root(excess, 0.0, fastest, 0.5 * fastest, "slip velocity in a moving mud")


@published(
    formula=(
        'log_10 C_D = A + B log_10 "Re"_p + C (log_10 "Re"_p)^2 \\ '
        "A = 2.2954 - 2.2626 psi + 4.4395 psi^2 - 2.9825 psi^3 \\ "
        "B = -0.4193 - 1.9014 psi + 3.3416 psi^2 - 2.0409 psi^3 \\ "
        "C = 0.1117 + 0.0553 psi - 0.1468 psi^2 + 0.1145 psi^3 \\ "
        'v_s = sqrt(4/3 g d_c (rho_c - rho_f)/(rho_f C_D)), quad "Re"_p = rho_f v_s d_c \\/ mu_a'
    ),
    source="guo-liu-2011",
    where="equations 2.90 to 2.96, pages 54 to 56 (after Fang et al. 2008)",
    valid={"sphericity": Limit(0.125, 1.0), "cuttings_diameter": _DIAMETER},
    validity_note="Not a number where the fit has no solution (creeping flow).",
    example={**_GRAIN, "apparent_viscosity": "6 cP", "sphericity": "0.8"},
)
def slip_velocity_fang(
    cuttings_diameter: Real,
    cuttings_density: Real,
    fluid_density: Real,
    apparent_viscosity: Real,
    sphericity: Real = 0.8,
) -> Real:
    """Slip velocity of cuttings in a Newtonian fluid by a fit to the drag charts.

    C_D Re² does not hold the velocity, so the fit becomes a quadratic in log Re and
    needs no trial and error.

    Parameters
    ----------
    cuttings_diameter : [m]
        Diameter of the sphere of equal volume.
    cuttings_density : [kg/m3]
        Density of the cuttings.
    fluid_density : [kg/m3]
        Density of the fluid.
    apparent_viscosity : [Pa s]
        Viscosity.
    sphericity : [-]
        Surface of the sphere of equal volume over surface of the particle.

    Returns
    -------
    slip_velocity : [m/s]
        Velocity of fall against the fluid.
    """
    s = sphericity
    a = 2.2954 - 2.2626 * s + 4.4395 * s**2 - 2.9825 * s**3
    b = -0.4193 - 1.9014 * s + 3.3416 * s**2 - 2.0409 * s**3
    c = 0.1117 + 0.0553 * s - 0.1468 * s**2 + 0.1145 * s**3
    drive = _drive(cuttings_diameter, cuttings_density, fluid_density)
    viscous = apparent_viscosity / (fluid_density * cuttings_diameter)
    number = drive / fluid_density / viscous**2  # C_D Re²
    falling = number > 0.0
    under = (b + 2.0) ** 2 - 4.0 * c * (a - np.log10(np.where(falling, number, 1.0)))
    root = np.sqrt(np.where(under >= 0.0, under, np.nan))
    velocity = viscous * 10.0 ** ((root - b - 2.0) / (2.0 * c))
    return np.where(falling, velocity, 0.0)


@published(
    formula=(
        'C_D = 24/"Re"_p (1 + a "Re"_p^b) + c/(1 + e \\/ "Re"_p) \\ '
        "a = exp(2.3288 - 6.4581 psi + 2.4486 psi^2), quad b = 0.0964 + 0.5565 psi \\ "
        "c = exp(4.905 - 13.8944 psi + 18.4222 psi^2 - 10.2599 psi^3) \\ "
        "e = exp(1.4681 + 12.2584 psi - 20.7322 psi^2 + 15.8855 psi^3)"
    ),
    source="haider-levenspiel-1989",
    where="drag of nonspherical particles; from memory",
    valid={
        "particle_reynolds_number": Limit(0.0, 2.5e4),
        "sphericity": Limit(0.5, 1.0, "isometric grains; flakes scatter more"),
    },
    example={"particle_reynolds_number": "100", "sphericity": "0.8"},
)
def drag_coefficient(particle_reynolds_number: Real, sphericity: Real) -> Real:
    """Drag coefficient of a freely falling grain of given sphericity.

    Parameters
    ----------
    particle_reynolds_number : [-]
        Particle Reynolds number, above zero.
    sphericity : [-]
        Surface of the sphere of equal volume over surface of the particle.

    Returns
    -------
    drag_coefficient : [-]
        Drag coefficient on the projected area of the sphere of equal volume.
    """
    s, re = np.asarray(sphericity), particle_reynolds_number
    a = np.exp(2.3288 - 6.4581 * s + 2.4486 * s**2)
    b = 0.0964 + 0.5565 * s
    c = np.exp(4.905 - 13.8944 * s + 18.4222 * s**2 - 10.2599 * s**3)
    e = np.exp(1.4681 + 12.2584 * s - 20.7322 * s**2 + 15.8855 * s**3)
    return 24.0 / re * (1.0 + a * re**b) + c / (1.0 + e / re)


@published(
    formula=(
        'v_s = sqrt(4/3 g d_c (rho_c - rho_f)/(rho_f C_D)), quad C_D ("Re"_p, psi), '
        'quad "Re"_p = rho_f v_s d_c \\/ mu_a'
    ),
    source="haider-levenspiel-1989",
    where="drag law solved for the velocity; from memory",
    valid={
        "sphericity": Limit(0.5, 1.0, "isometric grains; flakes scatter more"),
        "cuttings_diameter": _DIAMETER,
    },
    validity_note="Newtonian fluid, such as sea water; particle Reynolds number to 25,000.",
    example={**_GRAIN, "sphericity": "0.8"},
)
def slip_velocity_haider_levenspiel(
    cuttings_diameter: Real,
    cuttings_density: Real,
    fluid_density: Real,
    apparent_viscosity: Real,
    sphericity: Real = 0.8,
) -> Real:
    """Slip velocity of grains by a drag law that is smooth from creeping to turbulent.

    Parameters
    ----------
    cuttings_diameter : [m]
        Diameter of the sphere of equal volume.
    cuttings_density : [kg/m3]
        Density of the cuttings.
    fluid_density : [kg/m3]
        Density of the fluid.
    apparent_viscosity : [Pa s]
        Viscosity.
    sphericity : [-]
        Surface of the sphere of equal volume over surface of the particle.

    Returns
    -------
    slip_velocity : [m/s]
        Velocity of fall against the fluid.

    Raises
    ------
    NotConverged
        The balance of weight and drag was not found.
    """
    drive = _drive(cuttings_diameter, cuttings_density, fluid_density)
    viscous = apparent_viscosity / (fluid_density * cuttings_diameter)
    number = drive / fluid_density / viscous**2  # C_D Re²
    falling = number > 0.0
    target = np.log(np.where(falling, number, 1.0))

    def excess(log_re: Array) -> Real:
        return np.log(drag_coefficient(np.exp(log_re), sphericity)) + 2.0 * log_re - target

    # drag is at least 24/Re, which bounds Re from above; 60 below is out of reach
    most = target - np.log(24.0)
    log_re = bracketed_root(excess, most - 60.0, most, "slip velocity of a grain", absolute=1e-15)
    return np.where(falling, viscous * np.exp(log_re), 0.0)


@published(
    formula="F_T = 1 - v_s / v_a",
    source="bourgoyne-1986",
    where="chapter 4, transport ratio",
    example={"annulus_velocity": "0.8 m/s", "slip_velocity": "0.2 m/s"},
    caution="At or below zero no cuttings come up.",
)
def transport_ratio(annulus_velocity: Real, slip_velocity: Real) -> Real:
    """Velocity of the cuttings upwards over velocity of the mud.

    Parameters
    ----------
    annulus_velocity : [m/s]
        Mean velocity of the mud upwards.
    slip_velocity : [m/s]
        Velocity of fall against the mud.

    Returns
    -------
    transport_ratio : [-]
        One where cuttings ride along, zero or less where they stay behind; minus
        infinity where they fall through a fluid that does not rise, zero where
        neither moves.
    """
    rising = np.asarray(annulus_velocity) > 0.0
    still = np.where(np.asarray(slip_velocity) > 0.0, -np.inf, 0.0)
    share = np.asarray(slip_velocity) / np.where(rising, annulus_velocity, 1.0)
    return np.where(rising, 1.0 - share, still)


@published(
    formula="c = q_s / (q_s + max(0, F_T) q), quad q_s = R pi/4 (d_h^2 - d_k^2)",
    source="bourgoyne-1986",
    where="chapter 4, volume fraction of cuttings by continuity",
    example={
        "rate_of_penetration": "30 m/h",
        "hole_diameter": "17.5 in",
        "flow_rate": "4000 L/min",
        "transport_ratio": "0.7",
    },
    caution="One means that the annulus packs off: nothing leaves while rock is cut.",
)
def cuttings_volume_fraction(
    rate_of_penetration: Real,
    hole_diameter: Real,
    flow_rate: Real,
    transport_ratio: Real,
    core_diameter: Real = 0.0,
) -> Real:
    """Share of the annulus volume that cuttings take in steady drilling.

    Cuttings made equal cuttings carried: q_s = c A v_c, mud q = (1 - c) A v_m, and
    v_c = F_T v_m. With no transport the steady share is one; with no drilling none.

    Parameters
    ----------
    rate_of_penetration : [m/s]
        Length of hole drilled per time.
    hole_diameter : [m]
        Diameter of the hole made.
    flow_rate : [m3/s]
        Flow rate of mud in the annulus.
    transport_ratio : [-]
        Velocity of the cuttings over velocity of the mud.
    core_diameter : [m]
        Diameter of a core that is kept whole; zero when drilling full hole.

    Returns
    -------
    cuttings_volume_fraction : [-]
        Volume of cuttings over volume of annulus, 0 to 1.
    """
    made = np.asarray(
        rate_of_penetration * np.pi / 4.0 * (hole_diameter**2 - core_diameter**2), dtype=float
    )
    # a still fluid has no carrying flow whatever the ratio (0 times minus infinity)
    carried = (
        np.maximum(np.where(np.asarray(flow_rate) > 0.0, transport_ratio, 0.0), 0.0) * flow_rate
    )
    total = made + carried
    return np.where(made > 0.0, made / np.where(total > 0.0, total, 1.0), 0.0)


@published(
    formula="rho = rho_f (1 - c) + rho_c c",
    source="definition",
    where="mass of the mixture",
    valid={
        "cuttings_volume_fraction": Limit(0.0, 0.3, "above it a slurry does not flow as a fluid")
    },
    example={
        "fluid_density": "1.03 sg",
        "cuttings_density": "2.2 sg",
        "cuttings_volume_fraction": "0.02",
    },
)
def density_with_cuttings(
    fluid_density: Real, cuttings_density: Real, cuttings_volume_fraction: Real
) -> Real:
    """Density of mud that carries cuttings.

    Parameters
    ----------
    fluid_density : [kg/m3]
        Density of the mud without cuttings.
    cuttings_density : [kg/m3]
        Bulk density of the cuttings, pores filled.
    cuttings_volume_fraction : [-]
        Volume of cuttings over volume of annulus.

    Returns
    -------
    density_with_cuttings : [kg/m3]
        Density of the mixture.
    """
    return fluid_density + (cuttings_density - fluid_density) * cuttings_volume_fraction


@published(
    formula="q = pi/4 (d_o^2 - d_i^2) v_s / (1 - F_T)",
    source="definition",
    where="transport ratio and conservation of volume, inverted",
    valid={"transport_ratio": Limit(0.0, 0.99)},
    example={
        "slip_velocity": "0.2 m/s",
        "annulus_outer_diameter": "17.5 in",
        "annulus_inner_diameter": "5 in",
        "transport_ratio": "0.5",
    },
)
def flow_rate_for_transport_ratio(
    slip_velocity: Real,
    annulus_outer_diameter: Real,
    annulus_inner_diameter: Real,
    transport_ratio: Real,
) -> Real:
    """Flow rate that lifts cuttings with a wanted transport ratio.

    Parameters
    ----------
    slip_velocity : [m/s]
        Velocity of fall against the mud.
    annulus_outer_diameter : [m]
        Diameter of the hole, casing or riser.
    annulus_inner_diameter : [m]
        Outside diameter of the string.
    transport_ratio : [-]
        Ratio wanted, below one.

    Returns
    -------
    flow_rate : [m3/s]
        Flow rate needed.
    """
    area = np.pi / 4.0 * (annulus_outer_diameter**2 - annulus_inner_diameter**2)
    return area * slip_velocity / (1.0 - transport_ratio)


@published(
    formula="t = L_a / (v_a - v_s)",
    source="definition",
    where="last cuttings travel the annulus at mud velocity less slip",
    example={
        "annulus_length": "3000 m",
        "annulus_velocity": "0.8 m/s",
        "slip_velocity": "0.2 m/s",
    },
    caution="Infinite where the cuttings do not rise.",
)
def time_to_clean(annulus_length: Real, annulus_velocity: Real, slip_velocity: Real) -> Real:
    """Time to circulate the last cuttings out of a length of annulus.

    Parameters
    ----------
    annulus_length : [m]
        Length of annulus.
    annulus_velocity : [m/s]
        Mean velocity of the mud upwards.
    slip_velocity : [m/s]
        Velocity of fall against the mud.

    Returns
    -------
    time_to_clean : [s]
        Time; infinite where cuttings do not rise.
    """
    upward = np.asarray(annulus_velocity) - slip_velocity
    return np.where(upward > 0.0, annulus_length / np.where(upward > 0.0, upward, 1.0), np.inf)
