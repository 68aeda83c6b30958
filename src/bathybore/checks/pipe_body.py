"""What a pipe is asked to bear and what it bears: burst, collapse, axial force, all stresses.

Connections bear a share of what the body bears, kind by kind; all stresses together are asked
of the body alone.

Sizes are single numbers or run over depth: of one pipe, or of a string of several.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from bathybore.base.working import Solved, Value, work
from bathybore.kernels.segments import factored_pressure_difference
from bathybore.kernels.tubular_collapse import collapse_pressure_under_tension
from bathybore.kernels.tubular_strength import internal_yield_pressure, required_capacity
from bathybore.kernels.tubular_stress import axial_stress_of_force, triaxial_equivalent_stress
from bathybore.model.basis import DesignBasis
from bathybore.operations.catalogue_pipes import CasingPipe


@dataclass(frozen=True, eq=False)
class Joint:
    """What the connections bear.

    Attributes
    ----------
    tension, compression : [N] at room temperature
    burst_efficiency, collapse_efficiency : [-] pressure that they hold over that of the body
    """

    tension: Value
    compression: Value
    burst_efficiency: Value
    collapse_efficiency: Value


def joint_of(pipe: CasingPipe) -> Joint:
    """Return what the connections of a pipe of the stock bear."""
    stock = pipe.stock
    return Joint(
        pipe.joint_strength,
        pipe.joint_compression,
        stock.value("burst_efficiency"),
        stock.value("collapse_efficiency"),
    )


@dataclass(frozen=True, eq=False)
class PipeBody:
    """The pipe that bears a load: the wall with wear taken off, the yield lowered by heat.

    Attributes
    ----------
    cold_yield : [Pa] yield strength before heat lowers it
    """

    outside_diameter: Value
    wall: Value
    yield_strength: Value
    cold_yield: Value
    joint: Joint

    @cached_property
    def holds_inside(self) -> Value:
        """The pressure inside that pipe and connections hold, whatever the load."""
        capacity = work(
            internal_yield_pressure,
            outside_diameter=self.outside_diameter,
            wall=self.wall,
            yield_strength=self.yield_strength,
        )
        return _connected(capacity, self.joint.burst_efficiency)


def _connected(capacity: Value, efficiency: Value) -> Value:
    """Return what a pipe holds whose connections hold a share, or more, of what its body does."""
    weaker = np.minimum(efficiency.si, 1.0) * np.asarray(capacity.si)
    told = "of body and connection the weaker: the connection's share of what the body holds"
    origin = Solved(told, "definition", (capacity, efficiency))
    return Value(capacity.name, weaker, capacity.unit, origin, capacity.depth_axis)


def burst(basis: DesignBasis, body: PipeBody, inside: Value, outside: Value) -> tuple[Value, Value]:
    """Return demand and capacity for pressure inside."""
    demand = work(
        factored_pressure_difference,
        higher_pressure=inside,
        lower_pressure=outside,
        design_factor=basis.value("burst_factor", "design_factor"),
    )
    return demand, body.holds_inside


def collapse(
    basis: DesignBasis, body: PipeBody, inside: Value, outside: Value, axial_force: Value
) -> tuple[Value, Value]:
    """Return demand and capacity for pressure outside, tension and pressure inside counted."""
    demand = work(
        factored_pressure_difference,
        higher_pressure=outside,
        lower_pressure=inside,
        design_factor=basis.value("collapse_factor", "design_factor"),
    )
    capacity = work(
        collapse_pressure_under_tension,
        outside_diameter=body.outside_diameter,
        wall=body.wall,
        yield_strength=body.yield_strength,
        axial_stress=work(
            axial_stress_of_force,
            axial_force=axial_force,
            outside_diameter=body.outside_diameter,
            wall=body.wall,
        ),
        internal_pressure=inside,
    )
    return demand, _connected(capacity, body.joint.collapse_efficiency)


def axial(basis: DesignBasis, body: PipeBody, axial_force: Value) -> tuple[Value, Value]:
    """Return demand and capacity of the connections for tension or compression, whichever acts."""
    told = Solved("axial force, pulling or pressing", "definition", (axial_force,))
    load = Value("load", np.abs(axial_force.si), "N", told, -1)
    factor = basis.value("tension_factor", "design_factor")
    demand = work(required_capacity, load=load, design_factor=factor)
    pulled, pressed, hot, cold = (
        body.joint.tension,
        body.joint.compression,
        body.yield_strength,
        body.cold_yield,
    )
    bears = np.where(np.asarray(axial_force.si) >= 0.0, pulled.si, pressed.si)
    origin = Solved(
        "connection in tension where the force pulls, in compression where it presses; lowered by "
        "heat as the yield strength is",
        "common-practice",
        (pulled, pressed, hot, cold),
    )
    capacity = bears * np.asarray(hot.si) / np.asarray(cold.si)
    return demand, Value("required_capacity", capacity, "N", origin, -1)


def triaxial(
    basis: DesignBasis,
    body: PipeBody,
    inside: Value,
    outside: Value,
    axial_force: Value,
    bending_stress: Value | None,
) -> tuple[Value, Value]:
    """Return demand and capacity for all stresses together; no bending in a straight hole."""
    bent = {} if bending_stress is None else {"bending_stress": bending_stress}
    stress = work(
        triaxial_equivalent_stress,
        outside_diameter=body.outside_diameter,
        wall=body.wall,
        axial_force=axial_force,
        internal_pressure=inside,
        external_pressure=outside,
        **bent,
    )
    factor = basis.value("triaxial_factor")
    demand = Value(
        "yield_strength",
        float(factor) * np.asarray(stress.si),
        "Pa",
        Solved("equivalent stress times the design factor", "common-practice", (factor, stress)),
        -1,
    )
    return demand, body.yield_strength
