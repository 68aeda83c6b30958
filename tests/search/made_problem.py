"""Small made problems, and the plainest way to solve them: try everything."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from hypothesis import strategies as st

from bathybore.base.working import FromWalk, Value
from bathybore.search.intervals import Bound, KickBound, Window
from bathybore.search.paths import Drilling, Goal, Leg, Problem, Run
from bathybore.search.sizes import Chain, StringSize

INF = float("inf")


def told(density: float) -> Value:
    return Value("density", density, "kg/m3", FromWalk("made up"))


def bound(name: str, densities: list[float]) -> Bound:
    whole = np.array(densities, dtype=float)
    return Bound(name, whole, lambda node: told(float(whole[node])))


def kick(densities: list[list[float]]) -> KickBound:
    whole = np.array(densities, dtype=float)
    return KickBound("kick", whole, lambda weak, foot: told(float(whole[weak, foot])))


@st.composite
def windows(draw: st.DrawFn, size: int, with_kick: bool) -> Window:
    """Return a window that a few nodes in a row mostly pass, and all of them seldom."""
    slope = draw(st.integers(0, 3))
    gap = draw(st.integers(4, 9))

    def curve(base: int) -> list[float]:
        return [float(base + slope * node + draw(st.integers(-1, 1))) for node in range(size)]

    needed = tuple(
        bound(name, curve(10)) for name in ("pore", "collapse")[: draw(st.integers(1, 2))]
    )
    borne = tuple(
        bound(name, curve(10 + gap)) for name in ("fracture", "mud")[: draw(st.integers(1, 2))]
    )
    rows = None
    if with_kick and draw(st.booleans()):
        columns = [curve(11 + gap) for _ in range(size)]  # one a bottom
        rows = kick([list(row) for row in zip(*columns, strict=True)])
    return Window(needed, borne, rows, float(draw(st.sampled_from([0, 0, 1]))))


@st.composite
def sizes(draw: st.DrawFn) -> tuple[StringSize, ...]:
    """Return strings from 20 down to 4, in any order behind the conductor."""
    widths = draw(st.lists(st.integers(4, 20), min_size=1, max_size=3, unique=True))
    strings = [StringSize("conductor", "conductor", 24.0, 24.0, 22.0)]
    for width in widths:
        drift = width - draw(st.sampled_from([0.5, 1.0, 2.0]))
        stock = draw(st.sampled_from([INF, 25.0, 45.0]))
        coupling = width + draw(st.sampled_from([0.0, 0.5]))
        mass = float(draw(st.integers(1, 5)) * 1000)
        name = f"string-{width}"
        strings.append(StringSize(name, name, float(width), coupling, drift, stock, mass))
    return tuple(strings)


@st.composite
def problems(draw: st.DrawFn) -> Problem:
    """Return a problem small enough to try every way through it."""
    size = draw(st.integers(3, 7))
    depth = np.cumsum([draw(st.sampled_from([5.0, 10.0])) for _ in range(size)])
    strings = draw(sizes())
    bits = sorted({3, *(draw(st.integers(int(s.coupling) - 1, 22)) for s in strings[1:])})
    chain = Chain(
        float(draw(st.sampled_from([0, 1]))), 18.0, float(draw(st.sampled_from([0, 0, 8, 16])))
    )
    drillings = []
    for bit in bits:
        for on_riser in draw(st.sampled_from([(False, True), (False,), (True,)])):
            days = np.cumsum([draw(st.integers(0, 4)) for _ in range(size)]).astype(float)
            at = np.array([draw(st.integers(0, 3)) for _ in range(size)], dtype=float)
            tops = np.array([draw(st.sampled_from([0, 0, 0, 0, 0, 1])) for _ in range(size)])
            tops = np.maximum.accumulate(tops)
            name = "riser" if on_riser else "open"
            window = draw(windows(size, on_riser))
            not_below = frozenset(draw(st.sets(st.sampled_from(range(len(strings))), max_size=1)))
            if draw(st.booleans()):
                not_below = frozenset()
            one = Drilling(float(bit), name, on_riser, window, days, at, tops, True, not_below)
            drillings.append(one)
    runs = []
    for at_drilling, drilling in enumerate(drillings):
        for index, string in enumerate(strings):
            if index and chain.casing_stands(string, drilling.bit):
                surge = None
                if draw(st.booleans()):
                    curve = [float(draw(st.integers(14, 20)) + n) for n in range(size)]
                    surge = bound("surge", curve)
                fixed = np.array([draw(st.integers(0, 3)) for _ in range(size)], dtype=float)
                per_metre = draw(st.sampled_from([0.0, 0.125]))
                runs.append(Run(at_drilling, index, surge, fixed, per_metre))
    # mostly the narrowest bit, as for a core; sometimes any
    last = [n for n, one in enumerate(drillings) if one.bit == 3.0 or draw(st.booleans())]
    return Problem(
        depth=np.asarray(depth, dtype=float),
        strings=strings,
        chain=chain,
        drillings=tuple(drillings),
        runs=tuple(runs),
        last=tuple(last),
        last_shoe=draw(st.integers(max(size - 4, 0), size - 2)),
        riser_days=float(draw(st.integers(0, 5))),
        lap=5.0,
        least_leg=float(draw(st.sampled_from([0, 10]))),
    )


def one_density_serves(window: Window, top: int, bottom: int, surge: Bound | None = None) -> bool:
    """Look at every pair of nodes, and at every bottom that the bit passes."""
    for low in window.needed:
        for a in range(top, bottom + 1):
            least = float(low.density[a]) + window.room
            for high in (*window.borne, *([surge] if surge is not None else [])):
                if any(least > float(high.density[b]) for b in range(top, bottom + 1)):
                    return False
            if window.kick is not None:
                for foot in range(top, bottom + 1):
                    for weak in range(top, foot + 1):
                        if least > float(window.kick.density[weak, foot]):
                            return False
    return True


def every_way(problem: Problem) -> Iterator[tuple[Leg, ...]]:
    """Yield every architecture there is, by trying all."""
    yield from _ways(problem, (), 0, 0, False, False)


def _ways(
    problem: Problem, legs: tuple[Leg, ...], node: int, string: int, wellhead: bool, riser: bool
) -> Iterator[tuple[Leg, ...]]:
    target = len(problem.depth) - 1
    above = problem.strings[string]
    for index, one in enumerate(problem.drillings):
        way = min(above.drift, problem.chain.riser_bore) if one.on_riser else above.drift
        if (riser and not one.on_riser) or (one.on_riser and not wellhead) or one.bit > way:
            continue
        if string in one.not_below:
            continue
        if (
            index in problem.last
            and node <= problem.last_shoe
            and one.highest_top[target] <= node
            and one_density_serves(one.window, node, target)
        ):
            yield (*legs, Leg(node, target, index))
        for number, run in enumerate(problem.runs):
            if run.drilling != index or problem.strings[run.string].coupling > way:
                continue
            below = problem.strings[run.string]
            for foot in range(node + 1, problem.last_shoe + 1):
                if problem.depth[foot] - problem.depth[node] < problem.least_leg:
                    continue
                if one.highest_top[foot] > node:
                    continue
                if not one_density_serves(one.window, node, foot, run.surge):
                    continue
                liner = bool(problem.depth[foot] > below.stock)
                if liner:
                    hung = problem.depth[node] - problem.lap
                    if not one.on_riser or hung <= 0.0:
                        continue
                    if problem.depth[foot] - hung > below.stock:
                        continue
                carries = wellhead
                if string == 0:
                    carries = below.outside_diameter >= problem.chain.wellhead_bore
                leg = Leg(node, foot, index, number, liner)
                yield from _ways(problem, (*legs, leg), foot, run.string, carries, one.on_riser)


def price_by_hand(problem: Problem, legs: tuple[Leg, ...], goal: Goal) -> float:
    """Add up what an architecture costs, leg by leg and metre by metre."""
    price, riser = 0.0, False
    for leg in legs:
        one = problem.drillings[leg.drilling]
        for above, below in pairwise(range(leg.top, leg.bottom + 1)):
            price += goal.days * (one.days[below] - one.days[above])
        price += goal.days * one.days_at[leg.bottom]
        if one.on_riser and not riser:
            price, riser = price + goal.days * problem.riser_days, True
        if leg.run is not None:
            run = problem.runs[leg.run]
            hung = problem.depth[leg.top] - problem.lap if leg.liner else 0.0
            length = problem.depth[leg.bottom] - hung
            price += goal.strings + goal.days * run.days_at[leg.bottom]
            price += goal.days * run.days_per_metre * length
            price += goal.steel * problem.strings[run.string].linear_mass / 1000.0 * length
    return float(price)
