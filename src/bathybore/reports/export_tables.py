"""Every table of a walk as data: the programme's own, and the records behind what it draws."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING, Any, Final, TypeAlias

from bathybore.base.depth import Datum, Depth
from bathybore.base.nomenclature import nomenclature
from bathybore.base.units import UnitSystem, from_si, pretty_unit, shown_unit
from bathybore.base.working import Given
from bathybore.model.fields import Node, unit_of
from bathybore.model.tables import (
    COEFFICIENT_COLUMNS,
    MOTION_COLUMNS,
    SCATTER_COLUMNS,
    SURVEY_COLUMNS,
    WEATHER_COLUMNS,
    ProfileTable,
)
from bathybore.reports import chapters
from bathybore.reports.blocks import Table
from bathybore.reports.chapters import Writer
from bathybore.reports.data_tables import Cell, DataColumn, DataTable, from_block
from bathybore.usecases.ledger import Row, ledger
from bathybore.usecases.pressures import the_window
from bathybore.usecases.showing import ShownValue, in_words

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk

Maker: TypeAlias = Callable[[Writer], DataTable]


def _of(name: str, table: Callable[[Writer], Table]) -> tuple[str, Maker]:
    return name, lambda writer: from_block(name, table(writer))


def _first_table(chapter: Callable[[Writer], Any]) -> Callable[[Writer], Table]:
    def find(writer: Writer) -> Table:
        return next(block for block in chapter(writer).blocks if isinstance(block, Table))

    return find


def tables(walk: Walk, units: UnitSystem = "metric") -> tuple[DataTable, ...]:
    """Return every table of a walk, numbers in ``units`` unless a header says SI."""
    writer = Writer(walk, ledger(walk, units), units)
    return tuple(make(writer) for make in MAKERS.values())


def table(walk: Walk, name: str, units: UnitSystem = "metric") -> DataTable:
    """Return one table of a walk; a KeyError if there is none of that name."""
    return MAKERS[name](Writer(walk, ledger(walk, units), units))


# -- what the programme draws or spreads over its pages ------------------------------------------


def _ledger(writer: Writer) -> DataTable:
    titles = (
        "check", "step", "discipline", "question", "verdict", "asked", "there is",
        "asked in SI", "there is in SI", "SI unit", "margin [share]", "where it is closest",
        "depth [m]", "depth below", "why not judged", "what to do", "caution", "note", "sources",
    )  # fmt: skip
    rows = [_check(step.name, row) for step in writer.ledger.steps for row in step.rows]
    columns = tuple(DataColumn(title) for title in titles)
    return DataTable("ledger", "Every check of every step", columns, tuple(rows))


def _check(step: str, row: Row) -> tuple[Cell, ...]:
    demand, capacity = row.demand, row.capacity
    unit = next((value.unit for value in (demand, capacity) if value is not None), "")
    return (
        row.id, step, row.discipline, row.question, row.status, demand.text if demand else None,
        capacity.text if capacity else None, _si(demand), _si(capacity), _written(unit), row.margin,
        row.depth_text or None, row.depth_value, row.depth_datum, row.reason or None,
        row.remedy or None, row.caution or None, row.note or None, ", ".join(row.sources),
    )  # fmt: skip


def _written(unit: str) -> Cell:
    """Return an SI unit; a pure number has none."""
    return None if unit in ("", "-") else unit


def _si(value: ShownValue | None) -> Cell:
    """Return one number; a stack of them stands in its text."""
    return value.si if value is not None and isinstance(value.si, float) else None


def _diameters(writer: Writer) -> DataTable:
    hole, budget = writer.walk.hole, writer.ledger.budget
    length = _depth_column(writer)
    small = "in"  # as the trade says diameters, whatever the system
    titles = ("hole", "outside diameter", "coupling", "passes (drift)", "width spent")
    columns = (
        DataColumn("string"), DataColumn("pipe"),
        *(DataColumn(f"{end} below sea bed", length) for end in ("top", "shoe")),
        *(DataColumn(title, small) for title in titles),
    )  # fmt: skip
    rows: list[tuple[Cell, ...]] = [
        (
            row.name, row.designation,
            *(from_si(z - hole.sea_bed, "m", length) for z in (row.top, row.shoe)),
            *(
                from_si(d, "m", small)
                for d in (
                    row.hole_diameter, row.outside_diameter, row.coupling_diameter, row.passes,
                    row.spent,
                )
            ),
        )
        for row in budget.rows
    ]  # fmt: skip
    return DataTable("diameters", "Diameter budget: what each string costs", columns, tuple(rows))


def _depth_column(writer: Writer) -> str:
    return "m" if writer.units == "metric" else "ft"


def _window(writer: Writer) -> DataTable:
    hole, length = writer.walk.hole, _depth_column(writer)
    pressure, density = (shown_unit(unit, writer.units) for unit in ("Pa", "kg/m3"))
    window = the_window(writer.walk, Datum.DRILL_FLOOR)
    rows = [
        (
            curve.label, curve.kind, curve.section or None,
            from_si(z - hole.sea_bed, "m", length), from_si(z - hole.drill_floor, "m", length),
            None if p is None else from_si(p, "Pa", pressure),
            None if d is None else from_si(d, "kg/m3", density),
        )
        for curve in window.curves
        for z, p, d in zip(curve.z, curve.pressure, curve.density, strict=True)
    ]  # fmt: skip
    columns = (
        DataColumn("curve"), DataColumn("kind"), DataColumn("section"),
        DataColumn("depth below sea bed", length), DataColumn("depth below drill floor", length),
        DataColumn("pressure, gauge", pretty_unit(pressure)),
        DataColumn("equivalent density to the drill floor", pretty_unit(density)),
    )  # fmt: skip
    return DataTable("window", "Curves of the window", columns, tuple(rows))


def _profile(name: str, label: str, profile: ProfileTable, units: UnitSystem) -> DataTable:
    columns, cells = [], []
    for column, values in profile.numbers.items():
        si = profile.units[column]
        unit = "" if si == "-" else _unit(column, si, units)
        columns.append(DataColumn(in_words(column), pretty_unit(unit)))
        cells.append([_number(v, si, unit) for v in values.tolist()])
    for column, words in profile.words.items():
        columns.append(DataColumn(in_words(column)))
        cells.append([word or None for word in words])
    return DataTable(name, label, tuple(columns), tuple(zip(*cells, strict=True)))


def _number(value: float, si: str, unit: str) -> Cell:
    if not math.isfinite(value):
        return None
    return from_si(value, si, unit) if unit else value


def _unit(name: str, si: str, units: UnitSystem) -> str:
    term = nomenclature().get(name)
    return term.shown_in(units) if term else shown_unit(si, units)


def _earth(writer: Writer) -> DataTable:
    return _profile(
        "earth", "The prognosis below the sea bed", writer.walk.hole.earth, writer.units
    )


def _sea(writer: Writer) -> DataTable:
    return _profile("sea", "The sea above it", writer.walk.hole.sea, writer.units)


def _survey(writer: Writer) -> DataTable:
    label = "The path of the hole, planned or measured"
    return _optional("survey", label, writer.walk.hole.survey, SURVEY_COLUMNS, writer)


def _optional(
    name: str,
    label: str,
    table: ProfileTable | None,
    known: Mapping[str, tuple[str, bool]],
    writer: Writer,
) -> DataTable:
    """Return a table that a hole need not have; without rows where it has none."""
    if table is not None:
        return _profile(name, label, table, writer.units)
    columns = tuple(
        DataColumn(in_words(column), pretty_unit(_unit(column, si, writer.units)))
        for column, (si, required) in known.items()
        if required
    )
    return DataTable(name, f"{label}: none{_NONE.get(name, '')}", columns, ())


_NONE: Final = {"survey": ", the hole is taken as vertical"}


def _weather(writer: Writer) -> DataTable:
    label = "The weather of the place in time, from the first of January"
    return _optional("weather", label, writer.walk.hole.weather, WEATHER_COLUMNS, writer)


def _scatter(writer: Writer) -> DataTable:
    label = "How often each class of sea states is met, classes by their middles"
    return _optional("scatter", label, writer.walk.hole.scatter, SCATTER_COLUMNS, writer)


def _motions(writer: Writer) -> DataTable:
    label = "How the vessel answers regular waves, per amplitude of the wave"
    return _optional("motions", label, writer.walk.hole.motions, MOTION_COLUMNS, writer)


def _wind_coefficients(writer: Writer) -> DataTable:
    label, table = "What wind pushes the vessel with", writer.walk.hole.wind_coefficients
    return _optional("wind-coefficients", label, table, COEFFICIENT_COLUMNS, writer)


def _current_coefficients(writer: Writer) -> DataTable:
    label, table = "What current pushes the vessel with", writer.walk.hole.current_coefficients
    return _optional("current-coefficients", label, table, COEFFICIENT_COLUMNS, writer)


def _inputs(writer: Writer) -> DataTable:
    columns = (
        DataColumn("key"), DataColumn("value"), DataColumn("value in SI"), DataColumn("SI unit"),
        DataColumn("written or default"), DataColumn("where it comes from"),
    )  # fmt: skip
    rows = tuple(_leaves(writer, writer.walk.hole.document, ""))
    return DataTable("inputs", "Every value of the hole document", columns, rows)


def _leaves(writer: Writer, thing: Any, key: str) -> Iterator[tuple[Cell, ...]]:
    """Yield a row for every value below a part of the document."""
    if isinstance(thing, Node):
        for name in type(thing).model_fields:
            below, value = f"{key}.{name}" if key else name, getattr(thing, name)
            if isinstance(value, Node | tuple | dict):
                yield from _leaves(writer, value, below)
            elif value is not None:
                yield (below, *_leaf(writer, thing, name, value))
        return
    for part, value in thing.items() if isinstance(thing, dict) else enumerate(thing):
        below = f"{key}[{part}]"
        if isinstance(value, Node | tuple | dict):
            yield from _leaves(writer, value, below)
        else:  # a dictionary of bare powers
            yield (below, writer.show(float(value), "W"), float(value), "W", "written", None)


def _leaf(writer: Writer, node: Node, name: str, value: Any) -> tuple[Cell, ...]:
    origin = node.origin(name)
    written = "written" if isinstance(origin, Given) else "default"
    if isinstance(value, Depth):
        return value.show(writer.units), value.metres, "m", written, str(origin)
    if isinstance(value, float):
        return (
            writer.field(node, name),
            value,
            _written(unit_of(type(node), name)),
            written,
            str(origin),
        )
    if isinstance(value, bool):
        return "true" if value else "false", None, None, written, str(origin)
    number = float(value) if isinstance(value, int) else None
    return str(value), number, None, written, str(origin)


MAKERS: Final[dict[str, Maker]] = dict(
    (
        ("ledger", _ledger),
        _of("steps", chapters.steps_table),
        _of("sections", chapters.sections_table),
        _of("casings", chapters.casings_table),
        ("diameters", _diameters),
        _of("consumables", _first_table(chapters.consumables)),
        _of("barriers", _first_table(chapters.barriers)),
        _of("limits", _first_table(chapters.limits)),
        _of("design-basis", _first_table(chapters.basis)),
        ("window", _window),
        ("earth", _earth),
        ("sea", _sea),
        ("survey", _survey),
        ("weather", _weather),
        ("scatter", _scatter),
        ("motions", _motions),
        ("wind-coefficients", _wind_coefficients),
        ("current-coefficients", _current_coefficients),
        ("inputs", _inputs),
    )
)
