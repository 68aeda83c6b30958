"""Walk a hole and judge every step: the one thing every face asks for first."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import groupby
from operator import attrgetter
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
    longer : verdicts on the longer questions, a tuple a state; None until they were asked
    """

    hole: Hole
    states: tuple[HoleState, ...]
    stopped: str = ""
    longer: tuple[tuple[CheckRecord, ...], ...] | None = None

    @property
    def studied(self) -> bool:
        """Whether the longer questions were asked too."""
        return self.longer is not None

    @cached_property
    def records(self) -> tuple[CheckRecord, ...]:
        """Every verdict in order; judged when first asked for, so that a picture need not wait."""
        longer = ((),) * len(self.states) if self.longer is None else self.longer
        return tuple(
            record
            for state, more in zip(self.states, longer, strict=True)
            for record in (*records_of(state), *more)
        )

    @property
    def judged(self) -> bool:
        """Whether the verdicts are there already."""
        return "records" in vars(self)

    @cached_property
    def by_step(self) -> Mapping[str, tuple[CheckRecord, ...]]:
        """The verdicts by step, in the order of the operation."""
        return by_step((state.step.name for state in self.states), self.records)

    def records_at(self, step: str) -> tuple[CheckRecord, ...]:
        return self.by_step.get(step, ())


def by_step(
    steps: Iterable[str], records: Iterable[CheckRecord]
) -> dict[str, tuple[CheckRecord, ...]]:
    """Return records by step, steps in their order.

    A record of none of the steps (of the hole as a whole) is kept, at the end.
    """
    found: dict[str, tuple[CheckRecord, ...]] = dict.fromkeys(steps, ())
    for step, more in groupby(records, attrgetter("step")):
        found[step] = (*found.get(step, ()), *more)
    return found


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
    longer = list[tuple[CheckRecord, ...]]()
    for state in walk.states:
        if not wanted():
            return walk
        longer.append(tuple(studies_of(state)))
    return replace(walk, longer=tuple(longer))


def walk_loaded(hole: Hole) -> Walk:
    """Walk and judge a hole that is loaded already; the longer questions wait for ``study``."""
    return Walk(hole, walk_hole(hole))


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
    return Walk(hole, tuple(states), stopped)
