"""The planned sea as vessel and riser feel it: density, current and heave."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import FEW, kept
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.heave_surge import heave_zero_crossing_period
from bathybore.kernels.seawater import (
    absolute_salinity,
    conservative_temperature,
    sea_water_density,
)
from bathybore.kernels.waves import (
    jonswap_zero_crossing_period,
    most_probable_maximum,
    peak_enhancement,
    significant_heave_amplitude,
)
from bathybore.model.hole import HoleOrSetting, Setting
from bathybore.operations.columns import gravity_value, sea_bed_pressure
from bathybore.operations.position import chart_point

_STORM: Final = 3 * 3600.0  # s, a sea state is taken as steady for 3 h (common practice)
_ALIKE: Final = 1e-6  # m/s, currents nearer than this are one


def surface_density(hole: HoleOrSetting) -> Value:
    """Return the density of the water at the surface, from the first row of the sea table."""
    return _surface_density(hole.setting)


@kept(FEW)
def _surface_density(hole: Setting) -> Value:
    point = chart_point(hole)
    where = FromWalk("position of the site")
    zero = Value("sea_pressure", 0.0, "Pa", FromWalk("at the surface"))
    salinity = work(
        absolute_salinity,
        practical_salinity=hole.sea.value("practical_salinity", 0.0),
        sea_pressure=zero,
        longitude=Value("longitude", point.longitude, "rad", where),
        latitude=Value("latitude", point.latitude, "rad", where),
    )
    warmth = work(
        conservative_temperature,
        absolute_salinity=salinity,
        in_situ_temperature=hole.sea.value("temperature", 0.0, "in_situ_temperature"),
        sea_pressure=zero,
    )
    return work(
        sea_water_density,
        absolute_salinity=salinity,
        conservative_temperature=warmth,
        sea_pressure=zero,
    )


def mean_density(hole: HoleOrSetting) -> Value:
    """Return the mean density of the sea: that whose column gives the pressure at the sea bed."""
    return _mean_density(hole.setting)


@kept(FEW)
def _mean_density(hole: Setting) -> Value:
    pressure, gravity = sea_bed_pressure(hole), gravity_value(hole)
    depth = hole.site.value("water_depth")
    origin = Solved(
        "mean over the whole water: $overline(rho)_w = p_w / (g H_w)$",
        "definition",
        (pressure, gravity, depth),
    )
    mean = float(pressure) / (float(gravity) * float(depth))
    return Value("sea_water_density", mean, "kg/m3", origin)


def surface_current(hole: HoleOrSetting) -> Value:
    """Return the current at the surface: the greater of the environment's and the sea table's."""
    planned = hole.site.environment.value("surface_current", "current_speed")
    tabled = hole.sea.value("current_speed", 0.0)
    return planned if float(planned) >= float(tabled) else tabled


def current_note(hole: HoleOrSetting) -> str:
    """Return the words that a record needs where the two currents at the surface differ."""
    planned = hole.site.environment.surface_current
    tabled = float(hole.sea.at("current_speed", 0.0))
    if abs(planned - tabled) <= _ALIKE:
        return ""
    return (
        f"The environment says {planned:g} m/s of current at the surface, {hole.sea.file} "
        f"{tabled:g} m/s: the greater is used."
    )


def current_at(hole: HoleOrSetting, z: Array | float) -> Value:
    """Return the current at depths, the table raised where the environment's is the greater.

    The whole profile is raised in the same ratio: who plans for more current at the
    surface is on the safe side with more below it too.
    """
    tabled, surface = hole.sea.value("current_speed", z), surface_current(hole)
    at_top = hole.sea.value("current_speed", 0.0)
    if float(surface) <= float(at_top):
        return tabled
    origin = Solved(
        "current of the sea table, raised in the ratio of the currents at the surface",
        "assumed",
        (tabled, surface, at_top),
    )
    raised = np.asarray(tabled.si) * (float(surface) / float(at_top))
    return Value("current_speed", raised, "m/s", origin, tabled.depth_axis)


def zero_crossing_period(hole: HoleOrSetting) -> Value:
    """Return the mean zero-crossing period of the planned sea."""
    return work(
        jonswap_zero_crossing_period,
        peak_period=hole.site.environment.value("peak_period"),
        peak_enhancement=peakedness(hole),
    )


def peakedness(hole: HoleOrSetting) -> Value:
    """Return the peak enhancement of the planned sea."""
    sea = hole.site.environment
    return work(
        peak_enhancement,
        significant_wave_height=sea.value("significant_wave_height"),
        peak_period=sea.value("peak_period"),
    )


def greatest_heave(hole: HoleOrSetting) -> Value:
    """Return the most probable greatest heave amplitude in three hours of the planned sea."""
    return _greatest_heave(hole.setting)


@kept(FEW)
def _greatest_heave(hole: Setting) -> Value:
    storm = Value("duration", _STORM, "s", FromWalk("a sea state, taken as steady for three hours"))
    return heave_within(hole, storm)


@kept(FEW)
def heave_within(hole: Setting, duration: Value) -> Value:
    """Return the most probable greatest heave amplitude of the planned sea within a time."""
    period = zero_crossing_period(hole)
    cycles = Value(
        "number_of_cycles",
        max(float(duration) / float(period), 1.0),
        "-",
        Solved("time over the zero-crossing period", "common-practice", (duration, period)),
    )
    return work(
        most_probable_maximum,
        significant_amplitude=_significant_heave(hole).named("significant_amplitude"),
        number_of_cycles=cycles,
    ).named("max_heave_amplitude")


@kept(FEW)
def heave_period(hole: Setting) -> Value:
    """Return the zero-crossing period of the vessel's heave in the planned sea."""
    return work(heave_zero_crossing_period, **_sea_and_hull(hole))


@kept(FEW)
def _significant_heave(hole: Setting) -> Value:
    return work(significant_heave_amplitude, **_sea_and_hull(hole))


def _sea_and_hull(hole: Setting) -> dict[str, Value]:
    hull, sea = hole.vessel.hull, hole.site.environment
    return {
        "significant_wave_height": sea.value("significant_wave_height"),
        "peak_period": sea.value("peak_period"),
        "peak_enhancement": peakedness(hole),
        "relative_wave_direction": sea.value("heading_off_weather", "relative_wave_direction"),
        "hull_length": hull.value("length", "hull_length"),
        "breadth": hull.value("beam", "breadth"),
        "draught": hull.value("draught"),
        "block_coefficient": block_coefficient(hole),
        "gravity": gravity_value(hole),
    }


def block_coefficient(hole: HoleOrSetting) -> Value:
    """Return how full the hull is, of the box of its sizes."""
    hull, water = hole.vessel.hull, surface_density(hole)
    box = hull.length * hull.beam * hull.draught * float(water)
    parts = ("displacement", "length", "beam", "draught")
    origin = Solved(
        "displacement over the water that a box of the same sizes displaces: "
        "$C_B = m / (rho_w L B d_h)$",
        "definition",
        (*(hull.value(part) for part in parts), water),
    )
    return Value("block_coefficient", hull.displacement / box, "-", origin)
