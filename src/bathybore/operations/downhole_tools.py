"""Tools of a string that the flow goes through: what each of them loses, and where it stands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.downhole_tools import (
    motor_differential_pressure,
    motor_torque_share,
    tool_pressure_loss,
)
from bathybore.kernels.string_march import bit_torque
from bathybore.model.hole import Setting
from bathybore.model.plan import DownholeTool, Fluid, Section
from bathybore.operations.state import StringInHole

NO_TOOLS: Final = Value("tool_loss", 0.0, "Pa", FromWalk("no tool of the string tells a loss"))


@dataclass(frozen=True, eq=False)
class ToolLoss:
    """What one tool loses, spread evenly over its part of the string.

    Attributes
    ----------
    top, bottom : of the part [m below sea level]
    """

    top: float
    bottom: float
    loss: Value

    def above(self, z: Array) -> Array:
        """Return the share of the loss that lies above depths."""
        return np.asarray(np.clip((z - self.top) / (self.bottom - self.top), 0.0, 1.0))


@kept(SOME)
def torque_of_bit(setting: Setting, string: StringInHole, section: Section) -> Value | None:
    """Return the torque that a motor of the string gives the bit; None where there is no motor."""
    if all(part.tool is None or part.tool.rated_torque is None for part in string.parts):
        return None
    return work(
        bit_torque,
        weight_on_bit=section.value("weight_on_bit"),
        bit_diameter=section.value("hole_diameter", "bit_diameter"),
        bit_friction=setting.basis.value("bit_friction"),
    )


@kept(SOME)
def tool_losses(
    string: StringInHole, fluid: Fluid, rate: Value, torque: Value | None
) -> tuple[ToolLoss, ...]:
    """Return what the tools of a string lose, from the bit up.

    Parameters
    ----------
    rate : down the string
    torque : of the bit; None where it does not cut
    """
    return tuple(
        ToolLoss(float(part.top), float(part.bottom), _loss(part.tool, fluid, rate, torque))
        for part in string.parts
        if part.tool is not None
    )


def _loss(tool: DownholeTool, fluid: Fluid, rate: Value, torque: Value | None) -> Value:
    unloaded = work(
        tool_pressure_loss,
        reference_pressure_loss=tool.value("pressure_loss", "reference_pressure_loss"),
        fluid_density=fluid.value("density", "fluid_density"),
        reference_density=tool.value("density", "reference_density"),
        flow_rate=rate,
        reference_flow_rate=tool.value("flow_rate", "reference_flow_rate"),
        flow_exponent=tool.value("flow_exponent"),
    )
    if tool.rated_torque is None or torque is None:
        return unloaded
    turning = work(
        motor_differential_pressure,
        torque_share=work(
            motor_torque_share, bit_torque=torque, torque=tool.value("rated_torque", "torque")
        ),
        rated_differential_pressure=tool.value("rated_differential_pressure"),
    )
    origin = Solved(
        "loss without load, and differential pressure", "definition", (unloaded, turning)
    )
    return Value("tool_loss", np.asarray(unloaded.si) + float(turning), "Pa", origin)


def together(losses: tuple[ToolLoss, ...]) -> Value:
    """Return what all tools lose."""
    if not losses:
        return NO_TOOLS
    parts = tuple(one.loss for one in losses)
    origin = Solved("all tools of the string", "definition", parts)
    return Value("tool_loss", sum(np.asarray(one.si) for one in parts), "Pa", origin)


def lost_above(losses: tuple[ToolLoss, ...], z: Array) -> Array:
    """Return what tools have taken from the flow on its way down to depths [Pa]."""
    taken = np.zeros(np.shape(z))
    for one in losses:
        taken = taken + one.above(z) * float(one.loss)
    return taken
