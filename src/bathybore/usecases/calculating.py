"""One published equation at a time: list them, describe one, work one out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from bathybore.base.errors import Fault, InputErrors, nearest
from bathybore.base.formula import plain, with_numbers
from bathybore.base.nomenclature import nomenclature
from bathybore.base.registry import Equation, Quantity, equations
from bathybore.base.units import UnitSystem, example_unit, parse_quantity
from bathybore.kernels import load_all
from bathybore.usecases.showing import ShownLimit, ShownValue, cite, in_words, limits, shown


@dataclass(frozen=True)
class Brief:
    """An equation in a list."""

    name: str
    summary: str
    source: str


@dataclass(frozen=True)
class Topic:
    """The equations of one topic."""

    name: str
    equations: tuple[Brief, ...]


@dataclass(frozen=True)
class Parameter:
    """One input of an equation, as a user needs it to write one."""

    name: str
    symbol: str
    unit: str
    meaning: str
    default: str
    example: str


@dataclass(frozen=True)
class Description:
    """Everything about an equation but its value."""

    name: str
    topic: str
    summary: str
    formula: str
    parameters: tuple[Parameter, ...]
    result: Parameter
    source: str
    where: str
    limits: tuple[ShownLimit, ...]
    validity_note: str
    caution: str
    example: str


@dataclass(frozen=True)
class Calculation:
    """An equation worked out once.

    Attributes
    ----------
    outside : limits of validity that the inputs break; the result is then no answer to rely on
    """

    name: str
    topic: str
    summary: str
    formula: str
    with_numbers: str
    inputs: tuple[ShownValue, ...]
    result: ShownValue
    source: str
    where: str
    limits: tuple[ShownLimit, ...]
    outside: tuple[str, ...]
    validity_note: str
    caution: str


def list_equations() -> tuple[Topic, ...]:
    """Return every published equation, grouped by topic."""
    load_all()
    topics: dict[str, list[Brief]] = {}
    for equation in sorted(equations().values(), key=lambda e: (e.topic, e.name)):
        brief = Brief(equation.name, equation.summary, cite(equation.source_key))
        topics.setdefault(equation.topic, []).append(brief)
    return tuple(Topic(in_words(name), tuple(briefs)) for name, briefs in topics.items())


def describe(name: str, system: UnitSystem = "metric") -> Description:
    """Return what an equation needs and says.

    Raises
    ------
    InputErrors
        No equation has this name; the nearest spelling is named.
    """
    equation = _find(name)
    return Description(
        name=equation.name,
        topic=in_words(equation.topic),
        summary=equation.summary,
        formula=plain(equation.formula),
        parameters=tuple(_parameter(equation, q, system) for q in equation.parameters),
        result=_parameter(equation, equation.result, system),
        source=cite(equation.source_key),
        where=equation.where,
        limits=limits(equation, {}, system),
        validity_note=equation.validity_note,
        caution=equation.caution,
        example=_example(equation),
    )


def calculate(name: str, written: Mapping[str, str], system: UnitSystem = "metric") -> Calculation:
    """Work out one equation from inputs as a user writes them.

    Parameters
    ----------
    written : '13 3/8 in' by parameter name; several numbers for a stack stand between ';'

    Raises
    ------
    InputErrors
        Unknown equation or parameter, missing input, wrong unit (all of them at once), or
        inputs for which the equation gives no finite number.
    """
    equation = _find(name)
    given = _read(equation, written)
    inputs = {**{k: v for k, v in equation.defaults.items() if k not in given}, **given}
    with np.errstate(all="ignore"):  # what is not finite is refused just below
        result = equation.function(**given)
    if not np.all(np.isfinite(np.asarray(result, dtype=float))):
        raise InputErrors.one(
            equation.name, "no finite result", "inputs for which the equation has one"
        )
    values = [
        shown(q.name, inputs[q.name], q.unit, system, _origin(q.name, given))
        for q in equation.parameters
    ]
    judged = limits(equation, inputs, system)
    return Calculation(
        name=equation.name,
        topic=in_words(equation.topic),
        summary=equation.summary,
        formula=plain(equation.formula),
        with_numbers=numbers_in(equation, values),
        inputs=tuple(values),
        result=shown(equation.result.name, result, equation.result.unit, system),
        source=cite(equation.source_key),
        where=equation.where,
        limits=judged,
        outside=broken(judged),
        validity_note=equation.validity_note,
        caution=equation.caution,
    )


def pairs(written: Iterable[str]) -> dict[str, str]:
    """Split 'key=value' texts, as a shell hands them over.

    Raises
    ------
    InputErrors
        A text without '=', or a key given twice.
    """
    result: dict[str, str] = {}
    faults = []
    for text in written:
        key, equals, value = (part.strip() for part in text.partition("="))
        if not (key and equals):
            faults.append(Fault("input", f"'{text}'", "key=value", "Quote values with spaces."))
        elif key in result:
            faults.append(Fault(key, "two values", "one", "A stack is written key='1 m; 2 m'."))
        result[key] = value
    if faults:
        raise InputErrors(faults)
    return result


def numbers_in(equation: Equation, values: Iterable[ShownValue]) -> str:
    """Return the formula of an equation with the shown values in place of the symbols."""
    terms = nomenclature()
    texts = {terms[v.name].symbol: v.text for v in values if v.name in terms}
    return with_numbers(equation.formula, texts)


def broken(judged: tuple[ShownLimit, ...]) -> tuple[str, ...]:
    """Return a sentence for every limit that is not kept."""
    return tuple(
        f"holds for {limit.text} only" + (f" ({limit.reason})" if limit.reason else "")
        for limit in judged
        if not limit.kept
    )


def _find(name: str) -> Equation:
    load_all()
    known = equations()
    wanted = name.strip().replace("-", "_")
    if wanted in known:
        return known[wanted]
    raise InputErrors.one(
        "equation",
        f"'{name}'",
        "the name of a published equation",
        nearest(wanted, known) or "`bathybore calc` lists them all.",
    )


def _read(equation: Equation, written: Mapping[str, str]) -> dict[str, Any]:
    units = {q.name: q.unit for q in equation.parameters}
    faults: list[Fault] = []
    given: dict[str, Any] = {}
    for key, text in written.items():
        name = key.strip().replace("-", "_")
        if name not in units:
            takes = f"an input of {equation.name}: {', '.join(units)}"
            faults.append(Fault(key, "an input that it does not take", takes, nearest(name, units)))
            continue
        try:
            given[name] = _parse(text, units[name], name)
        except InputErrors as error:
            faults.extend(error.faults)
    asked = {key.strip().replace("-", "_") for key in written}
    for name, unit in units.items():
        if name not in asked and name not in equation.defaults:
            kind = "a pure number" if unit == "-" else "a value with its unit"
            example = equation.example.get(name, f"10 {example_unit(unit)}")
            faults.append(Fault(name, "nothing", f'{kind}, such as {name}="{example}"'))
    if faults:
        raise InputErrors(faults)
    return given


def _parse(text: str, unit: str, where: str) -> Any:
    """Read one input; NumPy numbers, so that a division by zero shows as not finite."""
    if unit == "text":
        return text.strip()
    if ";" in text:
        return np.array([parse_quantity(one.strip(), unit, where) for one in text.split(";")])
    return np.float64(parse_quantity(text, unit, where))


def _origin(name: str, given: Mapping[str, Any]) -> str:
    return "given" if name in given else "default of the equation"


def _parameter(equation: Equation, quantity: Quantity, system: UnitSystem) -> Parameter:
    term = nomenclature().get(quantity.name)
    default = equation.defaults.get(quantity.name)
    return Parameter(
        name=quantity.name,
        symbol=plain(term.symbol) if term else "",
        unit=quantity.unit,
        meaning=quantity.meaning,
        default=""
        if default is None
        else shown(quantity.name, default, quantity.unit, system, significant=8).text,
        example=equation.example.get(quantity.name, ""),
    )


def _example(equation: Equation) -> str:
    """Return the command line that works the equation's own example out."""
    inputs = (f'{key}="{text}"' for key, text in equation.example.items())
    return " ".join([f"bathybore calc {equation.name}", *inputs])
