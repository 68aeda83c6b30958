"""Slurries must be in place, time in hand, before they thicken."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from bathybore.base.errors import InputErrors
from bathybore.checks.record import CheckRecord, Status
from bathybore.checks.thickening import thickening_checks
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.operations.casing_loads import placement
from bathybore.operations.cement_in_time import cement_in_time
from bathybore.operations.heat_profile import circulating_temperature
from bathybore.usecases.explaining import explain
from bathybore.usecases.walking import Walk
from varied import EXAMPLES, by_step, changed, state_of

STEP = "cement-casing-1338"


def asked(hole: Hole) -> CheckRecord:
    (record,) = thickening_checks(state_of(hole, STEP))
    return record


def test_the_time_is_that_of_the_pump_and_what_is_kept_in_hand(main_walk: Walk) -> None:
    state = by_step(main_walk.states)[STEP]
    (record,) = thickening_checks(state)
    casing = state.activity.casing
    assert casing is not None
    job = placement(state, casing)
    cement = job.plan.cement
    # by hand: every volume from the first of the lead on, at the pump's rate, free fall or not
    told = cement_in_time(job)
    pumped = float(job.volumes.lead) + float(job.volumes.tail)
    behind = float(told.placed.pumped[told.landed]) - cement.spacer_volume - pumped
    assert record.demand is not None
    expected = (pumped + behind) / cement.rate + main_walk.hole.basis.thickening_margin
    assert float(record.demand) == pytest.approx(expected, rel=1e-9)
    assert record.status is Status.HOLDS
    assert record.note.startswith("light, ")  # the longest in the pumps, of tests nearly alike
    assert "thickening_time" in str(explain(record, "metric").capacity)


def test_a_slurry_that_thickens_sooner_fails(main_walk: Walk) -> None:
    soon = changed(main_walk.hole, "plan/slurries/tail/thickening_time", 2.0 * 3600.0)
    record = asked(soon)
    assert record.status is Status.FAILS
    assert record.note.startswith("tail, ")


def test_without_a_test_it_is_not_judged(main_walk: Walk) -> None:
    hole = changed(main_walk.hole, "plan/slurries/light/thickening_time", None)
    record = asked(changed(hole, "plan/slurries/light/thickening_test_temperature", None))
    assert record.status is Status.NOT_JUDGED
    assert "light" in record.reason
    assert "tail" not in record.reason


def test_a_test_colder_than_the_job_does_not_count(main_walk: Walk) -> None:
    state = by_step(main_walk.states)[STEP]
    casing = state.activity.casing
    assert casing is not None
    warm = float(circulating_temperature(state, float(casing.shoe)))
    path = "plan/slurries/tail/thickening_test_temperature"
    assert asked(changed(main_walk.hole, path, warm - 2.0)).status is Status.HOLDS
    cold = asked(changed(main_walk.hole, path, warm - 4.0))
    assert cold.status is Status.NOT_JUDGED
    assert "warmer slurry thickens sooner" in cold.reason


def test_half_a_test_is_refused_with_its_line(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(EXAMPLES / "riserless", tmp_path / "hole"))
    text = (folder / "hole.yaml").read_text(encoding="utf-8")
    whole = "thickening_time: 4 h, thickening_test_temperature: 20 degC}   # extended"
    assert whole in text
    half = text.replace(whole, "thickening_time: 4 h}   # extended")
    (folder / "hole.yaml").write_text(half, encoding="utf-8")
    with pytest.raises(InputErrors) as caught:
        load_hole(folder)
    (fault,) = caught.value.faults
    assert "half of a thickening test" in fault.found
    assert ", line " in fault.where
