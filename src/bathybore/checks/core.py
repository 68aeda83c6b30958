"""Is the core still wide enough when the hole gets there?"""

from __future__ import annotations

from collections.abc import Iterator

from bathybore.base.working import Solved, Value
from bathybore.checks.fit import passage
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.model.inventory import CoreBarrel
from bathybore.operations.state import HoleState

WIDTH = Question(
    "core-diameter",
    Discipline.CORE,
    "Is the core that the barrel cuts wide enough for those who want it?",
    "A larger barrel, which needs a wider hole: one casing fewer or wider ones above.",
)
BARREL = Question(
    "barrel-passes",
    Discipline.CORE,
    "Does the core bit pass the last casing?",
    "A slimmer barrel, or a wider last casing.",
)


THROUGH = Question(
    "core-through-string",
    Discipline.CORE,
    "Does the core, in its inner barrel, come up through the coring string?",
    "A string of wider bore, a slimmer core, or a barrel that is pulled with the string.",
)


def core_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge barrel and core at the target."""
    hole, step = state.hole, state.step.name
    coring, barrel = hole.plan.coring, hole.inventory.core_barrel
    if coring is None or barrel is None:
        yield unjudged(step, WIDTH, "the plan cores, but no core barrel is on board")
        return
    recovered = state.cored * coring.expected_recovery
    yield judge(
        step,
        WIDTH,
        coring.value("least_core_diameter", "core_diameter"),
        barrel.value("core_diameter"),
        0.0,
        hole.depth(state.bottom),
        note=f"Expected on deck: {recovered:.0f} m of {state.cored:.0f} m cored "
        f"({coring.expected_recovery:.0%}).",
    )
    yield from _through(state, barrel)
    way, what = passage(state, state.casings)
    yield judge(
        step,
        BARREL,
        barrel.value("hole_diameter", "inside_diameter"),
        way.named("inside_diameter"),
        0.0,
        note=f"Narrowest on the way: {what}.",
    )


def _through(state: HoleState, barrel: CoreBarrel) -> Iterator[CheckRecord]:
    """Judge the narrowest bore of the string against the inner barrel of a wireline system."""
    string = state.activity.string
    if not barrel.wireline or string is None:
        return
    narrow = min((part.pipe for part in string.parts), key=lambda pipe: float(pipe.least_bore))
    wall = barrel.value("inner_barrel_clearance")
    core = barrel.value("core_diameter")
    needed = Value(
        "inside_diameter",
        float(core) + float(wall),
        "m",
        Solved("core, and the inner barrel around it", "assumed", (core, wall)),
    )
    yield judge(
        state.step.name,
        THROUGH,
        needed,
        narrow.least_bore.named("inside_diameter"),
        0.0,
        note=f"Narrowest bore: {narrow.name}.",
    )
