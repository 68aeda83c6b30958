"""What hangs on the vessel: strings and casings in their fluids, from the bottom up."""

from __future__ import annotations

import numpy as np

from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Value, work
from bathybore.kernels.segments import weight_over_segments
from bathybore.kernels.string_mechanics import buoyed_weight, effective_weight_per_length
from bathybore.model.plan import Fluid
from bathybore.operations.state import CasingInPlace, StringInHole


@kept(SOME)
def part_weights(string: StringInHole, inside: Fluid, outside: Fluid) -> Value:
    """Return the weight per length of each part in its fluids, lowest part first."""
    linear_mass, outside_diameter, inside_diameter = _along(string)
    return work(
        effective_weight_per_length,
        linear_mass=linear_mass,
        outside_diameter=outside_diameter,
        inside_diameter=inside_diameter,
        fluid_density_inside=inside.value("density"),
        fluid_density_outside=outside.value("density"),
    )


@kept(SOME)
def _along(string: StringInHole) -> tuple[Value, Value, Value]:
    """Return mass per length, outside and inside diameter of each part, lowest part first."""
    pipes = [part.pipe for part in string.parts]
    names = "; ".join(pipe.name for pipe in pipes)

    def over_parts(name: str, values: list[Value]) -> Value:
        origins = {str(v.origin) for v in values}
        how = next(iter(origins)) if len(origins) == 1 else f"of each part, lowest first: {names}"
        return Value(name, np.array([float(v) for v in values]), values[0].unit, FromWalk(how))

    return (
        over_parts("linear_mass", [p.linear_mass for p in pipes]),
        over_parts("outside_diameter", [p.outside_diameter for p in pipes]),
        over_parts("inside_diameter", [p.inside_diameter for p in pipes]),
    )


def _lengths(array: np.ndarray, string: StringInHole, axis: int | None = None) -> Value:
    names = "; ".join(part.pipe.name for part in string.parts)
    origin = FromWalk(f"lengths of the parts, lowest first: {names}")
    return Value("segment_length", array, "m", origin, axis)


@kept(SOME)
def string_weight(string: StringInHole, inside: Fluid, outside: Fluid) -> Value:
    """Return the weight of the whole string in its fluids."""
    lengths = np.array([part.length for part in string.parts])
    return work(
        weight_over_segments,
        effective_weight_per_length=part_weights(string, inside, outside),
        segment_length=_lengths(lengths, string),
    )


@kept(SOME)
def tension_at_part_ends(string: StringInHole, inside: Fluid, outside: Fluid) -> Value:
    """Return the static tension at both ends of each part, the lowest end first.

    A profile over ends: foot and top of the lowest part, foot and top of the next, and so
    on. Between the ends of a part the tension is a straight line.
    """
    return work(
        weight_over_segments,
        effective_weight_per_length=part_weights(string, inside, outside),
        segment_length=_below_ends(string),
    )


@kept(SOME)
def _below_ends(string: StringInHole) -> Value:
    """Return (end, part) lengths of each part that hang below each end."""
    lengths = np.array([part.length for part in string.parts])
    whole = np.broadcast_to(lengths, (len(lengths), len(lengths)))
    below = np.stack([np.tril(whole, -1), np.tril(whole)], axis=1)
    return _lengths(below.reshape(-1, len(lengths)), string, -2)


@kept(SOME)
def casing_weight(casing: CasingInPlace, inside: Fluid, outside: Fluid) -> Value:
    """Return the weight of a casing in its fluids."""
    length = Value(
        "length", casing.shoe - casing.top, "m", FromWalk(f"length of {casing.name}, top to shoe")
    )
    return work(
        buoyed_weight,
        linear_mass=casing.pipe.linear_mass,
        length=length,
        outside_diameter=casing.pipe.outside_diameter,
        inside_diameter=casing.pipe.inside_diameter,
        fluid_density_inside=inside.value("density"),
        fluid_density_outside=outside.value("density"),
    )
