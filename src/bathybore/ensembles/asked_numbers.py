"""What drawn numbers of the hole do to the tables of the ledger.

Of every number of the hole that is drawn the ledger was asked at some values (`ledger_numbers.py`).
Between them answers go straight; beyond the outermost the outermost stands. Each number moves a
question by itself: by a factor where all answers are above zero, else by a difference; the factors
of two numbers multiply, their differences add. At the planned value nothing moves, to the bit.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.ensembles.shapes import Drawn, Indices


@dataclass(frozen=True, eq=False)
class Effect:
    """What the values of a number make of some answers; arrays (value, …) of the answers' shape.

    Attributes
    ----------
    by : factors on the planned answers, or differences to them
    factor : which of the two
    """

    by: Array
    factor: bool

    @staticmethod
    def of(planned: Array, asked: Array, factor: bool | None = None) -> Effect:
        """Return the effect of asked answers (value, …) on the planned ones.

        Where a question has no answer with the number moved, the planned one stands.

        Parameters
        ----------
        factor : take them so; left out: as factors where all are above zero
        """
        known = np.isfinite(asked) & np.isfinite(planned)
        if factor is None:
            both = np.where(known, np.minimum(asked, planned), 1.0)
            factor = bool((both > 0.0).all())
        if factor:
            by = np.divide(asked, planned, out=np.ones(known.shape), where=known)
        else:
            by = np.subtract(asked, planned, out=np.zeros(known.shape), where=known)
        return Effect(by, factor)


@dataclass(frozen=True, eq=False)
class Moved:
    """What the values of a number make of one table.

    Attributes
    ----------
    demand, capacity : (value, row, density); rows are the nodes of the frame where the question
        is asked along the hole, else those of the table
    left : (value, row of the table, density, node) as differences; None where none is kept
    """

    demand: Effect
    capacity: Effect
    left: Array | None = None


@dataclass(frozen=True, eq=False)
class NumberAsked:
    """A number of the hole that is drawn, and what the ledger says at other values of it.

    Attributes
    ----------
    values : at which the ledger was asked, rising, the planned one among them [SI]
    moved : by the number of the table in the ledger; those that the number does not move are
        left out
    not_asked : values at which the hole cannot be walked, and why
    """

    key: str
    values: Array
    moved: Mapping[int, Moved]
    not_asked: tuple[str, ...] = ()

    def weights(self, drawn: Drawn) -> Array:
        """Return what each value counts (member, value): straight between neighbours."""
        known = self.values
        number = np.clip(drawn.numbers[self.key], known[0], known[-1])
        above = np.clip(np.searchsorted(known, number, side="right") - 1, 0, len(known) - 1)
        below = np.minimum(above + 1, len(known) - 1)
        apart = np.where(below > above, known[below] - known[above], 1.0)
        share = (number - known[above]) / apart
        weights, members = np.zeros((len(number), len(known))), np.arange(len(number))
        weights[members, above] = 1.0 - share
        weights[members, below] += share
        return weights


@dataclass(frozen=True, eq=False)
class Mover:
    """How the members move one table: weights (member, value) of each number that does."""

    parts: tuple[tuple[Array, Moved], ...]

    def __bool__(self) -> bool:
        return bool(self.parts)

    def of(self, members: Indices) -> Mover:
        """Return how some of the members move it."""
        return Mover(tuple((weights[members], one) for weights, one in self.parts))

    def demand(self, planned: Array, rows: slice | Indices) -> Array:
        """Return the demand of members at rows of a table.

        Parameters
        ----------
        planned : (row, density) of these rows
        rows : a slice: (member, row, density) is returned; or one row a member: (member, density)
        """
        return _moved(planned, rows, ((w, one.demand) for w, one in self.parts))

    def capacity(self, planned: Array, rows: slice | Indices) -> Array:
        """Return the capacity of members, as `demand`."""
        return _moved(planned, rows, ((w, one.capacity) for w, one in self.parts))

    def left(self, at: Callable[[Array], Array], each: str) -> Array | float:
        """Return what is left more than planned.

        Parameters
        ----------
        at : takes what is left in the rows of a table to where it is wanted, value by value
        each : how weights and what ``at`` gives are multiplied and added up, as `numpy.einsum`
        """
        found: Array | float = 0.0
        for weights, one in self.parts:
            if one.left is not None:
                found = found + np.einsum(each, weights, np.stack([at(v) for v in one.left]))
        return found


UNMOVED: Final = Mover(())


def _moved(planned: Array, rows: slice | Indices, parts: Iterable[tuple[Array, Effect]]) -> Array:
    each = "mv,vrd->mrd" if isinstance(rows, slice) else "mv,vmd->md"
    answer = planned[None] if isinstance(rows, slice) else planned
    more: Array | float = 0.0
    for weights, effect in parts:
        by = np.einsum(each, weights, effect.by[:, rows])
        if effect.factor:
            answer = answer * by
        else:
            more = more + by
    return np.asarray(answer + more)


def mover_of(numbers: tuple[NumberAsked, ...], table: int, drawn: Drawn) -> Mover:
    """Return how members move a table of the ledger, by its number there."""
    return Mover(
        tuple(
            (one.weights(drawn), one.moved[table])
            for one in numbers
            if table in one.moved and one.key in drawn.numbers
        )
    )
