"""How much warmer or colder a casing gets than the ground it was cemented in.

Told by the design basis, or bounded: no mud that comes up is hotter than the ground it was
in, none that is pumped down is colder than the coldest water of the sea.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value
from bathybore.model.hole import Setting
from bathybore.operations.columns import temperature

_MEAN: Final = (
    "change of temperature: its mean over the free length above the cement, whose ends are held; "
    "in the cement that of each depth"
)


@kept(SOME)
def warming(setting: Setting, z: Array, cement_top: float, hottest: float) -> Value:
    """Return the rise of temperature of a casing while mud comes up hot.

    Parameters
    ----------
    z : [m below sea level] nodes of the casing, top down
    cement_top : [m below sea level]
    hottest : [m below sea level] bottom of the section that the mud comes from
    """
    told = setting.basis.annulus_warming
    if told is not None:
        return _told(setting.basis.value("annulus_warming"), z, told)
    how = f"no mud is hotter than the ground that it was in, down to {setting.depth(hottest)}"
    bound = _place(np.max(temperature(setting, np.append(z, hottest))), how)
    return _changed(setting, z, cement_top, bound, lambda change: np.maximum(change, 0.0))


@kept(SOME)
def cooling(setting: Setting, z: Array, cement_top: float) -> Value:
    """Return the change of temperature of a casing, negative, while cold mud is pumped down."""
    told = setting.basis.casing_cooling
    if told is not None:
        return _told(setting.basis.value("casing_cooling"), z, -told)
    sea = temperature(setting, np.append(setting.sea.depths, setting.sea_bed))
    bound = _place(np.min(sea), "no mud that is pumped is colder than the coldest of the sea table")
    return _changed(setting, z, cement_top, bound, lambda change: np.minimum(change, 0.0))


def _told(value: Value, z: Array, change: float) -> Value:
    origin = Solved("told, and taken to be the same along the casing", "definition", (value,))
    return Value("temperature_change", np.full(len(z), change), "K difference", origin, -1)


def _place(number: float, how: str) -> Value:
    return Value("temperature", float(number), "K", FromWalk(how))


def _changed(
    setting: Setting, z: Array, cement_top: float, bound: Value, one_way: Callable[[Array], Array]
) -> Value:
    undisturbed = temperature(setting, z)
    before = Value("temperature", undisturbed, "K", FromWalk("undisturbed, sea and earth tables"),
                   -1)  # fmt: skip
    change = over_free_length(one_way(float(bound) - undisturbed), z, cement_top)
    origin = Solved(_MEAN, "definition", (bound, before))
    return Value("temperature_change", change, "K difference", origin, -1)


def over_free_length(change: Array, z: Array, cement_top: float) -> Array:
    """Return changes of temperature with their mean put wherever no cement holds the pipe."""
    free = z < cement_top - 1e-6
    if not free.any():
        return change
    # the free length ends at the cement top, which need not be a node
    ends = np.append(z[free], min(cement_top, float(z[-1])))
    values = np.append(change[free], np.interp(ends[-1], z, change))
    mean = float(np.sum(0.5 * (values[1:] + values[:-1]) * np.diff(ends)) / (ends[-1] - ends[0]))
    return np.where(free, mean, change)
