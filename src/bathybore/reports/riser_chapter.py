"""The chapters on the riser in the sea, and on pipe in open water before it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from bathybore.drawings.picture import Picture
from bathybore.drawings.riser import riser_picture
from bathybore.reports.blocks import Chapter
from bathybore.reports.chapters import Writer
from bathybore.reports.placing_chapter import topics_chapter
from bathybore.usecases.riser_in_sea import parts_of
from bathybore.usecases.riser_told import OpenWater, RiserPart

_RISER: Final = (
    "The riser as a beam in the planned sea: how it lies, by which periods it sways, what waves "
    "and vortices do to it, and how it hangs once it is let go of the well."
)
_PIPE: Final = "Pipe that hangs in open water, bent by the current, while there is no riser."


def risers(writer: Writer) -> tuple[Chapter, ...]:
    """Return a chapter on the riser and one on pipe in open water, as far as the hole has them."""
    parts = parts_of(writer.walk)
    of_riser = [one for one in parts if one.name != OpenWater.name]
    of_pipe = [one for one in parts if one.name == OpenWater.name]
    told = (("Riser in the sea", _RISER, of_riser), ("Pipe in open water", _PIPE, of_pipe))
    return tuple(
        topics_chapter(title, opening, [(one.topic(writer.units), _picture(one, writer))
                                        for one in found])
        for title, opening, found in told
        if found
    )  # fmt: skip


def _picture(one: RiserPart, writer: Writer) -> Callable[[], Picture]:
    return lambda: riser_picture(one, writer.units)
