"""Sheets as files: drawn in full first, then written one by one."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from bathybore.drawings.picture import Sheet, settings
from bathybore.reports.files import write_whole


def write_sheet(draw: Callable[[], Sheet], svg: Path | None, png: Path | None) -> list[Path]:
    """Write a sheet under the names that are asked for and return the paths.

    Raises
    ------
    InputErrors
        A file cannot be written.
    """
    with settings():
        sheet = draw()
        contents = dict[Path, bytes]()
        if svg is not None:
            contents[svg] = _svg(sheet)
        if png is not None:
            contents[png] = sheet.png()
    return _written(contents)


def write_sheets(draw: Callable[[], Mapping[str, Sheet]], folder: Path) -> list[Path]:
    """Write sheets by their names into a folder, each as SVG and PNG, and return the paths.

    Raises
    ------
    InputErrors
        The folder cannot be written.
    """
    with settings():
        contents = dict[Path, bytes]()
        for name, sheet in draw().items():
            contents[folder / f"{name}.svg"] = _svg(sheet)
            contents[folder / f"{name}.png"] = sheet.png()
    return _written(contents)


def _svg(sheet: Sheet) -> bytes:
    return sheet.finished().svg.encode("utf-8")


def _written(contents: Mapping[Path, bytes]) -> list[Path]:
    for path, content in contents.items():
        write_whole(path, content)
    return list(contents)
