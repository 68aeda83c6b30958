"""From the texts of a hole's files to a Hole, or to every fault in them, in a fixed order."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import astuple, dataclass
from itertools import islice
from typing import Any, Final

from pydantic import ValidationError

from bathybore.base.errors import Fault, InputErrors
from bathybore.model.building import Built, build
from bathybore.model.coefficient_tables import coefficient_faults
from bathybore.model.crosschecks import document_faults, survey_faults, table_faults
from bathybore.model.csv_tables import parse_table
from bathybore.model.designations import designation_faults, fit_faults
from bathybore.model.files import printable, shown
from bathybore.model.hole import Hole, HoleDocument
from bathybore.model.hole_files import stands_beside
from bathybore.model.references import reference_faults
from bathybore.model.schema_faults import schema_faults, where
from bathybore.model.sea_tables import (
    NETCDF_FIX,
    motion_faults,
    scatter_faults,
    weather_faults,
)
from bathybore.model.tables import (
    COEFFICIENT_COLUMNS,
    EARTH_COLUMNS,
    MOTION_COLUMNS,
    SCATTER_COLUMNS,
    SEA_COLUMNS,
    SURVEY_COLUMNS,
    WEATHER_COLUMNS,
    ProfileTable,
)
from bathybore.model.yaml_tree import Tree

_MOST_FAULTS: Final = 100
TABLES: Final[dict[str, Mapping[str, tuple[str, bool]]]] = {
    "earth": EARTH_COLUMNS,
    "sea": SEA_COLUMNS,
    "survey": SURVEY_COLUMNS,
    "weather": WEATHER_COLUMNS,
    "scatter": SCATTER_COLUMNS,
    "motions": MOTION_COLUMNS,
    "wind_coefficients": COEFFICIENT_COLUMNS,
    "current_coefficients": COEFFICIENT_COLUMNS,
}
_OF_THE_VESSEL: Final = ("motions", "wind_coefficients", "current_coefficients")


@dataclass(frozen=True)
class TableReading:
    """A table as it was read: from which text, and what came of it."""

    file: str
    text: str
    table: ProfileTable | None
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True)
class Reading:
    """What the files of a hole say.

    Attributes
    ----------
    faults : in the order in which a user goes through the files
    hole : None exactly when there are faults
    built : the newest document that fits the schema, perhaps of an earlier reading
    told : every error of the schema, which the faults tell in a user's words
    """

    faults: tuple[Fault, ...]
    hole: Hole | None
    built: Built | None
    tables: Mapping[str, TableReading]
    told: ValidationError | None


def read_hole(tree: Tree, text_of: Callable[[str], str], before: Reading | None = None) -> Reading:
    """Return what a document and its tables say.

    Parameters
    ----------
    text_of : gives the text of a table by file name, or raises InputErrors
    before : an earlier reading, of which whatever did not change is taken over
    """
    faults = _first(reference_faults(tree))
    built, told, document = before.built if before else None, None, None
    try:
        built = build(tree, built)
        document = built.document
    except ValidationError as error:
        told = error
        faults += _first(schema_faults(error, tree))
    tables: dict[str, TableReading] = {}
    for name in TABLES:
        reading = _table(name, tree, text_of, faults, before.tables.get(name) if before else None)
        if reading is not None:
            tables[name] = reading
    earth, sea, survey, weather, scatter, motions, wind, current = (
        tables[name].table if name in tables else None for name in TABLES
    )
    if document is not None:
        faults += _first(document_faults(document))
        faults += _first(designation_faults(document))
        faults += _first(fit_faults(document))
    if survey is not None:
        faults += _first(survey_faults(survey))
    if weather is not None:
        faults += _first(weather_faults(weather))
    if document is not None and scatter is not None:
        faults += _first(scatter_faults(scatter, document.site.scatter_observations))
    if document is not None and motions is not None:
        heading = document.site.environment.heading_off_weather
        faults += _first(motion_faults(motions, heading))
    if document is not None:
        faults += _first(_load_faults(document, wind, current))
    if document is not None and earth is not None and sea is not None:
        faults += _first(table_faults(document, earth, sea))
        if not faults:
            beside = (survey, weather, scatter, motions, wind, current)
            hole = Hole(document, earth, sea, tree, *beside)
            return Reading((), hole, built, tables, told)
    return Reading(_in_order(faults, tree.file), None, built, tables, told)


def _load_faults(
    document: HoleDocument, wind: ProfileTable | None, current: ProfileTable | None
) -> Iterator[Fault]:
    hull = document.vessel.hull
    if wind is not None:
        yield from coefficient_faults(wind, hull.frontal_wind_area, hull.lateral_wind_area)
    if current is not None:  # both by length times draught
        yield from coefficient_faults(current, 1.0, 1.0)


def _first(faults: Iterator[Fault]) -> list[Fault]:
    """Take no more faults than are told: looking for likely spellings takes its time."""
    return list(islice(faults, _MOST_FAULTS + 1))


def _in_order(faults: list[Fault], file: str) -> tuple[Fault, ...]:
    faults = sorted(faults, key=lambda fault: _order(fault, file))
    if len(faults) > _MOST_FAULTS:
        more = Fault(file, f"more than {_MOST_FAULTS} faults", "none", "Mend these first.")
        faults = [*faults[:_MOST_FAULTS], more]
    return tuple(Fault(*map(printable, astuple(fault))) for fault in faults)


def _order(fault: Fault, document: str) -> tuple[bool, str, int]:
    """Sort faults as a user goes through the files: the document down its lines, then tables."""
    file, _, rest = fault.where.partition(", line ")
    line = rest.partition(",")[0]
    return file != document, file, int(line) if line.isdigit() else 0


def table_key(name: str) -> tuple[str, str]:
    """Return where the document names the file of a table."""
    return ("vessel" if name in _OF_THE_VESSEL else "site", name)


def table_file(name: str, tree: Tree) -> Any:
    """Return what the document gives as the file of a table, or the default."""
    part, key = table_key(name)
    try:
        return tree.at((part, key))
    except KeyError:
        node: Any = HoleDocument.model_fields[part].annotation
        return node.model_fields[key].default


def _table(
    name: str,
    tree: Tree,
    text_of: Callable[[str], str],
    faults: list[Fault],
    before: TableReading | None,
) -> TableReading | None:
    """Read one of the tables beside the document, adding to the faults what is wrong with it."""
    file = table_file(name, tree)
    if not isinstance(file, str):
        return None  # the schema tells; or there is no survey
    if not stands_beside(file):
        expected = "the name of a file beside the hole document"
        faults.append(Fault(where(tree, table_key(name)), f"'{shown(file)}'", expected))
        return None
    if file.lower().endswith(".nc"):
        place = where(tree, table_key(name))
        faults.append(Fault(place, f"'{shown(file)}', netCDF", "a CSV table", NETCDF_FIX))
        return None
    try:
        text = text_of(file)
    except InputErrors as error:
        faults += error.faults
        return None
    if before is None or (before.file, before.text) != (file, text):
        before = _parsed(name, file, text)
    faults += before.faults
    return before


def _parsed(name: str, file: str, text: str) -> TableReading:
    try:
        return TableReading(file, text, parse_table(text, file, TABLES[name]))
    except InputErrors as error:
        return TableReading(file, text, None, error.faults)
