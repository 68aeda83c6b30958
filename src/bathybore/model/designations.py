"""Designations that the catalogues must hold, and sizes that must go into one another."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import lru_cache
from typing import Any

from bathybore.base.errors import Fault, InputErrors
from bathybore.base.units import show
from bathybore.data import catalogues
from bathybore.model.chart import written_at
from bathybore.model.fields import Node
from bathybore.model.files import shown
from bathybore.model.hole import HoleDocument
from bathybore.model.inventory import CasingStock, PipeStock
from bathybore.model.plan import Section

_LONGEST = 100


def designation_faults(document: HoleDocument) -> Iterator[Fault]:
    """Yield a fault for every pipe and grade that no catalogue holds."""
    for pipe in document.inventory.pipe.values():
        yield from _of_pipe(pipe)
    for stock in document.inventory.casing.values():
        yield from _of_casing(stock)


@lru_cache(maxsize=1000)  # asked again after every edit of anything else
def _of_pipe(stock: PipeStock) -> tuple[Fault, ...]:
    return tuple(_pipe(stock))


@lru_cache(maxsize=1000)
def _of_casing(stock: CasingStock) -> tuple[Fault, ...]:
    size = _unknown(stock, "size", catalogues.casing)
    return (*size, *_unknown(stock, "grade", catalogues.grade))


def _pipe(stock: PipeStock) -> Iterator[Fault]:
    if stock.described:
        yield from _grade(stock)
        yield from _described(stock)
        return
    if stock.kind != "pipe":
        collar = catalogues.drill_collar if stock.kind == "collar" else catalogues.heavy_wall_pipe
        yield from _unknown(stock, "size", collar)
        yield from _grade(stock)
        return
    faults = [*_grade(stock)]
    if not faults:
        faults = [*_unknown(stock, "size", lambda size: catalogues.drill_pipe(size, stock.steel))]
    if not faults:
        named = catalogues.drill_pipe(stock.size, stock.steel).grade
        if catalogues.grade(named) != catalogues.grade(stock.steel):
            found = f"'{shown(stock.size)}' of grade {shown(stock.steel)}"
            fix = f"Write grade: {named}, or leave the grade out of the size."
            yield Fault(written_at(stock, "size"), found, "one grade", fix)
    yield from faults


def _described(stock: PipeStock) -> Iterator[Fault]:
    """Yield what cannot be in pipe whose dimensions the user gives."""
    outside, wall, joint = stock.outside_diameter, stock.wall, stock.tool_joint_diameter
    if outside is None or wall is None or joint is None:
        return  # the schema asks for all of them together
    if 2.0 * wall >= outside:
        expected = f"less than half of the outside diameter, {_inches(outside)}"
        yield Fault(written_at(stock, "wall"), _inches(wall), expected)
    if joint < outside:
        expected = f"at least the outside diameter, {_inches(outside)}"
        yield Fault(written_at(stock, "tool_joint_diameter"), _inches(joint), expected)


def _grade(stock: PipeStock) -> Iterator[Fault]:
    if stock.grade is not None:
        yield from _unknown(stock, "grade", catalogues.grade)


def _unknown(node: Node, field: str, look_up: Callable[[str], Any]) -> Iterator[Fault]:
    written = getattr(node, field)
    try:
        if len(written) > _LONGEST:
            raise InputErrors.one("", f"{len(written)} characters", "a designation")
        look_up(written)
    except InputErrors as error:
        for told in error.faults:
            yield Fault(written_at(node, field), shown(told.found), told.expected, told.fix)


def fit_faults(document: HoleDocument) -> Iterator[Fault]:
    """Yield what cannot be: a bit wider than the pipe it passes, a casing wider than its hole.

    How much room there should be is for the checks to say.
    """
    above_name = document.plan.conductor.name
    above = _casing(document, document.plan.conductor.pipe)
    for section in document.plan.sections:
        if above is not None:
            yield from _bit(section, above_name, above)
        if section.casing is None:
            continue
        pipe = _casing(document, section.casing.pipe)
        if pipe is not None:
            at = written_at(section.casing, "pipe")
            found = f"a pipe of {_inches(pipe.outside_diameter)} outside diameter"
            if pipe.outside_diameter >= section.hole_diameter:
                yield Fault(at, found, f"less than its hole, {_inches(section.hole_diameter)}")
            elif above is not None and pipe.outside_diameter >= above.inside_diameter:
                bore = _inches(above.inside_diameter)
                yield Fault(at, found, f"less than the bore of {above_name}, {bore}")
        above, above_name = pipe, section.casing.name


def _bit(section: Section, above_name: str, above: catalogues.CasingRow) -> Iterator[Fault]:
    field = "hole_diameter" if section.pilot_bit is None else "pilot_bit"
    diameter = section.pilot_bit or section.hole_diameter
    if diameter > above.inside_diameter:
        bore = _inches(above.inside_diameter)
        fix = "Name the bit that passes as pilot_bit, if the hole is opened below it."
        yield Fault(
            written_at(section, field),
            _inches(diameter),
            f"at most the bore of {above_name}, {bore}",
            fix if field == "hole_diameter" else "",
        )


def _casing(document: HoleDocument, name: str) -> catalogues.CasingRow | None:
    """Return the catalogue row of a stock of casing; None where a fault is told already."""
    stock = document.inventory.casing.get(name)
    try:
        return catalogues.casing(stock.size) if stock else None
    except InputErrors:
        return None


def _inches(diameter: float) -> str:
    return show(diameter, "m", unit="in", significant=5)
