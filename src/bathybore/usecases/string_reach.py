"""How deep a string from the stock reaches: what it is made of, and which limit ends it."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, pi
from typing import TYPE_CHECKING, Final

import numpy as np

from bathybore.base.errors import InputErrors, nearest
from bathybore.base.working import FromWalk, Solved, Value, summed, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.kernels.drill_pipe_strength import tension_under_torque
from bathybore.kernels.soft_string import (
    SHEAR_MODULUS,
    YOUNG_MODULUS,
    vertical_critical_buckling_load,
    wind_up,
)
from bathybore.kernels.string_march import bit_torque
from bathybore.kernels.string_mechanics import (
    effective_weight_per_length,
    slip_crush_stress_ratio,
    slip_lateral_load_factor,
    slip_tension_limit,
    stretch_under_load,
)
from bathybore.kernels.tubular_strength import pipe_body_area
from bathybore.model.hole import Hole, Setting
from bathybore.model.plan import Fluid, Section
from bathybore.operations.catalogue_pipes import StringPipe, string_pipe
from bathybore.operations.geometry import bores
from bathybore.operations.open_water import MODULUS_OVER_STEEL
from bathybore.operations.steps import StepKind
from bathybore.operations.survey_path import survey_path
from bathybore.search.string_reach import (
    Deepest,
    Hung,
    Offer,
    deepest,
    deepest_that_fits,
    without_end,
)

if TYPE_CHECKING:
    from bathybore.operations.state import HoleState
    from bathybore.usecases.walking import Walk

REACH: Final = "string-reach"  # begins the ids of these records
MOST: Final = 12_000.0  # m; the depth to which loads are drawn
CAUTION: Final = (
    "Hanging upright and at rest: drag of a crooked hole, fatigue, bending in waves and current "
    "and tool joints are not in it; nor are crossovers, whose threads must fit. The licensed "
    "engineer decides."
)
_MOST_PIPES: Final = 6  # orders of them are tried one by one

DEPTH = Question(
    "target",
    Discipline.STEEL,
    "Does a string from the stock reach the target with overpull, heave and torque to spare?",
    "More or stronger pipe, a lighter assembly, pipe of light alloy, less overpull.",
    CAUTION,
)


@dataclass(frozen=True, eq=False)
class PipeLimit:
    """What one pipe of the stock bears at its upper end, and why no more.

    Attributes
    ----------
    weight : per length in the fluid
    limits : by name: tension with overpull, slips, torque
    foot : greatest depth below the drill floor to which it fits [m]; infinite where it always does
    """

    pipe: StringPipe
    weight: Value
    limits: dict[str, Value]
    foot: float

    @property
    def closest(self) -> str:
        return min(self.limits, key=lambda name: float(self.limits[name]))

    @property
    def bears(self) -> Value:
        return self.limits[self.closest]

    def offer(self, only: str = "") -> Offer:
        """Return it as an offer, by its closest limit or by one alone."""
        limit = self.limits[only] if only else self.bears
        length = self.pipe.stock.length
        return Offer(self.pipe.name, float(self.weight), float(limit), length, self.foot)


@dataclass(frozen=True)
class UsedPipe:
    """A length of one pipe in the string found [m, N], from the bit up."""

    name: str
    designation: str
    length: float
    top_tension: float
    bears: float
    by: str


@dataclass(frozen=True, eq=False)
class StringReach:
    """The string from the stock that reaches deepest, with all that it was found by.

    Attributes
    ----------
    string, fluid : of the plan: where the bottom assembly and the fluid are from
    assembly : its parts from the bit up, (name, length [m])
    below : tension under the lowest drill pipe
    hoist : greatest tension at the top that the hoist bears
    pipes : of the string that fits the planned hole, from the bit up
    reach : from the drill floor to the bit
    needed : the same to the target
    ends : the limit that ends it, in words
    alone : reach if one limit were the only one, lengths without end but for the stock [m]
    free : the string that reaches deepest where every pipe fits everywhere
    endless : the same with as much of each pipe as one likes
    left_out : pipes that were not looked at, and why
    stretch, twist, buckling : under the overpull, the bit's torque; weight on bit at which the
        lowest collar first buckles
    """

    string: str
    fluid: str
    assembly: tuple[tuple[str, float], ...]
    below: Value
    hoist: Value
    limits: tuple[PipeLimit, ...]
    pipes: tuple[UsedPipe, ...]
    reach: Value
    needed: Value
    ends: str
    alone: tuple[tuple[str, float], ...]
    free: Deepest
    endless: Deepest
    left_out: tuple[tuple[str, str], ...]
    stretch: Value
    twist: Value
    buckling: Value | None
    records: tuple[CheckRecord, ...]

    @property
    def passes(self) -> bool:
        return float(self.reach) >= float(self.needed)

    @property
    def assembly_length(self) -> float:
        return sum(length for _, length in self.assembly)


def string_reach(walk: Walk, name: str = "") -> StringReach:
    """Return how deep a string from the stock reaches in the walked hole.

    Parameters
    ----------
    name : of a string of the plan, whose bottom assembly is taken; the deepest step's if empty

    Raises
    ------
    InputErrors
        The walk drills nothing, there is no string of that name, no drill pipe, or more kinds of
        it than are tried.
    """
    hole, state = walk.hole, _deepest_drilling(walk)
    section = state.activity.section
    fluid = state.activity.fluid
    if section is None or fluid is None:  # only drilling steps are looked at
        raise LookupError(f"the step {state.step.name} drills nothing")
    string = _known(name, hole, state)
    return _found(hole, state, section, string, fluid)


def _deepest_drilling(walk: Walk) -> HoleState:
    kinds = (StepKind.DRILL, StepKind.CORE)
    drilled = [state for state in walk.states if state.step.kind in kinds]
    if not drilled:
        raise InputErrors.one(
            "plan",
            f"a walk that drills nothing{': ' + walk.stopped if walk.stopped else ''}",
            "one that comes to its first drilled section",
        )
    return max(drilled, key=lambda state: state.bottom)


def _known(name: str, hole: Hole, state: HoleState) -> str:
    strings = hole.plan.strings
    if name and name not in strings:
        raise InputErrors.one(
            "string", f"'{name}'", f"one of {', '.join(strings)}", nearest(name, strings)
        )
    assert state.activity.string is not None  # a drilling step has one
    return name or state.activity.string.name


def _found(
    hole: Hole, state: HoleState, section: Section, string: str, fluid: Fluid
) -> StringReach:
    setting = hole.setting
    assembly, below = _assembly(hole, string, fluid)
    torque = work(
        bit_torque,
        weight_on_bit=section.value("weight_on_bit"),
        bit_diameter=section.value("hole_diameter", "bit_diameter"),
        bit_friction=setting.basis.value("bit_friction"),
    )
    limits, left_out = _limits(hole, state, fluid, torque)
    hoist = _hoist(setting)
    offers = [one.offer() for one in limits]
    hung = deepest_that_fits(offers, float(below), float(hoist))
    length = sum(length for _, length in assembly)
    reach = _reach_value(length, hung, below, hoist, limits)
    needed = _needed(hole)
    used = tuple(_used(one, limits) for one in hung)
    return StringReach(
        string=string,
        fluid=_name_of(hole, fluid),
        assembly=assembly,
        below=below,
        hoist=hoist,
        limits=limits,
        pipes=used,
        reach=reach,
        needed=needed,
        ends=_ends(hung, limits, float(hoist), length),
        alone=_alone(limits, float(below), float(hoist), length),
        free=deepest(offers, float(below), float(hoist)),
        endless=deepest(without_end(offers), float(below)),
        left_out=left_out,
        stretch=_stretch(setting, hung, limits),
        twist=_twist(hung, limits, torque),
        buckling=_buckling(hole, assembly, fluid),
        records=_records(setting, reach, needed, used, limits),
    )


def _name_of(hole: Hole, fluid: Fluid) -> str:
    return next((name for name, one in hole.plan.fluids.items() if one is fluid), "sea water")


# ---- what is hung ------------------------------------------------------------------------


def _weight(pipe: StringPipe, fluid: Fluid) -> Value:
    return work(
        effective_weight_per_length,
        linear_mass=pipe.linear_mass,
        outside_diameter=pipe.outside_diameter,
        inside_diameter=pipe.inside_diameter,
        fluid_density_inside=fluid.value("density"),
        fluid_density_outside=fluid.value("density"),
    )


def _assembly(hole: Hole, string: str, fluid: Fluid) -> tuple[tuple[tuple[str, float], ...], Value]:
    """Return collars and heavy pipe at the foot of a planned string, and what they weigh."""
    parts, weights = [], []
    for part in hole.plan.strings[string]:
        pipe = string_pipe(hole, part.pipe)
        if pipe.stock.kind == "pipe" or part.length is None:
            break
        per_length, length = _weight(pipe, fluid), part.value("length")
        origin = Solved("weight per length times length", "definition", (per_length, length))
        weights.append(Value("load", float(per_length) * part.length, "N", origin))
        parts.append((part.pipe, part.length))
    below = summed("tension", "N", f"sum of the bottom assembly of {string}, in its fluid", weights)
    return tuple(parts), below


def _limits(
    hole: Hole, state: HoleState, fluid: Fluid, torque: Value
) -> tuple[tuple[PipeLimit, ...], tuple[tuple[str, str], ...]]:
    found, left_out = [], []
    names = [name for name, one in hole.inventory.pipe.items() if one.kind == "pipe"]
    for name in names:
        pipe = string_pipe(hole, name)
        weight = _weight(pipe, fluid)
        foot = _foot(hole, state, float(pipe.tool_joint_outside_diameter))
        if float(weight) <= 0.0:
            left_out.append((name, "it floats in the fluid"))
        elif foot <= 0.0:
            left_out.append((name, "it passes no bore of the hole"))
        else:
            found.append(PipeLimit(pipe, weight, _borne(hole.setting, pipe, torque), foot))
    if not found:
        raise InputErrors.one("inventory.pipe", "no drill pipe that can hang", "kind: pipe")
    if len(found) > _MOST_PIPES:
        raise InputErrors.one(
            "inventory.pipe",
            f"{len(found)} kinds of drill pipe",
            f"at most {_MOST_PIPES}, for every order of them is tried",
            "Leave out those that will not be used.",
        )
    return tuple(found), tuple(left_out)


def _foot(hole: Hole, state: HoleState, joint: float) -> float:
    """Return the depth below the drill floor to which tool joints pass the planned hole [m]."""
    for wall in sorted(bores(state), key=lambda one: one.top):
        if joint >= wall.diameter:
            return float(wall.top - hole.drill_floor)
    return inf


def _borne(setting: Setting, pipe: StringPipe, torque: Value) -> dict[str, Value]:
    """Return the tension at rest that a pipe bears at its upper end, limit by limit."""
    basis, hoist = setting.basis, setting.vessel.hoist
    share, overpull = basis.value("string_tension_share"), basis.value("string_overpull")
    heave, in_slips = hoist.value("heave_residual_load"), hoist.value("heave_in_slips")
    body = pipe.tensile_capacity
    pulled = (float(share) * float(body) - float(overpull)) / (1.0 + float(heave))
    crushed = work(
        slip_tension_limit,
        tensile_capacity=body.named("tensile_capacity"),
        slip_crush_stress_ratio=work(
            slip_crush_stress_ratio,
            outside_diameter=pipe.worn_outside_diameter.named("outside_diameter"),
            slip_length=hoist.value("slip_length"),
            slip_lateral_load_factor=work(
                slip_lateral_load_factor,
                friction_coefficient=hoist.value("slip_friction", "friction_coefficient"),
                slip_taper_angle=hoist.value("slip_taper_angle"),
            ),
        ),
    )
    wall = float(pipe.wall) * pipe.stock.remaining_wall
    how = FromWalk("nominal wall times the remaining share of the pipe's class")
    twisted = work(
        tension_under_torque,
        outside_diameter=pipe.worn_outside_diameter.named("outside_diameter"),
        wall=Value("wall", wall, "m", how),
        yield_strength=pipe.yield_strength,
        torque=torque.named("torque"),
    )

    return {
        "overpull": _tension(
            pulled,
            "share of the tensile capacity less overpull, heave taken off",
            share, body, overpull, heave,
        ),
        "slips": _tension(
            float(share) * float(crushed) / (1.0 + float(in_slips)),
            "share of what hangs in the slips, heave taken off",
            share, crushed, in_slips,
        ),
        "torque": _tension(
            float(share) * float(twisted) / (1.0 + float(heave)),
            "share of the capacity under the bit's torque, heave taken off",
            share, twisted, heave,
        ),
    }  # fmt: skip


def _tension(value: float, problem: str, *inputs: Value) -> Value:
    return Value("tension", value, "N", Solved(problem, "api-rp-7g", inputs))


def _hoist(setting: Setting) -> Value:
    """Return the greatest tension at rest at the top that the hoist bears, with overpull."""
    basis, hoist = setting.basis, setting.vessel.hoist
    share, rating = basis.value("hook_load_share"), hoist.value("hook_capacity")
    gear, heave = hoist.value("travelling_weight"), hoist.value("heave_residual_load")
    overpull = basis.value("string_overpull")
    most = (float(share) * float(rating) - float(overpull)) / (1.0 + float(heave)) - float(gear)
    origin = Solved(
        "share of the rating less overpull, heave and travelling gear taken off",
        "assumed",
        (share, rating, overpull, heave, gear),
    )
    return Value("tension", most, "N", origin)


def _needed(hole: Hole) -> Value:
    """Return the length from the drill floor to the target, along the hole if it is surveyed."""
    above = float(hole.sea_bed - hole.drill_floor)
    deep = float(hole.z(hole.plan.target) - hole.sea_bed)
    path = survey_path(hole.setting)
    along = deep if path is None else float(path.along(deep))
    how = "drill floor to the target" + ("" if path is None else ", along the surveyed hole")
    return Value("string_reach", above + along, "m", FromWalk(how))


# ---- what was found ----------------------------------------------------------------------


def _reach_value(
    length: float, hung: tuple[Hung, ...], below: Value, hoist: Value, limits: tuple[PipeLimit, ...]
) -> Value:
    total = length + sum(one.length for one in hung)
    inputs = [below, hoist]
    for one in limits:
        inputs += [one.weight, one.bears]
    origin = Solved(
        "longest string over every order of the pipes in stock: at every pipe's upper end "
        "$T_0 + sum w_e L <= T_k$, at the top the hoist, no more of a pipe than there is, none "
        "deeper than it fits",
        "definition",
        tuple(inputs),
        0.0,
    )
    return Value("string_reach", total, "m", origin)


def _limit_of(hung: Hung, limits: tuple[PipeLimit, ...]) -> PipeLimit:
    return next(one for one in limits if one.pipe.name == hung.offer.name)


def _used(hung: Hung, limits: tuple[PipeLimit, ...]) -> UsedPipe:
    limit = _limit_of(hung, limits)
    return UsedPipe(
        hung.offer.name,
        limit.pipe.designation,
        hung.length,
        hung.tension,
        float(limit.bears),
        limit.closest,
    )


_CLOSE: Final = 1e-6  # relative


def _ends(
    hung: tuple[Hung, ...], limits: tuple[PipeLimit, ...], hoist: float, assembly: float
) -> str:
    """Name what keeps the string from being longer."""
    if not hung:
        return "no pipe of the stock bears the bottom assembly"
    reasons = []
    if hung[-1].tension >= hoist * (1.0 - _CLOSE):
        reasons.append("the hoist")
    for one in hung:
        limit = _limit_of(one, limits)
        if one.tension >= float(limit.bears) * (1.0 - _CLOSE):
            reasons.append(f"{one.offer.name} ({_IN_WORDS[limit.closest]})")
    used = {one.offer.name: one.length for one in hung}
    whole = [
        one.pipe.name
        for one in limits
        if used.get(one.pipe.name, 0.0) >= one.pipe.stock.length * (1.0 - _CLOSE)
    ]
    if whole:
        reasons.append(f"all of {', '.join(whole)} is used")
    deep = sum(one.length for one in hung)
    for index, one in enumerate(hung):
        foot = sum(other.length for other in hung[index:])
        if foot >= one.offer.deepest * (1.0 - _CLOSE) and deep > 0.0:
            reasons.append(f"{one.offer.name} fits no deeper")
    return "; ".join(reasons)


_IN_WORDS: Final = {
    "overpull": "tension with overpull",
    "slips": "slips that hold it",
    "torque": "tension with torque",
}


def _alone(
    limits: tuple[PipeLimit, ...], below: float, hoist: float, assembly: float
) -> tuple[tuple[str, float], ...]:
    """Return the reach if one limit were the only one."""
    total = sum(one.pipe.stock.length for one in limits)
    lightest = min(float(one.weight) for one in limits)
    reaches = [
        ("length of pipe in stock", total),
        (
            "hoist, with as much of the lightest pipe as one likes",
            max(hoist - below, 0.0) / lightest,
        ),
    ]
    for name, words in _IN_WORDS.items():
        offers = without_end([one.offer(name) for one in limits])
        reaches.append((f"{words}, pipe without end", deepest(offers, below).length))
    return tuple((words, assembly + reach) for words, reach in reaches)


def _stretch(setting: Setting, hung: tuple[Hung, ...], limits: tuple[PipeLimit, ...]) -> Value:
    pull, parts = setting.basis.value("string_overpull", "axial_force"), []
    for one in hung:
        pipe = _limit_of(one, limits).pipe
        modulus = YOUNG_MODULUS * MODULUS_OVER_STEEL[pipe.stock.material]
        parts.append(
            work(
                stretch_under_load,
                axial_force=pull,
                length=Value("length", one.length, "m", FromWalk(f"of {pipe.name}")),
                pipe_body_area=work(
                    pipe_body_area, outside_diameter=pipe.outside_diameter, wall=pipe.wall
                ),
                young_modulus=Value("young_modulus", modulus, "Pa", FromWalk(pipe.stock.material)),
            )
        )
    return summed("stretch", "m", "sum over the pipes, bottom assembly left out", parts)


def _twist(hung: tuple[Hung, ...], limits: tuple[PipeLimit, ...], torque: Value) -> Value:
    parts = []
    for one in hung:
        pipe = _limit_of(one, limits).pipe
        modulus = SHEAR_MODULUS * MODULUS_OVER_STEEL[pipe.stock.material]
        parts.append(
            work(
                wind_up,
                torque=torque.named("torque"),
                length=Value("length", one.length, "m", FromWalk(f"of {pipe.name}")),
                outside_diameter=pipe.outside_diameter,
                inside_diameter=pipe.inside_diameter,
                shear_modulus=Value("shear_modulus", modulus, "Pa", FromWalk(pipe.stock.material)),
            )
        )
    return summed("wind_up_angle", "rad", "sum over the pipes, bottom assembly left out", parts)


def turns(angle: Value) -> float:
    """Return a twist in turns."""
    return float(angle) / (2.0 * pi)


def _buckling(hole: Hole, assembly: tuple[tuple[str, float], ...], fluid: Fluid) -> Value | None:
    """Return the weight on bit at which the lowest collar first buckles; None without one."""
    if not assembly:
        return None
    pipe = string_pipe(hole, assembly[0][0])
    return work(
        vertical_critical_buckling_load,
        outside_diameter=pipe.outside_diameter,
        inside_diameter=pipe.inside_diameter,
        effective_weight_per_length=_weight(pipe, fluid),
    )


def _records(
    setting: Setting,
    reach: Value,
    needed: Value,
    used: tuple[UsedPipe, ...],
    limits: tuple[PipeLimit, ...],
) -> tuple[CheckRecord, ...]:
    """Return the records that `explain` opens: the reach, and each pipe at its upper end."""
    band = setting.basis.tight_band
    records = [judge(REACH, DEPTH, needed, reach, band)]
    for one in used:
        question = Question(
            one.name,
            Discipline.STEEL,
            f"Does {one.designation} bear what hangs below its upper end?",
            "Less of it, or stronger pipe above.",
            CAUTION,
        )
        limit = next(limit for limit in limits if limit.pipe.name == one.name)
        origin = Solved("assembly and pipes below, as found", "definition", (reach,))
        demand = Value("tension", one.top_tension, "N", origin)
        note = f"Closest limit: {_IN_WORDS[one.by]}."
        records.append(judge(REACH, question, demand, limit.bears, band, note=note))
    return tuple(records)


def load_curve(way: Deepest, assembly: float) -> tuple[np.ndarray, np.ndarray]:
    """Return depth [m] and tension at the top [N] of the lightest string to every depth."""
    points = np.array(way.way)
    return points[:, 0] + assembly, points[:, 1]
