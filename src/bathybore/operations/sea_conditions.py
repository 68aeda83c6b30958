"""The planned sea as vessel and riser feel it: density, current, waves."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import FEW, kept
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.seawater import (
    absolute_salinity,
    conservative_temperature,
    sea_water_density,
)
from bathybore.kernels.waves import (
    jonswap_zero_crossing_period,
    peak_enhancement,
)
from bathybore.model.hole import HoleOrSetting, Setting
from bathybore.operations.columns import gravity_value, sea_bed_pressure
from bathybore.operations.position import chart_point

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
