"""What a pipe body is asked to bear and what it bears: burst, collapse, all stresses together.

Sizes are single numbers or run over depth: of one pipe, or of a string of several.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bathybore.base.working import Solved, Value, work
from bathybore.kernels.segments import factored_pressure_difference
from bathybore.kernels.tubular_collapse import collapse_pressure_under_tension
from bathybore.kernels.tubular_strength import internal_yield_pressure
from bathybore.kernels.tubular_stress import axial_stress_of_force, triaxial_equivalent_stress
from bathybore.model.basis import DesignBasis


@dataclass(frozen=True, eq=False)
class PipeBody:
    """The body that bears a load: the wall with wear taken off, the yield lowered by heat."""

    outside_diameter: Value
    wall: Value
    yield_strength: Value


def burst(basis: DesignBasis, body: PipeBody, inside: Value, outside: Value) -> tuple[Value, Value]:
    """Return demand and capacity for pressure inside."""
    demand = work(
        factored_pressure_difference,
        higher_pressure=inside,
        lower_pressure=outside,
        design_factor=basis.value("burst_factor", "design_factor"),
    )
    capacity = work(
        internal_yield_pressure,
        outside_diameter=body.outside_diameter,
        wall=body.wall,
        yield_strength=body.yield_strength,
    )
    return demand, capacity


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
    return demand, capacity


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
