"""Hydrates are asked of where a kick may be gas, and only there."""

from __future__ import annotations

from pathlib import Path

from bathybore.checks.hydrates import hydrate_checks
from bathybore.model.loading import load_hole
from bathybore.operations.state import HoleState
from bathybore.operations.walk import states_of
from varied import EXAMPLES, changed


def deepest(folder: Path, kick_fluid: str) -> HoleState:
    hole = changed(load_hole(folder), "design_basis/kick_fluid", kick_fluid)
    *_, last = (state for state in states_of(hole) if state.step.kind.value == "drill")
    return last


def test_water_told_of_makes_no_hydrate() -> None:
    assert not list(hydrate_checks(deepest(EXAMPLES / "frontier", "as told")))


def test_where_any_kick_is_taken_as_gas_it_is_asked() -> None:
    asked = list(hydrate_checks(deepest(EXAMPLES / "frontier", "gas")))
    assert [record.name for record in asked] == ["hydrates-circulating", "hydrates-stopped"]


def test_gas_told_of_is_asked_of() -> None:
    assert list(hydrate_checks(deepest(EXAMPLES / "main", "as told")))
