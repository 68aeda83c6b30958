"""How far the vessel may stand from above the well: angle of the lower joint, and stroke."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi, sqrt

from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.kernels.riser import offset_stroke, stroke_needed
from bathybore.kernels.riser_shape import lower_flex_joint_angle, offset_at_lower_angle
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.sea_conditions import current_note
from bathybore.operations.vessel_motions import greatest_heave

_SHAPE_CAUTION = (
    "A string without bending stiffness in a straight line of current load, the stack upright: a "
    "first estimate. Waves add to it. Limit of API RP 16Q (1993), from memory."
)
ANGLE = Question(
    "flex-joint",
    Discipline.RISER,
    "At the offset where drilling stops, does the lower flex joint stay within its mean angle?",
    "More top tension, a smaller watch circle, less current.",
    _SHAPE_CAUTION,
)
ANGLE_AFTER_LOSS = Question(
    "flex-joint-after-loss",
    Discipline.RISER,
    "With a tensioner lost there, does the lower flex joint stay within its greatest angle?",
    "More top tension, a smaller watch circle, less current.",
    _SHAPE_CAUTION,
)
STROKE = Question(
    "stroke",
    Discipline.RISER,
    "Do the tensioners follow heave, tide and offset within their stroke?",
    "A longer stroke, a smaller watch circle, or a calmer sea.",
    "Stretch of the riser is taken as zero, and the riser as spaced out so that the whole stroke "
    "serves, unless a stack-up tells how the telescopic joint stands. Heave from the hull's main "
    "sizes: a motion analysis of the vessel replaces it.",
)
REACH_QUESTIONS = (ANGLE, ANGLE_AFTER_LOSS, STROKE)


def reach_checks(step: str, gear: RiserGear) -> Iterator[CheckRecord]:
    """Judge what offset and waves ask of the riser at the planned tension."""
    yield _angle_at(step, gear, ANGLE, "flex_joint_drilling", False)
    yield _angle_at(step, gear, ANGLE_AFTER_LOSS, "flex_joint_greatest", True)
    yield _stroke_of(step, gear)


def _note(gear: RiserGear) -> str:
    return " ".join(filter(None, (gear.setting_note, current_note(gear.setting))))


@kept(SOME)
def _angle_at(
    step: str, gear: RiserGear, question: Question, limit: str, after_loss: bool
) -> CheckRecord:
    setting, pull = gear.setting, gear.vertical_pull(after_loss=after_loss)
    capacity, place = setting.basis.value(limit, "lower_flex_joint_angle"), gear.foot
    return judge(
        step,
        question,
        _angle(gear, pull),
        capacity,
        setting.basis.tight_band,
        setting.depth(place),
        note=_note(gear),
    )


@kept(SOME)
def _stroke_of(step: str, gear: RiserGear) -> CheckRecord:
    band = gear.setting.basis.tight_band
    return judge(step, STROKE, _stroke(gear), _whole_stroke(gear), band)


def _shape(gear: RiserGear, foot: Value) -> dict[str, Value]:
    top, bottom = gear.current_loads(foot)
    return {
        "riser_length": gear.length,
        "bottom_tension": foot,
        "effective_weight_per_length": gear.even_weight(foot),
        "current_load_at_top": top,
        "current_load_at_bottom": bottom,
    }


def _angle(gear: RiserGear, pull: Value) -> Value:
    return lower_joint_angle(gear, gear.foot_tension(pull), gear.watch_offset)


def lower_joint_angle(gear: RiserGear, foot: Value, offset: Value) -> Value:
    """Return the angle of the lower joint at an offset, by the tension left there."""
    if float(foot) <= 0.0:
        origin = Solved(
            "no tension is left at the foot and nothing holds the riser up: taken as lying over",
            "definition",
            (foot,),
        )
        return Value("lower_flex_joint_angle", 0.5 * pi, "rad", origin)
    return work(lower_flex_joint_angle, vessel_offset=offset, **_shape(gear, foot))


def _whole_stroke(gear: RiserGear) -> Value:
    """Return the stroke of the tensioners, or what the telescopic joint has where that is less.

    The need counts heave and half the tide both ways. As the joint stands, that way in is there
    beside all that it can still be drawn out; where it is not, twice the way in falls short.
    """
    whole, stack = gear.tensioners.value("stroke", "stroke_needed"), gear.stack_up
    if stack is None:
        return whole
    heave, tide = greatest_heave(gear.setting), gear.setting.site.environment.value("tide_range")
    out, way_in = stack.drawn_out_left, stack.slid_in_left
    to_and_fro = float(heave) + 0.5 * float(tide)
    there = float(out) + to_and_fro if float(way_in) >= to_and_fro else 2.0 * float(way_in)
    if there >= float(whole):
        return whole
    origin = Solved(
        "how far the telescopic joint can still be drawn out as it stands, with heave and half the "
        "tide on the way in; twice the way in where that is shorter; the tensioners have more",
        "definition",
        (out, way_in, heave, tide, whole),
    )
    return Value("stroke_needed", there, "m", origin)


def _stroke(gear: RiserGear) -> Value:
    return work(
        stroke_needed,
        offset_stroke=work(
            offset_stroke, riser_length=gear.length, vessel_offset=gear.watch_offset
        ),
        max_heave_amplitude=greatest_heave(gear.setting),
        tide_range=gear.setting.site.environment.value("tide_range"),
        stretch_stroke=Value("stretch_stroke", 0.0, "m", FromWalk("taken as zero")),
    )


def offset_at_stop(gear: RiserGear) -> Value:
    """Return the offset at which the lower joint nears its stop, zero for a slack riser."""
    basis, foot = gear.setting.basis, gear.foot_tension(gear.vertical_pull())
    if float(foot) <= 0.0:
        return Value("vessel_offset", 0.0, "m", Solved("slack riser", "definition", (foot,)))
    stop, share = gear.stack.value("flex_joint_stop"), basis.value("flex_joint_stop_share")
    angle = Value(
        "lower_flex_joint_angle",
        float(stop) * float(share),
        "rad",
        Solved("share of the joint's stop", "api-rp-16q", (stop, share)),
    )
    return work(offset_at_lower_angle, lower_flex_joint_angle=angle, **_shape(gear, foot))


def offset_at_stroke(gear: RiserGear) -> Value:
    """Return the offset that draws out all the stroke that heave and tide leave."""
    heave, tide = greatest_heave(gear.setting), gear.setting.site.environment.value("tide_range")
    stroke, length = _whole_stroke(gear), gear.length
    left = max(float(stroke) - 2.0 * float(heave) - float(tide), 0.0)
    origin = Solved(
        "stroke less heave and tide, drawn out by offset: $sqrt((L_r + s)^2 - L_r^2)$",
        "definition",
        (stroke, heave, tide, length),
    )
    return Value("vessel_offset", sqrt(left * (2.0 * float(length) + left)), "m", origin)
