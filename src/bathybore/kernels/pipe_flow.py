"""Friction of Herschel-Bulkley fluids in pipe and annulus, from rest to full turbulence.

The laminar wall stress is the exact one (pipe: tube flow; annulus: narrow slot), so
Bingham, power-law and Newtonian fluids are its limits and not special cases. The
Reynolds number, the turbulent friction factor and the blending between regimes are
those of API RP 13D. Its own simpler laminar wall stress and the textbook closed forms are in
``pipe_flow_models``.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.errors import NotConverged
from bathybore.base.registry import Limit, published

_INDEX = Limit(0.1, 1.0, "drilling fluids thin with shear; the transition rule needs n <= 1")

_PIPE: Final[dict[str, str]] = {
    "flow_rate": "2000 L/min",
    "inside_diameter": "4.276 in",
    "fluid_density": "1.20 sg",
    "yield_stress": "4 Pa",
    "consistency_index": "0.35 Pa s^n",
    "flow_index": "0.7",
}
_ANNULUS: Final[dict[str, str]] = {
    "flow_rate": "2000 L/min",
    "annulus_outer_diameter": "12.25 in",
    "annulus_inner_diameter": "5 in",
    "fluid_density": "1.20 sg",
    "yield_stress": "4 Pa",
    "consistency_index": "0.35 Pa s^n",
    "flow_index": "0.7",
}


def _some(names: dict[str, str], *left_out: str) -> dict[str, str]:
    return {name: text for name, text in names.items() if name not in left_out}


@published(
    formula="v_m = 4 q / (pi d^2)",
    source="definition",
    where="conservation of volume",
    example=_some(_PIPE, "fluid_density", "yield_stress", "consistency_index", "flow_index"),
)
def mean_velocity_in_pipe(flow_rate: Real, inside_diameter: Real) -> Real:
    """Mean velocity of a fluid in a round bore.

    Parameters
    ----------
    flow_rate : [m3/s]
        Volume per time.
    inside_diameter : [m]
        Bore.

    Returns
    -------
    mean_velocity : [m/s]
        Flow rate over area.
    """
    return 4.0 * flow_rate / (np.pi * inside_diameter**2)


@published(
    formula="v_m = 4 q / (pi (d_o^2 - d_i^2))",
    source="definition",
    where="conservation of volume",
    example=_some(_ANNULUS, "fluid_density", "yield_stress", "consistency_index", "flow_index"),
)
def mean_velocity_in_annulus(
    flow_rate: Real, annulus_outer_diameter: Real, annulus_inner_diameter: Real
) -> Real:
    """Mean velocity of a fluid between hole (or casing) and string.

    Parameters
    ----------
    flow_rate : [m3/s]
        Volume per time.
    annulus_outer_diameter : [m]
        Diameter of the hole or bore of the casing.
    annulus_inner_diameter : [m]
        Outside diameter of the string in it; zero for an empty hole.

    Returns
    -------
    mean_velocity : [m/s]
        Flow rate over area.
    """
    return 4.0 * flow_rate / (np.pi * (annulus_outer_diameter**2 - annulus_inner_diameter**2))


def _beyond_yield(bingham: Array, n: Array, pipe: bool) -> Array:
    """Wall stress beyond the yield stress, over the yield stress, of the exact solution.

    With x the share of the wall stress that is yield, it solves x = B (1-x)^(1+n) C(x)^n for
    (1-x)/x, where B is the yield stress over the power-law part of the wall stress and C the
    shape of the exact solution. In the logit of x this is nearly a straight line of slope 1 to
    1 + n, so Newton's rule goes straight home.
    """
    log_b, shape_of = np.log(bingham), _shape(n, pipe)
    logit = log_b / (1.0 + np.where(log_b > 0.0, n, 0.0))
    for _ in range(60):
        odds = np.exp(-logit)
        x = 1.0 / (1.0 + odds)
        rest = odds * x
        shape, slope = shape_of(x, rest)
        residual = logit - log_b - n * np.log(rest * shape)
        step = residual / (1.0 + n * x * (1.0 - slope / shape * rest))
        logit = logit - step
        # the error left is of the order of the square of the last step
        if (np.abs(step) <= 1e-7).all():
            return np.asarray(np.exp(-logit))
    raise NotConverged("laminar wall stress: the plug did not settle")


def _shape(n: Array, pipe: bool) -> Callable[[Array, Array], tuple[Array, Array]]:
    """Return C(x) and dC/dx, of x and 1 - x: the flow against that of a power law alike."""
    if not pipe:
        rise = n / (n + 1.0)
        return lambda x, rest: (1.0 + rise * x, rise)
    a, b = 2.0 * (3.0 * n + 1.0) / (2.0 * n + 1.0), (3.0 * n + 1.0) / (n + 1.0)
    return lambda x, rest: (
        rest * rest + a * x * rest + b * x * x,
        a * (rest - x) + 2.0 * (b * x - rest),
    )


def _wall_stress(shear_rate: Real, yield_stress: Real, k: Real, n: Real, pipe: bool) -> Array:
    """Exact laminar wall stress at a power-law wall shear rate (non-negative)."""
    tau_y = np.asarray(yield_stress, dtype=float)
    viscous = np.asarray(k * shear_rate**n, dtype=float)
    # no flow leaves the yield stress; a yield far under the last digit leaves the power law
    flowing = np.maximum(viscous, 1e-250 * tau_y + 1e-300)
    bingham = np.maximum(tau_y / flowing, 1e-18)
    more = bingham * _beyond_yield(bingham, np.asarray(n, dtype=float), pipe)
    return np.asarray(tau_y + viscous * more)


@published(
    formula="dot(gamma)_w = (3n + 1)/(4n) 8 v_m / d, quad v_m = 4 q \\/ (pi d^2)",
    source="api-rp-13d",
    where="shear rate at the wall, pipe; from memory",
    example=_some(_PIPE, "fluid_density", "yield_stress", "consistency_index"),
)
def pipe_wall_shear_rate(flow_rate: Real, inside_diameter: Real, flow_index: Real) -> Real:
    """Shear rate at the wall of a pipe as a power-law fluid has it (Rabinowitsch-Mooney).

    Parameters
    ----------
    flow_rate : [m3/s]
        Volume per time, its size.
    inside_diameter : [m]
        Bore.
    flow_index : [-]
        Flow index n; 1 gives the Newtonian 8 v/d.

    Returns
    -------
    wall_shear_rate : [1/s]
        Shear rate at the wall.
    """
    velocity = np.abs(mean_velocity_in_pipe(flow_rate, inside_diameter))
    return (3.0 * flow_index + 1.0) / (4.0 * flow_index) * 8.0 * velocity / inside_diameter


@published(
    formula=(
        "dot(gamma)_w = (2n + 1)/(3n) (12 v_m) / (d_o - d_i), "
        "quad v_m = 4 q \\/ (pi (d_o^2 - d_i^2))"
    ),
    source="api-rp-13d",
    where="shear rate at the wall, annulus; from memory",
    validity_note="Slot of half the diameter difference: within 3 % for diameter ratios above 0.3.",
    example=_some(_ANNULUS, "fluid_density", "yield_stress", "consistency_index"),
)
def annulus_wall_shear_rate(
    flow_rate: Real,
    annulus_outer_diameter: Real,
    annulus_inner_diameter: Real,
    flow_index: Real,
) -> Real:
    """Shear rate at the walls of an annulus taken as a narrow slot, for a power law.

    Parameters
    ----------
    flow_rate : [m3/s]
        Volume per time, its size.
    annulus_outer_diameter : [m]
        Diameter of the hole or bore of the casing.
    annulus_inner_diameter : [m]
        Outside diameter of the string.
    flow_index : [-]
        Flow index n; 1 gives the Newtonian 12 v/(d_o - d_i).

    Returns
    -------
    wall_shear_rate : [1/s]
        Shear rate at the wall.
    """
    velocity = np.abs(
        mean_velocity_in_annulus(flow_rate, annulus_outer_diameter, annulus_inner_diameter)
    )
    gap = annulus_outer_diameter - annulus_inner_diameter
    return (2.0 * flow_index + 1.0) / (3.0 * flow_index) * 12.0 * velocity / gap


@published(
    formula=(
        "tau_w: quad q = (pi d^3)/8 n (tau_w/K)^(1\\/n) (1-x)^(1+1\\/n) "
        "[(1-x)^2/(3n+1) + (2x(1-x))/(2n+1) + x^2/(n+1)], quad x = tau_y/tau_w"
    ),
    source="ashena-2023",
    where="exact laminar tube flow, solved for the wall stress",
    valid={"flow_index": Limit(0.05, 2.0)},
    example=_some(_PIPE, "fluid_density"),
)
def pipe_wall_shear_stress(
    flow_rate: Real,
    inside_diameter: Real,
    yield_stress: Real,
    consistency_index: Real,
    flow_index: Real,
) -> Real:
    """Wall stress of laminar Herschel-Bulkley flow in a pipe, exact.

    The momentum balance makes stress linear in radius; integrating the velocity of the
    model gives flow rate against wall stress, which is solved for the wall stress. At
    no flow it is the yield stress, the least that can move the fluid.

    Parameters
    ----------
    flow_rate : [m3/s]
        Volume per time, its size.
    inside_diameter : [m]
        Bore.
    yield_stress : [Pa]
        Yield stress; zero gives the power law.
    consistency_index : [Pa s^n]
        Consistency index K.
    flow_index : [-]
        Flow index n; 1 gives Bingham (or Newton).

    Returns
    -------
    wall_shear_stress : [Pa]
        Shear stress at the wall.

    Raises
    ------
    NotConverged
        The size of the plug did not settle.
    """
    rate = pipe_wall_shear_rate(flow_rate, inside_diameter, flow_index)
    return _wall_stress(rate, yield_stress, consistency_index, flow_index, pipe=True)


@published(
    formula=(
        "tau_w: quad q = pi/4 (d_o^2 - d_i^2) (d_o - d_i)/4 n/(n+1) (tau_w/K)^(1\\/n) "
        "(1-x)^(1+1\\/n) [1 - n/(2n+1) (1-x)], quad x = tau_y/tau_w"
    ),
    source="definition",
    where="exact laminar flow in a plane slot of half the diameter difference",
    valid={"flow_index": Limit(0.05, 2.0)},
    validity_note="Concentric; slot for annulus within 3 % for diameter ratios above 0.3.",
    example=_some(_ANNULUS, "fluid_density"),
)
def annulus_wall_shear_stress(
    flow_rate: Real,
    annulus_outer_diameter: Real,
    annulus_inner_diameter: Real,
    yield_stress: Real,
    consistency_index: Real,
    flow_index: Real,
) -> Real:
    """Wall stress of laminar Herschel-Bulkley flow in an annulus taken as a slot, exact.

    Parameters
    ----------
    flow_rate : [m3/s]
        Volume per time, its size.
    annulus_outer_diameter : [m]
        Diameter of the hole or bore of the casing.
    annulus_inner_diameter : [m]
        Outside diameter of the string.
    yield_stress : [Pa]
        Yield stress; zero gives the power law.
    consistency_index : [Pa s^n]
        Consistency index K.
    flow_index : [-]
        Flow index n; 1 gives Bingham (or Newton).

    Returns
    -------
    wall_shear_stress : [Pa]
        Shear stress at the wall.

    Raises
    ------
    NotConverged
        The size of the plug did not settle.
    """
    rate = annulus_wall_shear_rate(
        flow_rate, annulus_outer_diameter, annulus_inner_diameter, flow_index
    )
    return _wall_stress(rate, yield_stress, consistency_index, flow_index, pipe=False)


@published(
    formula='"Re" = (8 rho_f v_m^2) / tau_w',
    source="api-rp-13d",
    where="generalised Reynolds number; from memory",
    example={"fluid_density": "1.20 sg", "mean_velocity": "3.6 m/s", "wall_shear_stress": "30 Pa"},
)
def generalised_reynolds_number(
    fluid_density: Real, mean_velocity: Real, wall_shear_stress: Real
) -> Real:
    """Reynolds number for which the laminar Fanning factor is 16/Re, whatever the fluid.

    Parameters
    ----------
    fluid_density : [kg/m3]
        Density of the fluid.
    mean_velocity : [m/s]
        Mean velocity.
    wall_shear_stress : [Pa]
        Wall stress that laminar flow at this velocity would have.

    Returns
    -------
    reynolds_number : [-]
        Generalised Reynolds number.
    """
    return 8.0 * fluid_density * mean_velocity**2 / wall_shear_stress


@published(
    formula='"Re"_c = 3470 - 1370 n',
    source="api-rp-13d",
    where="critical Reynolds number, end of laminar flow; from memory",
    valid={"flow_index": _INDEX},
    example={"flow_index": "0.7"},
)
def critical_reynolds_number(flow_index: Real) -> Real:
    """Generalised Reynolds number at which laminar flow starts to break down.

    Parameters
    ----------
    flow_index : [-]
        Flow index n; 1 gives the Newtonian 2100.

    Returns
    -------
    critical_reynolds_number : [-]
        Critical Reynolds number.
    """
    return 3470.0 - 1370.0 * flow_index


@published(
    formula='f = a / "Re"^b, quad a = (log_10 n + 3.93)/50, quad b = (1.75 - log_10 n)/7',
    source="api-rp-13d",
    where="turbulent friction factor, smooth wall; from memory",
    valid={"flow_index": _INDEX, "reynolds_number": Limit(2100.0, 1e6)},
    example={"reynolds_number": "10000", "flow_index": "0.7"},
)
def turbulent_friction_factor(reynolds_number: Real, flow_index: Real) -> Real:
    """Fanning friction factor of turbulent flow of a shear-thinning fluid in a smooth pipe.

    Parameters
    ----------
    reynolds_number : [-]
        Generalised Reynolds number.
    flow_index : [-]
        Flow index n.

    Returns
    -------
    friction_factor : [-]
        Fanning friction factor.
    """
    logarithm = np.log10(flow_index)
    a, b = (logarithm + 3.93) / 50.0, (1.75 - logarithm) / 7.0
    return a * reynolds_number**-b


@published(
    formula='1 / sqrt(f) = 4 / n^0.75 log_10 ("Re" f^(1 - n\\/2)) - 0.4 / n^1.2',
    source="dodge-metzner-1959",
    where="turbulent flow of power-law fluids in smooth pipe; Prandtl and Karman for n = 1; "
    "from memory",
    valid={
        "flow_index": Limit(0.3, 1.0, "measured on power-law fluids"),
        "reynolds_number": Limit(2100.0, 1e8),
    },
    example={"reynolds_number": "1e6", "flow_index": "1"},
)
def smooth_friction_factor(reynolds_number: Real, flow_index: Real) -> Real:
    """Fanning friction factor of turbulent flow in smooth pipe, also at high Reynolds number.

    Straight-line fits in logarithms, as the standard's, fall away below it from a Reynolds
    number of about 10^5: 14 % low at 10^6 in water.

    Parameters
    ----------
    reynolds_number : [-]
        Generalised Reynolds number.
    flow_index : [-]
        Flow index n.

    Returns
    -------
    friction_factor : [-]
        Fanning friction factor.
    """
    slope = 4.0 / flow_index**0.75
    # x = 1 / sqrt(f); Newton on a rising function, a fixed count so that stacks agree:
    # eight steps reach the last digit from a Reynolds number of 2 to 10^9
    x: Real = np.maximum(slope * np.log10(np.maximum(reynolds_number, 2.0)), 4.0)
    bend = slope * (2.0 - flow_index)
    constant = 0.4 / flow_index**1.2 - slope * np.log10(reynolds_number)
    for _ in range(8):
        residual = x + bend * np.log10(x) + constant
        x = np.maximum(x - residual / (1.0 + bend / np.log(10.0) / x), 1.0)
    return x**-2.0


def _turbulent(reynolds: Real, n: Real) -> Real:
    """Return the standard's factor; where it falls low, above about 10^5, that of smooth pipe."""
    standard = turbulent_friction_factor(reynolds, n)
    if not np.greater(reynolds, 10.0**4.7).any():
        return standard  # what no part of a stack needs is not solved for
    share = np.minimum(np.maximum((np.log10(reynolds) - 4.7) / 0.3, 0.0), 1.0)
    smooth = smooth_friction_factor(np.maximum(reynolds, 2100.0), n)
    return standard + share * np.maximum(smooth - standard, 0.0)


def _turbulent_excess(reynolds: Real, n: Real) -> Array:
    """Blended friction factor over the laminar one: 1 when laminar, rising without a step."""
    # below a thousandth the transition term is far under the last digit: keep it finite, and so
    # far beyond every flow, where a search may look before it turns back
    safe = np.clip(reynolds, 1e-3, 1e12)
    turbulent = _turbulent(safe, n) * safe / 16.0
    transitional = np.square(safe / critical_reynolds_number(n))
    # both between laminar and turbulent, to the power of minus eight: the blended factor is its
    # eighth root upside down, and enters with the power of twelve
    both = 1.0 / _eighth(transitional) + 1.0 / _eighth(turbulent)
    return np.asarray((1.0 + 1.0 / (both * np.sqrt(both))) ** (1.0 / 12.0))


def _eighth(x: Real) -> Real:
    """Return x to the power of eight: squares cost a tenth of a power."""
    return np.square(np.square(np.square(x)))


@published(
    formula=(
        'f = (f_l^12 + f_i^12)^(1\\/12), quad f_i = (f_"tr"^(-8) + f_t^(-8))^(-1\\/8) \\ '
        'f_l = 16/"Re", quad f_"tr" = 16 "Re"/(3470 - 1370 n)^2, '
        'quad f_t = ((log_10 n + 3.93)/50) "Re"^(-(1.75 - log_10 n)/7)'
    ),
    source="api-rp-13d",
    where="friction factor for any flow regime; from memory",
    valid={"flow_index": _INDEX, "reynolds_number": Limit(0.0, 1e6)},
    example={"reynolds_number": "3000", "flow_index": "0.7"},
)
def friction_factor(reynolds_number: Real, flow_index: Real) -> Real:
    """Fanning friction factor from laminar to turbulent without a step.

    Parameters
    ----------
    reynolds_number : [-]
        Generalised Reynolds number, above zero.
    flow_index : [-]
        Flow index n.

    Returns
    -------
    friction_factor : [-]
        Fanning friction factor.
    """
    return 16.0 / reynolds_number * _turbulent_excess(reynolds_number, flow_index)


def _gradient(density: Real, velocity: Real, gap: Real, stress: Real, n: Real) -> Array:
    """2 f rho v^2 / gap, written as laminar gradient times excess; none at rest; signed."""
    safe = np.maximum(stress, 1e-300)
    excess = _turbulent_excess(generalised_reynolds_number(density, velocity, safe), n)
    return np.asarray(np.sign(velocity) * 4.0 * stress / gap * excess)


@published(
    formula=(
        "(d p)/(d L) = (2 f rho_f v_m^2)/d, quad v_m = 4 q/(pi d^2), "
        'quad "Re" = 8 rho_f v_m^2/tau_w \\ '
        'tau_w (q, d, tau_y, K, n) quad "exact laminar stress"; quad f("Re", n) quad "any regime"'
    ),
    source="api-rp-13d",
    where="pressure loss in pipe with the blended friction factor; exact laminar wall stress",
    valid={"flow_index": _INDEX},
    validity_note="Smooth pipe, developed flow; tool joints are not in it.",
    example=_PIPE,
)
def pipe_friction_gradient(
    flow_rate: Real,
    inside_diameter: Real,
    fluid_density: Real,
    yield_stress: Real,
    consistency_index: Real,
    flow_index: Real,
) -> Real:
    """Friction pressure loss per length in a pipe, any regime, any Herschel-Bulkley fluid.

    Laminar flow is exact, 4 tau_w/d; above the critical Reynolds number the turbulent
    factor takes over by the standard's blending, so nothing jumps. No flow gives no
    loss (the gel is another equation); reversed flow gives the opposite sign.

    Parameters
    ----------
    flow_rate : [m3/s]
        Volume per time; its sign gives the sign of the loss.
    inside_diameter : [m]
        Bore.
    fluid_density : [kg/m3]
        Density of the fluid.
    yield_stress : [Pa]
        Yield stress.
    consistency_index : [Pa s^n]
        Consistency index K.
    flow_index : [-]
        Flow index n.

    Returns
    -------
    friction_gradient : [Pa/m]
        Pressure lost per length in the direction of flow.

    Raises
    ------
    NotConverged
        The laminar plug did not settle.
    """
    velocity = mean_velocity_in_pipe(flow_rate, inside_diameter)
    stress = pipe_wall_shear_stress(
        flow_rate, inside_diameter, yield_stress, consistency_index, flow_index
    )
    return _gradient(fluid_density, velocity, inside_diameter, stress, flow_index)


@published(
    formula=(
        "(d p)/(d L) = (2 f rho_f v_m^2)/(d_o - d_i), quad v_m = 4 q/(pi (d_o^2 - d_i^2)), "
        'quad "Re" = 8 rho_f v_m^2/tau_w \\ '
        'tau_w (q, d_o, d_i, tau_y, K, n) quad "exact laminar slot stress"; '
        'quad f("Re", n) quad "any regime"'
    ),
    source="api-rp-13d",
    where="pressure loss in annulus with the blended friction factor; exact laminar slot stress",
    valid={"flow_index": _INDEX},
    validity_note="Concentric, no rotation; slot for annulus.",
    example=_ANNULUS,
)
def annulus_friction_gradient(
    flow_rate: Real,
    annulus_outer_diameter: Real,
    annulus_inner_diameter: Real,
    fluid_density: Real,
    yield_stress: Real,
    consistency_index: Real,
    flow_index: Real,
) -> Real:
    """Friction pressure loss per length in an annulus, any regime, any Herschel-Bulkley fluid.

    As in pipe, with the slot in place of the tube: the hydraulic diameter is the
    difference of the diameters. No flow gives no loss; reversed flow the opposite sign.

    Parameters
    ----------
    flow_rate : [m3/s]
        Volume per time; its sign gives the sign of the loss.
    annulus_outer_diameter : [m]
        Diameter of the hole or bore of the casing.
    annulus_inner_diameter : [m]
        Outside diameter of the string.
    fluid_density : [kg/m3]
        Density of the fluid.
    yield_stress : [Pa]
        Yield stress.
    consistency_index : [Pa s^n]
        Consistency index K.
    flow_index : [-]
        Flow index n.

    Returns
    -------
    friction_gradient : [Pa/m]
        Pressure lost per length in the direction of flow.

    Raises
    ------
    NotConverged
        The laminar plug did not settle.
    """
    velocity = mean_velocity_in_annulus(flow_rate, annulus_outer_diameter, annulus_inner_diameter)
    stress = annulus_wall_shear_stress(
        flow_rate,
        annulus_outer_diameter,
        annulus_inner_diameter,
        yield_stress,
        consistency_index,
        flow_index,
    )
    gap = annulus_outer_diameter - annulus_inner_diameter
    return _gradient(fluid_density, velocity, gap, stress, flow_index)


@published(
    formula=(
        "mu_a = tau_w (d_o - d_i) / (12 v_m), quad v_m = 4 q/(pi (d_o^2 - d_i^2)), "
        "quad tau_w (q, d_o, d_i, tau_y, K, n)"
    ),
    source="bourgoyne-1986",
    where="chapter 4, viscosity that equates the slot losses; from memory",
    valid={"flow_rate": Limit(1e-9, 1.0, "grows without bound at rest")},
    example=_some(_ANNULUS, "fluid_density"),
)
def annulus_apparent_viscosity(
    flow_rate: Real,
    annulus_outer_diameter: Real,
    annulus_inner_diameter: Real,
    yield_stress: Real,
    consistency_index: Real,
    flow_index: Real,
) -> Real:
    """Viscosity of the Newtonian fluid that would lose as much in laminar annulus flow.

    What the older slip-velocity rules mean by the viscosity of the mud.

    Parameters
    ----------
    flow_rate : [m3/s]
        Volume per time, above zero.
    annulus_outer_diameter : [m]
        Diameter of the hole or bore of the casing.
    annulus_inner_diameter : [m]
        Outside diameter of the string.
    yield_stress : [Pa]
        Yield stress.
    consistency_index : [Pa s^n]
        Consistency index K.
    flow_index : [-]
        Flow index n.

    Returns
    -------
    apparent_viscosity : [Pa s]
        Apparent viscosity.
    """
    stress = annulus_wall_shear_stress(
        flow_rate,
        annulus_outer_diameter,
        annulus_inner_diameter,
        yield_stress,
        consistency_index,
        flow_index,
    )
    newtonian = annulus_wall_shear_rate(
        flow_rate, annulus_outer_diameter, annulus_inner_diameter, 1.0
    )
    return stress / newtonian


@published(
    formula="(d p)/(d L) = 4 tau_g / d",
    source="definition",
    where="equilibrium of the gelled core of a pipe",
    example={"gel_strength": "10 Pa", "inside_diameter": "4.276 in"},
)
def pipe_gel_breaking_gradient(gel_strength: Real, inside_diameter: Real) -> Real:
    """Pressure per length that starts gelled mud in a pipe.

    Parameters
    ----------
    gel_strength : [Pa]
        Gel strength after the time at rest.
    inside_diameter : [m]
        Bore.

    Returns
    -------
    friction_gradient : [Pa/m]
        Pressure per length that breaks the gel.
    """
    return 4.0 * gel_strength / inside_diameter


@published(
    formula="(d p)/(d L) = 4 tau_g / (d_o - d_i)",
    source="definition",
    where="equilibrium of the gelled ring of an annulus",
    example={
        "gel_strength": "10 Pa",
        "annulus_outer_diameter": "12.25 in",
        "annulus_inner_diameter": "5 in",
    },
)
def annulus_gel_breaking_gradient(
    gel_strength: Real, annulus_outer_diameter: Real, annulus_inner_diameter: Real
) -> Real:
    """Pressure per length that starts gelled mud in an annulus.

    Parameters
    ----------
    gel_strength : [Pa]
        Gel strength after the time at rest.
    annulus_outer_diameter : [m]
        Diameter of the hole or bore of the casing.
    annulus_inner_diameter : [m]
        Outside diameter of the string.

    Returns
    -------
    friction_gradient : [Pa/m]
        Pressure per length that breaks the gel.
    """
    return 4.0 * gel_strength / (annulus_outer_diameter - annulus_inner_diameter)
