"""Pictures as files: drawn in full first, then written one by one.

One rule for every command: ``--svg`` and ``--png`` take a file for the one picture that there
is, its name ending as its kind does, and else a folder, which takes as many as there are.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Final

from bathybore.base.errors import InputErrors
from bathybore.drawings.picture import Sheet, settings
from bathybore.reports.files import write_whole

_CONTENT: Final[Mapping[str, Callable[[Sheet], bytes]]] = {
    ".svg": lambda sheet: sheet.finished().svg.encode("utf-8"),
    ".png": lambda sheet: sheet.png(),
}


def write_sheets(
    drawings: Mapping[str, Callable[[], Sheet]], svg: Path | None, png: Path | None
) -> list[Path]:
    """Draw sheets, write them under the paths that are asked for and return where they are.

    Parameters
    ----------
    drawings : what draws each sheet, by its name

    Raises
    ------
    InputErrors
        There is none, a file is asked for where there are several, or it cannot be written.
    """
    asked = [(path, kind) for path, kind in ((svg, ".svg"), (png, ".png")) if path is not None]
    places = [(kind, _placed(tuple(drawings), path, kind)) for path, kind in asked]
    contents = dict[Path, bytes]()
    with settings():
        sheets = {name: draw() for name, draw in drawings.items()}
        for kind, files in places:
            for name, file in files.items():
                contents[file] = _CONTENT[kind](sheets[name])
    for file, content in contents.items():
        write_whole(file, content)
    return list(contents)


def _placed(names: tuple[str, ...], path: Path, kind: str) -> dict[str, Path]:
    """Return the file of every sheet."""
    if not names:
        raise InputErrors.one("picture", "none to draw", "at least one")
    if path.is_dir() or path.suffix.lower() not in _CONTENT:
        return {name: path / f"{name}{kind}" for name in names}
    if path.suffix.lower() != kind:
        raise InputErrors.one(f"--{kind[1:]}", str(path), f"a name that ends in {kind}")
    if len(names) > 1:
        found = f"the file {path} for {len(names)} pictures: {', '.join(names)}"
        raise InputErrors.one(f"--{kind[1:]}", found, "a folder", "Or ask for one part alone.")
    return {names[0]: path}
