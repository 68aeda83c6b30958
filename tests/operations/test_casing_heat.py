"""How much a casing warms and cools: means over what is free, bounds of what no mud exceeds."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.operations.casing_heat import cooling, over_free_length, warming
from bathybore.operations.columns import temperature
from varied import EXAMPLES, changed


@pytest.fixture(scope="module")
def hole() -> Hole:
    return load_hole(EXAMPLES / "main")


def test_the_mean_over_a_free_length_is_that_of_a_straight_line() -> None:
    z = np.linspace(0.0, 1000.0, 41)
    change = 10.0 + 0.03 * z
    held = over_free_length(change, z, 600.0)
    assert held[z < 600.0] == pytest.approx(10.0 + 0.03 * 300.0)
    assert np.array_equal(held[z >= 600.0], change[z >= 600.0])


def test_a_cement_top_between_two_nodes_ends_the_free_length_there() -> None:
    z = np.array([0.0, 100.0, 200.0])
    held = over_free_length(np.array([0.0, 10.0, 20.0]), z, 150.0)
    assert held == pytest.approx([7.5, 7.5, 20.0])


def test_what_is_cemented_all_along_keeps_the_change_of_each_depth() -> None:
    z = np.array([0.0, 100.0, 200.0])
    change = np.array([1.0, 5.0, 9.0])
    assert np.array_equal(over_free_length(change, z, 0.0), change)


def test_heat_in_all_is_kept_by_the_mean() -> None:
    """What the ends feel is the sum of all expansions: the mean may not change it."""
    z = np.concatenate([np.linspace(0.0, 500.0, 8), np.linspace(510.0, 1000.0, 30)])
    change = 5.0 + 1e-5 * z**2
    held = over_free_length(change, z, 1000.0)
    whole = np.sum(0.5 * (change[1:] + change[:-1]) * np.diff(z))
    assert held[0] * 1000.0 == pytest.approx(whole)


def test_untold_the_bounds_are_the_hottest_ground_and_the_coldest_sea(hole: Hole) -> None:
    setting = hole.setting
    bed = float(setting.sea_bed)
    z = np.linspace(bed, bed + 1900.0, 77)
    undisturbed = temperature(setting, z)
    up = np.asarray(warming(setting, z, bed, bed + 3400.0).si)
    down = np.asarray(cooling(setting, z, bed).si)
    assert undisturbed + up == pytest.approx(float(temperature(setting, bed + 3400.0)))
    assert undisturbed + down == pytest.approx(
        float(np.min(temperature(setting, setting.sea.depths)))
    )


def test_what_is_told_is_taken_where_it_passes_no_bound(hole: Hole) -> None:
    told = changed(
        changed(hole, "design_basis/annulus_warming", 25.0), "design_basis/casing_cooling", 5.0
    ).setting
    z = float(told.sea_bed) + np.linspace(0.0, 900.0, 10)
    top, bottom = float(z[6]), float(z[-1]) + 3000.0
    assert np.all(np.asarray(warming(told, z, top, bottom).si) == 25.0)
    assert np.all(np.asarray(cooling(told, z, top).si) == -5.0)


def test_no_telling_makes_steel_hotter_than_the_ground_or_colder_than_the_sea(hole: Hole) -> None:
    told = changed(
        changed(hole, "design_basis/annulus_warming", 500.0), "design_basis/casing_cooling", 500.0
    ).setting
    z = float(told.sea_bed) + np.linspace(0.0, 900.0, 10)
    top, bottom = float(z[6]), float(z[-1]) + 300.0
    for one, other in (
        (warming(told, z, top, bottom), warming(hole.setting, z, top, bottom)),
        (cooling(told, z, top), cooling(hole.setting, z, top)),
    ):
        assert np.array_equal(np.asarray(one.si), np.asarray(other.si))
