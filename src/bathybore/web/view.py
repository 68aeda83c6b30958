"""What one page shows of a hole."""

from __future__ import annotations

from dataclasses import dataclass

from bathybore.base.depth import Datum
from bathybore.base.units import UnitSystem


@dataclass(frozen=True)
class View:
    """Step (empty: the last), string whose strength is shown, datum, units."""

    step: str = ""
    string: str = ""
    datum: Datum = Datum.DRILL_FLOOR
    units: UnitSystem = "metric"
