"""The steps of a walk on one line of time, each with what it took and how it was judged."""

from __future__ import annotations

from itertools import pairwise

from bathybore.base.units import UnitSystem
from bathybore.operations.advance import initial_state
from bathybore.operations.state import HoleState
from bathybore.usecases.ledger import Asked, amounts_used, asked_by_step
from bathybore.usecases.scene import StepMark
from bathybore.usecases.walking import Walk


def step_marks(walk: Walk, system: UnitSystem = "metric") -> tuple[StepMark, ...]:
    """Return a mark for every step walked, in order."""
    told = asked_by_step(walk, system)
    pairs = pairwise((initial_state(walk.hole), *walk.states))
    return tuple(
        _mark(index, before, state, told[state.step.name], system)
        for index, (before, state) in enumerate(pairs)
    )


def _mark(
    index: int, before: HoleState, state: HoleState, asked: Asked, system: UnitSystem
) -> StepMark:
    step = state.step
    return StepMark(
        index=index,
        name=step.name,
        title=step.title,
        kind=step.kind.value,
        section=_section(state),
        duration=None if state.duration is None else round(float(state.duration), 1),
        waiting=_waiting(state),
        start=round(before.elapsed, 1),
        end=round(state.elapsed, 1),
        fixed=step.fixed_duration is not None,
        why=step.why,
        uses=tuple(
            f"{used.store} {used.shown}"
            for used in amounts_used(before.consumed, state.consumed, system)
        ),
        barriers=tuple(barrier.name for barrier in state.barriers),
        barriers_needed=state.barriers_needed,
        counts=asked.counts,
        worst=asked.worst,
    )


def _section(state: HoleState) -> str:
    """Return the section that a step belongs to; of one that was inserted, that it works in."""
    step, at_work = state.step, state.activity.section
    if step.section is not None:
        return state.hole.plan.sections[step.section].name
    return at_work.name if step.inserted is not None and at_work is not None else ""


def _waiting(state: HoleState) -> float | None:
    """Return the part [s] of a step that is spent waiting for weather.

    Of a duration that the plan fixes nobody knows what is in it.
    """
    if state.duration is None or state.step.fixed_duration is not None:
        return None
    return round(float(state.duration) * state.hole.site.environment.share_of_time_exceeded, 1)
