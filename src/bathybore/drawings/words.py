"""Short texts that several pictures share."""

from __future__ import annotations

import re
from textwrap import wrap

from bathybore.base.depth import Datum
from bathybore.base.units import UnitSystem, from_si, pretty_number
from bathybore.drawings.depth_axis import depth_unit
from bathybore.model.hole import Hole

_SIXTEENTHS = 16


def inches(metres: float) -> str:
    """Return a diameter as the trade says it: '13 3/8 in', or decimals where it is no fraction."""
    value = from_si(metres, "m", "in")
    parts = round(value * _SIXTEENTHS)
    if abs(value * _SIXTEENTHS - parts) > 0.01:
        return f"{value:.3f} in"
    whole, rest = divmod(parts, _SIXTEENTHS)
    if rest == 0:
        return f"{whole} in"
    bottom = _SIXTEENTHS
    while rest % 2 == 0:
        rest, bottom = rest // 2, bottom // 2
    return f"{whole} {rest}/{bottom} in" if whole else f"{rest}/{bottom} in"


def below_sea_bed(hole: Hole, z: float, units: UnitSystem) -> str:
    """Return a depth below the sea bed as a number with its unit, for where the datum stands."""
    return _length(hole.depth(z, Datum.SEA_BED).metres, units)


def below_drill_floor(hole: Hole, z: float, units: UnitSystem) -> str:
    return _length(hole.depth(z, Datum.DRILL_FLOOR).metres, units)


def _length(metres: float, units: UnitSystem) -> str:
    """Return a length to a tenth of a metre, or to the foot."""
    unit = depth_unit(units)
    value = round(from_si(metres, "m", unit), 1 if units == "metric" else 0)
    return f"{pretty_number(value, 7)} {unit}"


def days(seconds: float) -> str:
    """Return a duration in days."""
    return f"{pretty_number(seconds / 86400.0, 3)} days"


def wrapped(text: str, width: int) -> str:
    """Return a text in lines of at most ``width`` letters; a number stays with its unit."""
    kept_together = re.sub(r"(?<=\d) (?=[^\W\d])", "\u00a0", text)
    return "\n".join(wrap(kept_together, width, break_on_hyphens=False)) or text
