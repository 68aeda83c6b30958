"""Sums along a channel that is cut into segments of constant section."""

from __future__ import annotations

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published


@published(
    formula="Delta p = sum G L",
    source="definition",
    where="a pressure gradient that is constant over each segment, integrated",
    example={"pressure_gradient": "120 Pa/m", "segment_length": "2500 m"},
)
def pressure_over_segments(pressure_gradient: Array, segment_length: Array) -> Real:
    """Pressure that builds up along a channel, segment by segment.

    Parameters
    ----------
    pressure_gradient : (..., segment) [Pa/m]
        Friction or weight per length in each segment.
    segment_length : (..., segment) [m]
        Length of each segment that counts: all of it, or what lies above a depth.

    Returns
    -------
    pressure_over_segments : [Pa]
        Sum over the segments.
    """
    return np.asarray(
        np.sum(np.atleast_1d(pressure_gradient) * np.atleast_1d(segment_length), axis=-1)
    )


@published(
    formula="W_b = sum w_e L",
    source="definition",
    where="a weight per length that is constant over each segment, integrated",
    example={"effective_weight_per_length": "350 N/m", "segment_length": "4200 m"},
)
def weight_over_segments(effective_weight_per_length: Array, segment_length: Array) -> Real:
    """Weight of a string in fluid, part by part.

    Parameters
    ----------
    effective_weight_per_length : (..., segment) [N/m]
        Weight of each part in its fluids, per length.
    segment_length : (..., segment) [m]
        Length of each part that hangs.

    Returns
    -------
    buoyed_weight : [N]
        Sum over the parts.
    """
    weights = np.atleast_1d(effective_weight_per_length) * np.atleast_1d(segment_length)
    return np.asarray(np.sum(weights, axis=-1))


@published(
    formula='p_"circ" = p_"st" + Delta p_c + Delta p_f',
    source="definition",
    where="hydrostatics and friction add in a channel that flows upwards",
    example={
        "static_pressure": "60 MPa",
        "cuttings_pressure": "0.4 MPa",
        "friction_pressure": "1.1 MPa",
    },
)
def circulating_pressure(
    static_pressure: Real, cuttings_pressure: Real, friction_pressure: Real
) -> Real:
    """Pressure in an annulus while the pumps run: the fluid, its cuttings, the friction above.

    Parameters
    ----------
    static_pressure : [Pa]
        Pressure of the clean fluid at rest.
    cuttings_pressure : [Pa]
        What the cuttings above the point add.
    friction_pressure : [Pa]
        What friction above the point adds.

    Returns
    -------
    circulating_pressure : [Pa]
        Pressure at the point.
    """
    return static_pressure + cuttings_pressure + friction_pressure


@published(
    formula="G = g (rho_1 - rho_2)",
    source="definition",
    where="difference of the weights of two fluids of one height",
    example={"first_density": "1.06 sg", "second_density": "1.03 sg", "gravity": "9.80665 m/s^2"},
)
def excess_gradient(first_density: Real, second_density: Real, gravity: Real) -> Real:
    """Pressure per height that one fluid gives more than another.

    Parameters
    ----------
    first_density : [kg/m3]
        Density of the fluid that stands there.
    second_density : [kg/m3]
        Density of the fluid compared with.
    gravity : [m/s2]
        Acceleration of free fall at the site.

    Returns
    -------
    pressure_gradient : [Pa/m]
        Difference of the two gradients.
    """
    return gravity * (first_density - second_density)


@published(
    formula="p_m = p + rho_m g h",
    source="common-practice",
    where="a margin stated as a density to a datum, turned into pressure at the depth",
    example={
        "pressure": "45 MPa",
        "margin_density": "30 kg/m3",
        "height": "4400 m",
        "gravity": "9.80665 m/s^2",
    },
)
def pressure_with_margin(pressure: Real, margin_density: Real, height: Real, gravity: Real) -> Real:
    """Bound moved by a margin that is stated as an equivalent density to a datum.

    A margin that lowers the bound is negative. The height runs from the datum of the
    margin to the point, so margins to the drill floor are larger in pressure than the
    same margins to the sea bed.

    Parameters
    ----------
    pressure : [Pa]
        Pore, collapse or fracture pressure.
    margin_density : [kg/m3]
        Margin as a density difference to the datum; negative to lower the bound.
    height : [m]
        From the datum down to the point.
    gravity : [m/s2]
        Acceleration of free fall at the site.

    Returns
    -------
    bound_pressure : [Pa]
        The bound with its margin.
    """
    return pressure + margin_density * gravity * height


@published(
    formula='p_"sp" = Delta p_l + Delta p_s + Delta p_t + p_b + Delta p_a + Delta p_c',
    source="api-rp-13d",
    where="system pressure loss as the sum of its parts",
    example={
        "surface_line_loss": "0.6 MPa",
        "string_loss": "14 MPa",
        "tool_loss": "2 MPa",
        "bit_pressure_drop": "5 MPa",
        "annulus_loss": "1.2 MPa",
        "cuttings_pressure": "0.3 MPa",
    },
)
def standpipe_pressure(
    surface_line_loss: Real,
    string_loss: Real,
    bit_pressure_drop: Real,
    annulus_loss: Real,
    cuttings_pressure: Real,
    tool_loss: Real = 0.0,
) -> Real:
    """Pressure at the standpipe that drives a flow down the string and up the annulus.

    Parameters
    ----------
    surface_line_loss : [Pa]
        Friction in standpipe, hose and top drive.
    string_loss : [Pa]
        Friction inside the string.
    bit_pressure_drop : [Pa]
        Pressure spent in the nozzles.
    annulus_loss : [Pa]
        Friction up the annulus.
    cuttings_pressure : [Pa]
        Extra weight of the laden annulus over the clean string.
    tool_loss : [Pa]
        Pressure spent in motors, turbines and measuring tools.

    Returns
    -------
    standpipe_pressure : [Pa]
        What the pumps must deliver.
    """
    down = surface_line_loss + string_loss + tool_loss + bit_pressure_drop
    return down + annulus_loss + cuttings_pressure


@published(
    formula="R = (1 - s) max(R_0, 0) + s R_s",
    source="assumed",
    where="time average of two transport ratios; settled cuttings are carried by the sweeps",
    example={
        "plain_transport_ratio": "0.1",
        "sweep_transport_ratio": "0.8",
        "sweep_share": "0.15",
    },
)
def transport_ratio_with_sweeps(
    plain_transport_ratio: Real, sweep_transport_ratio: Real, sweep_share: Real
) -> Real:
    """Mean transport ratio of cuttings when viscous sweeps pass through a thin fluid.

    Between sweeps cuttings rise slowly or wait; they do not fall back for good, since
    the next sweep takes them along.

    Parameters
    ----------
    plain_transport_ratio : [-]
        In the thin fluid; below zero the cuttings settle.
    sweep_transport_ratio : [-]
        In the sweep.
    sweep_share : [-]
        Share of the time that sweeps are in the annulus.

    Returns
    -------
    transport_ratio : [-]
        Mean over time.
    """
    waiting = np.maximum(plain_transport_ratio, 0.0)
    return (1.0 - sweep_share) * waiting + sweep_share * sweep_transport_ratio


@published(
    formula="p_i = max(p_z - rho_f g h_z, 0)",
    source="definition",
    where="hydrostatics upwards from a place of known pressure; empty where it would turn negative",
    example={
        "loss_zone_pressure": "57 MPa",
        "fluid_density": "1.285 sg",
        "height_above_loss_zone": "1500 m",
        "gravity": "9.80665 m/s^2",
    },
)
def pressure_above_loss_zone(
    loss_zone_pressure: Real, fluid_density: Real, height_above_loss_zone: Real, gravity: Real
) -> Real:
    """Pressure in a fluid that has fallen back until it balances a zone that takes it.

    Parameters
    ----------
    loss_zone_pressure : [Pa]
        Pressure in the zone that takes the fluid.
    fluid_density : [kg/m3]
        Density of the fluid that stands above the zone.
    height_above_loss_zone : [m]
        From the point down to the zone.
    gravity : [m/s2]
        Acceleration of free fall at the site.

    Returns
    -------
    internal_pressure : [Pa]
        Pressure at the point; zero above the fallen level.
    """
    return np.maximum(loss_zone_pressure - fluid_density * gravity * height_above_loss_zone, 0.0)


@published(
    formula="p_i = p_t + p",
    source="definition",
    where="a pressure applied on top of a standing column",
    example={"applied_pressure": "20 MPa", "pressure": "41 MPa"},
)
def pressure_under_test(applied_pressure: Real, pressure: Real) -> Real:
    """Pressure at a depth when the top of a standing column is pumped up.

    Parameters
    ----------
    applied_pressure : [Pa]
        Pressure added at the top.
    pressure : [Pa]
        Pressure of the column at the depth before.

    Returns
    -------
    internal_pressure : [Pa]
        Pressure at the depth under test.
    """
    return applied_pressure + pressure


@published(
    formula="Delta p_d = k_D max(p_1 - p_2, 0)",
    source="common-practice",
    where="difference of pressure across a wall times the design factor",
    example={"higher_pressure": "62 MPa", "lower_pressure": "35 MPa", "design_factor": "1.1"},
)
def factored_pressure_difference(
    higher_pressure: Real, lower_pressure: Real, design_factor: Real
) -> Real:
    """Pressure difference that a pipe wall must bear, design factor included.

    A difference the other way is no load of this kind: it counts as zero.

    Parameters
    ----------
    higher_pressure : [Pa]
        Pressure on the side that is expected to be higher.
    lower_pressure : [Pa]
        Pressure on the other side.
    design_factor : [-]
        Least ratio of strength to load.

    Returns
    -------
    factored_pressure_difference : [Pa]
        What the wall must bear.
    """
    return design_factor * np.maximum(higher_pressure - lower_pressure, 0.0)


@published(
    formula="F_b = 2 nu (Delta p_i pi/4 d^2 - Delta p_o pi/4 D^2)",
    source="definition",
    where="Poisson effect in a thick tube with both ends held: no axial strain from pressure",
    valid={"poisson_ratio": Limit(0.2, 0.4, "steel")},
    example={
        "internal_pressure_change": "30 MPa",
        "external_pressure_change": "-5 MPa",
        "outside_diameter": "9 5/8 in",
        "inside_diameter": "8.535 in",
    },
    caution="Both ends held, no change of temperature: cement below, wellhead above.",
)
def ballooning_force(
    internal_pressure_change: Real,
    external_pressure_change: Real,
    outside_diameter: Real,
    inside_diameter: Real,
    poisson_ratio: Real = 0.3,
) -> Real:
    """Axial force that a change of pressure locks into a pipe held at both ends.

    Pressure inside widens the pipe, which would shorten it; the ends hold, so tension
    grows by 2 nu times the change of the pressure force on the bore (and drops by the
    like for pressure outside).

    Parameters
    ----------
    internal_pressure_change : [Pa]
        Pressure inside now, less that when the ends were fixed.
    external_pressure_change : [Pa]
        Pressure outside now, less that when the ends were fixed.
    outside_diameter : [m]
        Outside diameter of the pipe.
    inside_diameter : [m]
        Inside diameter of the pipe.
    poisson_ratio : [-]
        Poisson's ratio of the pipe.

    Returns
    -------
    ballooning_force : [N]
        Change of the axial force, tension positive.
    """
    inside = internal_pressure_change * 0.25 * np.pi * inside_diameter**2
    outside = external_pressure_change * 0.25 * np.pi * outside_diameter**2
    return 2.0 * poisson_ratio * (inside - outside)
