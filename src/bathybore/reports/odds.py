"""Pictures of the odds as files."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TypeAlias

from bathybore.base.units import UnitSystem
from bathybore.drawings.knowing import draw_knowing
from bathybore.drawings.odds import draw_odds
from bathybore.drawings.odds_architectures import draw_architecture_odds
from bathybore.drawings.odds_relief import draw_reliefs
from bathybore.drawings.odds_walked import draw_walked
from bathybore.drawings.picture import Picture, Sheet, settings
from bathybore.drawings.robust import draw_robust
from bathybore.drawings.tornado import draw_matters
from bathybore.reports.picture_files import write_sheets
from bathybore.usecases.odds_architectures import ArchitecturesTold
from bathybore.usecases.odds_relief import ReliefsTold
from bathybore.usecases.odds_told import MattersTold, OddsTold, RobustTold, WorthsTold
from bathybore.usecases.odds_walked import WalkedTold

OddsPart: TypeAlias = (
    OddsTold | MattersTold | WorthsTold | RobustTold | ReliefsTold | ArchitecturesTold | WalkedTold
)


def draw_part(found: OddsPart, units: UnitSystem = "metric") -> Sheet:
    """Draw a part; within `settings`."""
    if isinstance(found, OddsTold):
        return draw_odds(found.found, units)
    if isinstance(found, MattersTold):
        return draw_matters(found.found, units)
    if isinstance(found, WorthsTold):
        return draw_knowing(found.found, units)
    if isinstance(found, ReliefsTold):
        return draw_reliefs(found.found)
    if isinstance(found, WalkedTold):
        return draw_walked(found.found)
    if isinstance(found, ArchitecturesTold):
        return draw_architecture_odds(found, units)
    return draw_robust(found.found, found.frame, units)


def part_picture(found: OddsPart, units: UnitSystem = "metric") -> Picture:
    """Return the picture of a part."""
    with settings():
        return draw_part(found, units).finished()


def write_picture(
    found: OddsPart, svg: Path | None, png: Path | None, units: UnitSystem = "metric"
) -> list[Path]:
    """Write the picture of a part and return the paths.

    Raises
    ------
    InputErrors
        A file cannot be written.
    """
    return write_sheets({"odds": partial(draw_part, found, units)}, svg, png)
