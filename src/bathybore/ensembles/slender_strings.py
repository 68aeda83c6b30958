"""How far a string reaches through a casing, of which only its slender lower parts pass.

The plan's string changes to wider pipe above its liner. Where a member's liner begins higher,
its crew makes up more of the pipe below that change, as long as there is any.
"""

from __future__ import annotations

from math import inf

from bathybore.base.keeping import SOME, kept
from bathybore.model.hole import Setting
from bathybore.model.plan import StringPart
from bathybore.operations.catalogue_pipes import CasingPipe, string_pipe


@kept(SOME)
def widest_passing(setting: Setting, parts: tuple[StringPart, ...], casing: CasingPipe) -> int:
    """Return the index of the uppermost of the lower parts that pass a casing; -1: none does."""
    bore = float(casing.inside_diameter)
    for index, part in enumerate(parts):
        if float(string_pipe(setting, part.pipe).tool_joint_outside_diameter) > bore:
            return index - 1
    return len(parts) - 1


@kept(SOME)
def slender_reach(setting: Setting, parts: tuple[StringPart, ...], casing: CasingPipe) -> float:
    """Return how long the lower parts of a string are that pass a casing, with all of the stock.

    Returns
    -------
    [m]; infinite where every part passes, or the uppermost that does ends at the drill floor
    """
    last = widest_passing(setting, parts, casing)
    below = parts[: last + 1]
    if last == len(parts) - 1 or any(part.length is None for part in below):
        return inf
    if not below:
        return 0.0
    pipe, lengths = below[-1].pipe, [(part.pipe, part.length or 0.0) for part in below]
    used = sum(length for name, length in lengths if name == pipe)
    left = max(setting.inventory.pipe[pipe].length - used, 0.0)
    return sum(length for _, length in lengths) + left
