"""How much warmer or colder a casing gets than the ground it was cemented in.

Told by the design basis, and bounded: no mud that comes up is hotter than the ground it was
in, none that is pumped down is colder than the coldest water of the sea.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value
from bathybore.model.hole import Setting
from bathybore.operations.columns import temperature

_TOLD: Final = "as told, where it does not pass the bound"
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
    how = f"no mud is hotter than the ground that it was in, down to {setting.depth(hottest)}"
    bound = _place(np.max(temperature(setting, np.append(z, hottest))), how)
    return _change(setting, z, cement_top, bound, "annulus_warming", 1.0)


@kept(SOME)
def cooling(setting: Setting, z: Array, cement_top: float) -> Value:
    """Return the change of temperature of a casing, negative, while cold mud is pumped down."""
    sea = temperature(setting, np.append(setting.sea.depths, setting.sea_bed))
    bound = _place(np.min(sea), "no mud that is pumped is colder than the coldest of the sea table")
    return _change(setting, z, cement_top, bound, "casing_cooling", -1.0)


def _place(number: float, how: str) -> Value:
    return Value("temperature", float(number), "K", FromWalk(how))


def _change(
    setting: Setting, z: Array, cement_top: float, bound: Value, told_in: str, sign: float
) -> Value:
    """Return the change that is told, or the bound where none is told or it would be passed."""
    undisturbed = temperature(setting, z)
    before = Value(
        "temperature", undisturbed, "K", FromWalk("undisturbed, sea and earth tables"), -1
    )
    most = np.maximum(sign * (float(bound) - undisturbed), 0.0)
    change, how = over_free_length(most, z, cement_top), _MEAN
    parts: tuple[Value, ...] = (bound, before)
    if getattr(setting.basis, told_in) is not None:
        told = setting.basis.value(told_in)
        change, how = np.minimum(change, float(told)), f"{_TOLD}; {_MEAN}"
        parts = (told, *parts)
    origin = Solved(how, "definition", parts)
    return Value("temperature_change", sign * change, "K difference", origin, -1)


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
