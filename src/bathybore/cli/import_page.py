"""The command that brings weather, motions and load coefficients in."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from bathybore.cli.options import AsJson, HolePath


def add_to(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command("import")(import_series)


def import_series(
    series: Annotated[
        Path,
        typer.Argument(metavar="SERIES", help="A netCDF file: weather, motions, coefficients."),
    ],
    hole: HolePath,
    force: Annotated[
        bool, typer.Option("--force", help="Replace what stands there; keep it as NAME.before.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Bring a netCDF file into a hole: as weather, the vessel's motions, or her coefficients.

    A series of weather is found by standard names: significant wave height, peak period, wind
    speed, and the speed of the water where there is one. A data set of hydrodynamics gives the
    motions: its response operators, or added mass, damping, stiffness and forces. Coefficients of
    wind or current stand over relative_wind_direction or relative_current_direction. Tables of
    earth and sea are brought in in the workspace, where their columns, units and datum are chosen.
    """
    from bathybore.reports.records_json import document
    from bathybore.usecases.weather_import import bring_in

    done = bring_in(hole, series, force)
    if as_json:
        told = {
            "file": done.file,
            "rows": done.rows,
            "notes": list(done.notes),
            "kept": done.kept or None,
        }
        typer.echo(document("bathybore.import/1", told))
        return
    typer.echo(f"{done.file}: {done.rows} rows. {' '.join(done.notes)}")
    if done.kept:
        typer.echo(f"What stood there is kept as {done.kept}.")
