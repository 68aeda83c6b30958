"""Channels cut fine, and corrections to friction round a string."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.flow_corrections import (
    JOINT_SPACING,
    TOOL_JOINT_LENGTH,
    corrected_friction_gradient,
    joint_loss,
    tool_joint_factor,
)
from bathybore.kernels.pipe_flow import annulus_friction_gradient, mean_velocity_in_annulus
from bathybore.kernels.pipe_flow_models import (
    eccentricity_factor_laminar,
    eccentricity_factor_turbulent,
)
from bathybore.model.basis import DesignBasis
from bathybore.operations.geometry import Segments
from bathybore.operations.state import StringInHole

_RATIOS: Final = (0.3, 0.9)  # of the diameters, between which the eccentricity factors were fitted
FINE: Final = 100.0  # m; lengths over which a fluid that changes with temperature counts as one


@kept(SOME)
def cut_fine(segments: Segments, longest: float) -> Segments:
    """Return a channel whose segments are no longer than ``longest`` [m]."""
    counts = np.maximum(np.ceil(segments.length / longest - 1e-9), 1).astype(int)
    which = np.repeat(np.arange(len(segments)), counts)
    number = np.arange(len(which)) - np.repeat(np.cumsum(counts) - counts, counts)
    each = (segments.length / counts)[which]
    top = segments.top[which] + number * each
    last = number + 1 == counts[which]
    return Segments(
        tuple(segments.names[index] for index in which),
        tuple(segments.kinds[index] for index in which),
        top,
        np.where(last, segments.bottom[which], top + each),
        segments.outer_diameter[which],
        segments.inner_diameter[which],
    )


# ---- corrections --------------------------------------------------------------------------


def corrected(
    basis: DesignBasis,
    string: StringInHole,
    segments: Segments,
    plain: Value,
    flow_rate: Value,
    law: dict[str, Value],
) -> Value:
    """Return the friction gradient with offset, joints and rotation of the design basis.

    With none of them told it is the plain gradient itself.
    """
    factors: dict[str, Value] = {}
    if basis.string_eccentricity > 0.0:
        factors["eccentricity_factor"] = _offset(basis, segments, law["flow_index"])
    if basis.tool_joints_counted:
        factors["tool_joint_factor"] = _joints(string, segments, plain, flow_rate, law)
    if basis.rotation_factor != 1.0:
        factors["rotation_factor"] = basis.value("rotation_factor")
    if not factors:
        return plain
    whole = work(corrected_friction_gradient, friction_gradient=plain, **factors)
    return whole.named("friction_gradient")


def _offset(basis: DesignBasis, segments: Segments, flow_index: Value) -> Value:
    """Return the share of friction left; of laminar and turbulent the greater, to be safe."""
    given = {
        "eccentricity": basis.value("string_eccentricity", "eccentricity"),
        "annulus_outer_diameter": segments.value("annulus_outer_diameter", segments.outer_diameter),
        "annulus_inner_diameter": segments.value("annulus_inner_diameter", segments.inner_diameter),
        "flow_index": flow_index,
    }
    laminar = work(eccentricity_factor_laminar, **given)
    turbulent = work(eccentricity_factor_turbulent, **given)
    more = np.maximum(np.asarray(laminar.si), np.asarray(turbulent.si))
    ratio = segments.inner_diameter / segments.outer_diameter
    known = bool(((ratio >= _RATIOS[0]) & (ratio <= _RATIOS[1])).all())
    origin = Solved(
        "the greater of the laminar and the turbulent factor",
        "definition",
        (laminar, turbulent),
        outside=() if known else ("eccentricity factors: diameter ratio outside 0.3 to 0.9",),
    )
    return Value("eccentricity_factor", more, "-", origin)


def _joints(
    string: StringInHole,
    segments: Segments,
    plain: Value,
    flow_rate: Value,
    law: dict[str, Value],
) -> Value:
    outer = segments.value("annulus_outer_diameter", segments.outer_diameter)
    body = segments.value("annulus_inner_diameter", segments.inner_diameter)
    # a joint that fills the hole would be no flow at all: the fit check has it
    wide = np.minimum(_joint_diameters(string, segments), 0.98 * segments.outer_diameter)
    joint = segments.value("annulus_inner_diameter", np.maximum(wide, segments.inner_diameter))
    at_body = work(
        mean_velocity_in_annulus,
        flow_rate=flow_rate,
        annulus_outer_diameter=outer,
        annulus_inner_diameter=body,
    )
    at_joint = work(
        mean_velocity_in_annulus,
        flow_rate=flow_rate,
        annulus_outer_diameter=outer,
        annulus_inner_diameter=joint,
    )
    ratio = Value(
        "area_ratio",
        np.asarray(at_body.si) / np.asarray(at_joint.si),
        "-",
        Solved("velocities go as areas, upside down", "definition", (at_body, at_joint)),
    )
    return work(
        tool_joint_factor,
        joint_friction_gradient=work(
            annulus_friction_gradient,
            flow_rate=flow_rate,
            annulus_outer_diameter=outer,
            annulus_inner_diameter=joint,
            **law,
        ),
        friction_gradient=plain,
        joint_share=Value(
            "joint_share",
            TOOL_JOINT_LENGTH / JOINT_SPACING,
            "-",
            FromWalk("joints 0.5 m long every 9.6 m, common practice"),
        ),
        joint_loss=work(
            joint_loss,
            area_ratio=ratio,
            fluid_density=law["fluid_density"],
            joint_velocity=at_joint.named("joint_velocity"),
        ),
    )


def _joint_diameters(string: StringInHole, segments: Segments) -> Array:
    """Return the tool-joint diameter of the part that hangs in each segment."""
    middle = segments.middle
    parts = string.parts[::-1]  # from the top down
    feet = np.array([float(part.bottom) for part in parts])
    which = np.minimum(np.searchsorted(feet, middle), len(parts) - 1)
    return np.array([float(part.pipe.tool_joint_outside_diameter) for part in parts])[which]
