"""Strings of the plan hung in the hole, part by part from the bottom up."""

from __future__ import annotations

from functools import lru_cache

from bathybore.base.depth import BelowSeaLevel
from bathybore.base.errors import OrderError
from bathybore.model.hole import Hole
from bathybore.operations.catalogue_pipes import string_pipe
from bathybore.operations.state import PartInHole, StringInHole


@lru_cache(maxsize=512)
def hang(hole: Hole, name: str, bottom: BelowSeaLevel) -> StringInHole:
    """Return the named string with its lower end at ``bottom`` and its top at the drill floor.

    Parts are used from the bottom up until the drill floor is reached; the part that
    reaches it is cut there.

    Raises
    ------
    OrderError
        The parts together are shorter than the way to the drill floor.
    """
    parts: list[PartInHole] = []
    below = bottom
    for part in hole.plan.strings[name]:
        top = hole.drill_floor
        if part.length is not None:
            top = max(BelowSeaLevel(below - part.length), hole.drill_floor)
        parts.append(PartInHole(string_pipe(hole, part.pipe), top, below))
        below = top
        if below <= hole.drill_floor:
            return StringInHole(name, tuple(parts))
    raise OrderError(
        f"the string {name} ends {below - hole.drill_floor:.0f} m below the drill floor when its "
        f"bottom stands at {hole.depth(bottom)}; give its uppermost part no length"
    )
