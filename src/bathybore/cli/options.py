"""What the commands have in common: their arguments, their exit code, how they write files.

Only typer is imported here, as in the commands.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from enum import StrEnum
from pathlib import Path
from typing import Annotated, TypeVar

import typer

T = TypeVar("T")

EXIT_NOT_PASSED = 1


class Units(StrEnum):
    """In which units numbers are shown."""

    metric = "metric"
    oilfield = "oilfield"


HolePath = Annotated[
    Path, typer.Argument(metavar="HOLE", help="The folder of a hole, with its hole.yaml.")
]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON instead of text.")]
InUnits = Annotated[
    Units, typer.Option("--units", case_sensitive=False, help="How numbers are shown.")
]
SvgPath = Annotated[
    Path | None,
    typer.Option(
        "--svg", metavar="PATH", help="Draw it: a file for one picture, a folder for several."
    ),
]
PngPath = Annotated[
    Path | None, typer.Option("--png", metavar="PATH", help="The same as an image.")
]


def tell_written(write: Callable[[], Iterable[Path]]) -> None:
    """Write files and tell where they are, beside the answer itself."""
    for path in writing(write):
        typer.echo(str(path), err=True)


def writing(write: Callable[[], T]) -> T:
    """Run what writes files; a disk that is full or closed is no defect of the program."""
    from bathybore.base.errors import InputErrors

    try:
        return write()
    except OSError as error:
        where, found = str(error.filename or "output"), error.strerror or str(error)
        raise InputErrors.one(where, found, "a folder to write into") from error
