"""Does the riser bear the string that turns in it, at its flex joints and along it?"""

from __future__ import annotations

from collections.abc import Iterator

from bathybore.base.keeping import SOME, kept
from bathybore.base.units import show
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.model.basis import DesignBasis
from bathybore.operations.columns import depths_of
from bathybore.operations.riser_in_waves import swaying
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.riser_shape import sea_riser
from bathybore.operations.riser_wear import Worn, WornAlong, turning, worn, worn_along
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind

_CAUTION = (
    "Screening: where the vessel is half of the time, one wear factor for all muds, groove of one "
    "tool joint while the bit cuts; factors of muds, hard facings and riser steels spread over two "
    "orders. Measure the wall and weigh the metal in the ditch magnets. Reaming, trips and "
    "wireline are left out."
)
WEAR = Question(
    "riser-wear",
    Discipline.RISER,
    "At the flex joints, is no more worn off by the turning string than a joint may lose?",
    "A smaller offset, more top tension, smooth hard facing, wear sleeves, joints exchanged "
    "between sections.",
    _CAUTION,
)
ALONG = Question(
    "riser-wear-along",
    Discipline.RISER,
    "Along the riser, is no more worn off by the turning string than its wall may lose?",
    "A smaller offset, more top tension, smooth hard facing, joints exchanged between sections.",
    _CAUTION,
)


def wear_studies(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the wear of the riser when it is let go, or stays behind."""
    if state.step.kind is StepKind.DEPART and state.riser is None:
        return
    gear, sections, step = RiserGear.of(state.hole), turning(state.hole), state.step.name
    if gear is None or gear.heaviest is None or not sections:
        return
    basis = state.hole.basis
    told = {WEAR: basis.riser_wear_allowance, ALONG: basis.riser_pipe_wear_allowance}
    for question, allowance in told.items():
        if basis.riser_wear_factor is None or allowance is None:
            yield unjudged(step, question, _untold(basis, question))
            continue
        sway = swaying(sea_riser(gear))
        if question is WEAR:
            joints = worn(sway, sections)
            yield _judged(step, max(joints, key=lambda one: float(one.depth)))
        else:
            yield _along(step, worn_along(sway, sections))


def _untold(basis: DesignBasis, question: Question) -> str:
    allowance = "riser_wear_allowance" if question is WEAR else "riser_pipe_wear_allowance"
    if basis.riser_wear_factor is None:
        return "no riser_wear_factor is told; it spreads too far to be assumed"
    return f"no {allowance} is told"


@kept(SOME)
def _along(step: str, along: WornAlong) -> CheckRecord:
    setting = along.sway.riser.gear.setting
    capacity = setting.basis.value("riser_pipe_wear_allowance", "wear_depth")
    depths, band = depths_of(setting, along.sway.riser.nodes), setting.basis.tight_band
    return judge(step, ALONG, along.depth, capacity, band, depths)


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
