"""The commands on cement jobs, trips and cuttings."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Any

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
    writing,
)


def add_to(app: typer.Typer) -> None:
    """Add the commands to the command line."""
    for command in (cement, trip, clean):
        app.command()(command)


def cement(
    hole: HolePath,
    casing: Annotated[
        str, typer.Argument(metavar="[CASING]", help="One casing of the plan; all if left out.")
    ] = "",
    as_json: AsJson = False,
    units: InUnits = Units.metric,
    svg: SvgPath = None,
    png: PngPath = None,
) -> None:
    """Follow cement jobs minute by minute: free fall, pressures, the plug, the casing.

    `explain` opens every question by its id. The exit code is 1 when one fails or was not judged.
    """
    from bathybore.cli import placing_page
    from bathybore.usecases.cementing import cement_jobs
    from bathybore.usecases.walking import walk

    jobs = cement_jobs(walk(hole), casing)
    placing_page.put_topics("bathybore.cement/1", jobs, as_json, units.value)
    _draw(jobs, svg, png, units.value)
    raise typer.Exit(0 if all(one.topic("metric").passes for one in jobs) else EXIT_NOT_PASSED)


def trip(
    hole: HolePath,
    section: Annotated[
        str, typer.Argument(metavar="[SECTION]", help="One section of the plan; all if left out.")
    ] = "",
    as_json: AsJson = False,
    units: InUnits = Units.metric,
    svg: SvgPath = None,
    png: PngPath = None,
    csv: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write the trip sheet as CSV, in SI.")
    ] = None,
) -> None:
    """Move pipe: greatest safe speed at every depth of the bit, heave in slips, trip sheets.

    `explain` opens every question by its id. The exit code is 1 when one fails or was not judged.
    """
    from bathybore.cli import placing_page
    from bathybore.usecases.tripping import trips
    from bathybore.usecases.walking import walk

    found = trips(walk(hole), section)
    placing_page.put_topics("bathybore.trip/1", found, as_json, units.value)
    _draw(found, svg, png, units.value)
    if csv is not None:
        from bathybore.reports.placing import write_sheet

        typer.echo(str(writing(lambda: write_sheet(found, csv))), err=True)
    raise typer.Exit(0 if all(one.topic("metric").passes for one in found) else EXIT_NOT_PASSED)


def clean(
    hole: HolePath,
    section: Annotated[
        str, typer.Argument(metavar="[SECTION]", help="One section of the plan; all if left out.")
    ] = "",
    as_json: AsJson = False,
    units: InUnits = Units.metric,
    svg: SvgPath = None,
    png: PngPath = None,
) -> None:
    """Carry cuttings: every law of slip by annulus, sea water beside mud, time to clean, sweeps.

    `explain` opens every question by its id. The exit code is 1 when one fails or was not judged.
    """
    from bathybore.cli import placing_page
    from bathybore.usecases.cleaning import cleanings
    from bathybore.usecases.walking import walk

    found = cleanings(walk(hole), section)
    placing_page.put_topics("bathybore.clean/1", found, as_json, units.value)
    _draw(found, svg, png, units.value)
    raise typer.Exit(0 if all(one.topic("metric").passes for one in found) else EXIT_NOT_PASSED)


def _draw(found: Sequence[Any], svg: Path | None, png: Path | None, units: Any) -> None:
    """Write the pictures of the jobs, trips or sections that were asked for."""
    if svg is None and png is None:
        return
    from bathybore.reports.placing import write_picture

    tell_written(lambda: write_picture(found, svg, png, units))
