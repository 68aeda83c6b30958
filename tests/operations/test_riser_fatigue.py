"""Fatigue over a scatter of sea states: one class is one sea, and shares add up."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.kernels.wave_fatigue import dirlik_fatigue_rate
from bathybore.model.loading import load_hole
from bathybore.operations.operability import Scatter
from bathybore.operations.riser_fatigue import sea_fatigue
from bathybore.operations.riser_in_waves import swaying
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.riser_shape import SeaRiser, sea_riser
from varied import EXAMPLES


@pytest.fixture(scope="module")
def riser() -> SeaRiser:
    gear = RiserGear.of(load_hole(EXAMPLES / "main"))
    assert gear is not None
    return sea_riser(gear)


def one_class(height: float, period: float) -> Scatter:
    return Scatter(
        np.array([height - 0.1, height + 0.1]),
        np.array([period - 0.1, period + 0.1]),
        np.ones((1, 1)),
    )


def test_one_class_as_the_planned_sea_uses_what_the_planned_sea_uses(riser: SeaRiser) -> None:
    planned = riser.gear.setting.site.environment
    found = sea_fatigue(riser, one_class(planned.significant_wave_height, planned.peak_period))
    swayed = swaying(riser).swayed
    joint, basis = riser.gear.joint, riser.gear.setting.basis
    stress = swayed.curvature * float(riser.young) * 0.5 * joint.outside_diameter
    rate = dirlik_fatigue_rate(
        basis.riser_stress_concentration * stress,
        swayed.curvature_period,
        swayed.curvature_mean_period,
        swayed.curvature_peak_period,
    )
    assert found.wide.max() == pytest.approx(np.max(rate), rel=0.05)
    assert found.worst[2:] == (1.0, 1.0)


def test_shares_add_up_and_calm_water_counts_for_nothing(riser: SeaRiser) -> None:
    heights, periods = np.array([0.0, 1e-3, 3.9, 4.1]), np.array([9.9, 10.1])
    both = Scatter(heights, periods, np.array([[0.75], [0.0], [0.25]]))
    alone = Scatter(heights, periods, np.array([[0.0], [0.0], [1.0]]))
    found, rough = sea_fatigue(riser, both), sea_fatigue(riser, alone)
    assert found.wide.max() == pytest.approx(0.25 * rough.wide.max(), rel=1e-6)
    assert found.classes == 2
    assert found.worst[:3] == (4.0, 10.0, 0.25)


def test_seas_above_the_planned_one_count_as_it(riser: SeaRiser) -> None:
    planned = riser.gear.setting.site.environment.significant_wave_height
    high, as_planned = (sea_fatigue(riser, one_class(h, 11.0)) for h in (3.0 * planned, planned))
    assert high.wide.max() == pytest.approx(as_planned.wide.max(), rel=1e-9)


def test_every_height_goes_by_its_own_drag(riser: SeaRiser) -> None:
    """Drag that drives and brakes is on no side the safe one: a mixture is the sum of its parts."""
    heights, periods = np.arange(0.5, 5.0), np.array([9.9, 10.1])
    shares = np.array([[0.4], [0.3], [0.2], [0.1]])
    mixed = sea_fatigue(riser, Scatter(heights, periods, shares))
    alone = [
        sea_fatigue(riser, Scatter(heights[n : n + 2], periods, np.ones((1, 1)))) for n in range(4)
    ]
    total = sum(share * one.wide for share, one in zip(shares[:, 0], alone, strict=True))
    assert mixed.wide == pytest.approx(total, rel=1e-9)
