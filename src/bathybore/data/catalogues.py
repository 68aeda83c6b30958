"""Catalogues of pipe, grades, collars and bits: the CSV tables beside this file, held in SI.

Every table starts with a comment block that says where its facts come from; every row
names a source of the bibliography and says by ``provenance`` how they were read. A row
is found by the designation that the trade writes: '13 3/8 in 72 lb/ft'.
"""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files
from typing import Final, Protocol, TypeVar

from bathybore.base.errors import InputErrors, nearest

# The few units of the tables' headers, exact (SI brochure, NIST SP 811). The unit gate is
# not used, so that looking up a pipe stays light; a test compares the two.
HEADER_UNITS: Final[Mapping[str, float]] = {
    "m": 1.0,
    "mm": 1e-3,
    "in": 0.0254,
    "lb/ft": 0.45359237 / 0.3048,
    "ksi": 6894757.293168361,
    "ft-lbf": 0.3048 * 4.4482216152605,
}

_HEADER = re.compile(r"^(?P<name>\w+)(?: \[(?P<unit>[^\]]+)\])?$")
_SIZE = r"\d+(?:\.\d+)?(?:[ -]+\d+/[1-9]\d*)?|\d+/[1-9]\d*"
_DESIGNATION = re.compile(
    rf"^\s*(?P<size>{_SIZE})\s*in\s*,?\s*(?P<weight>\d+(?:\.\d+)?)\s*lb/ft(?:\s+(?P<grade>\S+))?\s*$"
)
_DIAMETERS = re.compile(rf"^\s*(?P<outside>{_SIZE})\s*in\s*x\s*(?P<inside>{_SIZE})\s*in\s*$")


class Row(Protocol):
    """What every row of every table offers."""

    @property
    def designation(self) -> str: ...
    @property
    def table(self) -> str: ...
    @property
    def source_key(self) -> str: ...
    @property
    def provenance(self) -> str: ...


R = TypeVar("R", bound=Row)


@dataclass(frozen=True)
class CasingRow:
    """One size, weight and wall of casing, line pipe or conductor pipe.

    Attributes
    ----------
    linear_mass : [kg/m] nominal, couplings included
    drift_diameter : [m] that the standard drift mandrel proves
    special_drift_diameter : [m] that pipe ordered to a special drift proves, where usual
    coupling_outside_diameter : [m]
    coupling_is_approximate : connectors differ by maker; ask for the true diameter
    """

    designation: str
    kind: str
    outside_diameter: float
    wall: float
    linear_mass: float
    drift_diameter: float
    special_drift_diameter: float | None
    coupling_outside_diameter: float
    coupling_is_approximate: bool
    source_key: str
    provenance: str
    table: str = "casing"

    @property
    def inside_diameter(self) -> float:
        return self.outside_diameter - 2.0 * self.wall


@dataclass(frozen=True)
class GradeRow:
    """One grade of steel: least yield and ultimate strength [Pa]."""

    designation: str
    use: str
    yield_strength: float
    ultimate_strength: float
    source_key: str
    provenance: str
    table: str = "grades"


@dataclass(frozen=True)
class DrillPipeRow:
    """One drill pipe of one grade with its tool joint.

    Attributes
    ----------
    nominal_linear_mass : [kg/m] the name of the pipe, not its mass
    linear_mass : [kg/m] in air, tool joints included: the one to hang on the hook
    tool_joint_torsional_yield : [N m] of the new joint, None where not known
    """

    designation: str
    grade: str
    outside_diameter: float
    wall: float
    nominal_linear_mass: float
    linear_mass: float
    tool_joint: str
    tool_joint_outside_diameter: float
    tool_joint_inside_diameter: float
    tool_joint_torsional_yield: float | None
    source_key: str
    provenance: str
    table: str = "drill_pipe"

    @property
    def inside_diameter(self) -> float:
        return self.outside_diameter - 2.0 * self.wall


@dataclass(frozen=True)
class CollarRow:
    """A drill collar, or a joint of heavy-wall pipe with its tool joint."""

    designation: str
    outside_diameter: float
    inside_diameter: float
    linear_mass: float
    tool_joint: str
    tool_joint_outside_diameter: float | None
    source_key: str
    provenance: str
    table: str


@dataclass(frozen=True)
class BitRow:
    """A bit or hole opener of standard diameter [m]."""

    designation: str
    kind: str
    diameter: float
    source_key: str
    provenance: str
    table: str = "bits"


@dataclass(frozen=True)
class CoreBitRow:
    """A core bit with its barrel: diameters and length of core one run can hold [m]."""

    designation: str
    kind: str
    bit_diameter: float
    core_diameter: float
    core_length: float
    wireline: bool
    source_key: str
    provenance: str
    table: str = "core_bits"


@dataclass(frozen=True)
class _Line:
    """One line of a table: what is written, and in SI where its column has a unit."""

    text: Mapping[str, str]
    units: Mapping[str, float]
    provenance: str

    def number(self, name: str) -> float:
        return _number(self.text[name]) * self.units[name]

    def number_or_none(self, name: str) -> float | None:
        return self.number(name) if self.text[name] else None

    @property
    def source(self) -> str:
        return self.text["source"]


def _number(text: str) -> float:
    """Read '13 3/8', '13-3/8', '7/8' or '13.375'."""
    parts = re.split(r"[ -]+", text.strip())
    total = 0.0
    for part in parts:
        numerator, _, denominator = part.partition("/")
        total += float(numerator) / float(denominator or 1.0)
    return total


def about(table: str) -> dict[str, str]:
    """Return the comment block of a table: title, source, edition, provenance, licence, note."""
    block: dict[str, str] = {}
    for line in _text(table):
        if line.startswith("#"):
            key, _, value = line[1:].partition(":")
            key = key.strip()
            block[key] = f"{block[key]} {value.strip()}" if key in block else value.strip()
    return block


@cache
def _text(table: str) -> tuple[str, ...]:
    path = files("bathybore.data").joinpath(f"{table}.csv")
    return tuple(path.read_text(encoding="utf-8").splitlines())


def _lines(table: str) -> list[_Line]:
    provenance = about(table)["provenance"].split(" ")[0]
    reader = csv.DictReader(line for line in _text(table) if not line.startswith("#"))
    names: dict[str, str] = {}
    units: dict[str, float] = {}
    for header in reader.fieldnames or ():
        match = _HEADER.match(header)
        if match is None:
            raise ValueError(f"{table}.csv: header '{header}' is not 'name' or 'name [unit]'")
        names[header] = match["name"]
        if match["unit"]:
            units[match["name"]] = HEADER_UNITS[match["unit"]]
    return [
        _Line({names[key]: value for key, value in row.items()}, units, provenance)
        for row in reader
    ]


@cache
def casings() -> tuple[CasingRow, ...]:
    """Return all casing, line pipe and conductor pipe."""
    return tuple(
        CasingRow(
            designation=f"{line.text['size']} in {line.text['nominal_weight']} lb/ft",
            kind=line.text["kind"],
            outside_diameter=line.number("size"),
            wall=line.number("wall"),
            linear_mass=line.number("nominal_weight"),
            drift_diameter=line.number("drift_diameter"),
            special_drift_diameter=line.number_or_none("special_drift_diameter"),
            coupling_outside_diameter=line.number("coupling_outside_diameter"),
            coupling_is_approximate=line.text["coupling"] == "approximate",
            source_key=line.source,
            provenance=line.provenance,
        )
        for line in _lines("casing")
    )


@cache
def grades() -> tuple[GradeRow, ...]:
    """Return all grades of steel."""
    return tuple(
        GradeRow(
            designation=line.text["name"],
            use=line.text["use"],
            yield_strength=line.number("yield_strength"),
            ultimate_strength=line.number("ultimate_strength"),
            source_key=line.source,
            provenance=line.provenance,
        )
        for line in _lines("grades")
    )


@cache
def drill_pipes() -> tuple[DrillPipeRow, ...]:
    """Return all drill pipe, one row a size, weight and grade."""
    return tuple(
        DrillPipeRow(
            designation=(
                f"{line.text['size']} in {line.text['nominal_weight']} lb/ft {line.text['grade']}"
            ),
            grade=line.text["grade"],
            outside_diameter=line.number("size"),
            wall=line.number("wall"),
            nominal_linear_mass=line.number("nominal_weight"),
            linear_mass=line.number("adjusted_weight"),
            tool_joint=line.text["tool_joint"],
            tool_joint_outside_diameter=line.number("tool_joint_outside_diameter"),
            tool_joint_inside_diameter=line.number("tool_joint_inside_diameter"),
            tool_joint_torsional_yield=line.number_or_none("tool_joint_torsional_yield"),
            source_key=line.source,
            provenance=line.provenance,
        )
        for line in _lines("drill_pipe")
    )


def _collars(table: str) -> tuple[CollarRow, ...]:
    return tuple(
        CollarRow(
            designation=(f"{line.text['outside_diameter']} in x {line.text['inside_diameter']} in"),
            outside_diameter=line.number("outside_diameter"),
            inside_diameter=line.number("inside_diameter"),
            linear_mass=line.number("weight"),
            tool_joint=line.text.get("tool_joint", ""),
            tool_joint_outside_diameter=(
                line.number("tool_joint_outside_diameter")
                if "tool_joint_outside_diameter" in line.text
                else None
            ),
            source_key=line.source,
            provenance=line.provenance,
            table=table,
        )
        for line in _lines(table)
    )


@cache
def drill_collars() -> tuple[CollarRow, ...]:
    """Return all drill collars."""
    return _collars("drill_collars")


@cache
def heavy_wall_pipes() -> tuple[CollarRow, ...]:
    """Return all heavy-wall drill pipe."""
    return _collars("heavy_wall")


@cache
def bits() -> tuple[BitRow, ...]:
    """Return all bits and hole openers of standard diameter, small to large."""
    rows = (
        BitRow(
            designation=f"{line.text['diameter']} in {line.text['kind']}",
            kind=line.text["kind"],
            diameter=line.number("diameter"),
            source_key=line.source,
            provenance=line.provenance,
        )
        for line in _lines("bits")
    )
    return tuple(sorted(rows, key=lambda row: row.diameter))


@cache
def core_bits() -> tuple[CoreBitRow, ...]:
    """Return all core bits."""
    return tuple(
        CoreBitRow(
            designation=f"{line.text['bit_diameter']} in {line.text['kind']}",
            kind=line.text["kind"],
            bit_diameter=line.number("bit_diameter"),
            core_diameter=line.number("core_diameter"),
            core_length=line.number("core_length"),
            wireline=line.text["wireline"] == "yes",
            source_key=line.source,
            provenance=line.provenance,
        )
        for line in _lines("core_bits")
    )


def _unknown(written: str, rows: Iterable[Row], table: str, example: str) -> InputErrors:
    return InputErrors.one(
        table,
        f"'{written}'",
        f"a designation of the table, such as '{example}'",
        nearest(written, [row.designation for row in rows]),
    )


def _same(one: float, other: float) -> bool:
    return math.isclose(one, other, rel_tol=1e-9)


@lru_cache(maxsize=1000)  # asked of every stock after every edit
def casing(designation: str) -> CasingRow:
    """Return casing, line or conductor pipe by '13 3/8 in 72 lb/ft' (or 13-3/8, 13.375).

    Raises
    ------
    InputErrors
        No such pipe; the nearest designation is named.
    """
    match = _DESIGNATION.match(designation)
    if match is not None and match["grade"] is None:
        size = _number(match["size"]) * HEADER_UNITS["in"]
        mass = float(match["weight"]) * HEADER_UNITS["lb/ft"]
        for row in casings():
            if _same(row.outside_diameter, size) and _same(row.linear_mass, mass):
                return row
    raise _unknown(designation, casings(), "casing", "13 3/8 in 72 lb/ft")


def drill_pipe(designation: str, grade: str | None = None) -> DrillPipeRow:
    """Return drill pipe by '5 7/8 in 23.4 lb/ft' and grade, or '5 in 19.5 lb/ft S-135'.

    The mass and the tool joint depend on the grade: where a size comes in several, the
    grade must be given.

    Raises
    ------
    InputErrors
        No such pipe, or several grades of it and none given.
    """
    match = _DESIGNATION.match(designation)
    if match is None:
        raise _unknown(designation, drill_pipes(), "drill pipe", "5 in 19.5 lb/ft S-135")
    size = _number(match["size"]) * HEADER_UNITS["in"]
    mass = float(match["weight"]) * HEADER_UNITS["lb/ft"]
    wanted = match["grade"] or grade
    found = [
        row
        for row in drill_pipes()
        if _same(row.outside_diameter, size)
        and _same(row.nominal_linear_mass, mass)
        and (wanted is None or _plain(row.grade) == _plain(wanted))
    ]
    if len(found) > 1:
        raise InputErrors.one(
            "drill pipe",
            f"'{designation}' without a grade",
            "one of " + ", ".join(f"'{row.designation}'" for row in found),
            "Mass and tool joint depend on the grade.",
        )
    if not found:
        written = designation if match["grade"] or not grade else f"{designation} {grade}"
        raise _unknown(written, drill_pipes(), "drill pipe", "5 in 19.5 lb/ft S-135")
    return found[0]


def _plain(name: str) -> str:
    """Drop what writers differ in: 'P-110', 'P110' and 'p 110' are one grade."""
    return re.sub(r"[\s-]+", "", name).upper()


def grade(name: str) -> GradeRow:
    """Return a grade of steel by its name: 'P-110', also 'P110'.

    Raises
    ------
    InputErrors
        No such grade; the nearest name is told.
    """
    for row in grades():
        if _plain(row.designation) == _plain(name):
            return row
    raise _unknown(name, grades(), "grade", "P-110")


def drill_collar(designation: str) -> CollarRow:
    """Return a drill collar by its diameters: '8 in x 2 13/16 in'.

    Raises
    ------
    InputErrors
        No such collar; the nearest designation is named.
    """
    return _by_diameters(designation, drill_collars(), "drill collar", "8 in x 2 13/16 in")


def heavy_wall_pipe(designation: str) -> CollarRow:
    """Return heavy-wall drill pipe by its diameters: '5 in x 3 in'.

    Raises
    ------
    InputErrors
        No such pipe; the nearest designation is named.
    """
    return _by_diameters(designation, heavy_wall_pipes(), "heavy-wall pipe", "5 in x 3 in")


def _by_diameters(
    designation: str, rows: tuple[CollarRow, ...], table: str, example: str
) -> CollarRow:
    match = _DIAMETERS.match(designation)
    if match is not None:
        outside = _number(match["outside"]) * HEADER_UNITS["in"]
        inside = _number(match["inside"]) * HEADER_UNITS["in"]
        for row in rows:
            if _same(row.outside_diameter, outside) and _same(row.inside_diameter, inside):
                return row
    raise _unknown(designation, rows, table, example)


def largest_bit_through(diameter: float) -> BitRow | None:
    """Return the largest standard bit that passes a drift diameter [m], None if none does."""
    passing = [row for row in bits() if row.kind == "bit" and row.diameter <= diameter * (1 + 1e-9)]
    return passing[-1] if passing else None
