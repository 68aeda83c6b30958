"""One chunk of members from what is drawn to what became of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields, replace
from functools import cached_property
from hashlib import sha256
from typing import Any, TypeVar

import numpy as np

from bathybore import __version__
from bathybore.base.arrays import Array
from bathybore.base.errors import NotConverged
from bathybore.ensembles.bites import bites, slowing
from bathybore.ensembles.casing_tests import covered_cases, kicks_not_covered
from bathybore.ensembles.casings import casing_bites, casing_cases
from bathybore.ensembles.drawing import draw, planned_curves
from bathybore.ensembles.ledger_depths import LedgerDepths
from bathybore.ensembles.making import ALONE, made
from bathybore.ensembles.running import merged
from bathybore.ensembles.shapes import (
    LIMITS,
    NOT_JUDGED,
    REACHED,
    RUNS_OUT,
    Drawn,
    Frame,
    Indices,
    Limit,
    Made,
    Outcome,
    Policy,
)
from bathybore.ensembles.spending import Spent, asked_names, marks, spent
from bathybore.ensembles.spent_alone import with_bites_alone
from bathybore.model.uncertain import Uncertainty

_COLUMN = {limit: column for column, limit in enumerate(LIMITS)}
T = TypeVar("T", Made, Spent)
_RATE = "rate_of_penetration"


@dataclass(frozen=True, eq=False)
class Ensemble:
    """A hole as it may turn out: all that its members follow from, and nothing else.

    Attributes
    ----------
    other, other_seed : groups of quantities that are drawn by another seed
    """

    frame: Frame
    ledger: LedgerDepths
    uncertainty: Uncertainty
    policy: Policy
    seed: int
    other: frozenset[str] = frozenset()
    other_seed: int | None = None

    def drawn(self, first: int, count: int) -> Drawn:
        """Return the inputs of some members."""
        return draw(
            self.uncertainty, self.frame, self.seed, first, count, self.other, self.other_seed
        )

    def chunk(self, first: int, count: int) -> Outcome:
        """Return what became of some members."""
        return evaluated(self.frame, self.ledger, self.policy, self.drawn(first, count))

    @cached_property
    def checks(self) -> tuple[str, ...]:
        """The ids of the questions that `Outcome.asked_first` counts."""
        return _questions(self.frame, self.ledger)

    @cached_property
    def stamp(self) -> str:
        """A digest of the version and of every number that the members follow from."""
        digest = sha256(__version__.encode())
        hole = self.frame.hole
        digest.update(hole.document.model_dump_json().encode())
        loads = (hole.wind_coefficients, hole.current_coefficients)
        for table in (hole.earth, hole.sea, hole.weather, hole.survey, hole.motions, *loads):
            if table is not None:
                digest.update(repr(table.words).encode())
                for name, numbers in sorted(table.numbers.items()):
                    digest.update(name.encode() + numbers.tobytes())
        one = self.uncertainty
        told = (one.quantities, one.correlations, one.alternatives, one.trouble, one.arrival)
        digest.update(repr((told, self.policy, self.seed)).encode())
        digest.update(repr((sorted(self.other), self.other_seed)).encode())
        return digest.hexdigest()


@dataclass(frozen=True, eq=False)
class Together:
    """Ensembles of one hole and policy, whose few members are made and asked in one pass.

    What it gives are the members of the first, then those of the second, and so on; the arrays
    of one chunk have a row for each. Of small chunks most of the time goes into the passes.
    """

    ensembles: tuple[Ensemble, ...]

    @property
    def stamp(self) -> str:
        return "+".join(one.stamp for one in self.ensembles)

    def chunk(self, first: int, count: int) -> Outcome:
        """Return what became of some members of each."""
        one = self.ensembles[0]
        drawn = side_by_side([each.drawn(first, count) for each in self.ensembles])
        return evaluated(one.frame, one.ledger, one.policy, drawn)


def _same(one: Array, other: Array) -> bool:
    return one is other or np.array_equal(one, other, equal_nan=True)


def side_by_side(draws: Sequence[Drawn]) -> Drawn:
    """Return the inputs of members of several draws as one draw."""
    counts = [one.count for one in draws]

    def joined(values: Sequence[Any]) -> Any:
        if isinstance(values[0], dict):
            return {name: joined([one[name] for one in values]) for name in values[0]}
        if all(one.shape[0] == 1 and _same(one, values[0]) for one in values):
            return values[0]  # a curve that is as planned in all
        rows = zip(values, counts, strict=True)
        return np.concatenate([np.broadcast_to(one, (n, *one.shape[1:])) for one, n in rows])

    arrays = [one.name for one in fields(Drawn) if one.name not in ("first", "count")]
    both = {name: joined([getattr(one, name) for one in draws]) for name in arrays}
    return Drawn(first=draws[0].first, count=sum(counts), **both)


def evaluated(frame: Frame, ledger: LedgerDepths, policy: Policy, drawn: Drawn) -> Outcome:
    """Return what became of members; one that a solver gives up on is kept and says so."""
    try:
        return _evaluated(frame, ledger, policy, drawn)
    except NotConverged as error:
        if drawn.count == 1:
            return _unjudged(frame, drawn, str(error))
        half = drawn.count // 2
        parts = (slice(0, half), slice(half, drawn.count))
        return merged([evaluated(frame, ledger, policy, members_of(drawn, one)) for one in parts])


def members_of(drawn: Drawn, members: slice) -> Drawn:
    """Return the inputs of members that follow one another."""
    start, stop, _ = members.indices(drawn.count)
    return replace(members_at(drawn, np.arange(start, stop)), first=drawn.first + start)


def members_at(drawn: Drawn, members: Indices) -> Drawn:
    """Return the inputs of some of the members."""

    def some(value: Any) -> Any:
        if isinstance(value, dict):
            return {name: some(one) for name, one in value.items()}
        return value if len(value) == 1 < drawn.count else value[members]

    arrays = [one.name for one in fields(Drawn) if one.name not in ("first", "count")]
    less = {name: some(getattr(drawn, name)) for name in arrays}
    return Drawn(first=drawn.first, count=len(members), **less)


def _evaluated(frame: Frame, ledger: LedgerDepths, policy: Policy, drawn: Drawn) -> Outcome:
    drawn = held_back(frame, drawn)
    holes = spared(frame, policy, drawn)
    depth, asked = bites(ledger, frame, holes, drawn)
    for limit, alone in zip(ALONE, holes.alone.T, strict=True):
        _sooner(depth, asked, limit, alone, np.full(drawn.count, -1))
    _add_casings(frame, ledger, holes, drawn, depth, asked)
    drawn = _with_rate(drawn, drawn.curves[_RATE] * slowing(ledger, frame, holes, drawn))
    target = float(frame.depth[frame.target])
    end = np.minimum(np.minimum(holes.ends, depth.min(axis=1)), target)
    took, alone = _spent_within(frame, holes, end, drawn)
    for limit in RUNS_OUT:
        number = alone.asked[limit] + len(ledger.tables)
        _sooner(depth, asked, limit, alone.bites[limit], number)
    by, end = _ends(depth, holes, target)
    shoes = _cut_off(holes.shoes, end)
    return Outcome(
        first=drawn.first,
        bites=depth,
        ends_by=by,
        depth=end,
        strings=_set(frame, shoes, end, by),
        shoes=shoes,
        days=took.days,
        cost=took.cost,
        mud=took.mud,
        barite=took.barite,
        cement=took.cement,
        steel=took.steel,
        waiting=took.waiting,
        day_at=np.where(marks(frame) <= end[:, None] + 1e-3, took.day_at, np.nan),
        asked_first=asked,
    )


def spared(frame: Frame, policy: Policy, drawn: Drawn) -> Made:
    """Return the holes of crews that keep their spares for holes that need them.

    A member that comes to the target without sets none, its own casings early where they must
    be. Of the others those set spares, wherever the window closes, that come deeper by it.
    """
    without = made(frame, replace(policy, spares=False), drawn)
    short = np.flatnonzero(without.ends < frame.depth[frame.target])
    if not policy.spares or not short.size or not any(one.spare for one in frame.strings):
        return without
    tried = made(frame, policy, members_at(drawn, short))
    better = tried.ends > without.ends[short]
    return _with(without, short[better], _some(tried, np.flatnonzero(better)))


def held_back(frame: Frame, drawn: Drawn) -> Drawn:
    """Return the members with the rate of penetration that the crew lets the bit go.

    Never more than planned: the annulus was asked for no more. Where the plan holds the rate
    back, the crew keeps to it as long as the rock gives it at all: softer or harder rock makes
    no difference until it is harder than that.
    """
    planned = planned_curves(frame)[_RATE]
    held = np.ones(len(frame.depth))
    for one in reversed([one for one in frame.planned if one.section >= 0]):
        factor = frame.hole.plan.sections[one.section].rate_of_penetration_factor
        held[frame.depth <= one.bottom + 1e-3] = min(factor, 1.0)
    return _with_rate(drawn, np.minimum(drawn.curves[_RATE] / held, planned))


def _with_rate(drawn: Drawn, rate: Array) -> Drawn:
    return replace(drawn, curves=drawn.curves | {_RATE: rate})


def _questions(frame: Frame, ledger: LedgerDepths) -> tuple[str, ...]:
    """Return what `Outcome.asked_first` counts: of the ledger, of what is spent, of casings."""
    cases = (*casing_cases(frame), *covered_cases(frame))
    casings = (f"{case.replace(' ', '-')}/below" for case in cases)
    return (*ledger.checks, *asked_names(frame), *casings)


def _sooner(depth: Array, asked: Indices, limit: Limit, bites: Array, number: Indices) -> None:
    """Let a limit bite where it does sooner than what was asked of it before."""
    column = _COLUMN[limit]
    first = bites < depth[:, column]
    depth[first, column] = bites[first]
    asked[first, column] = number[first]


def _add_casings(
    frame: Frame,
    ledger: LedgerDepths,
    holes: Made,
    drawn: Drawn,
    depth: Array,
    asked: Indices,
) -> None:
    """Ask the casings for the hole that each member makes below them."""
    before = len(ledger.tables) + len(asked_names(frame))
    for found in (casing_bites(frame, holes, drawn), kicks_not_covered(frame, holes, drawn)):
        if found.cases:
            _sooner(depth, asked, Limit.CASING, found.first, before + found.depth.argmin(axis=1))
        before += len(found.cases)


def _spent_within(frame: Frame, holes: Made, end: Array, drawn: Drawn) -> tuple[Spent, Spent]:
    """Return what is spent, and where what is spent would end the holes, asked alone.

    A hole that runs out of something spends what it does up to there.
    """
    took = spent(frame, holes, end, drawn)
    alone = with_bites_alone(frame, took, end, drawn)
    sooner = np.min([took.bites[limit] for limit in RUNS_OUT], axis=0)
    again = np.flatnonzero(sooner < end)
    if not again.size:
        return took, alone
    less = spent(frame, _some(holes, again), sooner[again], members_at(drawn, again))
    return _with(took, again, less), alone


def _some(holes: Made, members: Indices) -> Made:
    return Made(**{name: numbers[members] for name, numbers in _arrays(holes)})


def _with(whole: T, members: Indices, part: T) -> T:
    """Return a shape with the arrays of some of its members taken from another."""
    taken: dict[str, Any] = {}
    for name, numbers in _arrays(whole):
        taken[name] = numbers.copy()
        taken[name][members] = getattr(part, name)
    return replace(whole, **taken)


def _arrays(shape: Made | Spent) -> Iterator[tuple[str, Any]]:
    """Yield the arrays of a shape by name, all (member, …)."""
    for one in fields(shape):
        if isinstance(numbers := getattr(shape, one.name), np.ndarray):
            yield one.name, numbers


def _ends(depth: Array, holes: Made, target: float) -> tuple[Indices, Array]:
    """Return what ends each hole, and where; of limits that bite at one depth the first named.

    A hole whose days or weather run out at the target is none that came there in time.
    """
    by = np.argmin(depth, axis=1)
    end = depth[np.arange(len(by)), by]
    window = holes.ends < end
    by, end = np.where(window, holes.ends_by, by), np.where(window, holes.ends, end)
    there = end >= target - 1e-3
    late = np.full(len(by), REACHED)
    for limit in (Limit.WEATHER, Limit.DAYS):
        late = np.where(depth[:, _COLUMN[limit]] <= target + 1e-3, _COLUMN[limit], late)
    return np.where(there, late, by), np.where(there, target, end)


def _cut_off(shoes: Array, end: Array) -> Array:
    """Return the shoes of holes that end at depths: what would lie deeper is not set."""
    tops = np.fmax.accumulate(np.where(np.isfinite(shoes), shoes, -np.inf), axis=1)
    above = np.concatenate([np.full((len(end), 1), -np.inf), tops[:, :-1]], axis=1)
    return np.where(above < end[:, None] - 1e-3, np.minimum(shoes, end[:, None]), np.nan)


def _set(frame: Frame, shoes: Array, end: Array, by: Indices) -> Indices:
    """Return how many strings were set: none in the hole that stays open, nor where one ended."""
    sections = frame.hole.plan.sections
    cased = [
        one.spare or one.section < 0 or sections[one.section].casing is not None
        for one in frame.strings
    ]
    there = np.isfinite(shoes) & ((shoes < end[:, None] - 1e-3) | (by == REACHED)[:, None])
    return np.asarray(np.count_nonzero(there[:, cased], axis=1), dtype=np.intp)


def _unjudged(frame: Frame, drawn: Drawn, why: str) -> Outcome:
    nothing = np.full(1, np.nan)
    none = np.full((1, len(LIMITS)), -1, dtype=np.intp)
    return Outcome(
        first=drawn.first,
        bites=np.full((1, len(LIMITS)), np.nan),
        ends_by=np.full(1, NOT_JUDGED, dtype=np.intp),
        depth=nothing,
        strings=np.zeros(1, dtype=np.intp),
        shoes=np.full((1, len(frame.strings)), np.nan),
        days=nothing,
        cost=nothing,
        mud=nothing,
        barite=nothing,
        cement=nothing,
        steel=nothing,
        waiting=nothing,
        day_at=np.full((1, len(marks(frame))), np.nan),
        asked_first=none,
        unjudged={drawn.first: why},
    )
