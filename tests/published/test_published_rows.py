"""Values printed outside this project against our equations, read through the unit gate.

Each ``*.toml`` beside this file is a list of rows: the equation, the inputs and the
expected value as an engineer would type them, the tolerance that the printed digits
allow, and the source. ``provenance = "memory"`` says that the value was not read off
the page. ``kind = "trap"`` rows are printed somewhere but wrong: ours must differ.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from bathybore.base.registry import equations
from bathybore.base.units import parse_quantity
from bathybore.kernels import load_all

load_all()
ROWS: list[dict[str, Any]] = [
    row
    for path in sorted(Path(__file__).parent.glob("*.toml"))
    for row in tomllib.loads(path.read_text(encoding="utf-8"))["row"]
]


def _si(written: object, unit: str) -> float | np.ndarray:
    if isinstance(written, list):
        return np.array([_si(one, unit) for one in written])
    return parse_quantity(written, unit)


def _scale(written: object, unit: str) -> float:
    """Size of a tolerance: a difference, so that an offset unit keeps only its factor."""
    return parse_quantity(written, "K difference" if unit == "K" else unit)


@pytest.mark.parametrize("row", ROWS, ids=[row["id"] for row in ROWS])
def test_row(row: dict[str, Any]) -> None:
    equation = equations()[row["equation"]]
    units = {q.name: q.unit for q in equation.parameters}
    inputs = {name: _si(text, units[name]) for name, text in row.get("inputs", {}).items()}
    got = equation.function(**inputs)
    expected = _si(row["expected"], equation.result.unit)
    atol = _scale(row["abs"], equation.result.unit) if "abs" in row else 0.0
    agrees = bool(np.allclose(got, expected, rtol=row.get("rel", 0.0), atol=atol * (1 + 1e-9)))
    if row.get("kind") == "trap":
        assert not agrees, row["why"]
    else:
        assert agrees, f"{equation.name}: got {got}, {row['source']} has {expected}"


def test_every_row_names_its_source_and_where_it_was_read() -> None:
    for row in ROWS:
        assert row["source"], row["id"]
        assert row["provenance"] in {"read", "memory"}, row["id"]
        assert ("abs" in row) or ("rel" in row), row["id"]
        assert row.get("kind", "published") in {"published", "analytic", "trap"}, row["id"]


def test_row_ids_are_unique() -> None:
    ids = [row["id"] for row in ROWS]
    assert len(ids) == len(set(ids))
