"""Do the flex joints of the riser bear the string that turns in them?"""

from __future__ import annotations

from collections.abc import Iterator

from bathybore.base.keeping import SOME, kept
from bathybore.base.units import show
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.operations.riser_in_waves import swaying
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.riser_shape import sea_riser
from bathybore.operations.riser_wear import Worn, turning, worn
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind

WEAR = Question(
    "riser-wear",
    Discipline.RISER,
    "At the flex joints, is no more worn off by the turning string than a joint may lose?",
    "A smaller offset, more top tension, smooth hard facing, wear sleeves, joints exchanged "
    "between sections.",
    "Screening: one bend by the mean angle where the vessel is half of the time, one wear factor "
    "for all muds, groove of one tool joint; factors spread over an order either way. Measure the "
    "wall and weigh the metal in the ditch magnets. Wear along the riser and by wireline is left "
    "out.",
)


def wear_studies(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the wear of the riser when it is let go, or stays behind."""
    if state.step.kind is StepKind.DEPART and state.riser is None:
        return
    gear, sections = RiserGear.of(state.hole), turning(state.hole)
    if gear is None or gear.heaviest is None or not sections:
        return
    joints = worn(swaying(sea_riser(gear)), sections)
    yield _judged(state.step.name, max(joints, key=lambda one: float(one.depth)))


@kept(SOME)
def _judged(step: str, joint: Worn) -> CheckRecord:
    setting = joint.sway.riser.gear.setting
    most = max(range(len(joint.areas)), key=lambda n: float(joint.areas[n]))
    pull = show(float(joint.tension(joint.sections[most])), "N", significant=3)
    note = (
        f"Bend of {show(float(joint.angle), 'rad', significant=2)}; most is worn by "
        f"{joint.sections[most].name}, under {pull}."
    )
    capacity = setting.basis.value("riser_wear_allowance", "wear_depth")
    place, band = setting.depth(joint.place), setting.basis.tight_band
    return judge(step, WEAR, joint.depth, capacity, band, place, note=note)
