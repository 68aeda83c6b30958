"""The registry of published equations: every formula with units, validity, source and example.

A kernel is an ordinary function of SI floats or arrays. ``@published`` files it
under its own name, with the formula, the source and the limits of validity; the
units of its parameters and result are read from the brackets in its docstring::

    Parameters
    ----------
    outside_diameter : [m]
        Outside diameter of the pipe body.

    Returns
    -------
    internal_yield_pressure : [Pa]
        Gauge pressure at which the bore starts to yield.
"""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, ParamSpec, TypeVar

import numpy as np

from bathybore.base.sources import Source, source

P = ParamSpec("P")
R = TypeVar("R")

_ENTRY = re.compile(r"^    (?P<name>\w+) : (?P<shape>\(.*?\) )?\[(?P<unit>[^\]]+)\]", re.MULTILINE)


@dataclass(frozen=True)
class Quantity:
    """One parameter or result of an equation, as its docstring declares it."""

    name: str
    unit: str
    meaning: str
    shape: str = ""


@dataclass(frozen=True)
class Limit:
    """The range of one input or named derived ratio within which an equation was established."""

    low: float
    high: float
    reason: str = ""

    def holds(self, value: object) -> bool:
        if isinstance(value, float):
            return bool(self.low <= value <= self.high)
        array = np.asarray(value, dtype=float)
        if not array.size:
            return True
        # what is not a number is the least and the greatest of its array, and lies nowhere
        least, greatest = np.minimum.reduce(array, None), np.maximum.reduce(array, None)
        return bool(least >= self.low and greatest <= self.high)


@dataclass(frozen=True)
class Equation:
    """A published equation: the function and everything a reader needs to trust it."""

    name: str
    topic: str
    function: Callable[..., Any]
    formula: str
    source_key: str
    where: str
    valid: Mapping[str, Limit] = field(default_factory=dict)
    validity_note: str = ""
    example: Mapping[str, str] = field(default_factory=dict)
    caution: str = ""

    @property
    def source(self) -> Source:
        return source(self.source_key)

    @cached_property
    def summary(self) -> str:
        return (inspect.getdoc(self.function) or "").split("\n\n")[0].replace("\n", " ")

    def _section(self, title: str) -> str:
        doc = inspect.cleandoc(self.function.__doc__ or "")
        match = re.search(
            rf"^{title}\n-+\n(.*?)(?=^\w[^\n]*\n-+\n|\Z)", doc, re.DOTALL | re.MULTILINE
        )
        return match.group(1) if match else ""

    def _quantities(self, title: str) -> tuple[Quantity, ...]:
        section = "\n".join("    " + line for line in self._section(title).splitlines())
        found = list(_ENTRY.finditer(section))
        ends = [m.start() for m in found[1:]] + [len(section)]
        return tuple(
            Quantity(
                m["name"],
                m["unit"],
                " ".join(section[m.end() : end].split()),
                (m["shape"] or "").strip(),
            )
            for m, end in zip(found, ends, strict=True)
        )

    @cached_property
    def parameters(self) -> tuple[Quantity, ...]:
        return self._quantities("Parameters")

    @cached_property
    def units(self) -> dict[str, str]:
        """Unit by parameter name."""
        return {quantity.name: quantity.unit for quantity in self.parameters}

    @cached_property
    def result(self) -> Quantity:
        (only,) = self._quantities("Returns")
        return only

    @cached_property
    def defaults(self) -> dict[str, Any]:
        signature = inspect.signature(self.function)
        return {
            name: parameter.default
            for name, parameter in signature.parameters.items()
            if parameter.default is not inspect.Parameter.empty
        }

    def outside_validity(self, inputs: Mapping[str, Any]) -> tuple[str, ...]:
        """Return one sentence for every limit of validity that these inputs break."""
        if not self.valid:
            return ()
        broken = [
            (name, limit)
            for name, limit in self.valid.items()
            if name in inputs and not limit.holds(inputs[name])
        ]
        return tuple(map(_told, broken)) if broken else ()


def _told(broken: tuple[str, Limit]) -> str:
    name, limit = broken
    why = f" ({limit.reason})" if limit.reason else ""
    return f"{name} outside {limit.low:g} to {limit.high:g}{why}"


_EQUATIONS: dict[str, Equation] = {}


def published(
    *,
    formula: str,
    source: str,
    where: str,
    valid: Mapping[str, Limit] | None = None,
    validity_note: str = "",
    example: Mapping[str, str] | None = None,
    caution: str = "",
) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """File a kernel as a published equation.

    Parameters
    ----------
    formula : the equation in Typst mathematics, one symbol a parameter
    source : a key of the bibliography
    where : clause, equation number, page, or 'from memory'
    valid : limits by parameter name, SI; consulted at every use
    validity_note : in words, what the limits above cannot say
    example : inputs as a user writes them, for `calc`, the docs and the broadcasting test
    caution : what a user must be told beside the number
    """

    def register(function: Callable[P, R]) -> Callable[P, R]:
        name = function.__name__
        if name in _EQUATIONS:
            raise ValueError(f"two published equations are called {name}")
        _EQUATIONS[name] = Equation(
            name=name,
            topic=function.__module__.rsplit(".", 1)[-1],
            function=function,
            formula=formula,
            source_key=source,
            where=where,
            valid=valid or {},
            validity_note=validity_note,
            example=example or {},
            caution=caution,
        )
        return function

    return register


def equations() -> Mapping[str, Equation]:
    """Return every equation whose module has been imported, by name."""
    return dict(_EQUATIONS)


def equation_of(function: Callable[..., Any]) -> Equation:
    """Return the filed equation of a kernel function."""
    return _EQUATIONS[function.__name__]
