"""Does the vessel move no more in the planned sea than her work bears?"""

from __future__ import annotations

from collections.abc import Iterator

from bathybore.base.keeping import FEW, kept
from bathybore.base.units import show
from bathybore.base.working import Solved, Value
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.model.hole import Setting
from bathybore.operations.state import HoleState
from bathybore.operations.vessel_motions import (
    greatest_heave,
    greatest_tilt,
    heave_period,
    significant_pitch,
    significant_roll,
)

_CAUTION = (
    "Long-crested sea at the planned heading, the well at the vessel's reference point; without a "
    "table of motions the hull is a box, which rolls as one pendulum. Her own motion analysis "
    "replaces it."
)
STROKE = Question(
    "compensator-stroke",
    Discipline.STATION,
    "In the planned sea, does the stroke of the heave compensator span the greatest heave?",
    "A calmer sea, a heading in which she heaves less.",
    _CAUTION + " How much load it lets through is told by heave_residual_load.",
)
PITCH = Question(
    "vessel-pitch",
    Discipline.STATION,
    "In the planned sea, does the vessel pitch no more than the handling of pipe bears?",
    "Another heading, a calmer sea.",
    _CAUTION,
)
ROLL = Question(
    "vessel-roll",
    Discipline.STATION,
    "In the planned sea, does the vessel roll no more than the handling of pipe bears?",
    "The bow nearer the waves, a calmer sea.",
    _CAUTION,
)


def motion_studies(state: HoleState) -> Iterator[CheckRecord]:
    """Judge heave, pitch and roll of the vessel in the planned sea."""
    setting, step = state.hole.setting, state.step.name
    yield _stroke(step, setting)
    yield _tilt(step, setting, "pitch")
    yield _tilt(step, setting, "roll")


@kept(FEW)
def _stroke(step: str, setting: Setting) -> CheckRecord:
    heave = greatest_heave(setting)
    origin = Solved("from crest to trough, twice the greatest amplitude", "definition", (heave,))
    demand = Value("compensator_stroke", 2.0 * float(heave), "m", origin)
    capacity = setting.vessel.hoist.value("compensator_stroke")
    note = f"It heaves every {float(heave_period(setting)):.1f} s on the mean."
    return judge(step, STROKE, demand, capacity, setting.basis.tight_band, note=note)


@kept(FEW)
def _tilt(step: str, setting: Setting, motion: str) -> CheckRecord:
    question = PITCH if motion == "pitch" else ROLL
    significant = significant_pitch(setting) if motion == "pitch" else significant_roll(setting)
    capacity = setting.basis.value("vessel_tilt_greatest", "vessel_tilt")
    note = f"Significant amplitude {show(float(significant), 'rad', significant=2)}."
    demand, band = greatest_tilt(setting, motion), setting.basis.tight_band
    return judge(step, question, demand, capacity, band, note=note)
