"""Folders with a prognosis to be changed, and logs made from closed forms."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from pathlib import Path

import numpy as np

from bathybore.base.arrays import Array

EXAMPLE = Path(__file__).parents[2] / "examples" / "main"
# of the neighbour in the example: drill floor above its sea bed
FLOOR = 2395.0 + 26.0
NULL = -999.25


def copied(folder: Path, changes: Mapping[str, str] | None = None, quick: bool = True) -> Path:
    """Copy the demonstration with texts of its prognosis.yaml replaced; quick: few nodes."""
    target = folder / "hole"
    shutil.copytree(EXAMPLE, target)
    change(target, {"spacing: 50 m": "spacing: 250 m"} if quick else {})
    change(target, {"criterion: mogi-coulomb": "criterion: mohr-coulomb"} if quick else {})
    change(target, changes or {})
    return target


def change(folder: Path, changes: Mapping[str, str], file: str = "prognosis.yaml") -> None:
    text = (folder / file).read_text(encoding="utf-8")
    for old, new in changes.items():
        assert old in text, old
        text = text.replace(old, new)
    (folder / file).write_text(text, encoding="utf-8")


def write_log(
    folder: Path,
    depth: Array,
    columns: Mapping[str, tuple[str, Array]],
    file: str = "neighbour-logs.las",
    floor: float = FLOOR,
) -> None:
    """Write a LAS 2.0 file: depths below the sea bed, counted from the neighbour's drill floor."""
    head = [
        "# An invented log.",
        "~Version",
        "VERS. 2.0 : VERSION",
        "WRAP. NO : ONE LINE",
        "~Well",
        f"NULL. {NULL} : NO VALUE",
        "~Curves",
        "DEPT.M : DEPTH",
        *(f"{name}.{unit} : CURVE" for name, (unit, _) in columns.items()),
        "~ASCII",
    ]
    rows = np.column_stack([depth + floor, *(values for _, values in columns.values())])
    lines = [" ".join(f"{v:.9g}" for v in row) for row in rows.tolist()]
    (folder / file).write_text("\n".join([*head, *lines]) + "\n", encoding="utf-8")


def smooth(depth: Array) -> dict[str, tuple[str, Array]]:
    """Curves of a log without chance: density after the compaction trend of the document."""
    density = 2680.0 - (2680.0 - 1030.0) * 0.642 * np.exp(-depth / 3250.0)
    return {
        "RHOB": ("G/C3", density / 1000.0),
        "DT": ("US/F", 67.056 + 128.0 * np.exp(-3.2e-4 * depth)),
        "RES": ("OHMM", 0.75 * np.exp(2.4e-4 * depth)),
        "ROP": ("M/HR", np.full(len(depth), 25.0)),
    }


DEPTH = np.arange(0.0, 5151.0, 10.0)
