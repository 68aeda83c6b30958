"""What a netCDF file holds becomes a table of a hole, whole or not at all.

A series of weather, the hydrodynamics of a vessel, or her wind or current coefficients.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from bathybore.base.errors import InputErrors
from bathybore.model.csv_tables import parse_table
from bathybore.model.editing import Draft, Edit, read_draft, write_files
from bathybore.model.files import read_bytes, shown_path
from bathybore.model.hole_files import HoleFiles, name_to_keep
from bathybore.model.loading import document_file
from bathybore.model.netcdf_files import MOST_BYTES, read_variables
from bathybore.model.outside_coefficients import (
    coefficients_of,
    coefficients_text,
    holds_coefficients,
)
from bathybore.model.outside_motions import (
    OutsideMotions,
    holds_motions,
    motions_of,
    motions_text,
)
from bathybore.model.outside_netcdf import OutsideSeries, series_of
from bathybore.model.reading import TABLES, table_file, table_key
from bathybore.model.tables import WEATHER_COLUMNS


@dataclass(frozen=True)
class BroughtIn:
    """What was written.

    Attributes
    ----------
    kept : the file that what stood there is kept in; empty where nothing stood there
    """

    file: str
    rows: int
    notes: tuple[str, ...]
    kept: str


def bring_in(hole: Path, source: Path, replace: bool) -> BroughtIn:
    """Write weather, motions or load coefficients as a table of a hole, which it then names.

    Parameters
    ----------
    replace : what stands there; it is kept as NAME.before

    Raises
    ------
    InputErrors
        The file holds none of them, the hole has such a table that is not to be replaced, or
        the folder cannot be written. Nothing is written then.
    """
    data = read_bytes(source, MOST_BYTES, "a netCDF file", shown_path(source))
    title, found = read_variables(source.name, data)
    if holds_motions(found):
        told = motions_of(source.name, title, found)
        return _as_table(hole, "motions", motions_text(told), told.file, replace, _sources(told))
    if holds_coefficients(found):
        loads = coefficients_of(source.name, title, found)
        text = coefficients_text(loads)
        return _as_table(hole, loads.table, text, loads.file, replace, loads.notes)
    series = series_of(source.name, title, found)
    return _as_table(hole, "weather", series_text(series), series.file, replace, _notes(series))


def _as_table(
    hole: Path, name: str, text: str, source: str, replace: bool, notes: tuple[str, ...]
) -> BroughtIn:
    """Write the text of a table of a hole, which the document then names."""
    table = parse_table(text, f"{source} as CSV", TABLES[name])
    folder = document_file(hole).parent
    draft = read_draft(hole)
    if draft.tree is None:
        raise InputErrors(draft.faults)
    named = table_file(name, draft.tree)
    file = named if isinstance(named, str) and named else f"{name}.csv"
    old = draft.files.texts.get(file)
    if old is None and (folder / file).exists():
        old = (folder / file).read_text(encoding="utf-8", errors="strict")
    if old is not None and not replace:
        fix = "Write --force to replace it; it is kept as NAME.before."
        raise InputErrors.one(file, "a table that stands there", "no such file yet", fix)
    key = ".".join(table_key(name))
    edits = [] if named == file else [Edit("set", key, file)]
    after = draft.edited([*edits, Edit("table", file=file, text=text)])
    faults = [fault for fault in after.faults if fault.where.startswith(file)]
    if faults:
        raise InputErrors(faults)
    kept = "" if old is None else name_to_keep(folder, file)
    _write(folder, draft, after, file, old, kept)
    return BroughtIn(file, len(table.lines), notes, kept)


def _write(folder: Path, draft: Draft, after: Draft, file: str, old: str | None, kept: str) -> None:
    texts, held = dict(after.files.texts), dict(draft.files.texts)
    if old is not None:
        held[file] = old
        texts[kept] = old
    write_files(folder, HoleFiles(texts), HoleFiles(held))


def series_text(series: OutsideSeries) -> str:
    """Return a series as the text of a weather table."""
    names = list(series.columns)
    header = ["time [h]", *(f"{name} [{WEATHER_COLUMNS[name][0]}]" for name in names)]
    columns = [series.time / 3600.0, *series.columns.values()]
    rows = (",".join(f"{value:.8g}" for value in row) for row in np.column_stack(columns).tolist())
    head = (f"# {note}" for note in _notes(series))
    return "\n".join([*head, ",".join(header), *rows]) + "\n"


def _sources(motions: OutsideMotions) -> tuple[str, ...]:
    title = f", '{motions.title}'" if motions.title else ""
    return (
        f"From {motions.file}{title}.",
        f"{len(motions.heading)} headings of {len(motions.frequency)} waves.",
    )


def _notes(series: OutsideSeries) -> tuple[str, ...]:
    title = f", '{series.title}'" if series.title else ""
    return (
        f"From {series.file}{title}.",
        f"Times are hours from {series.begins.day} January {series.begins.year}, UTC.",
    )
