"""The ledger asked again at other values of the numbers of a hole that are drawn.

For each such number the hole is made anew at some values of it, and the very tables of the ledger
are asked of it. That costs as much as the tables themselves, so it is seen first, at the ends of
what is drawn and at few depths, which questions move at all; only who asks them is asked again,
in the sections that move. Most numbers move few: a flow what is pumped there, a strength one limit.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final, TypeAlias

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.errors import InputErrors, OrderError
from bathybore.base.units import show
from bathybore.checks.ledger import Asker, answers
from bathybore.checks.record import CheckRecord, Profile
from bathybore.ensembles.asked_numbers import Effect, Moved, NumberAsked
from bathybore.ensembles.bites import ALONG, at_depths, at_nodes, between
from bathybore.ensembles.distributions import quantile
from bathybore.ensembles.frame import frame_like
from bathybore.ensembles.ledger_depths import (
    LedgerDepths,
    Moment,
    Table,
    Which,
    ledger_depths,
    tabled_askers,
)
from bathybore.ensembles.limits_of_checks import is_tabled
from bathybore.ensembles.members import member_hole
from bathybore.ensembles.numbers_of_members import one_moved
from bathybore.ensembles.shapes import LIMITS, Frame
from bathybore.ensembles.telling import Told, silent
from bathybore.model.hole_numbers import number_at
from bathybore.model.uncertain import Uncertain, Uncertainty

PARTS: Final = 4  # between the least value asked and the greatest
_ENDS: Final = (0.001, 0.999)  # shares of what is drawn below the outermost values asked
_NEAR: Final = 0.1  # of a part: an even value this near to the planned one is not asked beside it
_SAME: Final = 1e-11  # of an answer: what arithmetic alone can change
_Key: TypeAlias = tuple[str, Moment, int]


def with_numbers(
    ledger: LedgerDepths, frame: Frame, uncertainty: Uncertainty, told: Told = silent
) -> LedgerDepths:
    """Return the ledger of a hole with what its drawn numbers do to it."""
    drawn = [one for one in uncertainty.quantities if one.kind == "number"]
    asking, found = _Asking(frame, ledger), list[NumberAsked]()
    for done, one in enumerate(drawn):
        told(one.key, done, len(drawn))
        values = values_asked(frame, one, uncertainty)
        if len(values) > 1:
            found.append(asking.asked(one, values))
    if drawn:
        told("", len(drawn), len(drawn))
    return replace(ledger, numbers=tuple(found))


def values_asked(frame: Frame, one: Uncertain, uncertainty: Uncertainty) -> Array:
    """Return the values of a number at which the ledger is asked, the planned one among them.

    Evenly between what one in a thousand stays below and above; of few values all of them.
    """
    ends = {one.planned}
    if not one.certain:
        ends = {float(quantile(one.law, share)) for share in _ENDS}
    changes = [c for a in uncertainty.alternatives for c in a.changes if c.of == one.key]
    ends |= {end * change.times + change.add for change in changes for end in set(ends)}
    least, greatest = min(ends), max(ends)
    if least == greatest == one.planned:
        return np.array([one.planned])
    even = np.linspace(least, greatest, PARTS + 1)
    if one.law.name == "empirical" and len(set(one.law.values)) <= PARTS:
        even = np.unique([*one.law.values, *ends])
    if number_at(frame.hole.document, one.key, one.key).whole:
        even = np.unique(np.round(even))
    apart = np.abs(even - one.planned) > _NEAR * (greatest - least) / PARTS
    return np.unique([*even[apart], one.planned])


@dataclass(frozen=True, eq=False)
class _Asking:
    """The ledger of a hole, to be asked of others that differ in one number."""

    frame: Frame
    ledger: LedgerDepths

    @cached_property
    def planned(self) -> dict[str, tuple[Asker, CheckRecord]]:
        return _records(self.frame)

    @cached_property
    def muds(self) -> tuple[float, ...]:
        plan = self.frame.hole.plan
        return tuple(plan.fluids[one.fluid].density for one in plan.sections)

    def asked(self, one: Uncertain, values: Array) -> NumberAsked:
        """Return what the values of a number do to the tables."""
        frames, faults = dict[float, Frame](), list[str]()
        for value in values[values != one.planned].tolist():
            try:
                hole = member_hole(self.frame, one_moved(self.frame, one.key, value), 0)
                frames[value] = frame_like(self.frame, hole)
            except (InputErrors, OrderError) as error:
                faults.append(f"{one.key} of {show(value, one.unit)}: {error}")
        ends = {min(frames), max(frames)} if frames else set()
        askers = self._askers_moving([frames[end] for end in ends])
        tables = self._moving([frames[end] for end in ends], askers) if askers else []
        known = np.unique([*frames, one.planned])
        moved = self._moved(known, frames, tables, askers) if tables else {}
        return NumberAsked(one.key, known, moved, tuple(faults))

    def _askers_moving(self, ends: list[Frame]) -> tuple[Asker, ...]:
        """Return those of whose answers any moves in the walk at the ends of a number.

        A number that moves no answer of theirs in the whole walk, depth by depth, moves none
        elsewhere.
        """
        found = dict[Asker, None]()
        for frame in ends:
            for name, (ask, record) in _records(frame).items():
                if name in self.planned and not _same_answer(self.planned[name][1], record):
                    found[ask] = None
        return tuple(found)

    def _moving(self, ends: list[Frame], askers: tuple[Asker, ...]) -> list[Table]:
        """Return the tables that move at all, seen at few depths at the ends of a number."""

        def few(frame: Frame) -> dict[_Key, Table]:
            return _by_key(ledger_depths(frame, None, Which(LIMITS, askers, few=True), self.muds))

        planned, there = few(self.frame), [few(frame) for frame in ends]
        return [
            table
            for table in self.ledger.tables
            if (mine := planned.get(_key(table))) is not None
            and any(_key(table) in one and not _alike(mine, one[_key(table)]) for one in there)
        ]

    def _moved(
        self,
        known: Array,
        frames: dict[float, Frame],
        tables: list[Table],
        askers: tuple[Asker, ...],
    ) -> dict[int, Moved]:
        """Ask for the tables that move again, in full, at every value."""
        wanted = {table.limit for table in tables}
        limits = tuple(one for one in LIMITS if one in wanted)
        parts = frozenset((table.moment, table.section) for table in tables)
        which = Which(limits, askers, parts)
        at = {v: _by_key(ledger_depths(frame, None, which)) for v, frame in frames.items()}
        found = dict[int, Moved]()
        for number, mine in enumerate(self.ledger.tables):
            key = _key(mine)
            if any(key in one and not _alike(mine, one[key]) for one in at.values()):
                there = [(frames.get(v, self.frame), at.get(v, {}).get(key, mine)) for v in known]
                found[number] = _effects(self.frame, mine, there)
        return found


def _records(frame: Frame) -> dict[str, tuple[Asker, CheckRecord]]:
    """Return the answers of a walk that stand in tables, and who asked for each."""
    return {
        record.id: (ask, record)
        for state in frame.states
        for ask in tabled_askers(state.step.kind)
        for record in answers(ask, state)
        if is_tabled(record.name)
    }


def _same_answer(one: CheckRecord, other: CheckRecord) -> bool:
    """Return whether two records ask for the same and have the same, depth by depth."""
    return all(
        (a is None and b is None)
        or (a is not None and b is not None and _equal(np.asarray(a.si), np.asarray(b.si)))
        for a, b in ((one.demand, other.demand), (one.capacity, other.capacity))
    ) and _same_profile(one.profile, other.profile)


def _same_profile(one: Profile | None, other: Profile | None) -> bool:
    if one is None or other is None:
        return one is other
    return _equal(one.demand, other.demand) and _equal(one.capacity, other.capacity)


def _equal(one: Array, other: Array) -> bool:
    return one.shape == other.shape and np.allclose(
        one, other, rtol=_SAME, atol=0.0, equal_nan=True
    )


def _key(table: Table) -> _Key:
    return table.id, table.moment, table.section


def _by_key(ledger: LedgerDepths) -> dict[_Key, Table]:
    return {_key(table): table for table in ledger.tables}


def _alike(one: Table, other: Table) -> bool:
    """Return whether two tables say the same."""
    pairs = [
        (one.depth, other.depth),
        (one.density, other.density),
        (one.demand, other.demand),
        (one.capacity, other.capacity),
    ]
    if one.left is not None and other.left is not None:
        pairs.append((one.left, other.left))
    return all(_equal(a, b) for a, b in pairs)


def _effects(frame: Frame, mine: Table, there: list[tuple[Frame, Table]]) -> Moved:
    """Return what the values of a number make of one table, as the tables there say."""
    planned = _brought(frame, mine, mine)
    each = [_brought(one, table, mine) for one, table in there]
    left = None
    if mine.left is not None:
        lefts = [_left_like(table, mine, mine.left) for _, table in there]
        left = np.nan_to_num(np.stack(lefts) - mine.left)
    demand, capacity = (
        Effect.of(planned[side], np.stack([one[side] for one in each])) for side in (0, 1)
    )
    return Moved(demand, capacity, left)


def _left_like(table: Table, like: Table, left: Array) -> Array:
    """Return what a table has left, in the rows of another; that one's own where it differs."""
    if table.left is None or table.left.shape[1:] != left.shape[1:]:
        return left
    rows = np.abs(table.depth[:, None] - like.depth).argmin(axis=0)
    found: Array = table.left[rows]
    return found


def _brought(frame: Frame, table: Table, like: Table) -> tuple[Array, Array]:
    """Return demand and capacity of a table at the rows and densities of another (row, density)."""
    if like.moment in ALONG:
        at = at_nodes(frame, table)
        demand, capacity = at.demand, at.capacity
    else:
        demand, capacity = (
            at_depths(table.depth, values, like.depth) for values in (table.demand, table.capacity)
        )
    if np.array_equal(table.density, like.density):
        return demand, capacity
    known, wanted = table.density, like.density
    return between(demand[:, None], known, wanted), between(capacity[:, None], known, wanted)
