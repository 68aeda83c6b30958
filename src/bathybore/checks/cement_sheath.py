"""Is the cement where it must be, all round the casing, and hard when it is drilled out?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromTable, FromWalk, Solved, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.kernels.cement import equivalent_age
from bathybore.kernels.cement_placement import narrow_side_velocity_ratio
from bathybore.kernels.standoff import casing_sag, centralizer_lateral_load, standoff
from bathybore.kernels.string_mechanics import YOUNG_MODULUS
from bathybore.kernels.tubular_strength import second_moment_of_area
from bathybore.model.hole import Setting
from bathybore.model.plan import Casing, Slurry
from bathybore.operations.casing_loads import Placement, placement, weight_per_length
from bathybore.operations.columns import depth_nodes, depths_of
from bathybore.operations.heat_profile import circulating_temperature, static_temperature
from bathybore.operations.state import HoleState

STANDOFF = Question(
    "standoff",
    Discipline.CEMENT,
    "Do the centralizers keep the casing off the wall all along the cement?",
    "Set them closer, or take stronger ones.",
    "Springs as linear, hole of gauge: a washed-out hole needs more.",
)
TOP = Question(
    "cement-over-flow",
    Discipline.CEMENT,
    "Does the cement reach high enough over the uppermost gas or oil behind the casing?",
    "Plan a higher top of cement.",
    "Where it stands in the hole, the volume returned and the lift pressure tell; a log proves it.",
)
SEA_BED = Question(
    "cement-to-sea-bed",
    Discipline.CEMENT,
    "Is the first casing cemented up to the sea bed?",
    "Plan its top of cement at the sea bed, with excess for a hole out of gauge.",
    "Cement seen at the sea bed proves it: the camera is part of the job.",
)
COLD = Question(
    "waiting-in-place",
    Discipline.CEMENT,
    "Has the slurry its strength after the planned wait at the temperature where it stands?",
    "Wait longer, or a slurry tested for the cold of the place.",
    "Maturity by one activation energy; a test at the temperature in place decides.",
)


_STEEL: Final = Value("young_modulus", YOUNG_MODULUS, "Pa", FromTable(
    "steel", "modulus of elasticity, 30e6 psi", "api-rp-7g"))  # fmt: skip


def cement_sheath_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the sheath of the casing just cemented; what the plan does not tell is not asked."""
    casing = state.activity.casing
    if casing is None or not isinstance(casing.plan, Casing):
        return
    job, step, setting = placement(state, casing), state.step.name, state.hole.setting
    others = [one for one in state.casings if one.name != casing.name]
    if not any(isinstance(one.plan, Casing) for one in others) and state.riser is None:
        yield _to_sea_bed(step, job)
    above = max((float(one.shoe) for one in others), default=float(setting.sea_bed))
    flow = _uppermost_flow(setting, above, float(casing.shoe))
    if flow is not None:
        yield _over_flow(step, job, *flow)
    if casing.plan.cement.centralizer_spacing is not None:
        yield _standoff(step, job)
    tail = job.pumped[0][1]
    if isinstance(tail, Slurry) and tail.time_to_strength is not None:
        z = float(casing.shoe)
        cool, warm = circulating_temperature(state, z), static_temperature(state, z)
        yield _in_place(step, job, min((cool, warm), key=float))


@kept(SOME)
def _height(setting: Setting, shoe: float, top: float, how: str) -> Value:
    return Value("height", shoe - top, "m", FromWalk(how))


@kept(SOME)
def _to_sea_bed(step: str, job: Placement) -> CheckRecord:
    shoe, bed = float(job.casing.shoe), float(job.setting.sea_bed)
    need = _height(job.setting, shoe, bed, "from the shoe to the sea bed")
    return judge(step, SEA_BED, need, _planned(job), 0.0, job.setting.depth(job.setting.sea_bed))


def _planned(job: Placement) -> Value:
    top = float(job.setting.z(job.plan.cement.top))
    return _height(job.setting, float(job.casing.shoe), top, "from the shoe to the planned top")


def _uppermost_flow(setting: Setting, above: float, shoe: float) -> tuple[str, float] | None:
    """Return what flows first below the shoe above, and where it begins."""
    if "formation_fluid" not in setting.earth.words:
        return None
    bed = float(setting.sea_bed)
    found = [
        (word, max(top + bed, above))
        for top, bottom, word in setting.earth.intervals("formation_fluid")
        if word in ("gas", "oil") and bottom + bed > above and top + bed < shoe
    ]
    return min(found, key=lambda one: one[1], default=None)


@kept(SOME)
def _over_flow(step: str, job: Placement, word: str, top: float) -> CheckRecord:
    setting, shoe = job.setting, float(job.casing.shoe)
    over = setting.basis.value("cement_above_flow", "height")
    to_flow = _height(setting, shoe, top, f"from the shoe to the top of the {word}")
    need = Value(
        "height",
        float(to_flow) + float(over),
        "m",
        Solved("height of what flows, and of cement over it", "common-practice", (to_flow, over)),
    )
    place, band = setting.depth(top), setting.basis.tight_band
    return judge(step, TOP, need, _planned(job), band, place, note=f"Over {word}.")


@kept(SOME)
def _steepest(setting: Setting) -> Value:
    """Return the steepest inclination of the survey; of the site where there is none."""
    if setting.survey is None:
        return setting.site.value("expected_inclination", "inclination")
    steepest = float(np.max(setting.survey.numbers["inclination"]))
    origin = FromTable(setting.survey.file, "steepest station", "given")
    return Value("inclination", steepest, "rad", origin)


def _standoff(step: str, job: Placement) -> CheckRecord:
    setting, casing, cement = job.setting, job.casing, job.plan.cement
    top = max(float(setting.z(cement.top)), float(casing.top))
    z = depth_nodes(setting, top, float(casing.shoe))
    per_length = weight_per_length(job, casing.pipe)
    below = Value(
        "effective_tension",
        float(per_length) * (float(casing.shoe) - z),
        "N",
        Solved("weight in mud of what hangs below", "definition", (per_length,)),
        -1,
    )
    load = work(
        centralizer_lateral_load,
        effective_weight_per_length=per_length,
        centralizer_spacing=cement.value("centralizer_spacing"),
        inclination=_steepest(setting),
        effective_tension=below,
        dogleg_severity=setting.basis.value("casing_dogleg", "dogleg_severity"),
    )
    section = work(
        second_moment_of_area,
        outside_diameter=casing.pipe.outside_diameter,
        inside_diameter=casing.pipe.inside_diameter,
    )
    sag = work(
        casing_sag,
        lateral_load=load,
        centralizer_spacing=cement.value("centralizer_spacing"),
        young_modulus=_STEEL,
        second_moment_of_area=section,
        effective_tension=below,
    )
    given = work(
        standoff,
        lateral_load=load,
        centralizer_restoring_force=cement.value("centralizer_restoring_force"),
        casing_sag=sag,
        hole_diameter=_hole(job, z),
        outside_diameter=casing.pipe.outside_diameter,
    )
    least = float(np.min(given.si))
    lead = job.pumped[1][1]
    ratio = float(narrow_side_velocity_ratio(least, lead.flow_index))
    note = (
        f"Where it is least, {job.pumped[1][0]} in laminar flow moves on the narrow side at "
        f"{ratio:.2f} of its velocity on the wide side."
    )
    need = setting.basis.value("least_standoff", "standoff")
    band, places = setting.basis.tight_band, depths_of(setting, z)
    return judge(step, STANDOFF, need, given, band, places, note=note)


def _hole(job: Placement, z: np.ndarray) -> Value:
    """Return the diameter of the wall round the casing at depths."""
    annulus = job.annulus
    at = np.clip(np.searchsorted(annulus.top, z, side="right") - 1, 0, len(annulus) - 1)
    how = FromWalk("wall round the casing, hole of gauge")
    return Value("hole_diameter", annulus.outer_diameter[at], "m", how, -1)


@kept(SOME)
def _in_place(step: str, job: Placement, temperature: Value) -> CheckRecord:
    tail = job.pumped[0][1]
    demand = tail.value("time_to_strength", "equivalent_age")
    capacity = work(
        equivalent_age,
        curing_time=job.plan.cement.value("wait", "curing_time"),
        temperature=temperature.named("temperature"),
        reference_temperature=tail.value("strength_test_temperature", "reference_temperature"),
    )
    band, place = job.setting.basis.tight_band, job.setting.depth(float(job.casing.shoe))
    note = f"{job.pumped[0][0]} round the shoe, at the lower of its temperatures there."
    return judge(step, COLD, demand, capacity, band, place, note=note)
