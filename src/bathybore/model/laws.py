"""Distributions as a document writes them, and as laws in SI with every sentence of theirs kept.

p10 is the value that one in ten stays below. Bounds cut a distribution off: what is left keeps
its shape between them.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Literal, Self, TypeAlias, get_args

from pydantic import Field, model_validator

from bathybore.base.errors import Fault, InputErrors
from bathybore.base.units import TEMPERATURE_DIFFERENCE, parse_quantity, show
from bathybore.model.chart import written_at
from bathybore.model.fields import Node
from bathybore.model.files import shown
from bathybore.model.hole_files import stands_beside

Written: TypeAlias = str | int | float
LawName = Literal[
    "normal", "lognormal", "triangular", "pert", "uniform", "empirical", "fixed"
]  # fixed: as planned, for what is uncertain unless told

LAW_NAMES: Final[tuple[LawName, ...]] = get_args(LawName)
MOST_VALUES: Final = 100_000
# ways to write each law; least and greatest may be added to the first two, to cut them off
_WAYS: Final[dict[str, tuple[tuple[str, ...], ...]]] = {
    "normal": (("mean", "standard_deviation"), ("p10", "p90")),
    "lognormal": (("mean", "standard_deviation"), ("p10", "p90")),
    "triangular": (("least", "most_likely", "greatest"),),
    "pert": (("least", "most_likely", "greatest"),),
    "uniform": (("least", "greatest"),),
    "empirical": (("values",), ("values", "weights"), ("file", "column")),
    "fixed": ((),),
}
_CUT: Final = ("least", "greatest")
# what has to rise; where a law is cut off, enough of it has to be left
_RISING: Final = (("p10", "p90"), _CUT, ("least", "mean"), ("mean", "greatest"), ("least", "p90"),
                  ("p10", "greatest"))  # fmt: skip
_NOT_FALLING: Final = (("least", "most_likely"), ("most_likely", "greatest"))
_MOST_SCATTER: Final = 100.0  # standard deviation over mean of a lognormal law
_LEAST_SCATTER: Final = 1e-9  # of the mean: as good as certain
_MOST: Final = 1e30  # SI; no quantity of a hole comes near


def ways_of(law: str) -> tuple[tuple[str, ...], ...]:
    """Return the numbers that a distribution may be written with, one way or another."""
    return _WAYS[law]


@dataclass(frozen=True)
class Bounds:
    """Between which a number makes sense [SI]; open where the end itself does not."""

    least: float = -math.inf
    greatest: float = math.inf
    open_below: bool = False
    open_above: bool = False

    def hold(self, number: float) -> bool:
        below = self.least < number if self.open_below else self.least <= number
        above = number < self.greatest if self.open_above else number <= self.greatest
        return below and above

    def told(self, si: str) -> str:
        ends = []
        if math.isfinite(self.least):
            ends.append(f"{'more than' if self.open_below else 'at least'} {show(self.least, si)}")
        if math.isfinite(self.greatest):
            word = "less than" if self.open_above else "at most"
            ends.append(f"{word} {show(self.greatest, si)}")
        return " and ".join(ends) or "a number"


@dataclass(frozen=True)
class Law:
    """A distribution in SI.

    Attributes
    ----------
    numbers : its parameters by name, as they were written
    values, weights : of an empirical one, the values rising and the weights adding up to one
    bounds : what is cut off; all of it lies between them
    """

    name: LawName
    numbers: tuple[tuple[str, float], ...] = ()
    values: tuple[float, ...] = ()
    weights: tuple[float, ...] = ()
    bounds: Bounds = Bounds()

    def __getitem__(self, name: str) -> float:
        return dict(self.numbers)[name]

    def has(self, name: str) -> bool:
        return any(name == one for one, _ in self.numbers)


class WrittenLaw(Node):
    """A distribution as the document has it; its numbers carry the unit of what is uncertain."""

    distribution: LawName
    mean: Written | None = None
    standard_deviation: Written | None = None
    p10: Written | None = None
    p90: Written | None = None
    least: Written | None = None
    most_likely: Written | None = None
    greatest: Written | None = None
    values: tuple[Written, ...] | None = Field(default=None, min_length=1, max_length=MOST_VALUES)
    weights: tuple[Written, ...] | None = None
    file: str | None = None
    column: str | None = None

    @model_validator(mode="after")
    def _whole(self) -> Self:
        written = {name for name in self.model_fields_set if getattr(self, name) is not None}
        written -= {"distribution"}
        cut = set(_CUT) if self.distribution in ("normal", "lognormal") else set()
        ways = _WAYS[self.distribution]
        if not any(set(way) <= written <= set(way) | cut for way in ways):
            wanted = " or ".join(" and ".join(way) or "nothing beside it" for way in ways)
            found = ", ".join(sorted(written)) or "nothing beside it"
            raise ValueError(f"found {self.distribution} with {found}; expected {wanted}")
        if self.file is not None and not stands_beside(self.file):
            raise ValueError(f"found '{shown(self.file)}'; expected a file beside the document")
        return self


def law_of(
    node: WrittenLaw, si: str, bounds: Bounds, table: Callable[[str, str, str], tuple[float, ...]]
) -> Law:
    """Return a written distribution in SI.

    Parameters
    ----------
    si : unit of what is uncertain
    bounds : of what is uncertain; the distribution is cut off there
    table : gives the column of a file beside the document in a unit: file, column, SI unit

    Raises
    ------
    InputErrors
        Units, order and bounds, each where it was written.
    """
    if node.distribution == "empirical":
        return _empirical(node, si, bounds, table)
    names = ("mean", "standard_deviation", "p10", "p90", "least", "most_likely", "greatest")
    numbers = {name: _number(node, name, si) for name in names if getattr(node, name) is not None}
    faults = [*_order(node, numbers), *_scatter(node, numbers), *_inside(node, numbers, si, bounds)]
    if faults:
        raise InputErrors(faults)
    if node.distribution in ("normal", "lognormal"):
        bounds = _cut(bounds, numbers.pop("least", None), numbers.pop("greatest", None))
    return Law(node.distribution, tuple(numbers.items()), bounds=bounds)


def _number(node: WrittenLaw, name: str, si: str) -> float:
    spread = name == "standard_deviation"
    unit = TEMPERATURE_DIFFERENCE if spread and si == "K" else si
    return parse_quantity(getattr(node, name), unit, written_at(node, name))


def _order(node: WrittenLaw, numbers: dict[str, float]) -> list[Fault]:
    """Return where numbers that have to rise do not."""
    faults = []
    for low, high in (*_RISING, *_NOT_FALLING):
        if low in numbers and high in numbers:
            strictly = (low, high) in _RISING
            falls = numbers[low] > numbers[high]
            if falls or (strictly and numbers[low] == numbers[high]):
                found = f"{high} {getattr(node, high)} and {low} {getattr(node, low)}"
                word = f"{high} above {low}" if strictly else f"{high} no less than {low}"
                faults.append(Fault(written_at(node, high), shown(found), word))
    return faults


def _scatter(node: WrittenLaw, numbers: dict[str, float]) -> list[Fault]:
    """Return a standard deviation of nothing, or next to it, and a lognormal law beyond sense."""
    faults = []
    deviation, most = "standard_deviation", _MOST_SCATTER
    least = _LEAST_SCATTER * abs(numbers.get("mean", 0.0))
    if numbers.get(deviation, 1.0) <= least:
        fix = "Write 'distribution: fixed' for what is certain."
        found = shown(str(node.standard_deviation))
        faults.append(Fault(written_at(node, deviation), found, "more than zero", fix))
    if node.distribution == "lognormal":
        for wide, narrow, times in ((deviation, "mean", most), ("p90", "p10", most**2)):
            if numbers.get(wide, 0.0) > times * abs(numbers.get(narrow, 0.0)):
                found, expected = (
                    shown(str(getattr(node, wide))),
                    f"at most {times:g} times {narrow}",
                )
                faults.append(Fault(written_at(node, wide), found, expected))
    return faults


def _inside(node: WrittenLaw, numbers: dict[str, float], si: str, bounds: Bounds) -> list[Fault]:
    """Return the numbers that what is uncertain cannot have, or that this law cannot."""
    positive = Bounds(0.0, open_below=True)
    faults = []
    for name, number in numbers.items():
        if name == "standard_deviation" and number <= _MOST:
            continue
        at, found = written_at(node, name), f"'{shown(str(getattr(node, name)))}'"
        if not bounds.hold(number) or abs(number) > _MOST:
            faults.append(Fault(at, found, bounds.told(si)))
        elif node.distribution == "lognormal" and name not in _CUT and not positive.hold(number):
            faults.append(Fault(at, found, "more than zero, for a lognormal distribution"))
    return faults


def _cut(bounds: Bounds, least: float | None, greatest: float | None) -> Bounds:
    """Return the narrower of two pairs of bounds."""
    return Bounds(
        bounds.least if least is None else least,
        bounds.greatest if greatest is None else greatest,
        bounds.open_below and least is None,
        bounds.open_above and greatest is None,
    )


def _empirical(
    node: WrittenLaw, si: str, bounds: Bounds, table: Callable[[str, str, str], tuple[float, ...]]
) -> Law:
    if node.file is not None and node.column is not None:
        at, values = written_at(node, "column"), table(node.file, node.column, si)
    else:
        at = written_at(node, "values")
        values = tuple(parse_quantity(one, si, at) for one in node.values or ())
    outside = next((n for n in values if not bounds.hold(n) or abs(n) > _MOST), None)
    if outside is not None:
        raise InputErrors.one(at, show(outside, si), bounds.told(si))
    weights = _weights(node, len(values))
    order = sorted(range(len(values)), key=values.__getitem__)
    total = math.fsum(weights)
    return Law(
        "empirical",
        values=tuple(values[n] for n in order),
        weights=tuple(weights[n] / total for n in order),
        bounds=bounds,
    )


def _weights(node: WrittenLaw, count: int) -> tuple[float, ...]:
    """Return the weights of a node's values, equal where none are written."""
    if node.weights is None:
        return (1.0,) * count
    at = written_at(node, "weights")
    weights = tuple(parse_quantity(one, "-", at) for one in node.weights)
    if len(weights) != count:
        raise InputErrors.one(at, f"{len(weights)} weights", f"{count}, as there are values")
    if min(weights) < 0.0 or math.fsum(weights) <= 0.0:
        raise InputErrors.one(at, f"{min(weights):g}", "weights of zero or more, not all zero")
    return weights
