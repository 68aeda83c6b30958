"""Casings run empty: those that are filled are not asked, light ones float."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.checks.floating import floating_checks
from bathybore.checks.record import Status
from bathybore.usecases.explaining import explain
from bathybore.usecases.walking import Walk
from varied import by_step, changed, state_of


def test_a_casing_that_is_filled_is_not_asked(main_walk: Walk) -> None:
    assert not list(floating_checks(by_step(main_walk.states)["run-casing-1338"]))


@pytest.mark.parametrize(
    ("section", "step", "status"),
    [(0, "run-casing-20", Status.FAILS), (2, "run-casing-958", Status.HOLDS)],
)
def test_wide_thin_pipe_floats_and_thick_pipe_sinks(
    main_walk: Walk, section: int, step: str, status: Status
) -> None:
    """20 in 133 lb/ft weighs 198 kg/m and pushes 203 L/m aside; 9 5/8 in 53.5 lb/ft does not."""
    hole = changed(main_walk.hole, f"plan/sections/{section}/casing/filled_while_running", False)
    state = state_of(hole, step)
    (record,) = floating_checks(state)
    assert record.status is status
    assert record.demand is not None
    assert record.capacity is not None
    casing = state.hanging_casing
    assert casing is not None
    assert casing.outside_fluid is not None
    area = 0.25 * np.pi * float(casing.pipe.outside_diameter) ** 2
    ratio = area * casing.outside_fluid.density / float(casing.pipe.linear_mass)
    assert float(record.demand) / float(record.capacity) == pytest.approx(ratio)
    assert "closed by its float" in str(explain(record, "metric"))
