"""Cuttings by every law: continuity, sea water, sweeps, what cleans the hole."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.checks.cuttings import cuttings_studies
from bathybore.checks.record import Status
from bathybore.operations.circulation import lifting, of_drilling
from bathybore.operations.cuttings_carried import (
    OWN_LAW,
    bottoms_up,
    carried_by_every_law,
    carried_by_sweep,
    carried_by_water,
    coarse_annuli,
    strokes,
    sweep_of,
)
from bathybore.usecases.explaining import explain
from bathybore.usecases.walking import Walk
from varied import by_step, changed, state_of

STEPS = ("drill-section-1712", "drill-section-1214", "drill-section-812", "core")


@pytest.mark.parametrize("step", STEPS)
def test_the_own_law_is_the_one_that_the_walk_judges(main_walk: Walk, step: str) -> None:
    flow = of_drilling(by_step(main_walk.states)[step])
    own = next(one for one in carried_by_every_law(flow) if one.law == OWN_LAW)
    judged = np.asarray(lifting(flow, flow.annuli).si)
    assert own.least_ratio == pytest.approx(float(judged.min()), rel=0.05)


@pytest.mark.parametrize("step", STEPS)
def test_rock_made_is_rock_carried_by_every_law(main_walk: Walk, step: str) -> None:
    flow = of_drilling(by_step(main_walk.states)[step])
    segments = coarse_annuli(flow)
    made = float(flow.rate_of_penetration) * 0.25 * np.pi * float(flow.hole_diameter) ** 2
    rate = np.asarray(flow.annulus_flow(segments).si)
    for one in carried_by_every_law(flow):
        share, ratio = np.asarray(one.fraction.si), np.asarray(one.ratio.si)
        # cuttings fill their share and move at the ratio of the mud, which fills the rest
        carried = share / (1.0 - share) * ratio * rate
        np.testing.assert_allclose(carried, made, rtol=1e-9)


def test_sea_water_carries_worse_than_mud_and_a_sweep_better(main_walk: Walk) -> None:
    for step in STEPS:
        flow = of_drilling(by_step(main_walk.states)[step])
        own = carried_by_every_law(flow)[-1]
        assert carried_by_water(flow).least_ratio < own.least_ratio
    top = of_drilling(by_step(main_walk.states)["drill-top-hole"])
    sweep = carried_by_sweep(top)
    assert sweep is not None
    assert sweep.least_ratio > carried_by_every_law(top)[-1].least_ratio


def test_without_slip_clean_is_bottoms_up(main_walk: Walk) -> None:
    light = main_walk.hole
    light = changed(light, "plan/sections/2/cuttings_density", light.plan.fluids["mud-2"].density)
    flow = of_drilling(state_of(light, "drill-section-1214"))
    for one in carried_by_every_law(flow):
        assert float(one.time) == pytest.approx(float(bottoms_up(flow)), rel=1e-9)


def test_bottoms_up_is_the_volume_over_the_flow(main_walk: Walk) -> None:
    flow = of_drilling(by_step(main_walk.states)["drill-top-hole"])
    segments = coarse_annuli(flow)
    area = 0.25 * np.pi * (segments.outer_diameter**2 - segments.inner_diameter**2)
    volume = float(np.sum(area * segments.length))
    assert float(bottoms_up(flow)) == pytest.approx(volume / float(flow.flow_rate))


def test_sweeps_take_their_share_of_the_time(main_walk: Walk) -> None:
    flow = of_drilling(by_step(main_walk.states)["drill-top-hole"])
    sweep = sweep_of(flow, "gel-sweep")
    assert sweep is not None
    pumping = float(sweep.volume) / float(flow.flow_rate)
    assert pumping / float(sweep.spacing) == pytest.approx(0.15)
    assert sweep.strokes == pytest.approx(strokes(flow, float(sweep.volume)))
    deep = of_drilling(by_step(main_walk.states)["drill-section-812"])
    assert sweep_of(deep, "") is None


@pytest.mark.parametrize("step", ["drill-top-hole", *STEPS])
def test_the_study_holds_and_opens(main_walk: Walk, step: str) -> None:
    (record,) = cuttings_studies(by_step(main_walk.states)[step])
    assert record.status is Status.HOLDS
    assert "sea water" in record.note
    assert "bottoms_up_before_trip" in str(explain(record, "metric"))


def test_too_little_flow_never_cleans(main_walk: Walk) -> None:
    hole = changed(main_walk.hole, "plan/sections/1/booster_flow_rate", 0.0)
    hole = changed(hole, "plan/fluids/mud-1", hole.plan.fluids["sea-water"])
    (record,) = cuttings_studies(state_of(hole, "drill-section-1712"))
    assert record.status in (Status.FAILS, Status.NOT_JUDGED)
