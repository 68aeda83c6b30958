"""Whether the planned test of a casing covers the kick that each member may take below it.

The ledger's own question, asked with the rock, the shoes and the mud of each member: the kick is
that of `casings.py`, the test the walk's load case, in the mud with which the member opens the
shoe. A casing without a planned test has nothing to compare; the ledger says so of the plan. Below
a spare that hangs in it the plan has no test either: the two are tested together, to what is asked
of them then, and whether they bear it is asked of their strength.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.checks.record import ROUNDING
from bathybore.ensembles.casings import (
    Asked,
    Below,
    CasingBites,
    Holes,
    Planned,
    planned_casings,
)
from bathybore.ensembles.shapes import Drawn, Flags, Frame, Indices, Made
from bathybore.operations.casing_loads import pressure_test
from bathybore.operations.exposures import exposures

CASE: Final = "test-covers-kick"


@dataclass(frozen=True, eq=False)
class UnderTest:
    """A casing and its planned test.

    Attributes
    ----------
    pressure : (node) inside less outside under test, in the planned mud [Pa]
    density : of that mud [kg/m3]
    """

    planned: Planned
    pressure: Array
    density: float


def casings_tested(frame: Frame) -> tuple[UnderTest, ...]:
    """Return the casings below which anything is drilled with a riser, and that are tested."""
    found = []
    for planned in planned_casings(frame):
        exposed = exposures(frame.hole, planned.job.casing)
        case = pressure_test(planned.job, exposed)
        if case is not None:
            net = np.asarray(case.internal_pressure.si) - np.asarray(case.external_pressure.si)
            at = np.interp(frame.z[planned.nodes], np.asarray(case.z), net)
            found.append(UnderTest(planned, at, exposed[0].fluid.density))
    return tuple(found)


def covered_cases(frame: Frame) -> tuple[str, ...]:
    """Return what is asked, and of which casing, in the order of `kicks_not_covered`."""
    return tuple(f"{CASE} {one.planned.job.casing.name}" for one in casings_tested(frame))


def kicks_not_covered(frame: Frame, made: Made, drawn: Drawn) -> CasingBites:
    """Return how deep a hole below them the tests of the casings cover."""
    holes, found = Holes(frame, made, drawn), list[Array]()
    for one in casings_tested(frame):
        asked = Asked(holes, one.planned)
        found.append(asked.deepest(partial(_covering, asked, one)))
    depth = np.stack(found, axis=1) if found else np.empty((drawn.count, 0))
    return CasingBites(covered_cases(frame), depth)


def _covering(asked: Asked, tested: UnderTest, below: Below) -> Callable[[Indices, Indices], Flags]:
    return _Covering(asked, tested, below).fails


class _Covering:
    """The test of one casing against the kicks of one hole below it."""

    def __init__(self, asked: Asked, tested: UnderTest, below: Below) -> None:
        self.asked, self.below = asked, below
        # of all bottoms that the bit has come to the greatest kick counts
        self.greatest = np.fmax.accumulate(asked.at_shoe(below), axis=1)
        made, planned = asked.holes.made, tested.planned
        first = np.argmax(made.string[below.members] > planned.string, axis=1)
        more = made.density[below.members, first] - tested.density
        height = asked.z - float(asked.holes.hole.drill_floor)
        self.tested = tested.pressure + more[:, None] * asked.holes.gravity * height
        shoe = made.shoes[below.members, planned.string]
        there = asked.depth <= shoe[:, None] + 1e-6
        self.there: Flags = there & ~self._below_spare(planned.string)[:, None]
        # where even the greatest kick of all, were it without weight, presses less, none does
        weightless = np.fmax.reduce(self.greatest, axis=1)[:, None]
        self.nodes = np.flatnonzero(self._over(slice(None), slice(None), weightless).any(axis=0))

    def _below_spare(self, string: int) -> Flags:
        """Return in which members a spare stands between the casing and the hole."""
        holes = self.asked.holes
        between = range(string + 1, self.below.string)
        spares = np.array([i for i in between if holes.frame.strings[i].spare], dtype=np.intp)
        shoes = holes.made.shoes[np.ix_(self.below.members, spares)]
        return np.asarray(np.isfinite(shoes).any(axis=1))

    def fails(self, members: Indices, bottoms: Indices) -> Flags:
        """Return which members a kick from a bottom presses harder than the test, anywhere."""
        part, nodes = self.below.of(members), self.nodes
        at_shoe = self.greatest[members, bottoms][:, None]
        kick = self.asked.full_of_kick(part, at_shoe, nodes + self.asked.planned.first)
        return np.asarray(self._over(members, nodes, kick).any(axis=1))

    def _over(self, members: Indices | slice, nodes: Indices | slice, kick: Array) -> Flags:
        """Return where a pressure inside is more than the test, over some of the casing's nodes."""
        tested, there = (one[members][:, nodes] for one in (self.tested, self.there))
        over = kick - self.asked.sea[:, nodes] - tested > ROUNDING * np.abs(tested)
        return np.asarray(over & there)
