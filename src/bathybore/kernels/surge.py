"""Surge and swab: the pressure that moving pipe drives into the annulus."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published
from bathybore.kernels._roots import bracketed_root
from bathybore.kernels.pipe_flow import (
    annulus_friction_gradient,
    annulus_wall_shear_stress,
    critical_reynolds_number,
    generalised_reynolds_number,
    pipe_friction_gradient,
)

_RATIO: Final = {"annulus_outer_diameter": "12.25 in", "annulus_inner_diameter": "9.625 in"}
_MUD: Final = {
    "fluid_density": "1.20 sg",
    "yield_stress": "4 Pa",
    "consistency_index": "0.35 Pa s^n",
    "flow_index": "0.7",
}


@published(
    formula=(
        "k_c = (1 - alpha^2 + 2 alpha^2 ln alpha) / (-2 (1 - alpha^2) ln alpha), "
        "quad alpha = d_i/d_o"
    ),
    source="burkhardt-1961",
    where="clinging constant, laminar: Newtonian ring dragged by its inner wall; from memory",
    example=_RATIO,
)
def clinging_constant_laminar(annulus_outer_diameter: Real, annulus_inner_diameter: Real) -> Real:
    """Share of pipe speed that clings to the mud in the annulus, laminar flow.

    Mean velocity over the ring of the logarithmic profile that a moving inner wall
    drags along; one half in a narrow annulus.

    Parameters
    ----------
    annulus_outer_diameter : [m]
        Diameter of the hole or bore of the casing.
    annulus_inner_diameter : [m]
        Outside diameter of the moving pipe, above zero.

    Returns
    -------
    clinging_constant : [-]
        Clinging constant, 0 to 0.5.
    """
    alpha = np.asarray(annulus_inner_diameter) / annulus_outer_diameter
    logarithm = np.log(alpha)
    return (1.0 - alpha**2 + 2.0 * alpha**2 * logarithm) / (-2.0 * (1.0 - alpha**2) * logarithm)


@published(
    formula=(
        "k_c = (sqrt((alpha^4 + alpha)/(1 + alpha)) - alpha^2) / (1 - alpha^2), "
        "quad alpha = d_i/d_o"
    ),
    source="burkhardt-1961",
    where="clinging constant, turbulent; from memory",
    example=_RATIO,
)
def clinging_constant_turbulent(annulus_outer_diameter: Real, annulus_inner_diameter: Real) -> Real:
    """Share of pipe speed that clings to the mud in the annulus, turbulent flow.

    Parameters
    ----------
    annulus_outer_diameter : [m]
        Diameter of the hole or bore of the casing.
    annulus_inner_diameter : [m]
        Outside diameter of the moving pipe.

    Returns
    -------
    clinging_constant : [-]
        Clinging constant; one half in a narrow annulus.
    """
    alpha = np.asarray(annulus_inner_diameter) / annulus_outer_diameter
    return (np.sqrt((alpha**4 + alpha) / (1.0 + alpha)) - alpha**2) / (1.0 - alpha**2)


@published(
    formula="v_e = v (d_i^2/(d_o^2 - d_i^2) + k_c)",
    source="burkhardt-1961",
    where="closed pipe: displaced volume plus clinging; 0.45 is the handbook's clinging constant",
    example={"running_speed": "0.5 m/s", **_RATIO, "clinging_constant": "0.45"},
)
def surge_velocity_closed_end(
    running_speed: Real,
    annulus_outer_diameter: Real,
    annulus_inner_diameter: Real,
    clinging_constant: Real = 0.45,
) -> Real:
    """Mean velocity of mud against the pipe-wall drag when closed pipe is run.

    Parameters
    ----------
    running_speed : [m/s]
        Speed of the pipe, down positive.
    annulus_outer_diameter : [m]
        Diameter of the hole or bore of the casing.
    annulus_inner_diameter : [m]
        Outside diameter of the pipe.
    clinging_constant : [-]
        Share of pipe speed that clings to the mud.

    Returns
    -------
    effective_velocity : [m/s]
        Velocity to put into the annulus friction, up positive.
    """
    inner2 = annulus_inner_diameter**2
    share = inner2 / (annulus_outer_diameter**2 - inner2)
    return running_speed * (share + clinging_constant)


@published(
    formula="v_e = v ((d_i^2 - d^2)/(d_o^2 - d_i^2 + d^2) + k_c)",
    source="lapeyrouse-2002",
    where="chapter 5, open pipe: annulus and bore rise at one level",
    example={
        "running_speed": "270 ft/min",
        "annulus_outer_diameter": "7.875 in",
        "annulus_inner_diameter": "4.5 in",
        "inside_diameter": "3.82 in",
    },
    caution="Assumes that bore and annulus rise alike; bore friction is not in it.",
)
def surge_velocity_open_end(
    running_speed: Real,
    annulus_outer_diameter: Real,
    annulus_inner_diameter: Real,
    inside_diameter: Real,
    clinging_constant: Real = 0.45,
) -> Real:
    """Mean velocity of mud against the pipe-wall drag when open pipe is run, handbook form.

    Parameters
    ----------
    running_speed : [m/s]
        Speed of the pipe, down positive.
    annulus_outer_diameter : [m]
        Diameter of the hole or bore of the casing.
    annulus_inner_diameter : [m]
        Outside diameter of the pipe.
    inside_diameter : [m]
        Bore of the pipe.
    clinging_constant : [-]
        Share of pipe speed that clings to the mud.

    Returns
    -------
    effective_velocity : [m/s]
        Velocity to put into the annulus friction, up positive.
    """
    steel2 = annulus_inner_diameter**2 - inside_diameter**2
    share = steel2 / (annulus_outer_diameter**2 - steel2)
    return running_speed * (share + clinging_constant)


def _annulus_area(outer: Real, inner: Real) -> Real:
    return np.pi / 4.0 * (outer**2 - inner**2)


def _surge_gradient(
    annulus_rate: Real, speed: Real, outer: Real, inner: Real, density: Real, mud: tuple[Real, ...]
) -> Real:
    """Annulus friction for a rate up the annulus past a pipe that moves down.

    The clinging constant is that of the regime the laminar one leads to.
    """
    area = _annulus_area(outer, inner)
    laminar = annulus_rate + clinging_constant_laminar(outer, inner) * speed * area
    turbulent = annulus_rate + clinging_constant_turbulent(outer, inner) * speed * area
    stress = annulus_wall_shear_stress(laminar, outer, inner, *mud)
    safe = np.where(np.asarray(stress) > 0.0, stress, 1.0)
    breaks = generalised_reynolds_number(density, laminar / area, safe) > critical_reynolds_number(
        mud[2]
    )
    rate = np.where(breaks, turbulent, laminar)
    return annulus_friction_gradient(rate, outer, inner, density, *mud)


@published(
    formula=(
        "(d p)/(d L) = G(q_e; d_o, d_i, rho_f, tau_y, K, n), "
        "quad q_e = pi/4 (d_o^2 - d_i^2) v (d_i^2/(d_o^2 - d_i^2) + k_c)"
    ),
    source="burkhardt-1961",
    where="steady surge of closed pipe with the general annulus friction G",
    valid={"flow_index": Limit(0.1, 1.0)},
    validity_note="Steady running; add gel breaking and inertia for starts and heave.",
    example={"running_speed": "0.3 m/s", **_RATIO, **_MUD},
)
def surge_gradient_closed_end(
    running_speed: Real,
    annulus_outer_diameter: Real,
    annulus_inner_diameter: Real,
    fluid_density: Real,
    yield_stress: Real,
    consistency_index: Real,
    flow_index: Real,
) -> Real:
    """Pressure gained per length of annulus while closed pipe is run in; lost when pulled.

    Parameters
    ----------
    running_speed : [m/s]
        Speed of the pipe, down positive: surge positive, swab negative.
    annulus_outer_diameter : [m]
        Diameter of the hole or bore of the casing.
    annulus_inner_diameter : [m]
        Outside diameter of the pipe, above zero.
    fluid_density : [kg/m3]
        Density of the mud.
    yield_stress : [Pa]
        Yield stress.
    consistency_index : [Pa s^n]
        Consistency index K.
    flow_index : [-]
        Flow index n.

    Returns
    -------
    surge_gradient : [Pa/m]
        Pressure gained per length.

    Raises
    ------
    NotConverged
        The laminar plug did not settle.
    """
    rate = np.pi / 4.0 * annulus_inner_diameter**2 * running_speed
    mud = (yield_stress, consistency_index, flow_index)
    return _surge_gradient(
        rate, running_speed, annulus_outer_diameter, annulus_inner_diameter, fluid_density, mud
    )


@published(
    formula=(
        "(d p)/(d L) = G_a (q_a + k_c v A_a; d_o, d_i, rho_f, tau_y, K, n) "
        "= G_p (q_p + v A_p; d, rho_f, tau_y, K, n) \\ "
        "q_a + q_p = pi/4 (d_i^2 - d^2) v"
    ),
    source="burkhardt-1961",
    where="open pipe: annulus and bore lose the same pressure over the same length",
    valid={"flow_index": Limit(0.1, 1.0)},
    validity_note="Free passage into the bore: no float, no small nozzles or jets.",
    example={"running_speed": "0.3 m/s", **_RATIO, "inside_diameter": "8.681 in", **_MUD},
)
def surge_gradient_open_end(
    running_speed: Real,
    annulus_outer_diameter: Real,
    annulus_inner_diameter: Real,
    inside_diameter: Real,
    fluid_density: Real,
    yield_stress: Real,
    consistency_index: Real,
    flow_index: Real,
) -> Real:
    """Pressure gained per length of annulus while open pipe is run in; lost when pulled.

    The steel displaces mud up both ways; the split is the one at which both ways lose
    the same. Where the gel in a small bore holds, the pipe behaves as if closed;
    where it holds in a narrow annulus, all goes up the bore.

    Parameters
    ----------
    running_speed : [m/s]
        Speed of the pipe, down positive: surge positive, swab negative.
    annulus_outer_diameter : [m]
        Diameter of the hole or bore of the casing.
    annulus_inner_diameter : [m]
        Outside diameter of the pipe, above zero.
    inside_diameter : [m]
        Bore of the pipe.
    fluid_density : [kg/m3]
        Density of the mud.
    yield_stress : [Pa]
        Yield stress.
    consistency_index : [Pa s^n]
        Consistency index K.
    flow_index : [-]
        Flow index n.

    Returns
    -------
    surge_gradient : [Pa/m]
        Pressure gained per length.

    Raises
    ------
    NotConverged
        The split of the flow was not found, or the laminar plug did not settle.
    """
    speed = np.abs(np.asarray(running_speed, dtype=float))
    outer, inner, bore = annulus_outer_diameter, annulus_inner_diameter, inside_diameter
    mud = (yield_stress, consistency_index, flow_index)
    displaced = np.pi / 4.0 * (inner**2 - bore**2) * speed
    past_pipe = np.pi / 4.0 * bore**2 * speed

    def annulus(rate: Array) -> Real:
        return _surge_gradient(rate, speed, outer, inner, fluid_density, mud)

    def bore_loss(rate: Array) -> Real:
        # pipe walls move down, so the bore sees its own rate plus the pipe's sweep
        through = np.maximum(displaced + past_pipe - rate, 0.0)
        return pipe_friction_gradient(through, bore, fluid_density, *mud)

    # between mud held still past the annulus walls and a bore that takes nothing
    least = -clinging_constant_laminar(outer, inner) * speed * _annulus_area(outer, inner)
    rate = bracketed_root(
        lambda rate: np.asarray(annulus(rate) - bore_loss(rate)),
        least,
        displaced + past_pipe,
        "split of surge flow",
        absolute=1e-16,
    )
    # where the gel holds the annulus, its loss jumps there and only the bore's is known
    held = rate - least <= 1e-9 * (displaced + past_pipe - least)
    return np.sign(running_speed) * np.where(held, bore_loss(rate), annulus(rate))


@published(
    formula="(d p)/(d L) = rho_f a_p d_i^2/(d_o^2 - d_i^2)",
    source="burkhardt-1961",
    where="inertia of the mud that closed pipe displaces; from memory",
    validity_note="Stiff mud and pipe; an upper bound for short times, no wave travel.",
    example={"fluid_density": "1.20 sg", "pipe_acceleration": "0.3 m/s2", **_RATIO},
)
def surge_inertia_gradient(
    fluid_density: Real,
    pipe_acceleration: Real,
    annulus_outer_diameter: Real,
    annulus_inner_diameter: Real,
) -> Real:
    """Pressure per length that accelerates the mud around closed pipe, as in heave.

    Parameters
    ----------
    fluid_density : [kg/m3]
        Density of the mud.
    pipe_acceleration : [m/s2]
        Acceleration of the pipe, down positive.
    annulus_outer_diameter : [m]
        Diameter of the hole or bore of the casing.
    annulus_inner_diameter : [m]
        Outside diameter of the pipe.

    Returns
    -------
    surge_gradient : [Pa/m]
        Pressure gained per length.
    """
    inner2 = annulus_inner_diameter**2
    return fluid_density * pipe_acceleration * inner2 / (annulus_outer_diameter**2 - inner2)
