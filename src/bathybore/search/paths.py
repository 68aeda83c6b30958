"""The cheapest way down: shortest paths through depth and size, by dynamic programming.

A state is a string whose shoe stands at a node, whether a wellhead stands, and whether the
riser is on it. Strings only get narrower, so they are worked through from the widest to the
narrowest, and the price of a leg is a part of its bottom plus a part of its top: the best top
for every bottom is then the least of an array over a range that ends above it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final, NamedTuple

import numpy as np

from bathybore.base.arrays import Array
from bathybore.search.intervals import Bound, Nodes, Window, also_below, highest_tops
from bathybore.search.sizes import Chain, StringSize

CONDUCTOR: Final = 0  # index of the string that stands before the search begins


@dataclass(frozen=True, eq=False)
class Drilling:
    """One bit under one circulation.

    Attributes
    ----------
    days : (node) of drilling from the first node down, trips left out
    days_at : (node) more of a leg that ends there: trips, changes of the assembly
    highest_top : (node) from which what is on board lasts to drill there
    weighed : the density is free, not that of sea water
    not_below : indices of strings in whose bore the cuttings do not rise as they should
    """

    bit: float
    circulation: str
    on_riser: bool
    window: Window
    days: Array
    days_at: Array
    highest_top: Nodes
    weighed: bool = True
    not_below: frozenset[int] = frozenset()


@dataclass(frozen=True, eq=False)
class Run:
    """A string set in the hole of a bit.

    Attributes
    ----------
    drilling, string : indices into those of the problem
    surge : what the rock bears while it is run; None where nothing is asked
    days_at : (node) to run and cement it, what goes by its length left out
    days_per_metre : of string made up
    """

    drilling: int
    string: int
    surge: Bound | None
    days_at: Array
    days_per_metre: float


@dataclass(frozen=True, eq=False)
class Problem:
    """All that a search chooses from.

    Attributes
    ----------
    depth : (node) [m] below the sea bed; the first is the conductor's shoe, the last the target
    strings : the conductor first
    last : indices of the drillings that may reach the target
    last_shoe : deepest node at which a shoe may still stand
    riser_days : to run it, and to pull it in the end
    lap : [m] of a liner inside the string above
    least_leg : [m] of new hole at least before another string is set
    """

    depth: Array
    strings: tuple[StringSize, ...]
    chain: Chain
    drillings: tuple[Drilling, ...]
    runs: tuple[Run, ...]
    last: tuple[int, ...]
    last_shoe: int
    riser_days: float
    lap: float
    least_leg: float = 0.0

    @cached_property
    def lowest_tops(self) -> Nodes:
        """Return for every node the lowest shoe from which a leg to it is worth a string."""
        nodes = np.arange(len(self.depth))
        far = np.searchsorted(self.depth, self.depth - self.least_leg + 1e-6, side="right") - 1
        return np.minimum(far, nodes - 1)

    @cached_property
    def drilling_tops(self) -> tuple[Nodes, ...]:
        """Return for every drilling the highest shoe from which each node is reached."""
        return tuple(
            np.maximum(highest_tops(one.window), one.highest_top) for one in self.drillings
        )

    @cached_property
    def run_tops(self) -> tuple[Nodes, ...]:
        """Return the same for every run: the string can be run there as well."""
        return tuple(self._run_tops(run) for run in self.runs)

    def _run_tops(self, run: Run) -> Nodes:
        tops = self.drilling_tops[run.drilling]
        if run.surge is None:
            return tops
        return also_below(tops, self.drillings[run.drilling].window, run.surge)

    def hangs_in_wellhead(self, string: StringSize) -> Nodes:
        """Return whether there is enough of a string to reach each node from the wellhead."""
        return np.asarray(self.depth <= string.stock)


@dataclass(frozen=True)
class Goal:
    """What a string, a day and a tonne of steel count."""

    strings: float
    days: float
    steel: float


# The few strings outweigh any number of days; a tie in steel is broken by days.
FEWEST_STRINGS: Final = Goal(1e5, 1.0, 0.0)
FEWEST_DAYS: Final = Goal(0.0, 1.0, 0.0)
LEAST_STEEL: Final = Goal(0.0, 1e-6, 1.0)
MOST_STRINGS: Final = Goal(-1e5, 1.0, 0.0)
DEEPEST_SHOES: Final = Goal(1e5, 0.0, -1.0)  # of the fewest strings the most steel


class State(NamedTuple):
    """A string that stands, whether one above carries the wellhead, and the riser on it."""

    string: int
    wellhead: bool
    on_riser: bool


@dataclass(frozen=True)
class Leg:
    """One open hole, and the string that ends it.

    Attributes
    ----------
    top, bottom : nodes
    run : index into the problem's; None of the last leg
    liner : hung in the string above
    """

    top: int
    bottom: int
    drilling: int
    run: int | None = None
    liner: bool = False


@dataclass(frozen=True)
class Architecture:
    """An architecture, and what it costs.

    Attributes
    ----------
    steel : [t]
    """

    legs: tuple[Leg, ...]
    strings: int
    days: float
    steel: float

    def price(self, goal: Goal) -> float:
        return goal.strings * self.strings + goal.days * self.days + goal.steel * self.steel


class _Came(NamedTuple):
    """Where the best way into each node of a state comes from; arrays over nodes."""

    state: Nodes
    top: Nodes
    run: Nodes
    liner: Nodes


@dataclass(frozen=True, eq=False)
class Table:
    """The price of the best way to every state and node; infinite where none leads."""

    problem: Problem
    goal: Goal
    states: tuple[State, ...]
    prices: tuple[Array, ...]
    came: tuple[_Came, ...]

    def ways_into(self, drilling: Drilling, string: StringSize | None) -> list[int]:
        """Return the states below which a bit, and a string, can be run."""
        return [
            index
            for index, state in enumerate(self.states)
            if follows(self.problem, state, drilling, string)
        ]

    def cheapest(self, states: list[int], drilling: Drilling) -> tuple[Array, Nodes]:
        """Return at every node the least price of some states, and the state that has it."""
        landing = self.goal.days * self.problem.riser_days
        rows = [
            self.prices[i] + landing * (drilling.on_riser and not self.states[i].on_riser)
            for i in states
        ]
        best = np.argmin(rows, axis=0)
        return np.min(rows, axis=0), np.array(states)[best]


def follows(problem: Problem, state: State, drilling: Drilling, string: StringSize | None) -> bool:
    """Return whether a bit, and a string for its hole, go down below a string that stands."""
    above = problem.strings[state.string]
    if state.string in drilling.not_below:
        return False
    if state.on_riser and not drilling.on_riser:
        return False  # once the riser stands it stays
    if drilling.on_riser and not state.wellhead:
        return False  # the riser lands on the wellhead of a cemented casing
    if not problem.chain.bit_passes(drilling.bit, above, drilling.on_riser):
        return False
    return string is None or problem.chain.casing_passes(string, above, drilling.on_riser)


def carried(problem: Problem, above: State, string: int) -> bool:
    """Return whether a wellhead stands once a string is set below a state.

    The first string below the conductor carries it, if it is as wide as the wellhead's bore.
    """
    if above.string != CONDUCTOR:
        return above.wellhead
    return problem.chain.carries_wellhead(problem.strings[string])


def fill(problem: Problem, goal: Goal, without: frozenset[str] = frozenset()) -> Table:
    """Return the best way to every shoe that can be reached.

    Parameters
    ----------
    without : names of strings that are left on board
    """
    size = len(problem.depth)
    start = np.full(size, np.inf)
    start[0] = 0.0
    nowhere = _Came(*(np.full(size, -1) for _ in range(4)))
    table = Table(problem, goal, (State(CONDUCTOR, False, False),), (start,), (nowhere,))
    order = sorted(range(1, len(problem.strings)), key=lambda index: -problem.strings[index].drift)
    for index in order:
        if problem.strings[index].name in without:
            continue
        for wellhead, on_riser in ((False, False), (True, False), (True, True)):
            table = _with_string(table, State(index, wellhead, on_riser))
    return table


def _with_string(table: Table, state: State) -> Table:
    problem = table.problem
    size = len(problem.depth)
    price, came = np.full(size, np.inf), _Came(*(np.full(size, -1) for _ in range(4)))
    for index, run in enumerate(problem.runs):
        drilling = problem.drillings[run.drilling]
        if run.string != state.string or drilling.on_riser != state.on_riser:
            continue
        states = [
            one
            for one in table.ways_into(drilling, problem.strings[run.string])
            if carried(problem, table.states[one], run.string) == state.wellhead
        ]
        if states:
            for liner in (False, True):
                _improve(table, price, came, index, states, liner)
    price[problem.last_shoe + 1 :] = np.inf
    if not np.isfinite(price).any():
        return table
    return replace(
        table,
        states=(*table.states, state),
        prices=(*table.prices, price),
        came=(*table.came, came),
    )


def _improve(
    table: Table, price: Array, came: _Came, index: int, states: list[int], liner: bool
) -> None:
    """Lower the prices at the nodes where one more run is cheaper."""
    problem, goal = table.problem, table.goal
    run = problem.runs[index]
    drilling, string = problem.drillings[run.drilling], problem.strings[run.string]
    if liner and not drilling.on_riser:
        return  # a liner is hung where a preventer closes the hole above it
    before, state = table.cheapest(states, drilling)
    per_metre = goal.days * run.days_per_metre + goal.steel * 1e-3 * string.linear_mass
    at_top = before - goal.days * drilling.days
    length, highest = problem.depth, problem.run_tops[index]
    if liner:
        length = problem.depth + problem.lap
        at_top = np.where(problem.depth > problem.lap, at_top - per_metre * problem.depth, np.inf)
        short = np.searchsorted(problem.depth, length - string.stock, side="left")
        highest = np.maximum(highest, short)
    top, best = _least_between(at_top, highest, problem.lowest_tops)
    at_bottom = drilling.days + drilling.days_at + run.days_at
    found = goal.strings + goal.days * at_bottom + per_metre * length + best
    better = (found < price) & (problem.hangs_in_wellhead(string) != liner)
    price[better] = found[better]
    came.state[better], came.top[better] = state[top][better], top[better]
    came.run[better], came.liner[better] = index, liner


def _least_between(values: Array, first: Nodes, last: Nodes) -> tuple[Nodes, Array]:
    """Return the node of the least value in each of many ranges, and the value.

    Least of a range as the lesser of two ranges whose lengths are a power of two. An
    empty range has no least: infinity.
    """
    length = np.maximum(last - first + 1, 0)
    table = np.arange(len(values))  # least in ranges of the width from each node on
    level = np.frexp(np.maximum(length, 1))[1] - 1
    best = np.zeros(len(values), dtype=np.intp)
    for power in range(int(level.max()) + 1):
        if power:
            one, other = table[: -(2 ** (power - 1))], table[2 ** (power - 1) :]
            table = np.where(values[one] <= values[other], one, other)
        here = np.flatnonzero((level == power) & (length > 0))
        left, right = table[first[here]], table[last[here] + 1 - 2**power]
        best[here] = np.where(values[left] <= values[right], left, right)
    return best, np.where(length > 0, values[best], np.inf)


def best_path(table: Table) -> Architecture | None:
    """Return the best way to the target; None where none leads there."""
    problem, goal = table.problem, table.goal
    target = len(problem.depth) - 1
    found: tuple[float, int, Leg] | None = None
    for index in problem.last:
        drilling = problem.drillings[index]
        states = table.ways_into(drilling, None)
        if not states:
            continue
        before, state = table.cheapest(states, drilling)
        tops = np.arange(problem.drilling_tops[index][target], problem.last_shoe + 1)
        if not len(tops):
            continue
        price = before[tops] - goal.days * drilling.days[tops]
        at = int(np.argmin(price))
        whole = float(price[at]) + goal.days * (drilling.days[target] + drilling.days_at[target])
        if np.isfinite(whole) and (found is None or whole < found[0]):
            top = int(tops[at])
            found = whole, int(state[top]), Leg(top, target, index)
    if found is None:
        return None
    _, state_index, last = found
    return path_of(problem, (*reversed(tuple(_back(table, state_index, last.top))), last))


def _back(table: Table, state: int, node: int) -> Iterator[Leg]:
    while table.states[state].string != CONDUCTOR:
        came = table.came[state]
        top, run = int(came.top[node]), int(came.run[node])
        yield Leg(top, node, table.problem.runs[run].drilling, run, bool(came.liner[node]))
        state, node = int(came.state[node]), top


def path_of(problem: Problem, legs: tuple[Leg, ...]) -> Architecture:
    """Return some legs with their days and steel, summed leg by leg."""
    days = steel = 0.0
    strings, on_riser = 0, False
    for leg in legs:
        drilling = problem.drillings[leg.drilling]
        days += float(drilling.days[leg.bottom] - drilling.days[leg.top])
        days += float(drilling.days_at[leg.bottom])
        if drilling.on_riser and not on_riser:
            days, on_riser = days + problem.riser_days, True
        if leg.run is not None:
            run = problem.runs[leg.run]
            length = string_length(problem, leg)
            strings += 1
            days += float(run.days_at[leg.bottom]) + run.days_per_metre * length
            steel += 1e-3 * problem.strings[run.string].linear_mass * length
    return Architecture(legs, strings, days, steel)


def string_length(problem: Problem, leg: Leg) -> float:
    """Return the length of a leg's string [m], from where it hangs to its shoe."""
    hung = float(problem.depth[leg.top]) - problem.lap if leg.liner else 0.0
    return float(problem.depth[leg.bottom]) - hung


def search(
    problem: Problem, goal: Goal, without: frozenset[str] = frozenset()
) -> Architecture | None:
    """Return the best architecture; None where nothing reaches the target."""
    return best_path(fill(problem, goal, without))
