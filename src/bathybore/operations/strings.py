"""Strings of the plan hung in the hole, part by part from the bottom up."""

from __future__ import annotations

from bathybore.base.depth import BelowSeaLevel
from bathybore.base.errors import OrderError
from bathybore.base.keeping import SOME, kept
from bathybore.model.hole import Hole, Setting
from bathybore.model.plan import StringPart
from bathybore.operations.catalogue_pipes import string_pipe
from bathybore.operations.state import PartInHole, StringInHole


def hang(hole: Hole, name: str, bottom: BelowSeaLevel) -> StringInHole:
    """Return the named string with its lower end at ``bottom`` and its top at the drill floor.

    Parts are used from the bottom up until the drill floor is reached; the part that
    reaches it is cut there.

    Raises
    ------
    OrderError
        The parts together are shorter than the way to the drill floor.
    """
    return _hang(hole.setting, name, hole.plan.strings[name], bottom)


@kept(SOME)
def _hang(
    setting: Setting, name: str, planned: tuple[StringPart, ...], bottom: BelowSeaLevel
) -> StringInHole:
    parts: list[PartInHole] = []
    below, floor = bottom, setting.drill_floor
    for part in planned:
        top = floor
        if part.length is not None:
            top = max(BelowSeaLevel(below - part.length), floor)
        parts.append(PartInHole(string_pipe(setting, part.pipe), top, below, part.tool))
        below = top
        if below <= floor:
            return StringInHole(name, tuple(parts))
    raise OrderError(
        f"the string {name} ends {below - floor:.0f} m below the drill floor when its "
        f"bottom stands at {setting.depth(bottom)}; give its uppermost part no length"
    )
