"""A circulation in words and rows, the same for every face."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.units import UnitSystem, show
from bathybore.base.working import Value
from bathybore.kernels.nozzles import THIRTY_SECOND
from bathybore.operations.circulation_nozzles import Jets
from bathybore.operations.circulation_profile import REGIMES, Channel, CirculationProfile
from bathybore.usecases.circulating import StepCirculation

_MOST_ROWS: Final = 16
ANNULUS_TITLES: Final = (
    "foot of",
    "depth",
    "velocity",
    "flow",
    "friction",
    "cuttings",
    "temperature",
    "pressure",
    "equivalent density",
)
PIPE_TITLES: Final = ("foot of", "depth", "velocity", "flow", "friction", "temperature", "pressure")
NOZZLE_TITLES: Final = (
    "nozzles",
    "flow",
    "total flow area",
    "bit loss",
    "jet velocity",
    "hydraulic power",
    "power per area",
    "jet impact",
    "pump pressure",
)


def pressure(value: float | Value, units: UnitSystem) -> str:
    return show(float(value), "Pa", units, significant=4)


def flow_rate(value: float | Value, units: UnitSystem) -> str:
    return show(float(value), "m3/s", units, significant=4)


def warmth(value: float, units: UnitSystem) -> str:
    return show(value, "K", units, significant=3)


def density(value: float, units: UnitSystem) -> str:
    return show(value, "kg/m3", units, unit="sg" if units == "metric" else "ppg", significant=4)


def rate(value: float, units: UnitSystem) -> str:
    return show(value, "m/s", units, unit="m/h" if units == "metric" else "ft/h", significant=3)


def facts(one: StepCirculation, units: UnitSystem) -> list[tuple[str, str]]:
    """Return what is to be known of a circulation as label and text."""
    flow, profile = one.flow, one.profile
    booster = float(flow.booster_flow_rate)
    rows = [
        ("Step", f"{one.title} ({one.step})"),
        ("Fluid", f"{one.fluid}, {density(flow.fluid.density, units)} at the surface"),
        (
            "Flow",
            flow_rate(flow.flow_rate, units)
            + (f", booster {flow_rate(booster, units)}" if booster else "")
            + f", {rate(float(flow.rate_of_penetration), units)}",
        ),
        ("Returns", "by the riser" if flow.on_riser else "to the sea floor"),
        ("Pump", _pump(one, units)),
        ("At bottom", _at_bottom(profile, units)),
    ]
    return rows + _corrections(one)


def _pump(one: StepCirculation, units: UnitSystem) -> str:
    profile, parts = one.profile, one.profile
    whole = pressure(profile.standpipe, units)
    bore = float(np.sum(np.asarray(profile.pipe.friction.si) * profile.pipe.cells.length))
    up = float(np.sum(np.asarray(profile.annulus.friction.si) * profile.annulus.cells.length))
    tools = f"tools {pressure(parts.tools, units)}, " if float(parts.tools) else ""
    return (
        f"{whole} with the mud as warm as it flows, {pressure(one.quick, units)} with it alike in "
        f"string and annulus, as the check has it: lines {pressure(parts.lines, units)}, string "
        f"{pressure(bore, units)}, {tools}bit {pressure(parts.bit, units)}, annulus "
        f"{pressure(up, units)}"
    )


def _at_bottom(profile: CirculationProfile, units: UnitSystem) -> str:
    dense = float(np.asarray(profile.equivalent.si)[-1])
    datum = "drill floor" if profile.flow.on_riser else "sea bed"
    cold = float(np.asarray(profile.annulus.temperature.si)[-1])
    return (
        f"{pressure(profile.bottom_pressure, units)}, {density(dense, units)} to the {datum}, "
        f"{warmth(cold, units)}"
    )


def _corrections(one: StepCirculation) -> list[tuple[str, str]]:
    basis = one.flow.setting.basis
    told = []
    if basis.string_eccentricity > 0.0:
        told.append(f"string aside by {basis.string_eccentricity:g} of its clearance")
    if basis.tool_joints_counted:
        told.append("tool joints")
    if basis.rotation_factor != 1.0:
        told.append(f"rotation, a factor of {basis.rotation_factor:g}")
    return [("Counted in", "; ".join(told) or "nothing beside the plain concentric channels")]


# ---- window of flows ----------------------------------------------------------------------


def window_told(one: StepCirculation, units: UnitSystem) -> list[tuple[str, str]]:
    """Return the edges of the window of flows as label and text."""
    window, frame = one.window, one.flow.setting
    cleans = "none tried" if window.smallest is None else flow_rate(window.smallest, units)
    if window.greatest is None:
        bears = "none tried"
    elif window.beyond:
        bears = f"every flow tried, up to {flow_rate(window.greatest, units)}"
    else:
        bears = flow_rate(window.greatest, units)
    drives = "none" if window.pumped is None else flow_rate(window.pumped, units)
    return [
        ("Cleans from", cleans),
        ("Rock bears to", f"{bears}; least at {frame.depth(window.weakest).show(units)}"),
        ("Pumps to", f"{drives}, with the planned nozzles"),
        ("Planned", flow_rate(one.flow.flow_rate, units)),
    ]


# ---- nozzles ------------------------------------------------------------------------------


def nozzle_rows(one: StepCirculation, units: UnitSystem) -> tuple[tuple[str, ...], ...]:
    """Return the planned nozzles and the choices as rows under `NOZZLE_TITLES`."""
    choice = one.nozzles
    rows = [_jets("as planned", choice.planned, units)]
    if choice.best is not None:
        rows.append(_jets(f"{_size(choice.best)} at the planned flow", choice.best, units))
    for goal, jets in choice.goals.items():
        rows.append(_jets(f"{_size(jets)} for most {goal}", jets, units))
    return tuple(rows)


def nozzles_told(one: StepCirculation, units: UnitSystem) -> str:
    """Return what the choices keep to."""
    limit = pressure(one.nozzles.limit, units)
    if one.nozzles.best is None:
        return f"The pumps have nothing to spare for nozzles at the planned flow ({limit})."
    return (
        f"Three equal nozzles, up to a whole 1/32 in, so that the pumps stay within {limit} at the "
        "planned flow; for the best flow, between the smallest that cleans and the greatest that "
        "the rock bears."
    )


def _size(jets: Jets) -> str:
    assert jets.diameter is not None  # a choice has one
    return f"3 of {round(float(jets.diameter) / THIRTY_SECOND)}/32 in"


def _jets(name: str, jets: Jets, units: UnitSystem) -> tuple[str, ...]:
    area = show(float(jets.area), "m2", units, unit="in**2", significant=3)
    across = "W/mm**2" if units == "metric" else "hp/in**2"
    return (
        name,
        flow_rate(jets.flow_rate, units),
        area,
        pressure(jets.pressure_drop, units),
        show(float(jets.velocity), "m/s", units, significant=3),
        show(float(jets.power), "W", units, significant=3),
        show(float(jets.power_per_area), "W/m2", units, unit=across, significant=3),
        show(
            float(jets.impact), "N", units, unit="N" if units == "metric" else "lbf", significant=3
        ),
        pressure(jets.pump_pressure, units),
    )


# ---- depth by depth -----------------------------------------------------------------------


def annulus_rows(one: StepCirculation, units: UnitSystem) -> tuple[tuple[str, ...], ...]:
    """Return the way up as rows under `ANNULUS_TITLES`: feet of lengths and some between."""
    profile = one.profile
    channel, dense = profile.annulus, np.asarray(profile.equivalent.si)
    share = np.asarray(profile.fraction.si)
    return tuple(
        (
            *_common(one, channel, index, units),
            f"{100.0 * share[index]:.2g} %",
            warmth(_at(channel.temperature, index), units),
            pressure(_at(channel.pressure, index), units),
            density(float(dense[index]), units),
        )
        for index in _picked(channel)
    )


def pipe_rows(one: StepCirculation, units: UnitSystem) -> tuple[tuple[str, ...], ...]:
    """Return the way down as rows under `PIPE_TITLES`."""
    channel = one.profile.pipe
    return tuple(
        (
            *_common(one, channel, index, units),
            warmth(_at(channel.temperature, index), units),
            pressure(_at(channel.pressure, index), units),
        )
        for index in _picked(channel)
    )


def _common(
    one: StepCirculation, channel: Channel, index: int, units: UnitSystem
) -> tuple[str, ...]:
    cells = channel.cells
    return (
        cells.names[index],
        one.flow.setting.depth(float(cells.bottom[index])).show(units),
        show(_at(channel.velocity, index), "m/s", units, significant=3),
        REGIMES[int(channel.regime[index])],
        show(_at(channel.friction, index), "Pa/m", units, significant=3),
    )


def _at(value: Value, index: int) -> float:
    numbers = np.asarray(value.si)
    return float(numbers[index] if numbers.ndim else numbers)


def _picked(channel: Channel) -> list[int]:
    """Return the last cell of every length, and even ones between up to a page full."""
    names, count = channel.cells.names, len(channel.cells)
    feet = [i for i in range(count) if i == count - 1 or names[i] != names[i + 1]]
    spare = max(_MOST_ROWS - len(feet), 0)
    even = np.linspace(0, count - 1, spare + 2).round().astype(int)[1:-1]
    far = [int(i) for i in even if min(abs(int(i) - foot) for foot in feet) > 2]
    return sorted({*feet, *far})


# ---- heat ---------------------------------------------------------------------------------


def heat_told(one: StepCirculation, units: UnitSystem) -> list[tuple[str, str]]:
    """Return how warm the hole is, as label and text."""
    basis, heat, story = one.flow.setting.basis, one.heat, one.story
    bed = float(one.flow.setting.sea_bed)
    below = int(np.searchsorted(heat.cells.edges, bed + 1e-6) - 1)
    hours = show(basis.circulating_time, "s", units, significant=3)
    still = show(basis.pumps_stopped, "s", units, significant=3)
    warmest = int(np.argmax(heat.heat.annulus[below:]))
    place = one.flow.setting.depth(float(heat.cells.middle[below + warmest])).show(units)
    settled = warmth(_last(heat.heat.annulus), units)
    then = warmth(_last(story.circulated.mud.annulus), units)
    later = warmth(_last(story.stopped.mud.annulus), units)
    return [
        ("Pumped at", warmth(float(heat.path.inlet[0]), units)),
        ("At the bottom", f"{settled} after {hours} of circulation, settled"),
        ("Followed in time", f"{then} then; {later} once the pumps have stopped for {still}"),
        ("Undisturbed", f"{warmth(_last(one.undisturbed), units)} there"),
        ("At the sea bed", f"{warmth(float(heat.heat.annulus[below]), units)} in the annulus"),
        ("Warmest", f"{warmth(float(heat.heat.annulus[below + warmest]), units)} at {place}"),
    ]


def _last(numbers: Array) -> float:
    return float(numbers[-1])
