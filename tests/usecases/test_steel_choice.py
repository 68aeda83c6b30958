"""Strings chosen from the stock: judged as the walk judges, lighter where lighter pipe will do."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from bathybore.base.errors import InputErrors
from bathybore.base.working import Working
from bathybore.checks.record import Status
from bathybore.kernels.tubular_stress import triaxial_equivalent_stress
from bathybore.model.hole import Hole
from bathybore.usecases.explaining import explain
from bathybore.usecases.finding import record_of
from bathybore.usecases.steel_choice import envelope, envelope_points, steel_choices
from bathybore.usecases.walking import Walk, walk, walk_loaded
from varied import EXAMPLES, changed

STOCK = "inventory/casing"


@pytest.fixture(scope="module")
def walked() -> Walk:
    return walk(EXAMPLES / "main")


def of_planned_alone(walked: Walk, **basis: float | bool) -> Walk:
    """Return the hole with no pipe on board but what its plan names."""
    planned = {s.casing.pipe for s in walked.hole.plan.sections if s.casing}
    planned |= {walked.hole.plan.conductor.pipe}
    stock = {n: p for n, p in walked.hole.inventory.casing.items() if n in planned}
    hole = changed(walked.hole, STOCK, stock)
    for field, value in basis.items():
        hole = changed(hole, f"design_basis/{field}", value)
    return walk_loaded(hole)


@pytest.mark.parametrize(
    "basis",
    [
        {},
        {"casing_wear": 0.1},
        {"casing_dogleg": 0.0006},
        {"annulus_warming": 40.0, "casing_cooling": 25.0},
    ],
    ids=["usual", "worn", "bent", "heat told"],
)
def test_of_the_planned_pipe_alone_every_margin_is_that_of_the_walk(
    walked: Walk, basis: dict[str, float | bool]
) -> None:
    """Two ways to the same number: the choice's arrays over lengths, the walk's single pipe."""
    alone = of_planned_alone(walked, **basis)
    compared = 0
    for choice in steel_choices(alone):
        if not choice.lengths:
            continue
        (length,) = choice.lengths
        assert length.pipe == choice.planned[0]
        assert choice.mass == pytest.approx(choice.planned_mass)
        for record in choice.records:
            if record.name == "running":
                continue
            (same,) = [
                one
                for one in alone.records_at(f"cement-{choice.casing}")
                if one.name == record.name
            ]
            assert record.margin == pytest.approx(same.margin, rel=1e-9)
            assert record.depth == same.depth
            compared += 1
    assert compared > 10


WEAK: dict[str, float] = {
    "connection_efficiency": 0.8,
    "compression_efficiency": 0.6,
    "burst_efficiency": 0.95,
    "collapse_efficiency": 0.9,
}


def weakly_joined(hole: Hole) -> Hole:
    """Return a hole whose casings have connections weaker than their bodies."""
    stock = {n: p.model_copy(update=WEAK) for n, p in hole.inventory.casing.items()}
    return changed(hole, STOCK, stock)


def test_weak_connections_take_their_share_in_walk_and_choice_alike(walked: Walk) -> None:
    planned = of_planned_alone(walked)
    weak = walk_loaded(weakly_joined(planned.hole))
    asked = {"burst": "burst_efficiency", "collapse": "collapse_efficiency"}
    compared = 0
    for before, after in zip(planned.records, weak.records, strict=True):
        kind, _, case = after.name.partition("-")
        if not after.step.startswith("cement-") or kind not in ("burst", "collapse", "triaxial"):
            continue
        assert before.capacity is not None
        assert after.capacity is not None
        share = WEAK[asked[kind]] if kind in asked else 1.0
        assert before.profile is not None
        assert after.profile is not None
        assert after.profile.capacity == pytest.approx(share * before.profile.capacity)
        assert np.array_equal(after.profile.demand, before.profile.demand)
        compared += case != ""
    assert compared > 20
    for choice in steel_choices(weak):
        walks = {one.name: one for one in weak.records_at(f"cement-{choice.casing}")}
        for record in choice.records:
            if record.name in walks:
                assert record.margin == pytest.approx(walks[record.name].margin, rel=1e-9)


def test_a_strong_connection_makes_no_body_stronger(walked: Walk) -> None:
    stock = {
        n: p.model_copy(update={"burst_efficiency": 1.2, "collapse_efficiency": 1.3})
        for n, p in walked.hole.inventory.casing.items()
    }
    strong = walk_loaded(changed(walked.hole, STOCK, stock))
    usual = walk_loaded(walked.hole)
    assert [one.margin for one in strong.records] == [one.margin for one in usual.records]


def test_cold_pulls_at_the_hanger_and_heat_presses_at_the_cement(walked: Walk) -> None:
    """By hand: as much force as the strain of heat that the ends take back."""

    def force(**basis: float | bool) -> dict[str, np.ndarray]:
        alone = of_planned_alone(walked, **basis)
        (choice,) = steel_choices(alone, "casing-958")
        assert choice.made is not None
        return {one.name: np.asarray(one.axial_force.si) for one in choice.made.cases}

    still = force(annulus_warming=0.0, casing_cooling=0.0)
    moved = force(annulus_warming=30.0, casing_cooling=20.0)
    area = np.pi / 4 * (0.244475**2 - 0.216789**2)  # 9 5/8 in 53.5 lb/ft
    per_kelvin = 30e6 * 6894.757 * 1.245e-5 * area
    assert moved["warmed"] - still["warmed"] == pytest.approx(-30.0 * per_kelvin, rel=1e-4)
    assert moved["cooled"] - still["cooled"] == pytest.approx(20.0 * per_kelvin, rel=1e-4)
    for name in set(still) - {"warmed", "cooled"}:
        assert np.array_equal(still[name], moved[name])
    assert np.array_equal(still["cooled"], still["kick"])  # no cold: the kick itself


def test_what_buckles_is_told_and_what_is_not_pressed_says_nothing(walked: Walk) -> None:
    def caution(warming: float) -> str:
        told = walk_loaded(changed(walked.hole, "design_basis/annulus_warming", warming))
        (record,) = (
            one for one in told.records_at("cement-casing-1338") if one.name == "axial-warmed"
        )
        return record.caution

    assert "tends to buckle" in caution(120.0)
    assert "tends to buckle" not in caution(0.0)


def test_wear_and_bends_leave_less_room_only_where_they_bear(walked: Walk) -> None:
    def margins(**basis: float) -> dict[str, float]:
        (choice,) = steel_choices(of_planned_alone(walked, **basis), "casing-20")
        return {one.name: one.margin or 0.0 for one in choice.records}

    usual, worn, bent = margins(), margins(casing_wear=0.1), margins(casing_dogleg=0.0006)
    for name, margin in usual.items():
        held = ("pressure-test", "kick", "lost-returns", "riser-lost", "warmed", "cooled")
        wears = name.partition("-")[2] in held and not name.startswith("axial")
        assert (worn[name] < margin) if wears else worn[name] == margin
        assert (bent[name] < margin) if name.startswith("triaxial") else bent[name] == margin


def test_a_string_that_must_bear_being_empty_may_have_no_answer(walked: Walk) -> None:
    emptied = walk_loaded(changed(walked.hole, "design_basis/casing_evacuated", True))
    choices = {one.casing: one for one in steel_choices(emptied)}
    assert not choices["casing-20"].passes
    assert "-evacuated" in choices["casing-20"].why_none
    asked = {record.name for record in emptied.records_at("cement-casing-20")}
    assert {"collapse-evacuated", "triaxial-evacuated"} <= asked


def test_lighter_pipe_is_taken_where_it_bears_all_and_nowhere_else(walked: Walk) -> None:
    choices = {choice.casing: choice for choice in steel_choices(walked)}
    mixed = choices["casing-1338"]
    assert [one.pipe for one in mixed.lengths] == ["light-1338", "casing-1338"]
    assert mixed.saves > 0.0
    for choice in choices.values():
        assert choice.passes
        assert {one.status for one in choice.records} <= {Status.HOLDS, Status.TIGHT}
        for upper, lower in pairwise(choice.lengths):
            assert upper.bottom == lower.top


def test_a_pipe_that_lets_the_next_bit_not_through_is_left_out_and_said(walked: Walk) -> None:
    stock = dict(walked.hole.inventory.casing)
    stock["thick-958"] = stock["casing-958"].model_copy(update={"size": "9 5/8 in 70.3 lb/ft"})
    (choice,) = steel_choices(walk_loaded(changed(walked.hole, STOCK, stock)), "casing-958")
    ((name, why),) = choice.left_out
    assert name == "thick-958"
    assert "8.5 in" in why


def test_where_nothing_holds_the_case_and_the_depth_are_named(walked: Walk) -> None:
    stock = {
        name: pipe.model_copy(update={"grade": "H-40"}) if name.endswith("958") else pipe
        for name, pipe in walked.hole.inventory.casing.items()
    }
    (choice,) = steel_choices(walk_loaded(changed(walked.hole, STOCK, stock)), "casing-958")
    assert not choice.passes
    assert choice.records == ()
    assert "below sea bed no pipe of this size on board holds" in choice.why_none
    assert "53.5 lb/ft H-40 by" in choice.why_none


def test_a_record_opens_like_any_other(walked: Walk) -> None:
    record = record_of(walked, "steel-casing-1338/collapse-lost-returns")
    opened = explain(record)
    assert {"collapse_pressure_under_tension", "wall_tension", "yield_at_temperature"} <= {
        note.equation for note in opened.steps if hasattr(note, "equation")
    }


def test_unknown_casings_are_told_with_the_nearest(walked: Walk) -> None:
    with pytest.raises(InputErrors, match="casing-1338"):
        steel_choices(walked, "casing-1383")


def test_on_the_envelope_the_stress_is_the_one_allowed_and_loads_lie_inside(walked: Walk) -> None:
    (choice,) = steel_choices(walked, "liner-7")
    assert choice.made is not None
    pipe = choice.made.pipes[choice.made.lengths[-1].pipe]
    curve = envelope(choice)[-1]
    stress = triaxial_equivalent_stress(
        float(pipe.outside_diameter), float(pipe.wall), curve.force, curve.difference, 0.0
    )
    assert np.ptp(stress) < 1e-6 * np.max(stress)
    reach = np.hypot(curve.force / 1e6, curve.difference / 1e7)
    for point in envelope_points(choice):
        angle = np.arctan2(point.difference / 1e7, point.force / 1e6)
        around = np.arctan2(curve.difference / 1e7, curve.force / 1e6)
        order = np.argsort(around)
        allowed = np.interp(angle, around[order], reach[order], period=2 * np.pi)
        assert np.all(np.hypot(point.force / 1e6, point.difference / 1e7) <= allowed)


@pytest.mark.parametrize("name", ["riserless", "frontier"])
def test_the_other_holes_have_strings_too(name: str) -> None:
    choices = steel_choices(walk(Path(EXAMPLES / name)))
    assert choices
    assert all(choice.passes for choice in choices)


def test_every_number_behind_a_mixed_string_is_of_the_depth_that_is_shown(walked: Walk) -> None:
    """Where two lengths meet a node counts twice: the workings must not slip by one for it."""
    looked = 0
    for choice in steel_choices(walked):
        for record in choice.records:
            for side in (record.demand, record.capacity):
                assert side is not None
                for value in [side, *(one for w in side.workings() for one in w.inputs)]:
                    if isinstance(value.origin, Working):
                        given = {one.name: one.si for one in value.origin.inputs}
                        again = value.origin.equation.function(**given)
                        assert np.allclose(value.si, again, rtol=1e-9)
                        looked += 1
    assert looked > 500
