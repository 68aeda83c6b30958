"""Is the core still wide enough when the hole gets there?"""

from __future__ import annotations

from collections.abc import Iterator

from bathybore.checks.fit import passage
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
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
    way, what = passage(state, state.casings)
    yield judge(
        step,
        BARREL,
        barrel.value("hole_diameter", "inside_diameter"),
        way.named("inside_diameter"),
        0.0,
        note=f"Narrowest on the way: {what}.",
    )
