"""Adopt a proposal: the edits of the hole document that make it the plan, and what the walk says.

What a proposal does not decide (flow, bit weight, cement, plugs) is taken over from the
section or casing of the plan that it follows, moved to its depths.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil, inf, isfinite
from typing import Any, Final

from bathybore.base.depth import Depth
from bathybore.base.errors import InputErrors, OrderError
from bathybore.base.units import parse_quantity
from bathybore.base.working import Value
from bathybore.checks.record import Status
from bathybore.model.editing import Draft, Edit
from bathybore.model.hole import Hole
from bathybore.model.plan import Casing
from bathybore.operations.casing_loads import covering_test, placement
from bathybore.operations.catalogue_pipes import casing_pipe, string_pipe
from bathybore.operations.exposures import exposures
from bathybore.operations.steps import StepKind
from bathybore.operations.walk import states_of
from bathybore.usecases.walking import study, walk_as_far

_TEST_STEP: Final = 0.1e6  # Pa to which test pressures are rounded up
_INCH: Final = 0.0254
_ROOM_ROUND_JOINTS: Final = 0.012  # m on diameter; less does not go into a hole that is not new
_LINER_CEMENT: Final = 50.0  # m below the hanger, where the cement of a liner begins
_PLUG_ABOVE, _PLUG_BELOW = 150.0, 100.0  # m from the deepest shoe to the ends of its plug


@dataclass(frozen=True)
class ProposedCasing:
    """A casing or liner of a proposal.

    Attributes
    ----------
    pipe : its name in the inventory
    outside_diameter : [m]
    hung_at : None in the wellhead
    length : [m]
    mass : [kg]
    """

    pipe: str
    designation: str
    outside_diameter: float
    hung_at: Depth | None
    shoe: Depth
    length: float
    mass: float


@dataclass(frozen=True, eq=False)
class ProposedSection:
    """One open hole of a proposal, and the string that ends it.

    Attributes
    ----------
    like : index of the plan's section whose practice it follows
    hole_diameter : [m]
    flow_scale : of that section's flow rate
    circulation : in words; ``returns`` as a plan says it, None where it has no word for it
    density : [kg/m3] to be planned, as weighed
    least_density, greatest_density : [kg/m3] of the interval that one density has to meet
    needed_by, borne_by : what decides its ends, and where
    mud_dumped : [m3]
    """

    like: int
    hole_diameter: float
    flow_scale: float
    top: Depth
    bottom: Depth
    circulation: str
    returns: str | None
    only_sea_water: bool
    density: Value
    least_density: Value
    greatest_density: Value
    needed_by: str
    needed_at: Depth
    borne_by: str
    borne_at: Depth
    mud_dumped: Value
    casing: ProposedCasing | None


@dataclass(frozen=True)
class Finding:
    """One record of the walk that does not hold.

    Attributes
    ----------
    id : as `explain` takes it once the proposal is adopted
    margin : share of the capacity left; None where it was not judged
    """

    id: str
    status: str
    question: str
    margin: float | None
    depth: Depth | None
    reason: str
    remedy: str

    @property
    def check(self) -> str:
        """The name of the check, whatever the step."""
        return self.id.split("/", 1)[1]

    @property
    def severity(self) -> float:
        """How far it is from holding; what was not judged is worse than any number."""
        return inf if self.margin is None else -self.margin


@dataclass(frozen=True)
class Verdict:
    """What the walk of an adopted proposal says.

    Attributes
    ----------
    passes : every record was judged and holds (tight holds)
    counts : records by status
    findings : all that do not hold, in the order of the steps
    duration : [s] of the whole operation, as far as it could be walked
    stopped : why the walk ended early; empty when it did not
    """

    passes: bool
    counts: dict[str, int]
    findings: tuple[Finding, ...]
    duration: float
    stopped: str


def edits_to_adopt(draft: Draft, sections: tuple[ProposedSection, ...]) -> tuple[Edit, ...]:
    """Return the edits of hole.yaml that make a proposal the plan.

    Casings are tested to at least what a kick of a later section could put on them.

    Raises
    ------
    InputErrors
        The proposal circulates in a way that a plan cannot say, or the document has faults, or
        would have them.
    """
    if draft.hole is None:
        raise InputErrors(draft.faults)
    for section in sections:
        if section.returns is None:
            raise InputErrors.one(
                "the proposal", f"'{section.circulation}'", "returns to the sea floor or by a riser"
            )
    edits = tuple(_Adoption(draft.hole, sections).edits())
    after = draft.edited(_by_block(draft.hole, edits))
    if after.hole is None:
        raise InputErrors(after.faults)
    tests = _covering_tests(after.hole)
    return tuple(_tested(edit, tests) for edit in edits)


def _covering_tests(hole: Hole) -> dict[str, float]:
    """Return the test pressure [Pa] that each casing needs, as far as the plan can be walked."""
    needed: dict[str, float] = {}
    with suppress(OrderError):  # the walk says where it stops
        for state in states_of(hole):
            casing = state.activity.casing
            if state.step.kind is StepKind.CEMENT and casing is not None:
                pressure = covering_test(placement(state, casing), exposures(hole, casing))
                if pressure is not None:
                    needed[casing.name] = pressure
    return needed


def _tested(edit: Edit, tests: dict[str, float]) -> Edit:
    """Return the edit of the sections with the tests raised to what is needed, none lowered."""
    if edit.key != "plan.sections":
        return edit
    content = []
    for section in edit.content:
        casing = dict(section.get("casing") or {})
        planned = (
            parse_quantity(casing["test_pressure"], "Pa") if "test_pressure" in casing else -1.0
        )
        if tests.get(casing.get("name", ""), -1.0) > planned:
            steps = ceil(tests[casing["name"]] / _TEST_STEP - 1e-9)
            casing["test_pressure"] = f"{steps * _TEST_STEP / 1e6:g} MPa"
        content.append({**section, "casing": casing} if casing else section)
    return replace(edit, content=content)


def adopted(draft: Draft, sections: tuple[ProposedSection, ...]) -> Draft:
    """Return the draft with a proposal as its plan.

    Raises
    ------
    InputErrors
        The draft has faults, or would have them with the proposal.
    """
    after = draft.edited(edits_to_adopt(draft, sections))
    if after.hole is None:
        raise InputErrors(after.faults)
    return after


def judged(draft: Draft, edits: tuple[Edit, ...]) -> Verdict:
    """Return what the walk of a proposal says, every step against every limit."""
    if draft.hole is None:
        raise InputErrors(draft.faults)
    after = draft.edited(_by_block(draft.hole, edits))
    if after.hole is None:
        raise InputErrors(after.faults)
    walk = study(walk_as_far(after.hole))
    counts = Counter(str(record.status) for record in walk.records)
    held = (Status.HOLDS, Status.TIGHT)
    findings = tuple(
        Finding(r.id, str(r.status), r.question, r.margin, r.depth, r.reason, r.remedy)
        for r in walk.records
        if r.status not in held
    )
    return Verdict(
        passes=not findings and not walk.stopped,
        counts=dict(counts),
        findings=findings,
        duration=walk.states[-1].elapsed if walk.states else 0.0,
        stopped=walk.stopped,
    )


def _by_block(hole: Hole, edits: tuple[Edit, ...]) -> tuple[Edit, ...]:
    """Return edits with the same outcome in which new fluids, and new strings, go in together.

    Each change of a document is read again and compared, which takes a while; comments in
    those two blocks are lost, so it is for a document that is judged and thrown away.
    """
    together: dict[str, dict[str, Any]] = {}
    rest = []
    for edit in edits:
        match = re.fullmatch(r"plan\.(fluids|strings)\[(.+)\]", edit.key)
        if match is None:
            rest.append(edit)
        else:
            block = together.setdefault(match[1], dict(hole.tree.at(("plan", match[1]))))
            block[match[2]] = edit.content
    return (
        *(Edit("put", f"plan.{name}", content=block) for name, block in together.items()),
        *rest,
    )


@dataclass(frozen=True)
class _Bore:
    """A bore of the finished hole, metres below the sea bed."""

    top: float
    bottom: float
    diameter: float


class _Adoption:
    """Works out the edits; depths are metres below the sea bed."""

    def __init__(self, hole: Hole, sections: tuple[ProposedSection, ...]) -> None:
        self.hole, self.sections = hole, sections
        self.frame = hole.frame
        self.fluids: list[str] = []

    def edits(self) -> Iterator[Edit]:
        plan, tree = self.hole.plan, self.hole.tree
        contents = [self._section(number) for number in range(len(self.sections))]
        for number, section in enumerate(self.sections):
            if not section.only_sea_water:
                yield self._fluid(number)
            yield self._string_edit(f"{self._name(number)}-string", self._section_string(number))
        yield Edit("put", "plan.sections", content=contents)
        last = len(self.sections) - 1
        if plan.coring is not None:
            yield Edit("set", "plan.coring.fluid", contents[last]["fluid"])
            parts = self._fitted(plan.coring.string, self._below(plan.coring.bottom), 0.0, last)
            yield self._string_edit("search-coring", parts)
            yield Edit("set", "plan.coring.string", "search-coring")
        yield from self._leaving()
        if plan.step_edits:
            kept = self._steps_that_stay(contents)
            if not kept:
                yield Edit("remove", "plan.step_edits")
            elif len(kept) < len(plan.step_edits):
                content = [tree.at(("plan", "step_edits", index)) for index in kept]
                yield Edit("put", "plan.step_edits", content=content)

    def _below(self, depth: Depth) -> float:
        return self.frame.below_sea_bed(depth)

    def _name(self, number: int) -> str:
        return f"search-{number + 1}"

    def _raw(self, *path: str | int) -> dict[str, Any]:
        return dict(self.hole.tree.at(("plan", *path)))

    # sections

    def _section(self, number: int) -> dict[str, Any]:
        section = self.sections[number]
        old = self.hole.plan.sections[section.like]
        content = self._raw("sections", section.like)
        for gone in ("casing", "pilot_bit"):
            content.pop(gone, None)
        foreign = {
            "sea floor": ("booster_flow_rate",),
            "riser": ("pad_fluid", "sweep_fluid", "sweep_share"),
        }
        for gone in foreign[str(section.returns)] if old.returns != section.returns else ():
            content.pop(gone, None)
        content |= {
            "name": self._name(number),
            "hole_diameter": _inches(section.hole_diameter),
            "bottom": _depth(self._below(section.bottom)),
            "returns": section.returns,
            "string": f"{self._name(number)}-string",
        }
        if abs(section.flow_scale - 1.0) > 1e-9:
            content["flow_rate"] = f"{old.flow_rate * section.flow_scale * 60000.0:.6g} L/min"
        if not section.only_sea_water:
            content["fluid"] = f"{self._name(number)}-mud"
        if section.casing is not None:
            content["casing"] = self._casing(number, section, section.casing)
        return content

    def _fluid(self, number: int) -> Edit:
        """Return the mud of a section: as the one that it follows, of another density."""
        section = self.sections[number]
        old = self.hole.plan.sections[section.like]
        name = old.fluid
        if section.returns == "sea floor" and old.returns == "sea floor":
            name = old.pad_fluid or old.fluid
        content = self._raw("fluids", name) | {"density": f"{float(section.density):.8g} kg/m3"}
        return Edit("put", f"plan.fluids[{self._name(number)}-mud]", content=content)

    # casings and their cement

    def _template(self, casing: ProposedCasing) -> tuple[int, Casing]:
        """Return the plan's casing to follow: of the same pipe, else the nearest in diameter."""
        held = [
            (index, section.casing)
            for index, section in enumerate(self.hole.plan.sections)
            if section.casing is not None
        ]
        if not held:
            raise InputErrors.one(
                "plan.sections",
                "no casing whose cement a proposal could follow",
                "one section with a casing",
            )

        def away(pair: tuple[int, Casing]) -> tuple[bool, float]:
            pipe = casing_pipe(self.hole, pair[1].pipe)
            return (
                pair[1].pipe != casing.pipe,
                abs(float(pipe.outside_diameter) - casing.outside_diameter),
            )

        return min(held, key=away)

    def _casing(
        self, number: int, section: ProposedSection, casing: ProposedCasing
    ) -> dict[str, Any]:
        index, old = self._template(casing)
        content = self._raw("sections", index, "casing")
        for gone in ("hung_at", "expected_test_at_shoe"):
            content.pop(gone, None)
        if old.pipe != casing.pipe:
            content.pop("test_pressure", None)
        shoe = self._below(casing.shoe)
        content |= {
            "name": self._casing_name(number, casing.pipe),
            "pipe": casing.pipe,
            "shoe": _depth(shoe),
            "run_on": self._run_on(casing.hung_at is not None, old),
            "cement": self._cement(index, old, section, casing),
        }
        if casing.hung_at is not None:
            content["hung_at"] = _depth(self._below(casing.hung_at))
        return content

    def _casing_name(self, number: int, pipe: str) -> str:
        name = re.sub(r"[^a-z0-9-]+", "-", pipe.lower()).strip("-")[:36]
        conductor = self.hole.plan.conductor.name
        return name if name and name != conductor else f"casing-{number + 1}"

    def _run_on(self, liner: bool, old: Casing) -> str:
        """Return the landing string: of the followed casing, or of one that hangs like this."""
        casings = [s.casing for s in self.hole.plan.sections if s.casing is not None]
        alike = [c for c in (old, *casings) if isinstance(c.hung_at, Depth) == liner]
        return (alike or [old])[0].run_on

    def _cement(
        self, index: int, old: Casing, section: ProposedSection, casing: ProposedCasing
    ) -> dict[str, Any]:
        content = dict(self.hole.tree.at(("plan", "sections", index, "casing", "cement")))
        job, old_shoe, shoe = old.cement, self._below(old.shoe), self._below(casing.shoe)
        tall = old_shoe - self._below(job.top)
        top = max(shoe - tall, 0.0)
        if self._below(job.top) <= 1.0 and casing.hung_at is None:
            top = 0.0  # returns at the sea bed
        if casing.hung_at is not None:
            top = self._below(casing.hung_at) + _LINER_CEMENT
        content["top"] = _depth(top)
        if job.tail_top is not None:
            tail = old_shoe - self._below(job.tail_top)
            content["tail_top"] = _depth(max(shoe - tail, 0.5 * (top + shoe)))
        if section.returns == "riser" and self.hole.plan.sections[index].returns != "riser":
            content.pop("through_inner_string", None)
        return content

    # strings

    def _bores(self, last: int) -> list[_Bore]:
        """Return the bores that a string passes when the hole of section ``last`` is drilled."""
        section = self.sections[last]
        top, bottom = self._below(section.top), self._below(section.bottom)
        bores = [_Bore(top, bottom, section.hole_diameter)]
        conductor = casing_pipe(self.hole, self.hole.plan.conductor.pipe)
        bores.append(_Bore(0.0, top, float(conductor.inside_diameter)))
        for above in self.sections[:last]:
            casing = above.casing
            if casing is not None:
                inside = float(casing_pipe(self.hole, casing.pipe).inside_diameter)
                hung = 0.0 if casing.hung_at is None else self._below(casing.hung_at)
                bores.append(_Bore(hung, self._below(casing.shoe), inside))
        return bores

    def _section_string(self, number: int) -> list[dict[str, Any]]:
        section = self.sections[number]
        old = self.hole.plan.sections[section.like]
        bottom = self._below(section.bottom)
        return self._fitted(old.string, bottom, bottom - self._below(old.bottom), number)

    def _fitted(self, name: str, bottom: float, deeper: float, last: int) -> list[dict[str, Any]]:
        """Return a string for another depth: its taper as much deeper, and where the hole is
        narrow no joints that do not fit."""
        parts = self.hole.plan.strings[name]
        pipes = [n for n, p in enumerate(parts) if self._is_pipe(p.pipe)]
        bores, below, content = self._bores(last), bottom, []
        for index, part in enumerate(parts):
            length = part.length
            if length is None or index == len(parts) - 1:
                content.append(self._raw("strings", name, index))  # its tool, if any, comes along
                break
            if len(pipes) > 1 and index == pipes[-2]:
                length = max(length + deeper, 10.0)
            if index in pipes:
                joint = float(
                    string_pipe(self.hole, parts[index + 1].pipe).tool_joint_outside_diameter
                )
                length = max(length, below - _fits_above(bores, joint))
            below -= length
            content.append(self._raw("strings", name, index) | {"length": f"{length:.8g} m"})
        return content

    def _is_pipe(self, name: str) -> bool:
        return self.hole.inventory.pipe[name].kind == "pipe"

    def _string_edit(self, name: str, parts: list[dict[str, Any]]) -> Edit:
        return Edit("put", f"plan.strings[{name}]", content=parts)

    # leaving

    def _leaving(self) -> Iterator[Edit]:
        """Move the deepest plug across the deepest shoe; drop those that it would run into."""
        leaving, casings = self.hole.plan.leaving, [s.casing for s in self.sections if s.casing]
        if not casings:
            return
        shoe = self._below(casings[-1].shoe)
        bottom = self._below(self.sections[-1].bottom)
        top, foot = max(shoe - _PLUG_ABOVE, 1.0), min(shoe + _PLUG_BELOW, bottom)
        content = [self._raw("leaving", "plugs", 0) | {"top": _depth(top), "bottom": _depth(foot)}]
        for index, plug in enumerate(leaving.plugs[1:], 1):
            if self._below(plug.bottom) <= top:
                content.append(self._raw("leaving", "plugs", index))
        yield Edit("put", "plan.leaving.plugs", content=content)
        parts = self._fitted(leaving.string, foot, 0.0, len(self.sections) - 1)
        yield self._string_edit("search-plugging", parts)
        yield Edit("set", "plan.leaving.string", "search-plugging")

    def _steps_that_stay(self, contents: list[dict[str, Any]]) -> list[int]:
        """Return the step edits that name no step of a section or casing that goes.

        What was inserted behind such a step goes with it, and what was told of it.
        """
        plan = self.hole.plan
        gone = {section.name for section in plan.sections}
        gone |= {section.casing.name for section in plan.sections if section.casing is not None}
        gone -= {c["casing"]["name"] for c in contents if "casing" in c}
        steps = {
            f"{verb}-{name}"
            for name in gone
            for verb in ("drill", "run", "cement", "release", "test")
        }
        stay: list[int] = []
        for index, edit in enumerate(plan.step_edits):
            if not steps & {edit.step, edit.move_after, edit.insert_after}:
                stay.append(index)
            elif edit.name is not None:
                steps.add(edit.name)
        return stay


def _fits_above(bores: list[_Bore], joint: float) -> float:
    """Return the depth above which every bore lets a tool joint through."""
    edges = sorted({b.bottom for b in bores} | {b.top for b in bores})
    fits = 0.0
    for top, bottom in pairwise(edges):
        around = [b.diameter for b in bores if b.top <= top and b.bottom >= bottom]
        if around and min(around) < joint + _ROOM_ROUND_JOINTS:
            return fits
        fits = bottom
    return fits


def _depth(below_sea_bed: float) -> str:
    return f"{round(below_sea_bed, 3):.10g} m below sea bed"


def _inches(diameter: float) -> str:
    if not isfinite(diameter):
        raise ValueError("a hole has a diameter")
    return f"{round(diameter / _INCH, 6):.10g} in"
