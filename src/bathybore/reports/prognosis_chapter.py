"""The chapter on the prognosis: doubts about the data, methods, curves, where files tell of it."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from bathybore.base.units import UnitSystem, from_si, pretty_number, pretty_unit, show, shown_unit
from bathybore.drawings.prognosis import prognosis_picture
from bathybore.model.prognosis import PROGNOSIS_FILE
from bathybore.reports.blocks import Block, Chapter, Column, Drawing, Facts, Items, Table, Text
from bathybore.usecases.prognosis import CAUTION, WorkedPrognosis, prognosis
from bathybore.usecases.showing import in_words

_ROWS = 14
_CURVES = (
    "vertical_stress",
    "pore_pressure",
    "hole_collapse_pressure",
    "fracture_pressure",
    "temperature",
)


def prognosis_chapter(folder: Path | None, units: UnitSystem) -> tuple[Chapter, ...]:
    """Return the chapter of a hole whose folder holds a prognosis; nothing of any other.

    Raises
    ------
    InputErrors
        It holds one that cannot be used.
    """
    if folder is None or not (folder / PROGNOSIS_FILE).exists():
        return ()
    worked = prognosis(folder)
    told = [one for one in worked.findings if one.kind == "doubt"]
    blocks: list[Block] = [
        Text(
            f"Worked out from {PROGNOSIS_FILE} and the logs of "
            f"{worked.ground.prognosis.neighbour.name}. The walk rests on the earth table of the "
            "hole, which may have been changed since."
        ),
        Text(CAUTION, "warning"),
    ]
    if told:
        blocks += [Text("Doubts about the data", "note"), Items(tuple(one.said for one in told))]
    if worked.outside:
        blocks += [Text("Outside the range of a method", "note"), Items(worked.outside)]
    methods = tuple((in_words(one.name), one.method) for one in worked.curves.values())
    blocks += [
        Facts(methods, "Methods"),
        _table(worked, units),
        Drawing(prognosis_picture(worked, units)),
    ]
    return (Chapter("Prognosis", tuple(blocks)),)


def _table(worked: WorkedPrognosis, units: UnitSystem) -> Table:
    names = [name for name in _CURVES if name in worked.curves]
    shown = [shown_unit(worked.curves[name].value.unit, units) for name in names]
    rows = sorted({round(v) for v in np.linspace(0, len(worked.z) - 1, _ROWS).tolist()})
    return Table(
        "Curves, each with one standard deviation",
        (
            Column("below sea bed", 1.3, "number"),
            *(
                Column(f"{in_words(name)} [{pretty_unit(unit)}]", 1.6, "number")
                for name, unit in zip(names, shown, strict=True)
            ),
        ),
        tuple(
            (
                show(float(worked.z[row]), "m", units, significant=5),
                *(_cell(worked, name, unit, row) for name, unit in zip(names, shown, strict=True)),
            )
            for row in rows
        ),
    )


def _cell(worked: WorkedPrognosis, name: str, unit: str, row: int) -> str:
    curve = worked.curves[name]
    value, spread, si = float(curve.si[row]), float(curve.spread[row]), curve.value.unit
    if not np.isfinite(value):
        return "–"
    # a spread is a difference: an offset unit keeps only its factor
    size = from_si(spread, si, unit) - from_si(0.0, si, unit)
    return f"{pretty_number(from_si(value, si, unit))} ± {pretty_number(size, 2)}"
