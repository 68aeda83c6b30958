"""Walk a hole and judge every step: the one thing every face asks for first."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from bathybore.base.errors import OrderError
from bathybore.base.keeping import kept
from bathybore.checks.ledger import records_of
from bathybore.checks.record import CheckRecord
from bathybore.checks.studies import studies_of
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.operations.state import HoleState
from bathybore.operations.walk import states_of, walk_hole


@dataclass(frozen=True, eq=False)  # one walk; identity is what caches key on
class Walk:
    """A walked hole: the state after every step, and every verdict in order.

    Attributes
    ----------
    stopped : why the walk ended before the plan did; empty when it did not
    studied : the longer questions were asked too
    """

    hole: Hole
    states: tuple[HoleState, ...]
    records: tuple[CheckRecord, ...]
    stopped: str = ""
    studied: bool = False

    def records_at(self, step: str) -> tuple[CheckRecord, ...]:
        return tuple(record for record in self.records if record.step == step)


def walk(path: Path) -> Walk:
    """Load, walk and judge the hole in a folder or file, longer questions and all.

    Raises
    ------
    InputErrors
        The document or its tables cannot be used.
    OrderError
        The steps cannot follow one another.
    """
    return _studied(load_hole(path))


@kept(4)
def _studied(hole: Hole) -> Walk:
    return study(walk_loaded(hole))


def study(walk: Walk, wanted: Callable[[], bool] = lambda: True) -> Walk:
    """Ask the longer questions of every step too.

    Parameters
    ----------
    wanted : asked before every step; once it says no, the walk comes back as it was
    """
    if walk.studied:
        return walk
    records = list[CheckRecord]()
    for state in walk.states:
        if not wanted():
            return walk
        records += (*walk.records_at(state.step.name), *studies_of(state))
    return replace(walk, records=tuple(records), studied=True)


def walk_loaded(hole: Hole) -> Walk:
    """Walk and judge a hole that is loaded already; the longer questions wait for ``study``."""
    return _judged(hole, walk_hole(hole))


def walk_as_far(hole: Hole) -> Walk:
    """Walk and judge a hole up to the first step that cannot be done, and say why not.

    A plan that is being changed passes through orders that cannot be: what stands before
    is still worth seeing. The longer questions wait for ``study``.

    Raises
    ------
    InputErrors
        An edit of the steps names a step that the plan does not have.
    """
    states, stopped = list[HoleState](), ""
    try:
        for state in states_of(hole):
            states.append(state)
    except OrderError as error:
        stopped = str(error)
    return _judged(hole, tuple(states), stopped)


def _judged(hole: Hole, states: tuple[HoleState, ...], stopped: str = "") -> Walk:
    records = tuple(record for state in states for record in records_of(state))
    return Walk(hole, states, records, stopped)
