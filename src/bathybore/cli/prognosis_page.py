"""The prognosis as a page: findings first, then the curves with their spread; one node opened."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

import numpy as np
import typer

from bathybore.base.errors import InputErrors
from bathybore.base.units import UnitSystem, conversion, from_si, pretty_unit, show, shown_unit
from bathybore.cli.explain_page import workings
from bathybore.cli.page import VERDICT_STYLE, Page, put
from bathybore.drawings.prognosis import prognosis_picture, prognosis_png
from bathybore.operations.prognosis_ground import Curve
from bathybore.reports.files import write_whole
from bathybore.reports.records_json import document, plain
from bathybore.usecases.explaining import WorkingNote
from bathybore.usecases.prognosis import (
    CAUTION,
    OpenedNode,
    WorkedPrognosis,
    equivalent_density,
    open_node,
    prognosis,
    write_prognosis,
)
from bathybore.usecases.showing import in_words

# curves of the table, with their heading
_TABLE: Final = (
    ("vertical_stress", "overburden"),
    ("pore_pressure", "pore"),
    ("hole_collapse_pressure", "collapse"),
    ("fracture_pressure", "fracture"),
    ("temperature", "temperature"),
)
_MOST_ROWS: Final = 25
_DECIMALS: Final = {"MPa": 2, "psi": 0}


def work(hole: Path) -> WorkedPrognosis:
    """Work out the prognosis of a hole's folder."""
    return prognosis(hole)


def explain(worked: WorkedPrognosis, curve: str, at: str, as_json: bool, units: UnitSystem) -> None:
    """Write out one curve at one depth with everything behind it."""
    if not (curve and at):
        missing = "--at" if curve else "--explain"
        fix = "Write both: --explain pore_pressure --at '2000 m below sea bed'."
        raise InputErrors.one(missing, "nothing", "a curve and a depth", fix)
    opened = open_node(worked, curve, at, units)
    put(_node_json(opened, worked) if as_json else _node(opened, worked, units))


def show_and_write(
    worked: WorkedPrognosis, as_json: bool, units: UnitSystem, to: Path | None, force: bool
) -> None:
    """Write out findings and curves, then the table; JSON follows the table, to name it."""
    if not as_json:
        put(_findings(worked))
        put(_curves(worked, units))
    written = write_prognosis(worked, to, force)
    if as_json:
        put(_json(worked, written))
    for path in written:
        typer.echo(str(path), err=True)


def draw(worked: WorkedPrognosis, units: UnitSystem, svg: Path | None, png: Path | None) -> None:
    """Draw the prognosis into the files that are asked for."""
    if svg is not None:
        write_whole(svg, prognosis_picture(worked, units).svg.encode("utf-8"))
    if png is not None:
        write_whole(png, prognosis_png(worked, units))


def _findings(worked: WorkedPrognosis) -> str:
    """Return the page of findings: what to know before a curve is trusted."""
    page = Page()
    invented = " (invented)" if worked.invented else ""
    page.line(f"Prognosis for {worked.hole}{invented}", "bold")
    page.line(f"from {worked.ground.prognosis.neighbour.name}")
    for kind, heading in (("doubt", "Doubts"), ("note", "Taken for granted")):
        told = [one for one in worked.findings if one.kind == kind]
        if told:
            page.heading(heading)
            for one in told:
                page.fields([("-", one.said)], label=1)
    return page.text()


def _curves(worked: WorkedPrognosis, units: UnitSystem) -> str:
    """Return the page of curves: methods, a table over depth, what lies outside validity."""
    page = Page()
    page.heading("Methods")
    page.fields(((in_words(c.name), c.method) for c in worked.curves.values()), label=26)
    page.heading("Curves, each with one standard deviation")
    for line in _table(worked, units):
        page.line(line, indent=2)
    page.heading("Density needed and borne, to the drill floor, with one standard deviation")
    for line in _densities(worked, units):
        page.line(line, indent=2)
    for text in worked.outside:
        page.line(f"OUTSIDE VALIDITY: {text}", VERDICT_STYLE["outside validity"], indent=2)
    page.heading("Cautions")
    page.fields([("-", CAUTION)], label=1)
    return page.text()


def _table(worked: WorkedPrognosis, units: UnitSystem) -> list[str]:
    shown = {name: shown_unit(worked.curves[name].value.unit, units) for name, _ in _TABLE}
    length = shown_unit("m", units)
    heads = ["depth", *(head for _, head in _TABLE)]
    below = [length, *(pretty_unit(shown[name]) for name, _ in _TABLE)]
    lines = [_cells(heads), _cells([f"[{unit}]" for unit in below])]
    for row in _rows(len(worked.z)):
        cells = [f"{from_si(float(worked.z[row]), 'm', length):.0f}"]
        for name, _ in _TABLE:
            curve, unit = worked.curves[name], shown[name]
            number = from_si(float(curve.si[row]), curve.value.unit, unit)
            spread = float(curve.spread[row]) / _factor(unit, curve.value.unit)
            decimals = _DECIMALS.get(unit, 1)
            cells.append(f"{number:.{decimals}f} ± {spread:.{decimals}f}")
        lines.append(_cells(cells))
    lines.append(f"depths below the sea bed; {len(worked.z)} nodes in all")
    return lines


def _densities(worked: WorkedPrognosis, units: UnitSystem) -> list[str]:
    """Return pressures as densities of one column from the drill floor of this hole."""
    unit, length = ("sg" if units == "metric" else "ppg"), shown_unit("m", units)
    factor = conversion(unit).factor
    names = [(name, head) for name, head in _TABLE if name != "temperature"]
    lines = [_cells(["depth", *(head for _, head in names)])]
    lines.append(_cells([f"[{length}]", *(f"[{unit}]" for _ in names)]))
    columns = [
        [
            equivalent_density(worked, worked.z, pressure) / factor
            for pressure in (worked.curves[name].si, worked.curves[name].spread)
        ]
        for name, _ in names
    ]
    for row in _rows(len(worked.z)):
        depth = f"{from_si(float(worked.z[row]), 'm', length):.0f}"
        told = [f"{number[row]:.3f} ± {spread[row]:.3f}" for number, spread in columns]
        lines.append(_cells([depth, *told]))
    return lines


def _cells(cells: list[str]) -> str:
    """Set a row; it fits 80 characters."""
    return f"{cells[0]:>6}" + "".join(f"{cell:>14}" for cell in cells[1:])


def _factor(unit: str, si: str) -> float:
    return conversion(unit).factor / conversion(si).factor


def _rows(count: int) -> list[int]:
    """Return the rows of a table that is short enough to be read."""
    return sorted({round(v) for v in np.linspace(0, count - 1, min(count, _MOST_ROWS)).tolist()})


def _node(opened: OpenedNode, worked: WorkedPrognosis, units: UnitSystem) -> str:
    """Return one curve at one depth with everything behind it."""
    page = Page()
    value = opened.opened.value
    page.line(f"{in_words(opened.curve)} at {opened.depth.show(units)}", "bold")
    page.line(opened.method)
    page.line()
    rows = [("Value", f"{value.text}  {value.words}, {value.origin}")]
    rows.append(("Spread", f"{_spread(opened, worked, units)}, one standard deviation"))
    if opened.asked != opened.depth:
        rows.append(("Asked", f"{opened.asked.show(units)}; the nearest depth node is shown"))
    page.fields(rows)
    workings(page, opened.opened.steps, (*opened.opened.cautions, CAUTION))
    return page.text()


def _spread(opened: OpenedNode, worked: WorkedPrognosis, units: UnitSystem) -> str:
    unit = worked.curves[opened.curve].value.unit
    return show(opened.spread, unit, units, unit="K" if unit == "K" else None)


def _json(worked: WorkedPrognosis, written: tuple[Path, ...]) -> str:
    """Return the prognosis as JSON: findings, every curve with its spread, what was written."""
    content: dict[str, Any] = {
        "hole": {"name": worked.hole, "invented": worked.invented},
        "neighbour": worked.ground.prognosis.neighbour.name,
        "findings": plain(worked.findings),
        "depth": {"unit": "m", "below": "sea bed", "values": worked.z.tolist()},
        "curves": [
            {
                "name": curve.name,
                "unit": curve.value.unit,
                "method": curve.method,
                "values": _numbers(curve.si),
                "standard_deviation": _numbers(curve.spread),
                "outside_validity": list(curve.outside_validity()),
                **_density_json(worked, curve),
            }
            for curve in worked.curves.values()
        ],
        "written": [str(path) for path in written],
        "cautions": [CAUTION],
    }
    return document("bathybore.prognosis/1", content)


def _density_json(worked: WorkedPrognosis, curve: Curve) -> dict[str, Any]:
    """Return a pressure that a mud is set against as a density, too."""
    if curve.name not in {name for name, _ in _TABLE if name != "temperature"}:
        return {}
    values, spread = (
        _numbers(equivalent_density(worked, worked.z, numbers))
        for numbers in (curve.si, curve.spread)
    )
    told = {"unit": "kg/m3", "to": "drill floor", "values": values, "standard_deviation": spread}
    return {"equivalent_density": told}


def _node_json(opened: OpenedNode, worked: WorkedPrognosis) -> str:
    content = {
        "hole": {"name": worked.hole, "invented": worked.invented},
        "curve": opened.curve,
        "method": opened.method,
        "depth": {"value": opened.depth.metres, "unit": "m", "below": "sea bed"},
        "value": plain(opened.opened.value),
        "standard_deviation": opened.spread,
        "steps": plain(opened.opened.steps),
        "cautions": [*opened.opened.cautions, CAUTION],
    }
    for note, shown in zip(opened.opened.steps, content["steps"], strict=True):
        shown["kind"] = "equation" if isinstance(note, WorkingNote) else "solution"
    return document("bathybore.prognosis-node/1", content)


def _numbers(values: Any) -> list[float | None]:
    return [float(v) if np.isfinite(v) else None for v in values]
