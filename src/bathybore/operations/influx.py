"""What comes in when a hole kicks: how hard, gas or water, and what it presses above."""

from __future__ import annotations

from typing import Final

from bathybore.base.arrays import Array
from bathybore.base.working import FromWalk, Solved, Value, from_walk, work
from bathybore.kernels.gas import gas_column_top_pressure
from bathybore.kernels.segments import pressure_above_loss_zone
from bathybore.model.fluid_composition import MOST_PRESSED, WATER, water_outside
from bathybore.model.hole import Hole, Setting
from bathybore.model.plan import Section
from bathybore.operations.columns import gravity_value, mean_temperature, temperature
from bathybore.operations.sea_fluid import formation_water_density

_SAME: Final = 1e-6  # m; places no farther apart are one


def kick_intensity(hole: Hole, section: Section) -> Value:
    """Return how much a kick's pressure exceeds the prognosis, as a density to the drill floor."""
    if section.kick_intensity is not None:
        return section.value("kick_intensity")
    return hole.basis.value("kick_intensity")


def kick_is_gas(setting: Setting, top: float, bottom: float) -> bool:
    """Return whether a kick from an interval is taken as gas: always, unless told otherwise.

    With ``kick_fluid: as told`` an interval is gas where the earth table says gas or oil,
    or says nothing of any part of it.
    """
    if setting.basis.kick_fluid == "gas" or "formation_fluid" not in setting.earth.words:
        return True
    told = [
        (upper + setting.sea_bed, lower + setting.sea_bed, word)
        for upper, lower, word in setting.earth.intervals("formation_fluid")
        if upper + setting.sea_bed < bottom and lower + setting.sea_bed > top
    ]
    if not told or told[0][0] > top + _SAME or told[-1][1] < bottom - _SAME:
        return True
    return any(word in ("gas", "oil", "") for _, _, word in told)


def gas_above(setting: Setting, below: Value, z_below: float, z: Array | float) -> Value:
    """Return the pressure in gas that fills the hole above."""
    return work(
        gas_column_top_pressure,
        pressure_at_bottom=below.named("pressure_at_bottom"),
        height=from_walk("height", z_below - z, "m", "height of the gas column"),
        temperature=mean_temperature(setting, z, z_below),
        gas_gravity=setting.basis.value("gas_gravity"),
        gravity=gravity_value(setting),
    )


def water_above(setting: Setting, below: Value, z_below: float, z: Array | float) -> Value:
    """Return the pressure in formation water, as salt as the sea, that fills the hole above."""
    return work(
        pressure_above_loss_zone,
        loss_zone_pressure=below.named("loss_zone_pressure"),
        fluid_density=formation_water(setting, below, z_below).named("fluid_density"),
        height_above_loss_zone=from_walk(
            "height_above_loss_zone", z_below - z, "m", "water column"
        ),
        gravity=gravity_value(setting),
    )


def formation_water(setting: Setting, pressure: Value, z: float) -> Value:
    """Return the density that formation water counts with above the place it comes from."""
    warm = Value(
        "temperature", float(temperature(setting, z)), "K", FromWalk("undisturbed, earth table")
    )
    origin = Solved(
        "the less dense of what it is there, squeezed by no more than 100 MPa, and in the cold sea "
        f"without pressure: {WATER}",
        "teos-10",
        (pressure, warm),
        outside=water_outside(MOST_PRESSED, warm.si),  # squeezed by no more than that
    )
    number = float(formation_water_density(setting, float(pressure), float(warm)))
    return Value("influx_density", number, "kg/m3", origin)
