"""How far the vessel may stand off before something under it is overloaded, and what that is.

Each limit is an offset: of the lower flex joint and the stroke by closed forms, of the stress in
the riser and the bending of conductor and first casing by looking for the offset at which they
reach what they are allowed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import inf, isfinite
from typing import Final

import numpy as np

from bathybore.base.errors import NotConverged
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import Solved, Value
from bathybore.checks.conductor_bending import footing_of, pipe_stress
from bathybore.checks.riser_in_sea import stress_of
from bathybore.checks.riser_reach import offset_at_stop, offset_at_stroke
from bathybore.checks.wellhead_shape import Footing, riser_pulls, wellhead_shape
from bathybore.model.hole import Setting
from bathybore.operations.riser_in_waves import mean_at, swaying
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.riser_shape import sea_riser
from bathybore.operations.state import HoleState

_WIDEST: Final = 0.25  # of the riser's length: farther off nothing is looked at
_CLOSE: Final = 1e-3  # of the offset that is looked for
_MOST_TRIALS: Final = 60


@dataclass(frozen=True, eq=False)
class OffsetLimit:
    """An offset at which the riser must be off.

    Attributes
    ----------
    words : what is reached there
    """

    offset: Value
    words: str


@dataclass(frozen=True, eq=False)
class OffsetLimits:
    """All limits of the offset, and what is not among them.

    Attributes
    ----------
    left_out : in sentences
    """

    found: tuple[OffsetLimit, ...]
    left_out: tuple[str, ...]

    @property
    def least(self) -> OffsetLimit:
        return min(self.found, key=lambda one: float(one.offset))


def offset_limits(state: HoleState, gear: RiserGear) -> OffsetLimits:
    """Return what limits the offset of the vessel once the riser stands."""
    footing, reason = footing_of(state, gear)
    return _limits(gear, footing, reason)


@kept(SOME)
def _limits(gear: RiserGear, footing: Footing | None, reason: str) -> OffsetLimits:
    found = [
        OffsetLimit(offset_at_stop(gear), "lower flex joint near its stop"),
        OffsetLimit(offset_at_stroke(gear), "stroke drawn out"),
    ]
    left_out = []
    if not float(gear.foot_tension(gear.vertical_pull())) > 0.0:
        left_out.append("The riser is slack: its stress and the wellhead are not looked at.")
        return OffsetLimits(tuple(found), tuple(left_out))
    if gear.heaviest is None:
        left_out.append("Without its mud the stress of the riser is not looked at.")
    else:
        found += _told(_riser_stress(gear), "riser at its yield share", left_out, gear)
    if footing is None:
        left_out.append(f"Bending of conductor and casing is not looked at: {reason}.")
    else:
        words = f"{' or '.join(one.name for one in footing.pipes)} bent to its yield share"
        found += _told(_bending(footing), words, left_out, gear)
    return OffsetLimits(tuple(found), tuple(left_out))


def _told(
    offset: Value | None, words: str, left_out: list[str], gear: RiserGear
) -> list[OffsetLimit]:
    if offset is None:
        far = _WIDEST * float(gear.length)
        left_out.append(f"No limit up to an offset of {far:.0f} m: {words}.")
        return []
    return [OffsetLimit(offset, words)]


def _riser_stress(gear: RiserGear) -> Value | None:
    """Return the offset at which mean and waves together bring the main pipe to its limit."""
    riser = sea_riser(gear)
    try:
        sway = swaying(riser)
    except NotConverged:  # it buckles in its own weight: no offset is borne
        return _at(0.0, "the riser buckles", ())
    allowed = _allowed(gear.setting, gear.joint.value("yield_strength"))

    def excess(offset: float) -> float:
        there = Value("vessel_offset", offset, "m", gear.watch_offset.origin)
        stress = stress_of(replace(sway, mean=mean_at(sway, there)))
        return float(np.max(np.asarray(stress.si))) / float(allowed) - 1.0

    found = greatest_offset(excess, *_span(gear))
    if found is None:
        return None
    how = (
        "offset at which the equivalent stress of the main pipe, mean and waves, is what it "
        "bears in an accident, the riser balanced as it lies"
    )
    return _at(found, how, (allowed, gear.vertical_pull(), *sway.inputs))


def _bending(footing: Footing) -> Value | None:
    """Return the offset at which a pipe under the wellhead reaches its combined stress."""
    allowed = [_allowed(footing.setting, pipe.pipe.yield_strength) for pipe in footing.pipes]

    def excess(offset: float) -> float:
        there = Value("vessel_offset", offset, "m", footing.gear.watch_offset.origin)
        bent = wellhead_shape(footing, riser_pulls(footing.gear, there))
        return max(
            float(np.max(np.asarray(pipe_stress(bent, pull, pipe).si))) / float(most) - 1.0
            for pipe, most in zip(footing.pipes, allowed, strict=True)
            for pull in range(len(bent.pulls))
        )

    found = greatest_offset(excess, *_span(footing.gear))
    if found is None:
        return None
    how = "offset at which conductor or first casing has all the stress it bears in an accident"
    pulls = riser_pulls(footing.gear)
    inputs = (
        *allowed,
        *(one.tension for one in pulls),
        footing.bending_stiffness,
        footing.setting.basis.value("flex_joint_stiffness"),
    )
    return _at(found, how, inputs)


def _span(gear: RiserGear) -> tuple[float, float]:
    """Return an offset to begin at and the farthest that is looked at."""
    most = _WIDEST * float(gear.length)
    return max(2.0 * float(gear.watch_offset), 0.02 * most), most


def _allowed(setting: Setting, strength: Value) -> Value:
    """Return what a pipe may be stressed to while the vessel drifts off."""
    share = setting.basis.value("drift_off_stress_share")
    origin = Solved("share of yield in an accident", "assumed", (share, strength))
    return Value("combined_stress", float(share) * float(strength), "Pa", origin)


def _at(offset: float, how: str, inputs: tuple[Value, ...]) -> Value:
    return Value("vessel_offset", offset, "m", Solved(how, "definition", inputs, _CLOSE))


def greatest_offset(excess: Callable[[float], float], near: float, most: float) -> float | None:
    """Return the greatest offset that is known to be borne, within a thousandth; None up to most.

    Parameters
    ----------
    excess : above zero where the limit is passed; a shape that is not found is one not borne
    near : an offset to begin at, above zero
    most : farther off nothing is looked at

    Raises
    ------
    NotConverged
        The limit was not closed in on.
    """

    def passed(offset: float) -> float:
        try:
            return excess(offset)
        except NotConverged:
            return inf

    low, below = 0.0, passed(0.0)
    if below > 0.0:
        return 0.0
    high = min(near, most)
    above = passed(high)
    while above <= 0.0:  # twice as far off, until it is not borne: far off a shape is costly
        if high >= most:
            return None
        low, below, high = high, above, min(2.0 * high, most)
        above = passed(high)
    return _closed_in(passed, low, below, high, above)


def _closed_in(
    passed: Callable[[float], float], low: float, below: float, high: float, above: float
) -> float:
    """Close in on a root from both sides; what has been borne is returned."""
    was_low = None
    for _ in range(_MOST_TRIALS):
        if high - low <= _CLOSE * high:
            return low
        share = below / (below - above) if isfinite(above) else 0.5
        # never nearer to an end than a step that would close in from there
        edge = min(0.5, 0.9 * _CLOSE * high / (high - low))
        trial = low + min(max(share, edge), 1.0 - edge) * (high - low)
        here = passed(trial)
        is_low = here <= 0.0
        if is_low:
            low, below = trial, here
            above = 0.5 * above if was_low else above  # the end that stays pulls less
        else:
            high, above = trial, here
            below = 0.5 * below if was_low is False else below
        was_low = is_low
    raise NotConverged("limit of the offset: it was not closed in on")
