"""Wellhead and conductor under the riser: statics by hand, tendencies, what is not known."""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, sin

import numpy as np
import pytest

from bathybore.checks.conductor_bending import wellhead_checks
from bathybore.checks.record import CheckRecord, Discipline, Status
from bathybore.checks.wellhead_shape import Footing, riser_pulls, wellhead_shape
from bathybore.model.hole import Hole
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.state import HoleState
from bathybore.usecases.explaining import explain
from bathybore.usecases.walking import Walk
from varied import by_step, changed, scaled, without

NAMES = (
    "conductor-bending",
    "first-casing-bending",
    "wellhead-rotation",
    "wellhead-displacement",
    "wellhead-bears-preventer",
    "wellhead-settlement",
)


@pytest.fixture(scope="module")
def landed(main_walk: Walk) -> HoleState:
    return by_step(main_walk.states)["run-riser"]


def judged(state: HoleState, hole: Hole | None = None) -> dict[str, CheckRecord]:
    """Judge the state as it stands, with another hole around it if one is given."""
    at = state if hole is None else replace(state, hole=hole)
    return {record.name: record for record in wellhead_checks(at)}


def demand(record: CheckRecord) -> float:
    assert record.demand is not None
    return float(record.demand)


def capacity(record: CheckRecord) -> float:
    assert record.capacity is not None
    return float(record.capacity)


def test_every_question_is_asked_and_holds_on_the_main_hole(landed: HoleState) -> None:
    records = judged(landed)
    assert tuple(records) == NAMES
    assert {r.discipline for r in records.values()} == {Discipline.SOIL}
    assert all(r.status in (Status.HOLDS, Status.TIGHT) for r in records.values())
    assert all(r.caution for r in records.values())


def test_stress_is_drawn_over_depth_and_is_greatest_below_the_sea_bed(landed: HoleState) -> None:
    for name in NAMES[:2]:
        record = judged(landed)[name]
        assert record.profile is not None
        assert len(record.profile.depths) == len(record.profile.demand)
        assert demand(record) == pytest.approx(float(np.max(record.profile.demand)))
        assert 0 < int(np.argmax(record.profile.demand)) < len(record.profile.depths) - 1


def test_the_moment_at_the_sea_bed_is_that_of_a_free_body_above_it(landed: HoleState) -> None:
    """All forces on what stands above the sea bed, on its bent shape, by hand."""
    hole = landed.hole
    gear = RiserGear.of(hole)
    assert gear is not None
    footing = Footing(gear, landed.casings[0], landed.casings[1])
    pulls = riser_pulls(gear)
    assert len(pulls) == 3
    bent = wellhead_shape(footing, pulls)
    head = hole.inventory.wellhead
    for i, pull in enumerate(pulls):
        tension, angle = float(pull.tension), float(pull.angle)
        y, ground = bent.shape.displacement[i], bent.shape.displacement[i, 3]
        moment = tension * sin(angle) * 16.0 + hole.basis.flex_joint_stiffness * angle
        moment += 3.2e6 * sin(radians(0.6)) * 9.5  # the lean, at the middle of the preventer
        moment -= tension * cos(angle) * (y[0] - ground)
        moment += 3.2e6 * (y[1] - ground)
        moment += (head.weight + head.guide_base_weight) * (y[2] - ground)
        assert float(np.asarray(bent.moment(i).si)[0]) == pytest.approx(moment, rel=2e-3)


def test_both_pipes_bend_alike_so_the_wider_one_is_stressed_more(landed: HoleState) -> None:
    """Less the axial stress that both share, stress goes with the diameter."""
    records = judged(landed)
    outer, inner = records[NAMES[0]].profile, records[NAMES[1]].profile
    assert outer is not None
    assert inner is not None
    wide, narrow = np.asarray(outer.demand), np.asarray(inner.demand)
    assert (wide[5] - wide[20]) / (narrow[5] - narrow[20]) == pytest.approx(36.0 / 20.0, rel=1e-9)


def test_a_wider_watch_circle_asks_more_of_the_wellhead(landed: HoleState) -> None:
    holes = [changed(landed.hole, "design_basis/watch_offset_share", s) for s in (0.01, 0.02, 0.03)]
    for name in NAMES[:4]:
        asked = [demand(judged(landed, hole)[name]) for hole in holes]
        assert asked == sorted(asked)
        assert asked[0] < asked[-1]


def test_softer_clay_lets_the_wellhead_move_more_and_bears_less(landed: HoleState) -> None:
    soft = judged(landed, scaled(landed.hole, "undrained_shear_strength", 0.5))
    for name in NAMES[:4]:
        assert demand(soft[name]) > demand(judged(landed)[name])
    assert capacity(soft[NAMES[4]]) < capacity(judged(landed)[NAMES[4]])
    assert demand(soft[NAMES[5]]) > demand(judged(landed)[NAMES[5]])


def test_without_the_casing_the_conductor_bends_alone(landed: HoleState) -> None:
    alone = judged(replace(landed, casings=landed.casings[:1]))
    assert "first-casing-bending" not in alone
    assert demand(alone[NAMES[0]]) > demand(judged(landed)[NAMES[0]])
    assert capacity(alone[NAMES[4]]) < capacity(judged(landed)[NAMES[4]])


def test_the_preventer_stands_on_the_clay_with_all_its_weight(landed: HoleState) -> None:
    heavy = changed(landed.hole, "inventory/preventer/weight_in_water", 4.2e6)
    more = demand(judged(landed, heavy)[NAMES[4]]) - demand(judged(landed)[NAMES[4]])
    assert more == pytest.approx(1e6 * landed.hole.basis.conductor_capacity_factor)


def test_set_up_gains_with_time(landed: HoleState) -> None:
    early = replace(landed, conductor_set_at=landed.elapsed - 3600.0)
    assert capacity(judged(early)[NAMES[4]]) < capacity(judged(landed)[NAMES[4]])


@pytest.mark.parametrize("column", ["undrained_shear_strength", "submerged_unit_weight"])
def test_without_the_clay_nothing_is_judged(landed: HoleState, column: str) -> None:
    records = judged(landed, without(landed.hole, column))
    assert {r.status for r in records.values()} == {Status.NOT_JUDGED}
    assert all("earth.csv" in r.reason for r in records.values())


def test_a_slack_riser_and_missing_gear_are_not_judged(landed: HoleState) -> None:
    slack = judged(landed, changed(landed.hole, "plan/riser_top_tension", 1e5))
    bare = judged(landed, changed(landed.hole, "inventory/preventer", None))
    for records, word in ((slack, "slack"), (bare, "not described")):
        assert {r.status for r in records.values()} == {Status.NOT_JUDGED}
        assert all(word in r.reason for r in records.values())


def test_every_record_opens_to_its_equations_and_inputs(landed: HoleState) -> None:
    behind = {
        "conductor-bending": ("pile_bending_stress", "flex_joint_stiffness", "p-y"),
        "wellhead-rotation": ("expected_inclination", "p-y"),
        "wellhead-bears-preventer": ("set_up_share", "layer_shaft_resistance"),
        "wellhead-settlement": ("shaft_settlement", "stretch_under_load"),
    }
    records = judged(landed)
    for name, words in behind.items():
        text = str(explain(records[name], "metric"))
        assert all(word in text for word in words), name
