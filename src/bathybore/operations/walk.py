"""The walk: from the arrival of the vessel to its departure, one immutable state after another."""

from __future__ import annotations

from collections.abc import Iterator

from bathybore.base.errors import OrderError
from bathybore.model.hole import Hole
from bathybore.operations.advance import advance, initial_state
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind, derive_steps


def states_of(hole: Hole) -> Iterator[HoleState]:
    """Yield the state after every step of the plan, in order.

    Raises
    ------
    OrderError
        A step of the plan, or of the user's edits, cannot be done where it stands; the
        states before it have been yielded.
    """
    state = initial_state(hole)
    for step in derive_steps(hole.plan):
        state = advance(state, step)
        yield state
    if state.step.kind is not StepKind.DEPART:
        raise OrderError(
            f"the operation ends with the step '{state.step.name}', the vessel still on the site; "
            "keep 'depart' as the last step, time is judged there"
        )


def walk_hole(hole: Hole) -> tuple[HoleState, ...]:
    """Return the state after every step of the plan, or raise as `states_of` does."""
    return tuple(states_of(hole))
