"""The lightest casing strings from the stock: which weights and grades, where, and why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.depth import Depth
from bathybore.base.errors import InputErrors, nearest
from bathybore.base.working import Solved, Value, work
from bathybore.checks.pipe_body import (
    Joint,
    PipeBody,
    axial,
    burst,
    collapse,
    triaxial,
)
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.checks.steel import AXIAL_CASES, BURST_CASES, HEAT_CASES
from bathybore.kernels.segments import ballooning_force
from bathybore.kernels.string_mechanics import wall_tension
from bathybore.kernels.tubular_strength import required_capacity
from bathybore.model.basis import DesignBasis
from bathybore.model.hole import Hole, Setting
from bathybore.operations.casing_loads import (
    LoadCase,
    Placement,
    added_forces,
    bending,
    heat_force,
    placement,
    placing,
    service_cases,
    sudden_load,
    wall_left,
    weight_per_length,
    yield_in_heat,
)
from bathybore.operations.catalogue_pipes import CasingPipe, casing_pipe
from bathybore.operations.exposures import exposures
from bathybore.operations.state import CasingInPlace, HoleState
from bathybore.operations.steps import StepKind
from bathybore.search.steel import (
    Candidate,
    Closed,
    Factors,
    Length,
    Loads,
    allowed_loads,
    lightest,
    tension_ranges,
    why_none,
)

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk

STEEL: Final = "steel-"  # begins the ids of these records
CAUTION: Final = (
    "Connections by their efficiencies in the inventory (1 unless told), all stresses together of "
    "the body only. Wear and bending as the design basis says (none unless told); corrosion is not "
    "in these cases. The licensed engineer decides."
)
_SAME_SIZE: Final = 1e-4  # [m]


@dataclass(frozen=True)
class SteelLength:
    """A length of one pipe of the stock, top and bottom with their datum; mass in kg."""

    pipe: str
    designation: str
    top: Depth
    bottom: Depth
    mass: float


@dataclass(frozen=True, eq=False)
class SteelChoice:
    """What one casing of the plan is best made of.

    Attributes
    ----------
    planned : pipe that the plan names, with its designation
    lengths : of the lightest string, top down; empty where none bears all
    records : every question that the string was chosen by, judged at its worst place
    mass, planned_mass : [kg] in air, of this string and of one of the planned pipe alone
    offered : designations of the pipes on board that could be taken
    left_out : pipes of this size that could not, and why
    why_none : which question closes every way, where; empty where a string was found
    made : the string itself, for pictures; None where none was found
    """

    casing: str
    section: str
    planned: tuple[str, str]
    lengths: tuple[SteelLength, ...]
    records: tuple[CheckRecord, ...]
    mass: float
    planned_mass: float
    offered: tuple[str, ...]
    left_out: tuple[tuple[str, str], ...]
    why_none: str
    made: Made | None = field(repr=False)

    @property
    def passes(self) -> bool:
        return bool(self.lengths)

    @property
    def saves(self) -> float:
        """Mass [kg] that the planned pipe has more."""
        return self.planned_mass - self.mass if self.lengths else 0.0


def steel_choices(walk: Walk, only: str = "") -> tuple[SteelChoice, ...]:
    """Return the lightest string for every cemented casing of a walk, top down.

    Parameters
    ----------
    only : name of one casing; empty: all

    Raises
    ------
    InputErrors
        There is no casing of that name.
    """
    jobs = [(s, s.activity.casing) for s in walk.states if s.step.kind is StepKind.CEMENT]
    found = [(state, casing) for state, casing in jobs if casing is not None]
    if only:
        _known(only, [casing.name for _, casing in found])
    return tuple(
        _choice(walk.hole, state, casing) for state, casing in found if only in ("", casing.name)
    )


def chosen(choices: Sequence[SteelChoice], casing: str) -> tuple[SteelChoice, ...]:
    """Return the choice for one casing; InputErrors when there is none."""
    _known(casing, [one.casing for one in choices])
    return tuple(one for one in choices if one.casing == casing)


def _known(casing: str, names: Sequence[str]) -> None:
    if casing not in names:
        there = ", ".join(names) or "a cemented casing; the plan has none"
        raise InputErrors.one("casing", f"'{casing[:60]}'", there, nearest(casing[:60], names))


def _choice(hole: Hole, state: HoleState, casing: CasingInPlace) -> SteelChoice:
    job, exposed = placement(state, casing), exposures(hole, casing)
    cases, section = service_cases(job, exposed), state.activity.section
    pipes, left_out = _on_board(hole, casing)
    factors = _factors(hole.setting)
    candidates = [_candidate(job, pipe) for pipe in pipes]
    ranges = tension_ranges(candidates, [_loads(job, case) for case in cases], factors)
    lengths = lightest(job.nodes, candidates, ranges, factors)
    length = float(casing.shoe - casing.top)
    closed = ""
    if lengths is None:
        closed = _closed(job, pipes, why_none(job.nodes, candidates, ranges, factors))
    made = Made(job, pipes, lengths or (), cases)
    return SteelChoice(
        casing=casing.name,
        section=section.name if section is not None else "",
        planned=(casing.pipe.name, casing.pipe.designation),
        lengths=made.told(),
        records=tuple(_records(made)) if lengths else (),
        mass=sum(one.mass for one in made.told()),
        planned_mass=length * float(casing.pipe.linear_mass),
        offered=tuple(f"{pipe.name} ({pipe.designation})" for pipe in pipes),
        left_out=left_out,
        why_none=closed,
        made=made if lengths else None,
    )


def _on_board(
    hole: Hole, casing: CasingInPlace
) -> tuple[list[CasingPipe], tuple[tuple[str, str], ...]]:
    """Return the pipes of its size that let through what follows, and those that do not."""
    wide = _must_pass(hole, casing)
    taken, left = [], []
    for name in hole.inventory.casing:
        pipe = casing_pipe(hole, name)
        if abs(float(pipe.outside_diameter) - float(casing.pipe.outside_diameter)) > _SAME_SIZE:
            continue
        if float(pipe.drift_diameter) < wide - 1e-6:
            why = f"its drift of {float(pipe.drift_diameter) / 0.0254:.4g} in lets no "
            left.append((name, f"{why}{wide / 0.0254:.4g} in through"))
        else:
            taken.append(pipe)
    return taken, tuple(left)


def _must_pass(hole: Hole, casing: CasingInPlace) -> float:
    """Return the widest [m] that must pass the casing later: the bit of the next section."""
    sections = hole.plan.sections
    names = [section.casing.name if section.casing else "" for section in sections]
    at = names.index(casing.name)
    if at + 1 == len(sections):
        return 0.0
    following = sections[at + 1]
    return following.pilot_bit or following.hole_diameter


def _factors(setting: Setting) -> Factors:
    basis = setting.basis
    return Factors(basis.burst_factor, basis.collapse_factor, basis.triaxial_factor)


def _candidate(job: Placement, pipe: CasingPipe) -> Candidate:
    basis = job.setting.basis
    sudden = float(sudden_load(job.setting, job.plan, pipe))
    limit = float(pipe.joint_strength) / basis.tension_factor - sudden
    return Candidate(
        name=pipe.name,
        outside_diameter=float(pipe.outside_diameter),
        inside_diameter=float(pipe.inside_diameter),
        wall=float(pipe.wall),
        weight_per_length=float(weight_per_length(job, pipe)),
        yield_strength=np.asarray(yield_in_heat(job.setting, pipe.yield_strength, job.nodes).si),
        tension_limit=limit,
        stock=pipe.stock.length,
        worn_wall=float(wall_left(job.setting, pipe.wall, True)),
        cold_yield=float(pipe.yield_strength),
        joint_tension=float(pipe.joint_strength) / basis.tension_factor,
        joint_compression=float(pipe.joint_compression) / basis.tension_factor,
        burst_efficiency=min(pipe.stock.burst_efficiency, 1.0),
        collapse_efficiency=min(pipe.stock.collapse_efficiency, 1.0),
        bending_stress=float(bending(job.setting, pipe.outside_diameter) or 0.0),
    )


def _loads(job: Placement, case: LoadCase) -> Loads:
    placed, asks = placing(job), ["triaxial"]
    inside, outside = placed.internal_pressure.si, placed.external_pressure.si
    if case.name not in HEAT_CASES:
        asks.append("burst" if case.name in BURST_CASES else "collapse")
    if case.name in AXIAL_CASES:
        asks.append("axial")
    change, share = None, None
    if case.temperature_change is not None:
        change = np.asarray(case.temperature_change.si)
        share = _yield_share(job, case.temperature_change)
    return Loads(
        case.name,
        np.asarray(case.internal_pressure.si),
        np.asarray(case.external_pressure.si),
        tuple(asks),
        np.asarray(inside) if case.held else None,
        np.asarray(outside) if case.held else None,
        change,
        share,
    )


def _yield_share(job: Placement, change: Value) -> Array:
    """Return the yield strength that steel keeps in a case over that of undisturbed ground."""
    one = job.casing.pipe.yield_strength  # the share is that of every grade
    hot = yield_in_heat(job.setting, one, job.nodes, change)
    share: Array = np.asarray(hot.si) / np.asarray(yield_in_heat(job.setting, one, job.nodes).si)
    return share


def _closed(job: Placement, pipes: Sequence[CasingPipe], closed: Closed) -> str:
    place = job.setting.depth(float(job.nodes[closed.node]))
    reasons = ", ".join(
        f"{pipe.designation} by {reason}"
        for pipe, reason in zip(pipes, closed.reasons, strict=True)
    )
    return f"at {place} no pipe of this size on board holds: {reasons}"


@dataclass(frozen=True, eq=False)
class Made:
    """A string of lengths at its depth; a node where two lengths meet counts for both."""

    job: Placement
    pipes: Sequence[CasingPipe]
    lengths: tuple[Length, ...]
    cases: tuple[LoadCase, ...]

    def told(self) -> tuple[SteelLength, ...]:
        z, setting = self.job.nodes, self.job.setting
        # what stands above the sea bed or in the casing above carries no node, but weighs
        above = float(z[0] - self.job.casing.top)
        return tuple(
            SteelLength(
                self.pipes[one.pipe].name,
                self.pipes[one.pipe].designation,
                setting.depth(float(z[one.top])),
                setting.depth(float(z[one.bottom])),
                (float(z[one.bottom] - z[one.top]) + (above if one.top == 0 else 0.0))
                * float(self.pipes[one.pipe].linear_mass),
            )
            for one in self.lengths
        )

    @property
    def nodes(self) -> list[int]:
        return [n for one in self.lengths for n in range(one.top, one.bottom + 1)]

    @property
    def places(self) -> tuple[Depth, ...]:
        return tuple(self.job.setting.depth(float(self.job.nodes[n])) for n in self.nodes)

    def at_nodes(self, value: Value) -> Value:
        """Return a value over the nodes of the placement at the nodes of the lengths."""
        return value.at_nodes(self.nodes)

    def of_pipes(self, name: str, unit: str, each: Sequence[Value]) -> Value:
        """Return a size of the pipes as it is at each node, top down."""
        used = [(one, each[one.pipe]) for one in self.lengths]
        array = np.concatenate(
            [np.full(one.bottom - one.top + 1, float(value)) for one, value in used]
        )
        origin = Solved("of the length that stands there", "definition", tuple(v for _, v in used))
        return Value(name, array, unit, origin, -1)

    @property
    def basis(self) -> DesignBasis:
        return self.job.setting.basis

    def heated(self, pipe: CasingPipe) -> Value:
        return yield_in_heat(self.job.setting, pipe.yield_strength, self.job.nodes)

    def pressures(self, case: LoadCase) -> tuple[Value, Value]:
        """Return the pressures inside and outside at the nodes of the lengths."""
        return self.at_nodes(case.internal_pressure), self.at_nodes(case.external_pressure)

    def body(self, case: LoadCase) -> PipeBody:
        cold, change = self.size("yield_strength", "Pa"), case.temperature_change
        hot = yield_in_heat(
            self.job.setting,
            cold,
            self.job.nodes[self.nodes],
            None if change is None else self.at_nodes(change),
        )
        return PipeBody(self.size("outside_diameter"), self.wall(case), hot, cold, self.joint)

    @property
    def joint(self) -> Joint:
        stocks = [pipe.stock for pipe in self.pipes]
        return Joint(
            self.of_pipes("tensile_capacity", "N", [pipe.joint_strength for pipe in self.pipes]),
            self.of_pipes("tensile_capacity", "N", [pipe.joint_compression for pipe in self.pipes]),
            *(
                self.of_pipes(name, "-", [stock.value(name) for stock in stocks])
                for name in ("burst_efficiency", "collapse_efficiency")
            ),
        )

    def wall(self, case: LoadCase) -> Value:
        """Return the wall that bears a case, wear taken off where the casing is drilled through."""
        setting = self.job.setting
        return self.of_pipes(
            "wall", "m", [wall_left(setting, pipe.wall, case.held) for pipe in self.pipes]
        )

    def size(self, field: str, unit: str = "m") -> Value:
        return self.of_pipes(field, unit, [getattr(pipe, field) for pipe in self.pipes])

    @property
    def effective_tension(self) -> Value:
        z, parts, below = self.job.nodes, list[Array](), 0.0
        weights = [weight_per_length(self.job, pipe) for pipe in self.pipes]
        for one in reversed(self.lengths):
            up = z[one.bottom] - z[one.top : one.bottom + 1]
            parts.append(below + float(weights[one.pipe]) * up)
            below = float(parts[-1][0])
        origin = Solved(
            "buoyed weight of all that hangs below",
            "definition",
            tuple(weights[one.pipe] for one in self.lengths),
        )
        return Value("effective_tension", np.concatenate(parts[::-1]), "N", origin, -1)


def _records(made: Made) -> list[CheckRecord]:
    records = [_running(made)]
    for case in made.cases:
        if case.name not in HEAT_CASES:
            pressed = _burst if case.name in BURST_CASES else _collapse
            records.append(pressed(made, case))
        if case.name in AXIAL_CASES:
            records.append(_axial(made, case))
        records.append(_triaxial(made, case))
    return records


def _judge(made: Made, name: str, text: str, demand: Value, capacity: Value) -> CheckRecord:
    question = Question(name, Discipline.STEEL, text, "A heavier wall or a higher grade there.")
    band = made.job.setting.basis.tight_band
    return judge(f"{STEEL}{made.job.casing.name}", question, demand, capacity, band, made.places)


def _running(made: Made) -> CheckRecord:
    setting, plan = made.job.setting, made.job.plan
    each = [sudden_load(setting, plan, pipe) for pipe in made.pipes]
    sudden = made.of_pipes("load", "N", each)
    hanging = made.effective_tension
    load = Value(
        "load",
        np.asarray(hanging.si) + np.asarray(sudden.si),
        "N",
        Solved("what hangs below, and the greater of shock and overpull", "definition",
               (hanging, sudden)),
        -1,
    )  # fmt: skip
    factor = made.job.setting.basis.value("tension_factor", "design_factor")
    demand = work(required_capacity, load=load, design_factor=factor)
    capacity = made.of_pipes("required_capacity", "N", [one.joint_strength for one in made.pipes])
    text = f"Does every length of {made.job.casing.name} bear what hangs below it while it is run?"
    return _judge(made, "running", text, demand, capacity)


def _burst(made: Made, case: LoadCase) -> CheckRecord:
    demand, capacity = burst(made.basis, made.body(case), *made.pressures(case))
    text = f"Does every length bear the pressure inside: {case.moment}?"
    return _judge(made, f"burst-{case.name}", text, demand, capacity)


def _axial_force(made: Made, case: LoadCase) -> Value:
    """Return the true force in the wall: as placed, and what pressures and heat add since.

    Every length is taken as if its own ends were held, as in `search.steel`.
    """
    placed = placing(made.job) if case.held else case
    hung = work(
        wall_tension,
        effective_tension=made.effective_tension,
        internal_pressure=made.at_nodes(placed.internal_pressure).named("internal_pressure"),
        external_pressure=made.at_nodes(placed.external_pressure).named("external_pressure"),
        outside_diameter=made.size("outside_diameter"),
        inside_diameter=made.size("inside_diameter"),
    )
    if not case.held:
        return hung.named("axial_force")
    since = work(
        ballooning_force,
        internal_pressure_change=_since(made, case.internal_pressure, placed.internal_pressure),
        external_pressure_change=_since(made, case.external_pressure, placed.external_pressure),
        outside_diameter=made.size("outside_diameter"),
        inside_diameter=made.size("inside_diameter"),
    )
    parts: tuple[Value, ...] = (hung, since)
    if case.temperature_change is not None:
        change = made.at_nodes(case.temperature_change)
        sizes = (made.size("outside_diameter"), made.size("inside_diameter"))
        parts = (*parts, heat_force(change, *sizes))
    return added_forces("force at placement, and what pressures and heat have added since", parts)


def _since(made: Made, now: Value, then: Value) -> Value:
    one, other = made.at_nodes(now), made.at_nodes(then)
    origin = Solved("pressure now, less that at placement", "definition", (one, other))
    change = np.asarray(one.si) - np.asarray(other.si)
    return Value(f"{now.name}_change", change, "Pa", origin, -1)


def _collapse(made: Made, case: LoadCase) -> CheckRecord:
    force = _axial_force(made, case)
    demand, capacity = collapse(made.basis, made.body(case), *made.pressures(case), force)
    text = f"Does every length bear the pressure outside: {case.moment}?"
    return _judge(made, f"collapse-{case.name}", text, demand, capacity)


def _axial(made: Made, case: LoadCase) -> CheckRecord:
    demand, capacity = axial(made.basis, made.body(case), _axial_force(made, case))
    text = f"Do the connections of every length bear the axial force: {case.moment}?"
    return _judge(made, f"axial-{case.name}", text, demand, capacity)


def _bent(made: Made) -> Value | None:
    stresses = [bending(made.job.setting, pipe.outside_diameter) for pipe in made.pipes]
    known = [one for one in stresses if one is not None]
    return made.of_pipes("bending_stress", "Pa", known) if known else None


def _triaxial(made: Made, case: LoadCase) -> CheckRecord:
    force, body = _axial_force(made, case), made.body(case)
    demand, capacity = triaxial(made.basis, body, *made.pressures(case), force, _bent(made))
    text = f"Does every length stay below yield, all stresses together: {case.moment}?"
    return _judge(made, f"triaxial-{case.name}", text, demand, capacity)


# -- the design envelope -------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class EnvelopePoint:
    """A load case of a string in the plane of its envelope, over the depth nodes.

    Attributes
    ----------
    force : [N] axial force plus outside pressure times steel area
    difference : [Pa] pressure inside less that outside
    """

    case: str
    force: Array
    difference: Array


def envelope(choice: SteelChoice) -> tuple[EnvelopePoint, ...]:
    """Return the closed curve on which each length just reaches its allowed stress.

    A pressure that acts on all sides and on the ends alike yields no steel: so inside and
    outside pressure and axial stress can all be counted from the outside pressure, and the
    criterion is one curve in the plane of force and pressure difference.
    """
    made = choice.made
    assert made is not None
    factor = made.job.setting.basis.triaxial_factor
    curves = []
    for length in made.lengths:
        pipe = made.pipes[length.pipe]
        strength = np.asarray(made.heated(pipe).si)
        allowed = float(np.min(strength[length.top : length.bottom + 1])) / factor
        force, difference = allowed_loads(float(pipe.outside_diameter), float(pipe.wall), allowed)
        curves.append(EnvelopePoint(pipe.designation, force, difference))
    return tuple(curves)


def envelope_points(choice: SteelChoice) -> tuple[EnvelopePoint, ...]:
    """Return every load case of a string in the plane of its envelope."""
    made = choice.made
    assert made is not None
    area = np.asarray(made.size("body_area", "m2").si)
    points = []
    for case in made.cases:
        inside = np.asarray(made.at_nodes(case.internal_pressure).si)
        outside = np.asarray(made.at_nodes(case.external_pressure).si)
        force = np.asarray(_axial_force(made, case).si) + outside * area
        points.append(EnvelopePoint(case.name, force, inside - outside))
    return tuple(points)
