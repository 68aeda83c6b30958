"""The command on station keeping."""

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
    """What is told of station keeping."""

    all = "all"
    capability = "capability"
    footprint = "footprint"
    motions = "motions"
    circles = "circles"
    weather = "weather"


def add_to(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command()(station)


def station(
    hole: HolePath,
    part: Annotated[
        Part,
        typer.Argument(
            metavar="[PART]", help="capability, footprint, motions, circles or weather; else all."
        ),
    ] = Part.all,
    as_json: AsJson = False,
    units: InUnits = Units.metric,
    svg: SvgPath = None,
    png: PngPath = None,
) -> None:
    """Hold station and lose it: capability by direction, footprint, motions, circles, weather.

    `explain` opens every question by its id. The exit code is 1 when one fails or was not judged.
    The vessel's own analyses and well-specific guidelines decide.
    """
    from bathybore.cli import placing_page
    from bathybore.usecases.station_keeping import parts_of
    from bathybore.usecases.walking import walk

    found = parts_of(walk(hole), "" if part is Part.all else part.value)
    placing_page.put_topics("bathybore.station/1", found, as_json, units.value)
    if svg is not None or png is not None:
        from bathybore.reports.station import write_picture

        tell_written(lambda: write_picture(found, svg, png, units.value))
    raise typer.Exit(0 if all(one.topic("metric").passes for one in found) else EXIT_NOT_PASSED)
