"""What friction in a plain concentric channel is corrected by: joints, offset, rotation.

Also the sums along a channel that a profile needs at every depth.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published

# A joint of drill pipe of range 2 and the length of box and pin together; common practice.
JOINT_SPACING: Final = 9.6
TOOL_JOINT_LENGTH: Final = 0.5


@published(
    formula="k_j = 1 - s_j + s_j g_j / g_f + Delta p_j / (g_f L_j)",
    source="jeong-shah-2004",
    where="pipe and joints in series, and what widening and narrowing lose; form from memory",
    valid={"joint_share": Limit(0.0, 0.3)},
    example={
        "joint_friction_gradient": "400 Pa/m",
        "friction_gradient": "120 Pa/m",
        "joint_share": "0.052",
        "joint_loss": "90 Pa",
        "joint_spacing": "9.6 m",
    },
)
def tool_joint_factor(
    joint_friction_gradient: Real,
    friction_gradient: Real,
    joint_share: Real,
    joint_loss: Real,
    joint_spacing: Real = JOINT_SPACING,
) -> Real:
    """Friction of a channel with tool joints over that of the plain channel.

    Parameters
    ----------
    joint_friction_gradient : [Pa/m]
        Friction gradient alongside a joint.
    friction_gradient : [Pa/m]
        Friction gradient alongside the body; at no flow the factor is 1.
    joint_share : [-]
        Share of the length that joints take.
    joint_loss : [Pa]
        Pressure that one joint loses by narrowing and widening the flow.
    joint_spacing : [m]
        From joint to joint.

    Returns
    -------
    tool_joint_factor : [-]
        Factor on the friction gradient.
    """
    flowing = np.asarray(friction_gradient) > 0.0
    plain = np.where(flowing, friction_gradient, 1.0)
    along = (1.0 - joint_share) + joint_share * joint_friction_gradient / plain
    return np.where(flowing, along + joint_loss / (plain * joint_spacing), 1.0)


@published(
    formula="Delta p_j = (0.5 (1 - a) + (1 - a)^2) (rho_f v_j^2) / 2, quad a = A_j / A_0",
    source="crane-tp-410",
    where="sudden narrowing and sudden widening (Borda and Carnot), turbulent; from memory",
    valid={"area_ratio": Limit(0.0, 1.0, "a joint narrows the channel")},
    validity_note="Turbulent flow; tapered joints and thick muds lose less.",
    example={"area_ratio": "0.8", "fluid_density": "1.20 sg", "joint_velocity": "1.6 m/s"},
)
def joint_loss(area_ratio: Real, fluid_density: Real, joint_velocity: Real) -> Real:
    """Pressure that a flow loses as it narrows past a joint and widens again behind it.

    Parameters
    ----------
    area_ratio : [-]
        Area alongside the joint over area alongside the body.
    fluid_density : [kg/m3]
        Density of the fluid.
    joint_velocity : [m/s]
        Mean velocity alongside the joint.

    Returns
    -------
    joint_loss : [Pa]
        Pressure lost at one joint.
    """
    narrowed = 1.0 - area_ratio
    return (0.5 * narrowed + narrowed**2) * 0.5 * fluid_density * joint_velocity**2


@published(
    formula='g_c = g_f R_e k_j k_"rot"',
    source="common-practice",
    where="corrections taken one by one, a product",
    valid={"rotation_factor": Limit(0.5, 3.0)},
    caution="Rotation may raise or lower friction: measured holes show 0.9 to 1.6.",
    example={
        "friction_gradient": "120 Pa/m",
        "eccentricity_factor": "0.8",
        "tool_joint_factor": "1.1",
        "rotation_factor": "1.1",
    },
)
def corrected_friction_gradient(
    friction_gradient: Real,
    eccentricity_factor: Real = 1.0,
    tool_joint_factor: Real = 1.0,
    rotation_factor: Real = 1.0,
) -> Real:
    """Friction gradient of an annulus with what the plain concentric one leaves out.

    Parameters
    ----------
    friction_gradient : [Pa/m]
        Of the plain concentric annulus.
    eccentricity_factor : [-]
        Of a string that lies aside.
    tool_joint_factor : [-]
        Of the joints of the string.
    rotation_factor : [-]
        Of a string that turns, as stated.

    Returns
    -------
    corrected_friction_gradient : [Pa/m]
        Friction gradient to count with.
    """
    return friction_gradient * eccentricity_factor * tool_joint_factor * rotation_factor


@published(
    formula='p(z) = sum_"above" G L',
    source="definition",
    where="a gradient that is constant over each cell, summed from the top",
    example={"pressure_gradient": "120 Pa/m", "segment_length": "25 m"},
)
def pressure_down_to(pressure_gradient: Array, segment_length: Array) -> Real:
    """Pressure built up from the top of a channel down to the foot of each of its cells.

    Parameters
    ----------
    pressure_gradient : (..., segment) [Pa/m]
        Friction or weight per length in each cell.
    segment_length : (..., segment) [m]
        Length of each cell.

    Returns
    -------
    pressure_over_segments : [Pa]
        Sum over all cells down to each foot.
    """
    return np.asarray(
        np.cumsum(np.atleast_1d(pressure_gradient) * np.atleast_1d(segment_length), axis=-1)
    )


@published(
    formula='rho_"ec" = (p_"circ" - p_d) / (g h)',
    source="api-rp-13d",
    where="circulating pressure as the density of one fluid from a datum; from memory",
    valid={"height": Limit(1e-3, 2e4, "below the datum")},
    example={
        "circulating_pressure": "62 MPa",
        "height": "4500 m",
        "gravity": "9.80665 m/s^2",
    },
)
def equivalent_circulating_density(
    circulating_pressure: Real, height: Real, gravity: Real, pressure_at_datum: Real = 0.0
) -> Real:
    """Density of the one fluid that would give the circulating pressure below a datum.

    Parameters
    ----------
    circulating_pressure : [Pa]
        Pressure in the annulus while the pumps run.
    height : [m]
        True vertical height from the datum down to the point.
    gravity : [m/s2]
        Acceleration of free fall at the site.
    pressure_at_datum : [Pa]
        Pressure at the datum: none at the drill floor, the sea's at the sea bed.

    Returns
    -------
    equivalent_circulating_density : [kg/m3]
        Equivalent circulating density to the datum.
    """
    return (circulating_pressure - pressure_at_datum) / (gravity * height)


@published(
    formula='"Re"_t = 4270 - 1370 n',
    source="api-rp-13d",
    where="Reynolds number above which flow is turbulent; from memory",
    valid={"flow_index": Limit(0.1, 1.0)},
    example={"flow_index": "0.7"},
)
def turbulent_reynolds_number(flow_index: Real) -> Real:
    """Generalised Reynolds number above which the transition to turbulence is over.

    Parameters
    ----------
    flow_index : [-]
        Flow index n.

    Returns
    -------
    turbulent_reynolds_number : [-]
        Reynolds number at which flow is turbulent.
    """
    return 4270.0 - 1370.0 * flow_index
