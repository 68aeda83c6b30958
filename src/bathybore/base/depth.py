"""Depths and their datums: a depth without a datum does not exist here.

All holes are treated as vertical until a survey says otherwise, so a depth is a
true vertical depth, positive downwards.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import Enum
from typing import NewType

from bathybore.base.errors import InputErrors
from bathybore.base.frozen import quickly_made
from bathybore.base.units import UnitSystem, parse_quantity, show

# The axis all columns of a walk share: metres below mean sea level, positive down.
BelowSeaLevel = NewType("BelowSeaLevel", float)


class Datum(Enum):
    """Where a depth is counted from."""

    DRILL_FLOOR = "drill floor"
    SEA_LEVEL = "sea level"
    SEA_BED = "sea bed"

    def __str__(self) -> str:
        return self.value


_LONGEST = 200  # characters; the pattern below takes time with the square of the length
_WRITTEN = re.compile(
    r"^(?P<quantity>.+?)\s+(?P<side>below|above)\s+(?P<datum>drill floor|sea level|sea bed)\s*$"
)


@quickly_made
@dataclass(frozen=True)
class Depth:
    """A true vertical depth [m] below a named datum."""

    metres: float
    datum: Datum

    @classmethod
    def parse(cls, text: object, where: str = "depth") -> Depth:
        """Read '1200 m below sea bed' (or above; then the depth is negative)."""
        wanted = "a depth with unit and datum, such as '1200 m below sea bed'"
        if not isinstance(text, str):
            raise InputErrors.one(where, repr(text), wanted, "No depth stands without a datum.")
        if len(text) > _LONGEST:
            raise InputErrors.one(where, f"'{text[:20]}…', {len(text)} characters", wanted)
        match = _WRITTEN.match(text.strip())
        if match is None:
            raise InputErrors.one(
                where,
                f"'{text}'",
                wanted,
                "Datums are 'below drill floor', 'below sea level' and 'below sea bed'.",
            )
        metres = parse_quantity(match["quantity"], "m", where)
        return cls(-metres if match["side"] == "above" else metres, Datum(match["datum"]))

    def show(self, system: UnitSystem = "metric") -> str:
        side = "below" if self.metres >= 0 else "above"
        unit = "m" if system == "metric" else "ft"
        return f"{show(abs(self.metres), 'm', unit=unit, significant=5)} {side} {self.datum}"

    def __str__(self) -> str:
        return self.show()


@dataclass(frozen=True)
class DepthFrame:
    """How the datums of one hole stand to each other.

    Attributes
    ----------
    drill_floor_height : [m] of the drill floor above mean sea level
    water_depth : [m] from mean sea level to the sea bed
    """

    drill_floor_height: float
    water_depth: float

    def zero_below_sea_level(self, datum: Datum) -> float:
        """Return where a datum lies, in metres below mean sea level."""
        if datum is Datum.SEA_LEVEL:
            return 0.0
        return self.water_depth if datum is Datum.SEA_BED else -self.drill_floor_height

    def to(self, depth: Depth, datum: Datum) -> Depth:
        """Return the same place counted from another datum."""
        shift = self.zero_below_sea_level(depth.datum) - self.zero_below_sea_level(datum)
        return Depth(depth.metres + shift, datum)

    def below_drill_floor(self, depth: Depth) -> float:
        return self.to(depth, Datum.DRILL_FLOOR).metres

    def below_sea_level(self, depth: Depth) -> BelowSeaLevel:
        return BelowSeaLevel(depth.metres + self.zero_below_sea_level(depth.datum))

    def below_sea_bed(self, depth: Depth) -> float:
        return self.to(depth, Datum.SEA_BED).metres
