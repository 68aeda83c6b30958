"""Mud at rest, as warm as it went round: lighter under a warm riser, never easier than it is."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bathybore.checks.record import CheckRecord, Status
from bathybore.checks.warm_window import warm_window_studies
from bathybore.model.hole import Hole
from bathybore.operations.circulation import of_drilling
from bathybore.operations.circulation_profile import CELL, circulation_profile, just_stopped
from bathybore.operations.columns import gravity
from bathybore.usecases.walking import Walk
from varied import by_step, changed, state_of

STEP = "drill-section-1712"


def asked(hole: Hole) -> dict[str, CheckRecord]:
    return {one.name: one for one in warm_window_studies(state_of(hole, STEP))}


def test_pumps_stopped_it_is_the_circulating_pressure_less_friction_and_cuttings(
    main_walk: Walk,
) -> None:
    flow = of_drilling(by_step(main_walk.states)[STEP])
    annulus = circulation_profile(flow, CELL).annulus
    rest, running = np.asarray(just_stopped(flow, annulus).si), np.asarray(annulus.pressure.si)
    assert np.all(rest < running)
    # mud without weight of its parts changed by heat or pressure stands as a column of water would
    stiff = changed(main_walk.hole, "plan/fluids/mud-1/composition", None)
    for name in ("compressibility", "thermal_expansion"):
        stiff = changed(stiff, f"plan/fluids/mud-1/{name}", 0.0)
    plain = of_drilling(state_of(stiff, STEP))
    cells = circulation_profile(plain, CELL).annulus
    head = cells.cells.bottom - float(plain.setting.flow_line)
    np.testing.assert_allclose(
        np.asarray(just_stopped(plain, cells).si),
        plain.fluid.density * gravity(plain.setting) * head,
        rtol=1e-9,
    )


def test_warmer_mud_in_the_pits_leaves_less(main_walk: Walk) -> None:
    at_hand = asked(main_walk.hole)
    assert {one.status for one in at_hand.values()} <= {Status.HOLDS, Status.TIGHT}
    warm = asked(changed(main_walk.hole, "design_basis/pumped_temperature", 273.15 + 60.0))
    for name in ("warm-window-low", "warm-window-collapse"):
        before, after = at_hand[name].margin, warm[name].margin
        assert before is not None
        assert after is not None
        assert after < before
    assert warm["warm-window-low"].status is Status.FAILS


def test_the_need_is_that_of_the_mud_long_at_rest(main_walk: Walk) -> None:
    """At one depth both ask for the same: only what the column gives differs."""
    quick = {r.name: r for r in main_walk.records_at(STEP)}
    for name in ("window-low", "window-collapse"):
        plain, warm = quick[name], quick[f"warm-{name}"]
        assert plain.depth is not None
        assert warm.depth == plain.depth
        assert plain.demand is not None
        assert warm.demand is not None
        assert float(warm.demand) == pytest.approx(float(plain.demand), rel=1e-9)


def test_it_is_asked_of_holes_with_a_riser_alone(example_walk: Walk) -> None:
    for record in example_walk.records:
        if record.name.startswith("warm-window"):
            assert by_step(example_walk.states)[record.step].riser is not None


def test_a_peak_of_pore_pressure_in_one_row_is_not_stepped_over(main_walk: Walk) -> None:
    """It is asked where the earth table bends, as the mud long at rest is."""
    state = by_step(main_walk.states)[STEP]
    earth = main_walk.hole.earth
    shoe, end = (float(z - main_walk.hole.sea_bed) for z in (state.deepest_shoe, state.bottom))
    peak = 0.5 * (shoe + end) + 7.3
    rows = np.array([peak - 3.0, peak, peak + 3.0])
    depths = np.sort(np.concatenate([earth.depths, rows]))
    numbers = {name: earth.at(name, depths) for name in earth.numbers}
    numbers["pore_pressure"][np.searchsorted(depths, peak)] += 2e6
    which = np.searchsorted(earth.depths, depths, side="right") - 1
    words = {name: tuple(one[i] for i in which) for name, one in earth.words.items()}
    lines = tuple(earth.lines[i] for i in which)
    bent = replace(earth, numbers=numbers, words=words, lines=lines)
    peaked = replace(main_walk.hole, earth=bent)
    record = asked(peaked)["warm-window-low"]
    assert record.depth is not None
    assert peaked.frame.below_sea_bed(record.depth) == pytest.approx(peak, abs=1e-6)
