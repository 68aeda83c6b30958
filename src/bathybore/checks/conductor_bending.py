"""Do conductor and wellhead bear the preventer, and the riser that pulls at it?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bathybore.base.keeping import SOME, kept, same
from bathybore.base.working import FromWalk, Solved, Value, summed, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.checks.soil import (
    conductor_capacity,
    factored_load,
    set_up_time,
    set_weight,
    side_resistance,
    soil_known,
)
from bathybore.checks.wellhead_shape import (
    Footing,
    WellheadShape,
    riser_pulls,
    wellhead_shape,
)
from bathybore.kernels.lateral_pile import pile_bending_stress, shaft_settlement
from bathybore.kernels.string_mechanics import stretch_under_load
from bathybore.operations.columns import depths_of
from bathybore.operations.loads import casing_weight
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.state import CasingInPlace, HoleState

_CAUTION = (
    "Static, at the edge of the watch circle, riser as a string and no current on the preventer; "
    "waves, fatigue of the welds and scour come on top. A wellhead analysis replaces it."
)
BENDING = Question(
    "conductor-bending",
    Discipline.SOIL,
    "With the riser pulling at the edge of the watch circle, does the conductor bear the bending?",
    "A smaller watch circle, less tension over the need, a heavier conductor or higher grade.",
    _CAUTION,
)
CASING_BENDING = Question(
    "first-casing-bending",
    Discipline.SOIL,
    "Does the casing inside the conductor bear its share of that bending?",
    "A smaller watch circle, a stiffer conductor, a higher grade for the upper joints.",
    _CAUTION,
)
ROTATION = Question(
    "wellhead-rotation",
    Discipline.SOIL,
    "Does the wellhead stay upright enough under the riser?",
    "A smaller watch circle, a wider or thicker conductor, a lower preventer.",
    _CAUTION,
)
DISPLACEMENT = Question(
    "wellhead-displacement",
    Discipline.SOIL,
    "Does the clay keep the wellhead in its place under the riser?",
    "A smaller watch circle, a wider or thicker conductor.",
    _CAUTION,
)
BEARS_STACK = Question(
    "wellhead-bears-preventer",
    Discipline.SOIL,
    "Do conductor and cemented casing bear the preventer when the riser does not pull?",
    "Wait longer, a longer conductor, more cement behind the first casing, a lighter preventer.",
    "The set-up shares are assumed until a pile test or a neighbouring conductor tells.",
)
SETTLEMENT = Question(
    "wellhead-settlement",
    Discipline.SOIL,
    "Does the wellhead sink little enough under preventer and casing?",
    "Wait longer, a longer conductor, more cement behind the first casing.",
    "First estimate: friction mobilised and pipe shortened; consolidation comes on top.",
)
_QUESTIONS = (BENDING, CASING_BENDING, ROTATION, DISPLACEMENT, BEARS_STACK, SETTLEMENT)


def wellhead_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the foot of the hole when riser and preventer have just been landed.

    Later steps ask no more of it: their muds lie between the sea water and the heaviest mud
    that are looked at here, and set-up only gains.
    """
    gear = RiserGear.of(state.hole)
    if gear is None:
        footing, reason = None, "riser, preventer or tensioners are not described"
    else:
        footing, reason = footing_of(state, gear)
    if footing is None:
        for question in _QUESTIONS:
            yield unjudged(state.step.name, question, reason)
        return
    yield from _bent(state.step.name, footing)
    yield from _borne(state, footing)


def footing_of(state: HoleState, gear: RiserGear) -> tuple[Footing | None, str]:
    """Return what stands under the preventer, or None and why it cannot be judged."""
    standing, reason = state.casings, ""
    if not standing or not standing[0].is_conductor:
        reason = "no conductor stands in the sea bed"
    elif not _strength_reaches(state, standing[0]):
        reason = f"{state.hole.earth.file} gives no soil strength down to the conductor's shoe"
    elif state.hole.sea_bed - standing[0].top >= gear.stack.height:
        reason = "the conductor sticks up as high as the preventer is said to stand"
    elif not riser_pulls(gear):
        reason = "the planned tension leaves the riser slack"
    return (None, reason) if reason else (_footing(gear, standing), "")


def _strength_reaches(state: HoleState, conductor: CasingInPlace) -> bool:
    if not soil_known(state):
        return False
    depth, earth = conductor.shoe - state.hole.sea_bed, state.hole.earth
    columns = ("undrained_shear_strength", "submerged_unit_weight")
    ends = np.array([0.0, depth])
    return all(bool(np.isfinite(earth.at(column, ends)).all()) for column in columns)


def _footing(gear: RiserGear, standing: tuple[CasingInPlace, ...]) -> Footing:
    """Return the conductor with the casing inside it, if that one goes through its shoe."""
    conductor, *inner = standing
    casing = inner[0] if inner and inner[0].shoe > conductor.shoe else None
    return same(Footing(gear, conductor, casing))


# ---- bent by the riser -------------------------------------------------------------------


def _bent(step: str, footing: Footing) -> Iterator[CheckRecord]:
    bent = wellhead_shape(footing, riser_pulls(footing.gear))
    yield _bending(step, bent, footing.conductor, BENDING)
    if footing.casing is not None:
        yield _bending(step, bent, footing.casing, CASING_BENDING)
    yield _moved(step, bent, ROTATION, "wellhead_rotation", "rad")
    yield _moved(step, bent, DISPLACEMENT, "wellhead_displacement", "m")


@kept(SOME)
def _bending(
    step: str, bent: WellheadShape, casing: CasingInPlace, question: Question
) -> CheckRecord:
    """Judge axial and bending stress of one pipe at every node, under the worst pull."""
    setting = bent.footing.setting
    demands = [pipe_stress(bent, pull, casing) for pull in range(len(bent.pulls))]
    worst = int(np.argmax([float(np.max(np.asarray(one.si))) for one in demands]))
    capacity = allowed_stress(bent.footing, casing)
    places = depths_of(setting, bent.footing.buried + float(setting.sea_bed))
    band, note = setting.basis.tight_band, _moment_of(bent, worst)
    return judge(step, question, demands[worst], capacity, band, places, note=note)


def _moment_of(bent: WellheadShape, pull: int) -> str:
    return f"Worst moment: {bent.pulls[pull].moment}."


def allowed_stress(footing: Footing, casing: CasingInPlace) -> Value:
    """Return what a pipe under the wellhead may be stressed to."""
    share = footing.setting.basis.value("conductor_stress_share")
    strength = casing.pipe.yield_strength
    origin = Solved("share of yield", "assumed", (share, strength))
    return Value("combined_stress", float(share) * float(strength), "Pa", origin)


def pipe_stress(bent: WellheadShape, pull: int, casing: CasingInPlace) -> Value:
    """Return axial and bending stress of one pipe at the nodes under one pull."""
    load, areas = bent.axial_load(pull), [one.pipe.body_area for one in bent.footing.pipes]
    axial = Value(
        "axial_stress",
        abs(float(load)) / sum(float(one) for one in areas),
        "Pa",
        Solved("load over the steel of all pipes together", "definition", (load, *areas)),
    )
    bending = work(
        pile_bending_stress,
        pile_bending_moment=bent.moment(pull),
        bending_stiffness=bent.footing.bending_stiffness,
        outside_diameter=casing.pipe.outside_diameter,
    )
    return Value(
        "combined_stress",
        float(axial) + np.asarray(bending.si),
        "Pa",
        Solved("axial and bending stress where they add up", "definition", (axial, bending)),
        -1,
    )


@kept(SOME)
def _moved(step: str, bent: WellheadShape, question: Question, name: str, unit: str) -> CheckRecord:
    moved = [bent.at_wellhead(name, unit, pull) for pull in range(len(bent.pulls))]
    worst = int(np.argmax([float(one) for one in moved]))
    basis = bent.footing.setting.basis
    limit = basis.value(f"greatest_{name}", name)
    place = bent.footing.setting.depth(bent.footing.conductor.top)
    note = _moment_of(bent, worst)
    return judge(step, question, moved[worst], limit, basis.tight_band, place, note=note)


# ---- borne by the side -------------------------------------------------------------------


def _borne(state: HoleState, footing: Footing) -> Iterator[CheckRecord]:
    step, setting = state.step.name, footing.setting
    place = setting.depth(footing.conductor.shoe)
    load = _weight_on_clay(state, footing)
    capacity = _held(state, footing)
    band = setting.basis.tight_band
    yield judge(step, BEARS_STACK, factored_load(state, load), capacity, band, place)
    settled = _settlement(footing, load, capacity)
    limit = setting.basis.value("greatest_wellhead_settlement", "wellhead_settlement")
    yield judge(step, SETTLEMENT, settled, limit, band)


def _weight_on_clay(state: HoleState, footing: Footing) -> Value:
    """Return all that stands on the clay when the riser does not pull."""
    setting, water = footing.setting, sea_water(footing.setting)
    parts = [set_weight(setting, footing.conductor)]
    if footing.casing is not None:
        inside = state.layers[-1].fluid if state.layers else water
        parts.append(casing_weight(footing.casing, inside, water))
    parts.append(footing.gear.stack.value("weight_in_water"))
    return summed("load", "N", "sum of conductor, wellhead, first casing and preventer", parts)


def _held(state: HoleState, footing: Footing) -> Value:
    """Return the side of the conductor in time, and that of the cemented casing below it."""
    conductor = conductor_capacity(state, footing.conductor, set_up_time(state))
    parts = [conductor]
    casing = footing.casing
    if casing is not None and casing.cement_top is not None:
        sea_bed = footing.setting.sea_bed
        top = max(footing.conductor.shoe, casing.cement_top) - sea_bed
        bottom = min(casing.shoe - sea_bed, _deepest_strength(footing))
        if bottom - top > 1.0:
            parts.append(side_resistance(footing.setting, casing.hole_diameter, top, bottom))
    return summed(
        "required_capacity",
        "N",
        "sum of the conductor's side, as far as it has set up, and of the cemented casing below "
        "it, as deep as the clay's strength is known",
        parts,
    )


def _deepest_strength(footing: Footing) -> float:
    numbers = footing.setting.earth.numbers["undrained_shear_strength"]
    weights = footing.setting.earth.numbers["submerged_unit_weight"]
    known = np.isfinite(numbers) & np.isfinite(weights)
    return float(np.max(footing.setting.earth.depths[known]))


def _settlement(footing: Footing, load: Value, capacity: Value) -> Value:
    conductor = footing.conductor
    moved = work(
        shaft_settlement,
        axial_load=load.named("axial_load"),
        axial_capacity=capacity.named("axial_capacity"),
        outside_diameter=conductor.pipe.outside_diameter,
    )
    length = Value(
        "length",
        (conductor.shoe - footing.setting.sea_bed) * 2.0 / 3.0,
        "m",
        FromWalk("two thirds of the buried length: friction that grows with depth carries it"),
    )
    shortened = work(
        stretch_under_load,
        axial_force=load.named("axial_force"),
        length=length,
        pipe_body_area=conductor.pipe.body_area,
    )
    how = "sum of the movement that mobilises the friction and of the shortening of the conductor"
    return summed("wellhead_settlement", "m", how, (moved, shortened))
