"""Waves across the current: is what is judged in one plane on the safe side of them?

Across the current the drag brakes and drives by another mean of the flow, E[|u| w^2]/sigma^2 with
|u| = sqrt(U^2 + w^2), here by Gauss and Hermite's rule.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bathybore.base.arrays import Array
from bathybore.kernels import riser_waves
from bathybore.model.loading import load_hole
from bathybore.operations.riser_in_waves import in_water, seaway, swaying
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.riser_shape import SeaRiser, sea_riser
from varied import EXAMPLES

_POINTS, _WEIGHTS = np.polynomial.hermite_e.hermegauss(41)


def _across(current: Array, deviation: Array) -> Array:
    flow, spread = np.broadcast_arrays(current, np.maximum(deviation, 1e-12))
    wave = spread[..., None] * _POINTS
    mean = np.hypot(flow[..., None], wave) * _POINTS**2 @ _WEIGHTS
    return np.asarray(mean / np.sqrt(2.0 * np.pi))


def _riser(name: str) -> SeaRiser:
    gear = RiserGear.of(load_hole(EXAMPLES / name))
    assert gear is not None
    return sea_riser(gear)


@pytest.mark.parametrize("name", ["main", "frontier"])
def test_mean_and_swing_in_one_plane_are_more_than_square_to_each_other(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Across it is braked less and swings more at its foot; yet the angle in all is less."""
    riser = _riser(name)
    sway, sea = swaying(riser), seaway(riser.gear.setting)
    monkeypatch.setattr(riser_waves, "linear_drag_velocity", _across)
    across = riser_waves.sway_in_waves(in_water(riser), riser.ends(0.0), sea)
    factor = np.sqrt(2.0 * np.log(sway.cycles))
    assert across.foot_angle > sway.swayed.foot_angle
    for mean, along, aside in (
        (sway.mean.lower_angle, sway.swayed.foot_angle, across.foot_angle),
        (sway.mean.upper_angle, sway.swayed.top_angle, across.top_angle),
    ):
        assert np.hypot(float(mean), factor * aside) < float(mean) + factor * along
    assert across.curvature.max() < sway.swayed.curvature.max()


def test_without_a_current_no_side_differs(monkeypatch: pytest.MonkeyPatch) -> None:
    riser = _riser("main")
    water, sea = in_water(riser), seaway(riser.gear.setting)
    still = replace(water, current=np.zeros_like(water.current))
    along = riser_waves.sway_in_waves(still, riser.ends(0.0), sea)
    monkeypatch.setattr(riser_waves, "linear_drag_velocity", _across)
    aside = riser_waves.sway_in_waves(still, riser.ends(0.0), sea)
    assert aside.foot_angle == pytest.approx(along.foot_angle, rel=1e-3)
