"""The command on the riser in the sea."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from bathybore.cli.options import (
    EXIT_NOT_PASSED,
    AsJson,
    HolePath,
    InUnits,
    PngPath,
    SvgPath,
    Units,
    tell_written,
)


class Part(StrEnum):
    """What is told of the riser in the sea."""

    all = "all"
    shape = "shape"
    modes = "modes"
    waves = "waves"
    vibration = "vibration"
    hang_off = "hang-off"
    open_water = "open-water"


def add_to(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command()(riser)


def riser(
    hole: HolePath,
    part: Annotated[
        Part,
        typer.Argument(
            metavar="[PART]",
            help="shape, modes, waves, vibration, hang-off or open-water; all if left out.",
        ),
    ] = Part.all,
    as_json: AsJson = False,
    units: InUnits = Units.metric,
    svg: SvgPath = None,
    png: PngPath = None,
) -> None:
    """Follow the riser in the sea: shape, modes, waves, vibration, hang-off; pipe without one.

    `explain` opens every question by its id. The exit code is 1 when one fails or was not judged.
    A riser analysis with the vessel's own motions decides.
    """
    from bathybore.cli import placing_page
    from bathybore.usecases.riser_in_sea import parts_of
    from bathybore.usecases.walking import walk

    found = parts_of(walk(hole), "" if part is Part.all else part.value)
    placing_page.put_topics("bathybore.riser/1", found, as_json, units.value)
    if svg is not None or png is not None:
        from bathybore.reports.riser import write_picture

        tell_written(lambda: write_picture(found, svg, png, units.value))
    raise typer.Exit(0 if all(one.topic("metric").passes for one in found) else EXIT_NOT_PASSED)
