"""Fatigue of the riser's welds over the sea states of the place, by rainflow's law of any width.

The drag of a riser in waves depends on the waves, and both drives and brakes it: more of it is on
neither side the safe one. So it is made linear anew at every height of the classes, there at the
mean of their periods.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import FEW, kept
from bathybore.kernels.riser_waves import Seaway, stress_periods, sway_in_waves
from bathybore.kernels.soft_string import bending_stress_from_dogleg
from bathybore.kernels.wave_fatigue import dirlik_fatigue_rate, wave_fatigue_rate
from bathybore.kernels.waves import jonswap_spectral_density, peak_enhancement
from bathybore.model.tables import ProfileTable
from bathybore.operations.columns import gravity_value
from bathybore.operations.operability import Scatter, given_scatter, scatter
from bathybore.operations.riser_in_waves import in_water
from bathybore.operations.riser_shape import SeaRiser
from bathybore.operations.vessel_motions import motions_at
from bathybore.operations.weather_series import series_of

_WAVES: Final = 48
_TURN: Final = 2.0 * np.pi


@dataclass(frozen=True, eq=False)
class SeaFatigue:
    """What the seas of the place do to the welds.

    Attributes
    ----------
    wide, narrow : share of the life used per time at the nodes [1/s], by Dirlik and by Rayleigh
    worst : (height, period, share of the time, share of the damage) of the class that does most
    classes : of sea states that are met
    """

    riser: SeaRiser
    wide: Array
    narrow: Array
    worst: tuple[float, float, float, float]
    classes: int

    @property
    def node(self) -> int:
        return int(np.argmax(self.wide))


def _classes(classes: Scatter, greatest: float) -> tuple[Array, Array, Array]:
    """Return heights, periods and shares of the classes that are met, higher ones as planned.

    In seas above the planned one the riser is let go; counted as the planned one they are no
    less than what it is connected in.
    """
    height, period = (
        0.5 * (edges[1:] + edges[:-1]) for edges in (classes.heights, classes.periods)
    )
    rows, columns = np.nonzero(classes.shares > 0.0)
    return np.minimum(height[rows], greatest), period[columns], classes.shares[rows, columns]


@kept(FEW)
def sea_fatigue(riser: SeaRiser, classes: Scatter) -> SeaFatigue:
    """Return the fatigue of the welds over a scatter of sea states.

    Raises
    ------
    NotConverged
        The riser is pressed and buckles, or its drag does not settle.
    """
    setting = riser.gear.setting
    heights, periods, shares = _classes(classes, setting.site.environment.significant_wave_height)
    low, high = 0.55 * _TURN / periods.max(), min(3.2 * _TURN / periods.min(), 2.5)
    frequency = np.geomspace(low, max(high, 2.0 * low), _WAVES)
    vessel, gravity = motions_at(setting, frequency), float(gravity_value(setting))
    wide, narrow = np.zeros((2, len(heights), len(riser.nodes)))
    for level in np.unique(heights):
        here = np.flatnonzero(heights == level)
        typical = float(np.average(periods[here], weights=shares[here]))
        sea = _spectrum(frequency, float(level), typical)
        swayed = sway_in_waves(
            in_water(riser), riser.ends(0.0),
            Seaway(frequency, sea, vessel.floor, vessel.lean), gravity,
        )  # fmt: skip
        for n in here.tolist():
            steps = np.gradient(frequency) * _spectrum(frequency, heights[n], periods[n])
            stress = weld_stress(riser, np.sqrt(steps @ swayed.bent**2))
            times = stress_periods(frequency, steps, swayed.bent)
            wide[n] = dirlik_fatigue_rate(stress, *times)
            narrow[n] = wave_fatigue_rate(stress, times[0])
    total = shares @ wide
    node = int(np.argmax(total))
    each = shares * wide[:, node]
    most = int(np.argmax(each))
    share = float(each[most] / max(each.sum(), 1e-300))
    worst = (float(heights[most]), float(periods[most]), float(shares[most]), share)
    return SeaFatigue(riser, total, shares @ narrow, worst, len(heights))


def _spectrum(frequency: Array, height: float, period: float) -> Array:
    peaked = float(peak_enhancement(height, period))
    return np.asarray(jonswap_spectral_density(frequency, height, period, peaked))


def weld_stress(riser: SeaRiser, curvature: Array) -> Array:
    """Return the standard deviation of the stress at a weld [Pa]."""
    basis, joint = riser.gear.setting.basis, riser.gear.joint
    stress = bending_stress_from_dogleg(joint.outside_diameter, curvature, float(riser.young))
    return np.asarray(basis.riser_stress_concentration * np.asarray(stress))


@kept(FEW)
def place_scatter(table: ProfileTable) -> Scatter:
    """Return a series of weather, or a scatter of sea states, as shares of the whole time."""
    if "time" in table.numbers:
        return scatter(table, series_of(table))
    return given_scatter(table).whole
