"""Why nothing reaches the target, and the smallest changes that would open a way.

Each change is found by searching again and halving the interval between an amount that is
too little and one that is enough.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from bathybore.base.working import FromWalk, Value
from bathybore.data import catalogues
from bathybore.search.bounds import Terms
from bathybore.search.intervals import Interval, interval
from bathybore.search.paths import (
    FEWEST_STRINGS,
    Problem,
    State,
    Table,
    best_path,
    fill,
    follows,
)
from bathybore.search.problems import Prepared
from bathybore.search.sizes import StringSize

_HALVINGS: Final = 9
_WEAK_ZONE: Final = 200.0  # m below a shoe, where a leak-off tests the rock
_MOST_STRONGER: Final = 30e6
_MOST_LONGER: Final = 5000.0
_MOST_SIZES: Final = 3


@dataclass(frozen=True, eq=False)
class Blocker:
    """How far the hole goes below one string, and what closes it there.

    Attributes
    ----------
    shoe : deepest node at which the string can stand
    deepest : node to which the hole can be drilled below it
    closed_by : the bounds that no density meets one node further; None where it is no density
    reason : then, in words
    next_strings : names of strings on board that could follow
    """

    state: State
    shoe: int
    drilling: int
    deepest: int
    closed_by: Interval | None
    reason: str
    next_strings: tuple[str, ...]


def blockers(problem: Problem) -> tuple[Blocker, ...]:
    """Return for every string that can be set how far the hole goes below it, deepest first."""
    table = fill(problem, FEWEST_STRINGS)
    found: dict[int, Blocker] = {}
    for index, state in enumerate(table.states):
        one = _blocker(problem, table, index)
        held = found.get(state.string)
        if held is None or one.deepest > held.deepest:
            found[state.string] = one
    return tuple(sorted(found.values(), key=lambda one: -one.deepest))


def _blocker(problem: Problem, table: Table, index: int) -> Blocker:
    state = table.states[index]
    shoe = int(np.flatnonzero(np.isfinite(table.prices[index]))[-1])
    ways = [
        (_reach(problem, drilling, shoe), -drilling)
        for drilling, one in enumerate(problem.drillings)
        if follows(problem, state, one, None)
    ]
    below = tuple(
        dict.fromkeys(
            problem.strings[run.string].name
            for run in problem.runs
            if follows(
                problem,
                state,
                problem.drillings[run.drilling],
                problem.strings[run.string],
            )
        )
    )
    if not ways:
        reason = "no bit on board goes down it whose cuttings rise in it"
        return Blocker(state, shoe, -1, shoe, None, reason, below)
    deepest, negative = max(ways)
    drilling = -negative
    closed, reason = _closed(problem, drilling, shoe, deepest)
    return Blocker(state, shoe, drilling, deepest, closed, reason, below)


def _reach(problem: Problem, drilling: int, shoe: int) -> int:
    """Return the deepest node that a bit can drill to below a shoe."""
    deepest = int(np.searchsorted(problem.drilling_tops[drilling], shoe, side="right")) - 1
    return max(deepest, shoe)


def _closed(
    problem: Problem, drilling: int, shoe: int, deepest: int
) -> tuple[Interval | None, str]:
    target, one = len(problem.depth) - 1, problem.drillings[drilling]
    if deepest >= target:
        return None, "the target is reached, but not with the hole that is wanted there"
    if one.highest_top[deepest + 1] > shoe:
        return None, "the mud that the vessel carries is dumped before"
    return interval(one.window, shoe, deepest + 1), ""


@dataclass(frozen=True, eq=False)
class Opening:
    """One change that opens a way, the least of its kind.

    Attributes
    ----------
    what : the sentence, without the amount
    amount : how much; None where it is a thing
    """

    what: str
    amount: Value | None
    problem: Problem


@dataclass(frozen=True)
class _Change:
    """A kind of change: the terms after a share (0 to 1) of its greatest amount."""

    what: str
    most: float
    unit: str
    terms: Callable[[float], Terms]


def openings(prepared: Prepared, terms: Terms, closed: tuple[Blocker, ...]) -> Iterator[Opening]:
    """Yield the smallest changes that open a way to the target, one of each kind that does."""
    for change in _changes(prepared, terms, closed):
        found = _least(prepared, change)
        if found is not None:
            yield found
    yield from _more_sizes(prepared, terms)


def _opens(prepared: Prepared, terms: Terms) -> Problem | None:
    problem = prepared.problem(terms)
    return problem if best_path(fill(problem, FEWEST_STRINGS)) is not None else None


def _least(prepared: Prepared, change: _Change) -> Opening | None:
    """Return the least amount of a change that opens a way; None where its most does not."""
    opened = _opens(prepared, change.terms(1.0))
    if opened is None:
        return None
    little, enough = 0.0, 1.0
    for _ in range(_HALVINGS):
        middle = 0.5 * (little + enough)
        problem = _opens(prepared, change.terms(middle))
        if problem is None:
            little = middle
        else:
            enough, opened = middle, problem
    how = FromWalk("searched again, halving between too little and enough")
    amount = Value("amount", enough * change.most, change.unit, how)
    return Opening(change.what, amount, opened)


def _changes(prepared: Prepared, terms: Terms, closed: tuple[Blocker, ...]) -> Iterator[_Change]:
    depth = prepared.grid.depth
    if closed:
        shoe = closed[0].shoe
        zone = (depth >= depth[shoe]) & (depth <= depth[shoe] + _WEAK_ZONE)
        place = prepared.hole.depth(float(prepared.grid.z[shoe])).show()
        yield _Change(
            f"a leak-off higher over {_WEAK_ZONE:.0f} m below the shoe at {place}",
            _MOST_STRONGER,
            "Pa",
            lambda share: replace(terms, stronger=np.where(zone, share * _MOST_STRONGER, 0.0)),
        )
    yield _Change(
        "a fracture pressure higher at every depth",
        _MOST_STRONGER,
        "Pa",
        lambda share: replace(terms, stronger=share * _MOST_STRONGER),
    )
    for field, what in (
        ("fracture_margin", "a smaller margin under the fracture pressure"),
        ("trip_margin", "a smaller trip margin"),
        ("kick_volume", "a smaller kick, seen earlier"),
        ("kick_intensity", "a pore pressure known better: a kick less intense"),
        ("room", "a mud kept closer to its density"),
    ):
        yield _less(terms, field, what)
    heaviest = terms.heaviest_mud
    yield _Change(
        "a heavier mud",
        1000.0,
        heaviest.unit,
        lambda share: replace(
            terms,
            heaviest_mud=Value(
                heaviest.name, float(heaviest) + share * 1000.0, heaviest.unit, heaviest.origin
            ),
        ),
    )
    yield _Change(
        "more of the casings on board",
        _MOST_LONGER,
        "m",
        lambda share: replace(terms, longer=share * _MOST_LONGER),
    )
    yield _Change(
        "more mud on board to be dumped",
        1e5,
        "m3",
        lambda share: replace(terms, more_mud=share * 1e5),
    )


def _less(terms: Terms, field: str, what: str) -> _Change:
    now: Value = getattr(terms, field)

    def changed(share: float) -> Terms:
        less = Value(now.name, (1.0 - share) * float(now), now.unit, now.origin)
        return replace(terms, **{field: less})  # type: ignore[arg-type]

    return _Change(what, float(now), now.unit, changed)


def _more_sizes(prepared: Prepared, terms: Terms) -> Iterator[Opening]:
    """Yield the catalogue's casings, of each outside diameter the widest, that open a way."""
    widest: dict[float, StringSize] = {}
    on_board = {string.outside_diameter for string in prepared.problem(terms).strings}
    for row in catalogues.casings():
        size = StringSize(
            row.designation,
            row.designation,
            row.outside_diameter,
            row.coupling_outside_diameter
            if np.isfinite(row.coupling_outside_diameter)
            else row.outside_diameter,
            row.special_drift_diameter or row.drift_diameter,
            linear_mass=row.linear_mass,
            bore=row.inside_diameter,
        )
        held = widest.get(size.outside_diameter)
        if size.outside_diameter in on_board:
            continue
        if held is None or size.drift > held.drift:
            widest[size.outside_diameter] = size
    found = 0
    for size in widest.values():
        problem = prepared.problem(terms, (size,))
        if best_path(fill(problem, FEWEST_STRINGS)) is not None:
            yield Opening(f"one more size on board: {size.designation}", None, problem)
            found += 1
        if found == _MOST_SIZES:
            return
