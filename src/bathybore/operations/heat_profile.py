"""How warm the mud is while it goes round: of a step, or of a circulation.

What is asked most is `circulating_temperature`, at one place or at many.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import same
from bathybore.base.working import FromWalk, Value
from bathybore.operations.circulation import Circulation, of_drilling
from bathybore.operations.columns import temperature
from bathybore.operations.geometry import walls
from bathybore.operations.heat_cells import (
    Tube,
    Warmed,
    annulus_temperature,
    tube_temperature,
    tubes_of,
)
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind


def circulating_temperature(of: HoleState | Circulation, z: Array | float) -> Value:
    """Return the temperature of the mud in the annulus in settled circulation [K].

    Parameters
    ----------
    of : a drilling, coring or cementing step, or a circulation
    z : [m below mean sea level]
        Places; outside the annulus (in the open sea) the sea's own temperature.

    Returns
    -------
    annulus_mud_temperature : a value over the places

    Raises
    ------
    LookupError
        Nothing circulates in that step.
    """
    return annulus_temperature(warmed(of), z)


def pipe_temperature(of: HoleState | Circulation, z: Array | float) -> Value:
    """Return the temperature of the mud going down the pipe in settled circulation [K]."""
    return tube_temperature(warmed(of), z)


def static_temperature(of: HoleState | Circulation, z: Array | float) -> Value:
    """Return the undisturbed temperature at places [K]: of the sea, and of the ground."""
    setting = of.hole.setting if isinstance(of, HoleState) else of.setting
    number = temperature(setting, z)
    origin = FromWalk("undisturbed: sea table above the sea bed, earth table below")
    return Value("temperature", number, "K", origin, -1 if np.ndim(z) else None)


# ---- what flows ---------------------------------------------------------------------------

_NO_BOOSTER: Final = Value("booster_flow_rate", 0.0, "m3/s", FromWalk("no booster while cementing"))


def warmed(of: HoleState | Circulation) -> Warmed:
    """Return the flow of a step, or of a circulation, as its heat needs it.

    Raises
    ------
    LookupError
        Nothing circulates in that step.
    """
    if isinstance(of, Circulation):
        return of.warmed
    if of.step.kind is StepKind.CEMENT:
        return _of_cementing(of)
    return of_drilling(of).warmed


def _of_cementing(state: HoleState) -> Warmed:
    """Return mud going down landing string and casing before the cement, at the job's rate."""
    activity, hole = state.activity, state.hole
    casing, string, rate = activity.casing, activity.string, activity.flow_rate
    if casing is None or string is None or rate is None or not activity.layers:
        raise LookupError(f"{state.step.name} circulates nothing")
    before = tuple(one for one in state.casings if one.name != casing.name)
    pipe = casing.pipe
    own = Tube(
        float(casing.top),
        float(casing.shoe),
        float(pipe.inside_diameter),
        float(pipe.outside_diameter),
    )
    bottom = max(piece.bottom for piece in casing.hole) if casing.hole else casing.shoe
    return same(
        Warmed(
            hole.setting,
            walls(hole.sea_bed, bottom, state.riser, before, casing.hole),
            (*tubes_of(string), same(own)),
            activity.layers[-1].fluid,
            rate,
            _NO_BOOSTER,
            None,
        )
    )
