"""The command on the reach of a hole."""

from __future__ import annotations

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


def add_to(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command()(reach)


def reach(
    hole: HolePath,
    members: Annotated[
        int,
        typer.Option(
            "--members", "-n", min=0, help="Holes drawn for P10, P50 and P90; 0: the plan alone."
        ),
    ] = 512,
    seed: Annotated[int, typer.Option(help="Of the draw: the same seed, the same bytes.")] = 1,
    reliefs: Annotated[
        bool, typer.Option("--reliefs/--no-reliefs", help="Look for what would relieve a limit.")
    ] = True,
    as_json: AsJson = False,
    units: InUnits = Units.metric,
    svg: SvgPath = None,
    png: PngPath = None,
) -> None:
    """How deep the hole could go before each limit bites, and the cheapest relief of each.

    Every limit is asked as if it were the only one, by the ledger's own questions of the plan
    cut at many depths. A relief is a change that was made and asked again. `explain HOLE
    reach/heat` opens one. The exit code is 1 when a limit bites above the target.
    """
    from bathybore.cli import placing_page
    from bathybore.cli.progress import progress
    from bathybore.usecases.reach_of import reach_at
    from bathybore.usecases.reach_told import ReachTold

    with progress() as told:
        found = reach_at(hole, members, seed, units.value, reliefs, told)
    placing_page.put_topics("bathybore.reach/1", [ReachTold(found)], as_json, units.value)
    if svg is not None or png is not None:
        from bathybore.reports.reach import write_picture

        tell_written(lambda: write_picture(found, svg, png, units.value))
    raise typer.Exit(0 if found.passes else EXIT_NOT_PASSED)
