"""What drawn numbers of the hole do to the times and goods of its steps.

A part of a step is a product as a rule, a length over a rate or a count times a time, so its
answer to a number is a power of that number; one walk with the number moved a little tells the
exponent. Exact for such products, and near the plan for all else.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.errors import InputErrors, OrderError
from bathybore.base.keeping import SOME, kept
from bathybore.ensembles.members import member_hole
from bathybore.ensembles.shapes import Drawn, Frame
from bathybore.model.hole_numbers import number_at
from bathybore.model.known_uncertain import known_factors
from bathybore.operations.state import HoleState
from bathybore.operations.times import bit_life_of
from bathybore.operations.walk import walk_hole

BIT_CHANGES: Final = "bit changes"
BARRELS: Final = "barrels up and down"
BIT_LIFE: Final = "bit life"
FIXED: Final = "duration that the plan fixes"
_MOVED: Final = 1.02  # the number moved, over the number planned
_NO_POWER: Final = 1e-9  # an exponent this small is none
Part = tuple[int, str]  # step of the plan, and part of its time or its use of a store


def label_of(name: str) -> str:
    """Return what a part of a step is called, whatever its count."""
    return next((one for one in (BIT_CHANGES, BARRELS) if name.endswith(one)), name)


@kept(SOME)
def exponents(frame: Frame, key: str) -> Mapping[Part, float]:
    """Return the powers of a number of the hole that parts of its steps follow.

    Raises
    ------
    InputErrors
        The hole cannot be walked with the number moved a little, up or down.
    """
    number = number_at(frame.hole.document, key, key)
    if number.planned == 0.0:
        return {}  # no power of nothing: what is planned as nothing adds no time here
    faults = None
    for factor in (_MOVED, 1.0 / _MOVED):
        moved = number.planned * factor
        if number.whole:
            moved = number.planned + np.sign(factor - 1.0)
        try:
            states = walk_hole(member_hole(frame, one_moved(frame, key, moved), 0))
        except (InputErrors, OrderError) as error:
            faults = error
            continue
        return _powers(frame.states, states, float(np.log(moved / number.planned)))
    raise InputErrors.one(
        key,
        f"a number with which the hole cannot be walked when it moves a little: {faults}",
        "one that may be other than planned",
    )


def one_moved(frame: Frame, key: str, value: float) -> Drawn:
    """Return one member that has another value of a number of the hole, and nothing else."""
    none = np.zeros(1, dtype=np.intp)
    return Drawn(
        first=0,
        count=1,
        curves={},
        numbers={key: np.full(1, value)},
        alternatives=none - 1,
        trouble=np.zeros((1, len(frame.states))),
        start=np.zeros(1),
        mended=none,
    )


def _powers(
    planned: tuple[HoleState, ...], moved: tuple[HoleState, ...], change: float
) -> dict[Part, float]:
    powers: dict[Part, float] = {}
    for index, (before, after) in enumerate(zip(planned, moved, strict=True)):
        amounts = _amounts(after)
        for part, amount in _amounts(before).items():
            other = amounts.get(part, 0.0)
            if amount > 0.0 and other > 0.0 and np.isfinite(amount + other):
                power = float(np.log(other / amount)) / change
                if abs(power) > _NO_POWER:
                    powers[index, part] = power
    return powers


def _amounts(state: HoleState) -> dict[str, float]:
    """Return the times of a step's parts, the life of its bit, and what it uses of the stores."""
    amounts = {label_of(part.name): float(part) for part in state.times}
    if state.activity.section is not None:
        amounts[BIT_LIFE] = float(bit_life_of(state))
    if state.step.fixed_duration is not None:
        amounts[FIXED] = float(state.step.fixed_duration)
    for use in state.uses:
        amounts[use.store] = amounts.get(use.store, 0.0) + float(use.amount)
    return amounts


@dataclass(frozen=True, eq=False)
class Answers:
    """How the numbers drawn scale the parts of steps; arrays (member)."""

    scales: Mapping[Part, Array]

    @staticmethod
    def to(frame: Frame, drawn: Drawn) -> Answers:
        """Return the answers to all numbers of the hole that are drawn."""
        scales: dict[Part, Array] = {}
        for key, values in drawn.numbers.items():
            if key in known_factors():
                continue
            planned = number_at(frame.hole.document, key, key).planned
            if np.all(values == planned):
                continue
            for part, power in exponents(frame, key).items():
                scale = np.maximum(values / planned, 0.0) ** power
                scales[part] = scales[part] * scale if part in scales else scale
        return Answers(scales)

    def scale(self, state: int, part: str) -> Array | float:
        """Return what a part of a step of the plan is scaled by."""
        return self.scales.get((state, part), 1.0)
