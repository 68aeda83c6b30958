"""Reach and relief: what bites first, and changes that were asked again."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from bathybore.checks.ledger import records_of
from bathybore.checks.record import Status
from bathybore.ensembles.cut_holes import cut, made_to
from bathybore.ensembles.frame import frame_of
from bathybore.ensembles.odds import Spread
from bathybore.ensembles.shapes import LIMITS, Limit
from bathybore.model.building import Built, build
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.model.uncertain import Uncertainty
from bathybore.model.uncertainty import load_uncertainty
from bathybore.operations.steps import StepKind
from bathybore.operations.walk import walk_hole
from bathybore.usecases import reach_told
from bathybore.usecases.reach import Asked, Bite, Reach, find_relief, reach, slug, with_spreads
from bathybore.usecases.reach_told import ReachTold
from bathybore.usecases.reliefs import Bitten, Effort, changed, ladders, read

EXAMPLES = Path(__file__).parents[2] / "examples"


@cache
def hole(name: str) -> Hole:
    return load_hole(EXAMPLES / name)


@cache
def uncertainty(name: str) -> Uncertainty:
    return load_uncertainty(EXAMPLES / name, hole(name))


def weak(path: str, value: float, name: str = "riserless") -> Asked:
    """Return a hole in which one number is too small for its plan."""
    return Asked.of(changed(hole(name), path, value), uncertainty(name))


@cache
def weak_hoist() -> Reach:
    """The riserless hole with a hoist that bears its string only half-way to the target."""
    this = changed(hole("riserless"), "vessel/hoist/hook_capacity", _hook_load_at(500.0))
    return reach(this, uncertainty("riserless"))


def _hook_load_at(depth: float) -> float:
    """Return the rating at which the core string is as heavy as the hoist may bear at a depth."""
    this = hole("riserless")
    state = made_to(frame_of(this), cut(this, 1, depth), 1)[-1]
    record = next(r for r in records_of(state) if r.name == "hook-load")
    assert record.demand is not None
    return float(record.demand) / this.basis.hook_load_share


def bite_of(found: Reach, limit: Limit) -> Bite:
    return next(one for one in found.bites if one.limit is limit)


def test_every_limit_is_told_and_the_first_to_bite_comes_first() -> None:
    found = weak_hoist()
    assert {one.limit for one in found.bites} == set(LIMITS)
    depths = [np.inf if one.depth is None else one.depth.metres for one in found.bites]
    assert depths == sorted(depths)
    assert [record.id for record in found.records] == [
        f"reach/{slug(b.limit)}" for b in found.bites
    ]


def test_a_hoist_made_too_weak_for_a_depth_bites_at_that_depth() -> None:
    """What the walk of a hole of that depth asks of the hoist is all that this hoist bears."""
    asked = weak("vessel/hoist/hook_capacity", _hook_load_at(500.0))
    found = next(f for f in asked.bites_of(Limit.HOIST) if f.check == "core/hook-load")
    assert found.depth == pytest.approx(500.0, abs=0.5)
    judged = asked.judged(found)
    assert judged is not None
    assert judged.status is Status.FAILS
    assert judged.demand is not None
    assert judged.capacity is not None
    assert float(judged.demand) == pytest.approx(float(judged.capacity), rel=2e-3)


def test_the_record_of_a_bite_fails_at_its_depth_and_opens_the_question_behind_it() -> None:
    bite = bite_of(weak_hoist(), Limit.HOIST)
    assert bite.short
    assert bite.depth is not None
    assert bite.record.status is Status.FAILS
    assert bite.record.capacity is not None
    assert float(bite.record.capacity) == bite.depth.metres
    assert bite.judged is not None
    assert bite.judged.status is Status.FAILS
    assert bite.judged.demand in bite.record.capacity.origin.inputs
    assert bite.check.endswith("hook-load")


def test_its_relief_is_a_hoist_strong_enough_and_the_walk_says_so() -> None:
    bite = bite_of(weak_hoist(), Limit.HOIST)
    relief = bite.relief
    assert relief is not None
    assert relief.enough
    assert relief.reaches is None or relief.reaches.metres >= 700.0
    assert relief.then_fails == ()
    assert relief.effort <= Effort.REBUILT


def test_a_hole_without_bites_reaches_its_target_and_says_how_far_it_was_asked() -> None:
    found = reach(hole("riserless"), uncertainty("riserless"))
    assert found.passes
    assert all(one.depth is None and one.relief is None for one in found.bites)
    assert {one.asked_to.metres for one in found.bites} == {700.0, 730.0}
    assert bite_of(found, Limit.STOCK).asked_to.metres == 700.0
    assert all(record.status is Status.HOLDS for record in found.records)


def test_what_is_short_is_short_in_the_walk_too() -> None:
    """Every relief is a change of the hole itself: the walk of the changed hole holds it."""
    asked = weak("vessel/tool_temperature_limit", 300.0)
    relief = find_relief(asked, Limit.HEAT)
    assert relief is not None
    assert relief.enough
    assert len(relief.changes) == 1
    assert "tools that bear" in relief.changes[0]


def test_more_is_bought_where_the_bits_do_not_last() -> None:
    asked = weak("inventory/core_barrel/bits", 1)
    found = asked.bites_of(Limit.STOCK)
    assert found[0].check == "core/bit-stock"
    relief = find_relief(asked, Limit.STOCK)
    assert relief is not None
    assert relief.effort is Effort.BOUGHT
    assert relief.enough
    least = int(relief.changes[0].split()[0])
    fewer = weak("inventory/core_barrel/bits", least // 2)
    assert fewer.bites_of(Limit.STOCK)  # the least rung of the ladder was taken


def test_less_is_asked_of_the_pumps_before_pumps_are_bought() -> None:
    """Liners that bear a quarter of the pressure: larger nozzles or less flow are a decision."""
    this = hole("riserless")
    weak = this
    for at, one in enumerate(this.vessel.pumps.liners):
        path = f"vessel/pumps/liners/{at}/greatest_pressure"
        weak = changed(weak, path, one.greatest_pressure / 4.0)
    asked = Asked.of(weak, uncertainty("riserless"))
    found = asked.bites_of(Limit.PUMPS)
    assert found
    assert "pump-pressure" in found[0].check
    relief = find_relief(asked, Limit.PUMPS)
    assert relief is not None
    assert relief.effort is Effort.DECISION


def test_against_what_nobody_has_a_remedy_none_is_invented() -> None:
    bitten = Bitten(hole("riserless"), Limit.OTHER, "penetration", None)
    assert list(ladders(bitten)) == []


def _as_written(changed: Hole, before: Hole) -> dict[str, Any]:
    """Return the document that members with numbers of their own are built from."""
    return build(changed.tree, Built(before.tree, before.document)).document.model_dump()


@pytest.mark.parametrize("limit", list(LIMITS))
def test_every_rung_changes_the_hole_and_says_what(limit: Limit) -> None:
    this = hole("main")
    states = {state.step.name: state for state in walk_hole(this)}
    for check, step in (
        ("riser-hang", "run-riser"),
        ("slips", "drill-section-812"),
        ("pipe-stock", "drill-section-812"),
        ("test-covers-kick", "cement-casing-958"),
        ("bit-stock", "core"),
        ("bit-stock", "drill-section-812"),
        ("casing-stock", "run-liner-7"),
        ("lifting", "core"),
        ("placing-high", "cement-casing-958"),
        ("waiting", "cement-casing-958"),
        ("shoe-test", "test-casing-20"),
        ("mud-tanks", "drill-section-812"),
        ("kill-mud", "drill-top-hole"),
        ("conductor-bears-casing", "run-casing-20"),
        ("storm-warning", "run-riser"),
    ):
        for ladder in ladders(Bitten(this, limit, check, states[step])):
            words = [change.what for change in ladder]
            assert len(set(words)) == len(words)
            for change in ladder:
                assert change.hole is not this or change.later > 0.0
                assert change.hole.document != this.document or change.later > 0.0
            most = ladder[-1].hole
            assert _as_written(most, this) == most.document.model_dump()


@pytest.mark.parametrize(
    ("check", "step", "begins"),
    [
        ("placing-high", "cement-casing-1134", "cement of casing-1134 placed at"),
        ("kill-mud", "drill-top-hole", "1 resupply instead of none"),
        ("bears-itself", "set-conductor", "a soak of the conductor of"),
        ("storm-warning", "run-riser", "a forecast believed 4 days before the storm"),
    ],
)
def test_other_questions_have_the_remedies_that_the_ledger_names(
    check: str, step: str, begins: str
) -> None:
    this = hole("riserless")
    state = next((one for one in walk_hole(this) if one.step.name == step), None)
    if state is None:
        state = walk_hole(this)[-1]
    found = list(ladders(Bitten(this, Limit.OTHER, check, state)))
    assert found[0][0].what.startswith(begins)


def test_a_slower_or_lower_cement_job_asks_less_of_the_rock() -> None:
    """Each remedy against breaking the rock with cement lowers what is asked there."""
    this = hole("riserless")

    def asked(there: Hole) -> float:
        step = next(one for one in walk_hole(there) if one.step.kind is StepKind.CEMENT)
        record = next(one for one in records_of(step) if one.name == "placing-high")
        return float(record.demand or np.nan) - float(record.capacity or np.nan)

    state = next(one for one in walk_hole(this) if one.step.kind is StepKind.CEMENT)
    before = asked(this)
    every = list(ladders(Bitten(this, Limit.OTHER, "placing-high", state)))
    assert len(every) == 3
    for ladder in every:
        assert asked(ladder[0].hole) < before, ladder[0].what


def test_a_change_replaces_one_thing_and_leaves_the_hole_as_it_was() -> None:
    this = replace(hole("main"))  # its setting is asked anew: of old ones only some are kept
    before = this.document.model_dump_json()
    new = changed(this, "plan/sections/2/flow_rate", 0.01)
    assert read(new, "plan/sections/2/flow_rate") == 0.01
    assert this.document.model_dump_json() == before
    assert new.plan.sections[1] is this.plan.sections[1]
    assert new.setting is this.setting


def test_spreads_stand_beside_the_plan() -> None:
    spread = Spread(10.0, 20.0, float("inf"), 15.0, 64)
    found = with_spreads(weak_hoist(), {Limit.HOIST: spread}, 64)
    assert bite_of(found, Limit.HOIST).spread == spread
    assert bite_of(found, Limit.HEAT).spread is None
    topic = ReachTold(found).topic("metric")
    table = topic.tables[0]
    assert "P50" in table.columns
    row = next(one for one in table.rows if one[0] == "hoist")
    assert row[2:5] == ("10 m", "20 m", "deeper")


@pytest.mark.parametrize("units", ["metric", "oilfield"])
def test_the_page_tells_what_bites_and_what_relieves_it(units: str) -> None:
    topic = ReachTold(weak_hoist()).topic(units)  # type: ignore[arg-type]
    assert "hoist, at" in dict(topic.facts)["Bites first"]
    relief = dict(topic.facts)["Relief: hoist"]
    assert "a hoist that bears" in relief or "overpull" in relief
    assert "Then it bites nowhere down to " in relief
    assert not topic.passes
    told = next(one for one in topic.numbers["bites"] if one["limit"] == "hoist")
    assert told["relief"]["enough"] is True
    assert told["depth_below_sea_bed"]["unit"] == "m"
    assert ("ft" in relief) == (units == "oilfield")


def test_without_reliefs_none_is_told() -> None:
    this = changed(hole("riserless"), "vessel/hoist/hook_capacity", _hook_load_at(500.0))
    found = reach(this, uncertainty("riserless"), reliefs=False)
    assert all(one.relief is None for one in found.bites)
    assert not any("Relief" in label for label, _ in ReachTold(found).topic("metric").facts)
    assert replace(found, sought=True).passes == found.passes


def test_what_is_changed_twice_is_told_once() -> None:
    lift = "modules that lift {} kN a joint instead of {} kN"
    changes = (lift.format(94.5, 90), "a flow of 3 instead of 4", lift.format(99.22, 94.5))
    assert reach_told._together(changes) == (lift.format(99.22, 90), changes[1])
    assert reach_told._together(("begun 1 month later", "begun 1 month later")) == (
        "begun 1 month later",
        "begun 1 month later",
    )
