"""The reach of a string in words, the same for every face."""

from __future__ import annotations

from bathybore.base.units import UnitSystem, show
from bathybore.usecases.string_reach import StringReach, UsedPipe, turns


def metres(length: float, units: UnitSystem) -> str:
    return show(length, "m", units, significant=5)


def force(load: float, units: UnitSystem) -> str:
    return show(load, "N", units, significant=4)


def pipe_told(pipe: UsedPipe, units: UnitSystem) -> str:
    """Return one pipe of the string with what it bears at its top."""
    length, pull = metres(pipe.length, units), force(pipe.top_tension, units)
    bears = force(pipe.bears, units)
    return f"{pipe.name} ({pipe.designation}): {length}, {pull} at its top of {bears} it bears"


def facts(reach: StringReach, units: UnitSystem) -> list[tuple[str, str]]:
    """Return what is to be known of the string as label and text."""
    stretch, twist = metres(float(reach.stretch), units), f"{turns(reach.twist):.1f} turns"
    fitting = metres(reach.free.length + reach.assembly_length, units)
    rows = [
        ("Reach", f"{metres(float(reach.reach), units)} below the drill floor"),
        ("Target", f"{metres(float(reach.needed), units)} below the drill floor"),
        ("Ended by", reach.ends),
        ("In a wide hole", f"{fitting}, where every pipe fits everywhere"),
        ("Hangs in", f"{reach.fluid}, with the bottom assembly of {reach.string}"),
        ("Stretch, twist", f"{stretch} under the overpull, {twist} under the torque of the bit"),
    ]
    if reach.buckling is not None:
        load = force(float(reach.buckling), units)
        rows.append(("Buckling", f"the lowest collar first buckles at {load} on the bit"))
    return rows + [("Left out", f"{name}: {why}") for name, why in reach.left_out]


def down_the_string(reach: StringReach, units: UnitSystem) -> tuple[str, ...]:
    """Return pipes and bottom assembly, from the drill floor down."""
    return (
        *(pipe_told(pipe, units) for pipe in reversed(reach.pipes)),
        *(
            f"{name}: {metres(length, units)}, bottom assembly"
            for name, length in reversed(reach.assembly)
        ),
    )


def alone(reach: StringReach, units: UnitSystem) -> tuple[tuple[str, str], ...]:
    """Return how deep each limit alone would let the string go, the first to bite first."""
    ordered = sorted(reach.alone, key=lambda one: one[1])
    return tuple((metres(depth, units), words) for words, depth in ordered)
