"""What drawn numbers of the hole do to what its rock needs and bears.

Four numbers of the design basis are followed exactly (`window_of_members.terms_of`). Of all others,
a flow, a part of a mud's rheology, a string's diameter, the search's own bounds are asked of the
plan a little to either side, and what they change by is taken as straight: exact near the plan and
in the planned rock. What a kick brings in is left as planned.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.errors import InputErrors
from bathybore.base.keeping import SOME, kept
from bathybore.ensembles.members import member_hole
from bathybore.ensembles.numbers_of_members import one_moved
from bathybore.ensembles.shapes import Drawn, Frame
from bathybore.model.hole_numbers import number_at
from bathybore.model.known_uncertain import known_factors

TERMS: Final = ("trip_margin", "fracture_margin", "kick_intensity", "kick_volume")
FOLLOWED: Final = frozenset(f"design_basis.{name}" for name in TERMS)
_STEP: Final = 0.02  # of the planned number, to either side


@kept(SOME)
def moved_frames(frame: Frame, key: str) -> tuple[tuple[float, Frame], ...]:
    """Return by how much a number is moved to either side, and the hole then; its walk is stale."""
    number = number_at(frame.hole.document, key, key)
    step = 1.0 if number.whole else _STEP * abs(number.planned)
    found = []
    for by in (-step, step) if step > 0.0 else ():
        if not number.bounds.hold(number.planned + by):
            continue
        try:
            hole = member_hole(frame, one_moved(frame, key, number.planned + by), 0)
        except InputErrors:
            continue
        found.append((by, replace(frame, hole=hole)))
    return tuple(found)


@dataclass(frozen=True, eq=False)
class Strays:
    """What the numbers of members are more than planned, number by number."""

    frame: Frame
    drawn: Drawn

    def __iter__(self) -> Iterator[tuple[str, Array]]:
        """Yield every number that is no term or factor, and (member, 1) by how much it strays."""
        for key, values in self.drawn.numbers.items():
            if key in FOLLOWED or key in known_factors():
                continue
            stray = values - _planned(self.frame, key)
            if stray.any():
                yield key, stray[:, None]

    def moved(
        self, planned: tuple[Array, ...], slopes: Callable[[str], tuple[Array, ...] | None]
    ) -> tuple[Array, ...]:
        """Return answers with what the numbers of the members change of them."""
        for key, stray in self:
            each = slopes(key)
            if each is not None:
                planned = tuple(a + stray * by for a, by in zip(planned, each, strict=True))
        return planned


@kept(SOME)
def _planned(frame: Frame, key: str) -> float:
    return number_at(frame.hole.document, key, key).planned


def slope_of(
    frame: Frame, key: str, asked: Callable[[Frame], tuple[Array, ...]]
) -> tuple[Array, ...] | None:
    """Return by how much answers change with a number, per unit of it; None where they do not.

    Parameters
    ----------
    asked : answers in the hole of a frame
    """
    moved = moved_frames(frame, key)
    if not moved:
        return None
    ends = [(by, asked(one)) for by, one in moved]
    (low, before), (high, after) = ends if len(ends) > 1 else [(0.0, asked(frame)), ends[0]]
    slopes = tuple(_slope(a, b, high - low) for a, b in zip(before, after, strict=True))
    return slopes if any(one.any() for one in slopes) else None


def _slope(before: Array, after: Array, apart: float) -> Array:
    """Return a slope; nothing where an answer is infinite: what closes a hole keeps it closed."""
    known = np.isfinite(before) & np.isfinite(after)
    change = np.subtract(after, before, out=np.zeros(known.shape), where=known)
    return np.asarray(change / apart)
