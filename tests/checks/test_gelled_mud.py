"""Starting gelled mud: the sum by hand, what is not told is not judged."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.checks.gelled_mud import gel_of, gel_studies
from bathybore.checks.record import CheckRecord, Status
from bathybore.model.hole import Hole
from bathybore.operations.circulation import of_drilling
from varied import changed, state_of

STEP = "drill-section-812"


def gelled(hole: Hole, **gels: float) -> Hole:
    """Return the hole with a mud that tells these gels and no others."""
    untold = {"gel_10_seconds": None, "gel_10_minutes": None}
    for name, dial in {**untold, **gels}.items():
        hole = changed(hole, f"plan/fluids/mud-3/readings/0/{name}", dial)
    return hole


def asked(hole: Hole) -> list[CheckRecord]:
    return list(gel_studies(state_of(hole, STEP)))


def test_nothing_told_nothing_asked(main_hole: Hole) -> None:
    assert asked(gelled(main_hole)) == []


def test_ten_seconds_alone_are_no_answer(main_hole: Hole) -> None:
    (record,) = asked(gelled(main_hole, gel_10_seconds=6.0))
    assert record.status is Status.NOT_JUDGED
    assert "gel_10_minutes" in record.reason


def test_the_pressure_is_the_sum_of_the_rings(main_hole: Hole) -> None:
    hole = gelled(main_hole, gel_10_seconds=6.0, gel_10_minutes=12.0)
    (record,) = asked(hole)
    assert record.demand is not None
    assert record.depth is not None
    flow = of_drilling(state_of(hole, STEP))
    stress, rings = 12.0 * 0.5107, flow.annuli
    z = float(hole.frame.below_sea_level(record.depth))
    above = np.clip(z - rings.top, 0.0, rings.length)
    gaps = rings.outer_diameter - rings.inner_diameter
    by_hand = float(np.sum(4.0 * stress / gaps * above))
    (ungelled,) = asked(gelled(main_hole, gel_10_minutes=0.0))
    assert ungelled.depth == record.depth
    assert ungelled.demand is not None
    assert float(record.demand) - float(ungelled.demand) == pytest.approx(by_hand, rel=1e-3)


def test_a_stiff_gel_breaks_the_rock_before_it_breaks(main_hole: Hole) -> None:
    (record,) = asked(gelled(main_hole, gel_10_minutes=150.0))
    assert record.status is Status.FAILS


def test_the_stiffest_reading_counts(main_hole: Hole) -> None:
    hole = changed(gelled(main_hole, gel_10_minutes=12.0), "plan/fluids/mud-3/readings",
                   lambda readings: (*readings, readings[0].model_copy(
                       update={"temperature": 350.0, "gel_10_minutes": 20.0})))  # fmt: skip
    gel = gel_of(hole.plan.fluids["mud-3"])
    assert gel is not None
    assert float(gel) == pytest.approx(20.0 * 0.5107, rel=1e-3)
