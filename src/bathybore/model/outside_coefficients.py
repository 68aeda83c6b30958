"""Wind or current coefficients of a vessel from a netCDF file, as a table of a hole.

No standard names exist for them: the file has the columns of the table as variables over one
dimension, with the direction called after what comes from there.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.errors import InputErrors
from bathybore.model.files import shown
from bathybore.model.netcdf_files import Variable
from bathybore.model.tables import COEFFICIENTS

_TABLES: Final = {
    "relative_wind_direction": "wind_coefficients",
    "relative_current_direction": "current_coefficients",
}
_NO_UNIT: Final = ("", "1", "-", "none", "dimensionless")
_DIGITS: Final = 4  # of a degree: half a turn in single precision is half a turn
_EXPECTED: Final = (
    f"{', '.join(COEFFICIENTS)}, and one of {' and '.join(_TABLES)}, in degrees or radians"
)


@dataclass(frozen=True, eq=False)
class OutsideCoefficients:
    """Coefficients as a file gives them.

    Attributes
    ----------
    table : that they are of a hole
    rows : direction [deg], surge, sway and yaw
    """

    file: str
    title: str
    table: str
    rows: Array

    @property
    def notes(self) -> tuple[str, ...]:
        """Say where they are from, and what is taken for granted."""
        title = f", '{self.title}'" if self.title else ""
        return (
            f"From {self.file}{title}.",
            "Directions are taken as those that it comes from, clockwise from the bow.",
            "Surge is taken as ahead, sway as to port, yaw as with the bow to port.",
        )


def holds_coefficients(found: Mapping[str, Variable]) -> bool:
    """Return whether variables are load coefficients."""
    return any(name in found for name in COEFFICIENTS)


def coefficients_of(file: str, title: str, found: Mapping[str, Variable]) -> OutsideCoefficients:
    """Return the coefficients that a file holds.

    Raises
    ------
    InputErrors
        A variable is missing, has another shape or gaps; wind and current in one file; a direction
        in no unit of angles, or a coefficient in a unit.
    """
    file = shown(file) or "file"
    given = [name for name in _TABLES if name in found]
    lacking = [name for name in COEFFICIENTS if name not in found]
    if lacking or len(given) != 1:
        told = f"no {' and no '.join(lacking)}" if lacking else f"{len(given)} of the directions"
        raise InputErrors.one(file, told, _EXPECTED)
    names = (given[0], *COEFFICIENTS)
    over = found[given[0]].dimensions
    for name in names:
        where, one = f"{file}, variable {name}", found[name]
        if len(one.dimensions) != 1 or one.dimensions != over or not one.values.size:
            dimensions = ", ".join(map(shown, one.dimensions)) or "no dimension"
            raise InputErrors.one(where, dimensions, "numbers over the dimension of the direction")
        if not np.isrealobj(one.values) or not np.isfinite(one.values).all():
            raise InputErrors.one(where, "numbers that are missing", "a number everywhere")
    unit = found[given[0]].units.strip().lower()
    if not unit.startswith(("deg", "rad")):
        where = f"{file}, variable {given[0]}"
        raise InputErrors.one(where, f"the unit '{shown(unit)}'", "degrees or radians")
    for name in COEFFICIENTS:  # a force over the square of a speed would pass for a coefficient
        if (of := found[name].units.strip()).lower() not in _NO_UNIT:
            where, fix = f"{file}, variable {name}", "Divide pressure, area and length out."
            raise InputErrors.one(where, f"the unit '{shown(of)}'", "no unit", fix)
    columns = [np.asarray(found[name].values, dtype=float) for name in names]
    if unit.startswith("rad"):
        columns[0] = np.round(np.degrees(columns[0]), _DIGITS)
    return OutsideCoefficients(file, title, _TABLES[given[0]], np.stack(columns, axis=-1))


def coefficients_text(found: OutsideCoefficients) -> str:
    """Return coefficients as the text of a table of them."""
    header = ["relative_direction [deg]", *(f"{name} [-]" for name in COEFFICIENTS)]
    rows = (",".join(f"{cell:.9g}" for cell in row) for row in found.rows.tolist())
    return "\n".join([*(f"# {one}" for one in found.notes), ",".join(header), *rows]) + "\n"
