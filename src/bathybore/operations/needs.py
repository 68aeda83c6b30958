"""What a step needs of the hole that it meets."""

from __future__ import annotations

from bathybore.base.errors import OrderError
from bathybore.operations.state import HoleState
from bathybore.operations.steps import Step


def need(condition: bool, step: Step, what: str) -> None:
    """Refuse a step where something is missing.

    Raises
    ------
    OrderError
        The condition does not hold; the message says what is missing.
    """
    if not condition:
        raise OrderError(f"the step '{step.name}' cannot be done here: {what}")


def need_free(state: HoleState, step: Step) -> None:
    """Refuse a step unless nothing hangs in the hole and no plug closes it."""
    if state.hanging_casing is not None:
        name = state.hanging_casing.name
        need(False, step, f"{name} hangs on a string; set it and release the string first")
    need(state.string is None, step, "a string is still in the hole; release it first")
    need(not state.plugs, step, "the hole is plugged already")
