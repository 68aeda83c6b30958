"""What is uncertain of a hole that was changed: drawn about the new plan, and later."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from bathybore.base.working import Default
from bathybore.ensembles.distributions import quantile
from bathybore.ensembles.frame import frame_of
from bathybore.ensembles.members import member_hole
from bathybore.ensembles.numbers_of_members import one_moved
from bathybore.ensembles.uncertain_changed import of_changed
from bathybore.model.hole import Hole
from bathybore.model.hole_numbers import number_at
from bathybore.model.laws import Law
from bathybore.model.loading import load_hole
from bathybore.model.uncertain import Uncertain, Uncertainty
from bathybore.model.uncertainty import load_uncertainty
from bathybore.usecases.reliefs import changed, read

RISERLESS = Path(__file__).parents[2] / "examples" / "riserless"
TIME = "vessel.handling.connection_time"


@pytest.fixture(scope="module")
def hole() -> Hole:
    return load_hole(RISERLESS)


@pytest.fixture(scope="module")
def uncertainty(hole: Hole) -> Uncertainty:
    """A time that is drawn, and a count that is."""
    told = load_uncertainty(RISERLESS, hole)
    time = number_at(hole.document, TIME, TIME)
    shares = (("least", 0.5), ("most_likely", 1.0), ("greatest", 2.0))
    numbers = tuple((name, share * time.planned) for name, share in shares)
    law = Law("triangular", numbers, bounds=time.bounds)
    drawn = Uncertain(TIME, "number", "s", law, time.planned, Default(TIME, "assumed"))
    return replace(told, quantities=(*told.quantities, drawn))


def test_nothing_changed_leaves_all_as_it_was(hole: Hole, uncertainty: Uncertainty) -> None:
    same = of_changed(uncertainty, hole)
    assert same.quantities == uncertainty.quantities
    assert same.arrival == uncertainty.arrival


def test_a_changed_number_is_drawn_about_its_new_plan(hole: Hole, uncertainty: Uncertainty) -> None:
    """Every quantile as much more as the plan is."""
    other = changed(hole, "vessel/handling/connection_time", 3.0 * uncertainty.by_key[TIME].planned)
    before, after = uncertainty.by_key[TIME], of_changed(uncertainty, other).by_key[TIME]
    assert after.planned == 3.0 * before.planned
    shares = np.linspace(0.05, 0.95, 7)
    np.testing.assert_allclose(
        quantile(after.law, shares), 3.0 * quantile(before.law, shares), rtol=1e-12
    )


def test_a_drawn_number_does_not_take_a_change_back(hole: Hole) -> None:
    """The two stand side by side: what handles pipe was built anew as it was before the change."""
    stand = "vessel.handling.time_per_stand"
    other = changed(hole, stand.replace(".", "/"), 2.0 * hole.vessel.handling.time_per_stand)
    frame = frame_of(other)
    member = member_hole(frame, one_moved(frame, TIME, 900.0), 0)
    assert member.vessel.handling.connection_time == 900.0
    assert member.vessel.handling.time_per_stand == other.vessel.handling.time_per_stand


@pytest.mark.parametrize("name", ["dp 5 1/2", "550", "5.5", "dp[5]"])
def test_whatever_a_pipe_is_called_it_can_be_changed(tmp_path: Path, name: str) -> None:
    """A slash in a name parts no path, and a name of digits stays a name when built anew."""
    for file in RISERLESS.iterdir():
        text = file.read_text(encoding="utf-8")
        (tmp_path / file.name).write_text(text.replace("dp-5-wide", f'"{name}"'), encoding="utf-8")
    hole = load_hole(tmp_path)
    other = changed(hole, f"inventory/pipe/{name}/length", 2000.0)
    other = changed(other, "plan/strings/drilling/0/pipe", name)
    assert read(other, f"inventory/pipe/{name}/length") == 2000.0
    frame = frame_of(other)
    member = member_hole(frame, one_moved(frame, TIME, 900.0), 0)
    assert member.inventory.pipe[name].length == 2000.0
    assert member.plan.strings["drilling"][0].pipe == name


def test_a_hole_begun_later_arrives_later(hole: Hole, uncertainty: Uncertainty) -> None:
    later = of_changed(uncertainty, hole, 1e6).arrival
    assert later.earliest == uncertainty.arrival.earliest + 1e6
    assert later.latest == uncertainty.arrival.latest + 1e6
