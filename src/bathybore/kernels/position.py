"""Where the vessel is: errors of the position reference and the offset they leave."""

from __future__ import annotations

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published


@published(
    formula="sigma = sqrt(sigma_s^2 + sigma_a^2 + sigma_l^2)",
    source="definition",
    where="variances of independent errors add",
    validity_note="errors independent of one another, all one standard deviation",
    example={
        "satellite_error": "0.5 m",
        "acoustic_error": "3 m",
        "lever_arm_error": "0.4 m",
    },
)
def position_error(satellite_error: Real, acoustic_error: Real, lever_arm_error: Real) -> Real:
    """Standard deviation of a position from three independent errors.

    Parameters
    ----------
    satellite_error : [m]
        Standard deviation of the antenna's position.
    acoustic_error : [m]
        Standard deviation of a position from sea-bed transponders; zero if unused.
    lever_arm_error : [m]
        Standard deviation of the reduction from the antenna to the well centre.

    Returns
    -------
    position_error : [m]
        Standard deviation of the position of the well centre.
    """
    return np.sqrt(satellite_error**2 + acoustic_error**2 + lever_arm_error**2)


@published(
    formula="sigma_l = 2 r_l sin(delta_h / 2)",
    source="definition",
    where="chord of a small turn",
    valid={"heading_error": Limit(0.0, 0.5, "a heading error, not a heading")},
    example={"lever_arm": "60 m", "heading_error": "0.3 deg"},
)
def lever_arm_error(lever_arm: Real, heading_error: Real) -> Real:
    """Shift of the well centre by an error of the heading.

    Parameters
    ----------
    lever_arm : [m]
        Horizontal distance from the antenna to the well centre.
    heading_error : [rad]
        Standard deviation of the heading.

    Returns
    -------
    lever_arm_error : [m]
        Shift of the well centre.
    """
    return 2.0 * lever_arm * np.sin(heading_error / 2.0)


@published(
    formula="sigma_a = r_s delta_b",
    source="definition",
    where="arc of a small angle",
    valid={"bearing_error": Limit(0.0, 0.1, "a small angle")},
    example={"slant_range": "3500 m", "bearing_error": "0.1 deg"},
)
def acoustic_error(slant_range: Real, bearing_error: Real) -> Real:
    """Error of an acoustic position from the angle at which its answer arrives.

    Parameters
    ----------
    slant_range : [m]
        Distance from the transducer to the transponder.
    bearing_error : [rad]
        Standard deviation of the angle.

    Returns
    -------
    acoustic_error : [m]
        Standard deviation of the position across the line of sight.
    """
    return slant_range * bearing_error


@published(
    formula="r_p = sigma sqrt(-2 ln(1 - p))",
    source="definition",
    where="two equal, independent normal errors: Rayleigh distribution of the distance",
    valid={"confidence": Limit(0.0, 0.999999)},
    validity_note="equal errors along and across",
    example={"position_error": "3 m", "confidence": "0.95"},
)
def position_error_radius(position_error: Real, confidence: Real) -> Real:
    """Radius of the circle that holds the true place with a given confidence.

    Parameters
    ----------
    position_error : [m]
        Standard deviation of the position along each axis.
    confidence : [-]
        Probability that the true place lies inside.

    Returns
    -------
    position_error_radius : [m]
        Radius of the circle.
    """
    return position_error * np.sqrt(-2.0 * np.log1p(-confidence))


@published(
    formula="delta_a = max(r_t - r_p, 0)",
    source="definition",
    where="triangle inequality: the worst error lies outwards",
    example={"position_tolerance": "15 m", "position_error_radius": "6 m"},
    caution="Zero means that no offset can be allowed: the position is not known well enough.",
)
def allowed_offset(position_tolerance: Real, position_error_radius: Real) -> Real:
    """Offset that may be shown by the position reference so that the true one is in tolerance.

    Parameters
    ----------
    position_tolerance : [m]
        Greatest true distance allowed from the intended place.
    position_error_radius : [m]
        Radius of the circle of position error.

    Returns
    -------
    allowed_offset : [m]
        Greatest offset to be shown.
    """
    return np.maximum(position_tolerance - position_error_radius, 0.0)


@published(
    formula="r_o = delta_v / d_w",
    source="definition",
    where="offset as a share of water depth",
    valid={"vessel_offset": Limit(0.0, 2000.0)},
    example={"vessel_offset": "60 m", "water_depth": "3000 m"},
)
def offset_share(vessel_offset: Real, water_depth: Real) -> Real:
    """Offset of the vessel as a share of the water depth.

    Parameters
    ----------
    vessel_offset : [m]
        Horizontal distance from above the well to the vessel.
    water_depth : [m]
        Depth of the sea bed below mean sea level.

    Returns
    -------
    offset_share : [-]
        Offset over water depth.
    """
    return vessel_offset / water_depth


@published(
    formula="delta_v = r_o d_w",
    source="definition",
    where="offset as a share of water depth",
    valid={"offset_share": Limit(0.0, 0.3)},
    example={"offset_share": "2 %", "water_depth": "3000 m"},
)
def offset_of_share(offset_share: Real, water_depth: Real) -> Real:
    """Offset of the vessel from its share of the water depth.

    Parameters
    ----------
    offset_share : [-]
        Offset over water depth.
    water_depth : [m]
        Depth of the sea bed below mean sea level.

    Returns
    -------
    vessel_offset : [m]
        Horizontal distance from above the well to the vessel.
    """
    return offset_share * water_depth


@published(
    formula="delta_v = h_l tan theta_l",
    source="definition",
    where="right triangle",
    valid={"line_angle": Limit(0.0, 0.5, "a taut straight line")},
    validity_note="a line straight from the sea bed to the point where its angle is read",
    example={"line_height": "1200 m", "line_angle": "1.5 deg"},
)
def offset_of_line_angle(line_height: Real, line_angle: Real) -> Real:
    """Offset of the vessel shown by the angle of a straight line to the sea bed.

    Parameters
    ----------
    line_height : [m]
        Height from the foot of the line to the point of reading.
    line_angle : [rad]
        Angle of the line off the vertical.

    Returns
    -------
    vessel_offset : [m]
        Horizontal distance from above the foot to the point of reading.
    """
    return line_height * np.tan(line_angle)
