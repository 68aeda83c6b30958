"""What a measurement would read in each member, its error included.

A measurement is worth something only before the decision that it bears on; what it reads is
what the member's rock is there, and an error that has nothing to do with the rock.
"""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import blake2b

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.units import UnitSystem, show
from bathybore.ensembles.drawing import CHUNK
from bathybore.ensembles.evaluating import Ensemble
from bathybore.ensembles.shapes import Drawn, Frame, Outcome
from bathybore.operations.columns import gravity
from bathybore.operations.steps import StepKind


@dataclass(frozen=True, eq=False)
class Reading:
    """What would be read.

    Attributes
    ----------
    what : in words, its depth left out
    string : strings above this one are set when it is read; those from it on can still be moved
    values : (member); NaN where the hole did not come to it
    depth : at which it is read, where that is one [m below sea bed]
    takes : time that the measurement takes [s]
    cost : of it, beside the vessel's time [money]
    """

    what: str
    string: int
    values: Array
    unit: str
    depth: float | None = None
    takes: float = 0.0
    cost: float = 0.0

    def told(self, units: UnitSystem) -> str:
        """Return what would be read, and how deep below the sea bed."""
        if self.depth is None:
            return self.what
        return f"{self.what}, {show(self.depth, 'm', units, significant=4)} below the sea bed"


def _height(frame: Frame, depth: Array | float) -> Array:
    return np.asarray(depth) + float(frame.hole.sea_bed) - float(frame.hole.drill_floor)


def _at(frame: Frame, drawn: Drawn, column: str, depth: Array) -> Array:
    """Return a curve of each member at a depth of its own (member); NaN where there is none."""
    curve = np.broadcast_to(drawn.curves[column], (drawn.count, len(frame.depth)))
    above = np.clip(np.searchsorted(frame.depth, depth) - 1, 0, len(frame.depth) - 2)
    rows, low, high = np.arange(drawn.count), frame.depth[above], frame.depth[above + 1]
    share = (depth - low) / (high - low)
    return np.asarray(curve[rows, above] * (1.0 - share) + curve[rows, above + 1] * share)


def _error(what: str, first: int, count: int, seed: int, spread: float) -> Array:
    key = int.from_bytes(blake2b(what.encode(), digest_size=4).digest(), "little")
    rng = np.random.Generator(np.random.PCG64(np.random.SeedSequence(seed, spawn_key=(key, first))))
    return spread * rng.standard_normal(count)


def leak_offs(ensemble: Ensemble, outcome: Outcome) -> Array:
    """Return what leak-off tests at the members' shoes would read (member, string) [kg/m3].

    As a density to the drill floor; NaN where no shoe is drilled out: of the conductor, of the
    open hole, of a string that is not set, of the depth at which a hole ended.
    """
    frame = ensemble.frame
    readings = np.full(outcome.shoes.shape, np.nan)
    weight = float(gravity(frame.hole))
    spread = ensemble.uncertainty.measurements.leak_off_test.error
    for first in range(0, len(outcome.depth), CHUNK):
        members = slice(first, min(first + CHUNK, len(outcome.depth)))
        drawn = ensemble.drawn(first, members.stop - first)
        for string, one in enumerate(frame.strings[:-1]):
            if one.section < 0:
                continue
            shoe = outcome.shoes[members, string]
            shoe = np.where(shoe < outcome.depth[members] - 1e-3, shoe, np.nan)
            density = _at(frame, drawn, "fracture_pressure", shoe) / weight / _height(frame, shoe)
            error = _error(one.name, first, drawn.count, ensemble.seed, spread)
            readings[members, string] = density + error
    return readings


def before_spud(ensemble: Ensemble, count: int) -> tuple[Reading, ...]:
    """Return what can be read before the first string is set.

    A pilot hole to the planned bottom of the first casing, whose logs tell the pore pressure
    there as a density to the sea bed [kg/m3]; and a probe of the temperature there.
    """
    frame, measured = ensemble.frame, ensemble.uncertainty.measurements
    first_string = next(one for one in frame.planned if one.section >= 0)
    depth, weight = first_string.bottom, float(gravity(frame.hole))
    pilot, probe = measured.pilot_hole, measured.temperature
    pore, warmth = np.empty(count), np.empty(count)
    for first in range(0, count, CHUNK):
        members = slice(first, min(first + CHUNK, count))
        drawn = ensemble.drawn(first, members.stop - first)
        at = np.full(drawn.count, depth)
        over = _at(frame, drawn, "pore_pressure", at) - drawn.curves["pore_pressure"][:, 0]
        error = _error("pilot", first, drawn.count, ensemble.seed, pilot.error)
        pore[members] = over / weight / depth + error
        error = _error("temperature", first, drawn.count, ensemble.seed, probe.error)
        warmth[members] = _at(frame, drawn, "temperature", at) + error
    where = f"the planned bottom of {first_string.name}"
    drilled = drilling_time(frame) if pilot.time is None else pilot.time
    what = f"the pore pressure by a pilot hole to {where}", f"the temperature at {where}"
    return (
        Reading(what[0], 1, pore, "kg/m3", depth, drilled, pilot.cost),
        Reading(what[1], 1, warmth, "K", depth, probe.time, probe.cost),
    )


def drilling_time(frame: Frame) -> float:
    """Return the time [s] that the plan takes to drill its first section."""
    drilled = next(
        state for state in frame.states if state.step.kind is StepKind.DRILL and state.times
    )
    return sum(float(part) for part in drilled.times)
