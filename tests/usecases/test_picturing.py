"""The scene: continuous, in order, the numbers of the records, small, for every step."""

from __future__ import annotations

import gc
import time
import weakref
from collections.abc import Iterator
from dataclasses import asdict, replace
from itertools import groupby, pairwise
from typing import Any

import numpy as np
import pytest
from pydantic_core import to_json

from bathybore.base.depth import Datum, Depth
from bathybore.base.units import UnitSystem, conversion, from_si
from bathybore.checks.record import Status
from bathybore.operations.columns import gravity, sea_bed_pressure
from bathybore.operations.steps import StepKind
from bathybore.usecases import picturing
from bathybore.usecases.picturing import scene
from bathybore.usecases.pressures import NEAR_DATUM
from bathybore.usecases.scene import PressureCurve, Scene
from bathybore.usecases.walking import Walk, walk_loaded
from varied import changed

SYSTEMS: tuple[UnitSystem, ...] = ("metric", "oilfield")


@pytest.fixture(scope="session")
def scenes(example_walk: Walk) -> tuple[Scene, ...]:
    """Return the scene after every step of each example."""
    return tuple(scene(example_walk, state.step.name) for state in example_walk.states)


def interpolated(curve: PressureCurve, z: float) -> float:
    return float(np.interp(z, curve.z, np.array(curve.pressure, dtype=float)))


def curves(pictured: Scene, kind: str) -> dict[str, PressureCurve]:
    return {one.section: one for one in pictured.window.curves if one.kind == kind}


def depths(thing: Any, key: str = "") -> Iterator[float]:
    """Yield every number of a scene that is a place on the shared axis."""
    if isinstance(thing, dict):
        for name, one in thing.items():
            yield from depths(one, name)
    elif isinstance(thing, list | tuple):
        for one in thing:
            yield from depths(one, key)
    elif isinstance(thing, float) and key in ("z", "top", "bottom", "shoe", "cement_top"):
        yield thing


def test_there_is_a_scene_after_every_step(example_walk: Walk, scenes: tuple[Scene, ...]) -> None:
    assert [one.step for one in scenes] == [state.step.name for state in example_walk.states]
    assert scene(example_walk) == scenes[-1]
    for one, state in zip(scenes, example_walk.states, strict=True):
        assert one.section.bottom == state.bottom
        assert one.stopped == ""
        assert one.invented


def test_a_scene_is_small(scenes: tuple[Scene, ...]) -> None:
    assert max(len(to_json(one)) for one in scenes) < 40_000


def test_every_place_lies_in_the_picture(scenes: tuple[Scene, ...]) -> None:
    for one in scenes:
        drawn = replace(one, rocks=(), temperature=(), handles=(), window=replace_rock(one))
        for z in depths(asdict(drawn)):
            assert one.top - 1e-9 <= z <= one.bottom
        assert one.top <= one.target <= one.bottom


def test_the_axis_stands_still_while_the_core_is_dragged(main_walk: Walk) -> None:
    """A kilometre of drag in steps of 5 m moves the lower end a few times, and cuts nothing."""
    hole, ends = main_walk.hole, []
    for more in range(0, 1000, 5):
        bottom = Depth(hole.plan.target.metres + more, hole.plan.target.datum)
        _, end = picturing._ends(changed(hole, "plan/coring/bottom", bottom))
        room = (end - float(hole.z(bottom))) / (float(hole.z(bottom)) - hole.sea_bed)
        assert 0.015 <= room < 0.07
        ends.append(end)
    assert len(set(ends)) <= 6


def replace_rock(pictured: Scene) -> Any:
    """Leave out the rock's own curves: the prognosis may reach below the plan."""
    window = pictured.window
    return replace(window, curves=tuple(c for c in window.curves if c.section))


def test_numbers_that_are_not_known_are_none_and_never_not_a_number(example_walk: Walk) -> None:
    for datum in Datum:
        assert b"NaN" not in to_json(scene(example_walk, datum=datum), inf_nan_mode="constants")


# -- rock ------------------------------------------------------------------------------------


def test_rocks_follow_one_another_without_gaps(
    example_walk: Walk, scenes: tuple[Scene, ...]
) -> None:
    rocks, hole = scenes[-1].rocks, example_walk.hole
    assert rocks[0].top == hole.sea_bed
    assert rocks[-1].bottom == hole.sea_bed + hole.earth.deepest
    for upper, lower in pairwise(rocks):
        assert upper.bottom == lower.top
        assert (upper.lithology, upper.fluid, upper.hazard) != (
            lower.lithology,
            lower.fluid,
            lower.hazard,
        )
    for rock in rocks:
        middle = 0.5 * (rock.top + rock.bottom) - hole.sea_bed
        assert rock.lithology == hole.earth.word_at("lithology", middle)
        assert rock.hazard == hole.earth.word_at("hazard", middle)
        assert rock.pattern == rock.patterns[0]


def test_sea_and_rock_are_as_warm_where_they_meet(
    example_walk: Walk, scenes: tuple[Scene, ...]
) -> None:
    sea, earth = scenes[-1].temperature
    assert (sea.name, earth.name) == ("sea", "earth")
    assert sea.z[0] == 0.0
    assert sea.z[-1] == earth.z[0] == example_walk.hole.sea_bed
    assert sea.value[-1] == pytest.approx(earth.value[0], abs=0.5)
    warmth = np.array(earth.value, dtype=float)
    assert np.all(np.diff(warmth) > 0.0)  # heat flows out of the earth


# -- the window ------------------------------------------------------------------------------


def test_the_window_is_the_same_after_every_step(scenes: tuple[Scene, ...]) -> None:
    assert all(one.window is scenes[0].window for one in scenes)


def test_margins_lie_on_their_side_of_the_rock(scenes: tuple[Scene, ...]) -> None:
    pictured = scenes[-1]
    pore, fracture = curves(pictured, "pore")[""], curves(pictured, "fracture")[""]
    width = fracture.pressure[-1] - pore.pressure[0]  # type: ignore[operator]
    off = 0.002 * width  # two curves, each within a thousandth of where it belongs
    for needed in curves(pictured, "needed").values():
        for z in needed.z:
            assert interpolated(needed, z) >= interpolated(pore, z) - off
    for borne in curves(pictured, "borne").values():
        for z in borne.z:
            assert interpolated(borne, z) <= interpolated(fracture, z) + off


def test_pumping_adds_pressure(scenes: tuple[Scene, ...]) -> None:
    rest, flowing = curves(scenes[-1], "at_rest"), curves(scenes[-1], "circulating")
    assert set(flowing) <= set(rest)
    for section, curve in flowing.items():
        for z in curve.z[1:]:
            assert interpolated(curve, z) > interpolated(rest[section], z)


def test_a_section_without_a_riser_keeps_no_trip_margin(
    example_walk: Walk, scenes: tuple[Scene, ...]
) -> None:
    returns = {section.name: section.returns for section in example_walk.hole.plan.sections}
    needed = set(curves(scenes[-1], "needed"))
    assert needed == {name for name, where in returns.items() if where == "riser"}
    assert set(curves(scenes[-1], "at_rest")) == set(returns)


def test_every_cemented_casing_has_its_placing_pressure(
    example_walk: Walk, scenes: tuple[Scene, ...]
) -> None:
    cemented = {s.name for s in example_walk.hole.plan.sections if s.casing is not None}
    assert set(curves(scenes[-1], "cementing")) == cemented


@pytest.mark.parametrize(
    ("check", "demand", "capacity"),
    [
        ("window-low", "needed", "at_rest"),
        ("window-high-static", "at_rest", "borne"),
        ("window-high", "circulating", "borne"),
        ("placing-high", "cementing", None),
    ],
)
def test_curves_pass_through_the_numbers_of_the_records(
    check: str, demand: str, capacity: str | None, example_walk: Walk, scenes: tuple[Scene, ...]
) -> None:
    """The worst node of a record lies on its curves, within the width that thinning may cost."""
    hole, pictured = example_walk.hole, scenes[-1]
    deepest = {s.step.section: s for s in example_walk.states if s.step.kind in _DEEPENS}
    if check == "placing-high":
        deepest = {s.step.section: s for s in example_walk.states if s.step.kind is StepKind.CEMENT}
    pore, fracture = curves(pictured, "pore")[""], curves(pictured, "fracture")[""]
    off = 0.001 * max(fracture.pressure[-1], pore.pressure[-1])  # type: ignore[type-var]
    found = 0
    for index, state in deepest.items():
        section = hole.plan.sections[index].name
        (record,) = (r for r in example_walk.records_at(state.step.name) if r.name == check)
        for kind, value in ((demand, record.demand), (capacity, record.capacity)):
            if kind is None or value is None or section not in curves(pictured, kind):
                continue
            z = float(hole.z(record.depth))
            assert interpolated(curves(pictured, kind)[section], z) == pytest.approx(
                float(value), abs=off
            )
            found += 1
    assert found >= len(deepest)


_DEEPENS = (StepKind.DRILL, StepKind.CORE)


@pytest.mark.parametrize("datum", list(Datum))
def test_a_density_over_its_height_gives_the_pressure_back(
    datum: Datum, example_walk: Walk
) -> None:
    hole = example_walk.hole
    window = scene(example_walk, datum=datum).window
    zero = hole.frame.zero_below_sea_level(datum)
    above = float(sea_bed_pressure(hole)) if datum is Datum.SEA_BED else 0.0
    assert window.datum == str(datum)
    assert str(datum) in window.definition
    told = 0
    for curve in window.curves:
        for z, pressure, density in zip(curve.z, curve.pressure, curve.density, strict=True):
            assert (density is None) == (pressure is None or z - zero < NEAR_DATUM)
            if density is not None:
                weight = density * gravity(hole) * (z - zero)
                assert weight + above == pytest.approx(pressure, rel=1e-4, abs=100.0)
                told += 1
    assert told > 30


def test_a_curve_shows_what_was_judged_at_every_node(example_walk: Walk) -> None:
    """Of the nodes left out none lies further than a thousandth of the picture off its line."""
    pictured = scene(example_walk)
    rock = [c for c in pictured.window.curves if not c.section]
    width = max(float(np.ptp(np.array(c.pressure, dtype=float))) for c in rock)
    for curve in rock:
        whole = example_walk.hole.earth.numbers[f"{curve.kind}_pressure"]
        z = example_walk.hole.earth.depths + example_walk.hole.sea_bed
        known = np.isfinite(whole)
        drawn = np.interp(z[known], curve.z, np.array(curve.pressure, dtype=float))
        assert np.max(np.abs(drawn - whole[known])) <= 0.001 * width + 1.0


# -- the hole --------------------------------------------------------------------------------


def test_cuts_reach_from_the_sea_bed_to_the_bottom(scenes: tuple[Scene, ...]) -> None:
    for one in scenes:
        cuts = one.section.cuts
        for upper, lower in pairwise(cuts):
            assert lower.top == upper.bottom
        if cuts:
            assert cuts[-1].bottom == one.section.bottom


def test_steel_hangs_first_and_stands_for_good(
    example_walk: Walk, scenes: tuple[Scene, ...]
) -> None:
    standing: set[str] = set()
    for one, state in zip(scenes, example_walk.states, strict=True):
        now = {steel.name for steel in one.section.steel if steel.standing}
        assert standing <= now
        hanging = [steel.name for steel in one.section.steel if not steel.standing]
        runs = state.step.kind in (StepKind.RUN_CASING, StepKind.RUN_CONDUCTOR)
        assert len(hanging) == int(runs)
        standing = now
    assert standing == {bar.name for bar in scenes[-1].budget.bars}


def test_cement_stands_between_its_top_and_the_shoe(scenes: tuple[Scene, ...]) -> None:
    for one in scenes:
        for steel in one.section.steel:
            if steel.cement_top is None:
                assert steel.cement_bottom is None
            else:
                assert steel.cement_bottom == steel.shoe
                assert steel.cement_top < steel.shoe


def test_a_string_reaches_from_the_drill_floor_without_gaps(
    example_walk: Walk, scenes: tuple[Scene, ...]
) -> None:
    for one, state in zip(scenes, example_walk.states, strict=True):
        parts = one.section.string
        assert bool(parts) == bool(one.section.string_name)
        for upper, lower in pairwise(parts):
            assert lower.top == upper.bottom
        if parts:
            assert parts[0].top == example_walk.hole.drill_floor
        if state.step.kind in _DEEPENS:  # judged at its deepest
            assert parts[-1].bottom == one.section.bottom
        if state.step.kind in (StepKind.RELEASE, StepKind.PLUG, StepKind.DEPART):
            assert not parts


def test_fluids_fill_the_hole_to_its_bottom(scenes: tuple[Scene, ...]) -> None:
    for one in scenes:
        layers = one.section.layers
        for upper, lower in pairwise(layers):
            assert lower.top == upper.bottom
        if layers:
            assert layers[-1].bottom == one.section.bottom


def test_the_riser_ends_in_its_preventer_on_the_sea_bed(main_walk: Walk) -> None:
    hole = main_walk.hole
    assert hole.inventory.preventer is not None
    seen = 0
    for state in main_walk.states:
        riser = scene(main_walk, state.step.name).section.riser
        assert (riser is not None) == (state.riser is not None)
        if riser is not None:
            assert riser.bottom == hole.sea_bed
            assert riser.bottom - riser.preventer_top == hole.inventory.preventer.height
            assert riser.inside_diameter < riser.outside_diameter
            seen += 1
    assert 0 < seen < len(main_walk.states)


def test_plugs_and_core_are_there_from_their_step_on(
    example_walk: Walk, scenes: tuple[Scene, ...]
) -> None:
    hole = example_walk.hole
    names = [one.step for one in scenes]
    for one in scenes:
        later = names.index(one.step)
        assert bool(one.section.plugs) == (later >= names.index("plug"))
        cored = hole.plan.coring is not None and later >= names.index("core")
        assert (one.section.core is not None) == cored
    assert len(scenes[-1].section.plugs) == len(hole.plan.leaving.plugs)


# -- strength --------------------------------------------------------------------------------


def test_the_most_of_a_curve_is_what_its_record_says(example_walk: Walk) -> None:
    """The greatest share used is 1 less the margin, for every string of every step."""
    records = {record.id: record for record in example_walk.records}
    seen: set[str] = set()
    for state in example_walk.states:
        for string in scene(example_walk, state.step.name).strength.strings:
            strength = scene(example_walk, state.step.name, string=string).strength
            assert strength.string == string
            for curve in strength.curves:
                record = records[curve.name]
                assert record.margin is not None
                known = [value for value in curve.value if value is not None]
                assert max(known) == pytest.approx(1.0 - record.margin, abs=2e-6)
                assert list(curve.z) == sorted(curve.z)
                seen.add(curve.name)
    of_casing = ("burst-", "collapse-", "axial-", "triaxial-")
    wanted = ("string-tension", "slips", "casing-tension", *of_casing)
    wanted += ("tension-with-torque", "conductor-bending", "first-casing-bending")
    asked = {
        record.id
        for record in example_walk.records
        if record.name.startswith(wanted) and record.margin is not None
    }
    assert seen == asked


def test_a_worst_place_is_where_its_record_says(main_walk: Walk) -> None:
    records = {record.id: record for record in main_walk.records}
    for curve in scene(main_walk, "cement-casing-958").strength.curves:
        depth = records[curve.name].depth
        assert depth is not None
        worst = curve.z[int(np.argmax(np.array(curve.value, dtype=float)))]
        assert worst == pytest.approx(main_walk.hole.z(depth), abs=1e-3)


def test_tension_grows_upwards_along_each_part(main_walk: Walk) -> None:
    """Between a part's ends the share is a straight line that grows with what hangs below."""
    pictured = scene(main_walk, "drill-section-1214")
    (tension,) = (c for c in pictured.strength.curves if c.name.endswith("string-tension"))
    # neighbours of one pipe, one of them with a tool, are one length
    alike = [list(one) for _, one in groupby(pictured.section.string, lambda part: part.name)]
    assert len(tension.z) == 2 * len(alike)
    for n, parts in enumerate(alike):
        assert tension.z[2 * n : 2 * n + 2] == pytest.approx((parts[0].top, parts[-1].bottom))
        assert tension.value[2 * n] > tension.value[2 * n + 1]  # type: ignore[operator]


def test_a_string_no_longer_there_gives_way_to_the_first(main_walk: Walk) -> None:
    strength = scene(main_walk, "drill-section-1214", string="no-such-string").strength
    assert strength.string == strength.strings[0] == "drilling-1214"


def test_a_step_that_loads_nothing_says_so(main_walk: Walk) -> None:
    strength = scene(main_walk, "hold-station").strength
    assert (strength.string, strength.strings, strength.curves) == ("", (), ())
    assert "Come on station" in strength.why_empty


# -- handles ---------------------------------------------------------------------------------


def test_handles_stand_where_the_thing_they_move_is_drawn(
    example_walk: Walk, scenes: tuple[Scene, ...]
) -> None:
    pictured = scenes[-1]
    shoes = {f"shoe:{bar.name}": bar.shoe for bar in pictured.budget.bars}
    handles = {handle.id: handle for handle in pictured.handles}
    assert set(shoes) <= set(handles)
    for name, shoe in shoes.items():
        assert handles[name].value == handles[name].z == pytest.approx(shoe)
    tops = {steel.name: steel.cement_top for steel in pictured.section.steel}
    for handle in handles.values():
        assert handle.least <= handle.value <= handle.most
        assert pictured.top <= handle.z <= pictured.bottom
        if handle.kind == "cement_top":
            assert handle.value == pytest.approx(tops[handle.id.partition(":")[2]])


# -- budget, ribbon, units -------------------------------------------------------------------


def test_the_budget_spends_what_is_left(scenes: tuple[Scene, ...]) -> None:
    budget = scenes[-1].budget
    left = budget.start
    for bar in budget.bars:
        left -= bar.spent
        assert bar.passes == pytest.approx(left)
        assert bar.passes < bar.outside_diameter <= bar.hole_diameter
    assert budget.last_hole <= left + 1e-9
    assert budget.core is None or budget.core < budget.last_hole


def test_steps_follow_one_another_in_time(example_walk: Walk, scenes: tuple[Scene, ...]) -> None:
    marks = scenes[-1].steps
    assert marks[0].start == 0.0
    for one, two in pairwise(marks):
        assert two.start == one.end
    for mark in marks:
        assert mark.duration == pytest.approx(mark.end - mark.start, abs=0.2)
        assert mark.waiting is not None
        assert 0.0 < mark.waiting < mark.duration  # type: ignore[operator]
    assert marks[-1].end == pytest.approx(example_walk.states[-1].elapsed, abs=0.1)


def test_time_without_waits_and_trouble_is_the_sum_of_the_parts(main_walk: Walk) -> None:
    for mark, state in zip(scene(main_walk).steps, main_walk.states, strict=True):
        clear = sum(float(part) for part in state.times) * main_walk.hole.basis.trouble_factor
        assert mark.duration is not None
        assert mark.waiting is not None
        assert mark.duration - mark.waiting == pytest.approx(clear, abs=0.2)


def test_verdicts_are_counted_by_step(example_walk: Walk, scenes: tuple[Scene, ...]) -> None:
    for mark in scenes[-1].steps:
        statuses = [str(r.status) for r in example_walk.records_at(mark.name)]
        assert sum(mark.counts.values()) == len(statuses)
        assert {status for status, count in mark.counts.items() if count} == set(statuses)
        assert (mark.worst == str(Status.FAILS)) == (str(Status.FAILS) in statuses)
        assert mark.worst in (statuses or [""])


@pytest.mark.parametrize("system", SYSTEMS)
def test_units_turn_si_into_what_the_gate_shows(system: UnitSystem, main_walk: Walk) -> None:
    pictured = scene(main_walk, system=system)
    assert pictured.system == system
    unit = {"metric": ("m", "MPa", "kg/m**3", "degC"), "oilfield": ("ft", "psi", "ppg", "degF")}
    for si, shown in zip(("m", "Pa", "kg/m3", "K"), unit[system], strict=True):
        line = pictured.units[si]
        assert (300.0 - line.offset) / line.factor == pytest.approx(from_si(300.0, si, shown))
    assert pictured.units["diameter"].factor == conversion("in").factor
    assert {handle.unit for handle in pictured.handles} <= set(pictured.units)


def test_numbers_are_si_in_both_systems(main_walk: Walk) -> None:
    metric, oilfield = (scene(main_walk, system=system) for system in SYSTEMS)
    assert metric.section == oilfield.section
    assert metric.window == oilfield.window
    assert [m.end for m in metric.steps] == [m.end for m in oilfield.steps]
    assert any(" bbl" in use for mark in oilfield.steps for use in mark.uses)
    assert not any(" bbl" in use for mark in metric.steps for use in mark.uses)


# -- cost and memory -------------------------------------------------------------------------


def test_a_scene_is_quick(example_walk: Walk) -> None:
    scene(example_walk)
    for state in example_walk.states:
        took = []
        for _ in range(5):
            start = time.process_time()
            scene(example_walk, state.step.name)
            took.append(time.process_time() - start)
        assert min(took) < 0.010


def test_a_walk_is_forgotten_with_its_pictures(main_walk: Walk) -> None:
    walk = walk_loaded(main_walk.hole)
    scene(walk)
    gone = weakref.ref(walk)
    del walk
    gc.collect()
    assert gone() is None


def test_drawing_leaves_the_states_as_they_are(main_walk: Walk) -> None:
    again = walk_loaded(main_walk.hole)
    before = [repr(state) for state in again.states]
    for state in again.states:
        scene(again, state.step.name)
    assert [repr(state) for state in again.states] == before


def test_the_conductor_is_drawn_bent_under_the_riser(main_walk: Walk) -> None:
    """Over depth from the sea bed down, greatest where the record has it."""
    strength = scene(main_walk, "run-riser", string="conductor").strength
    (curve,) = strength.curves
    record = next(r for r in main_walk.records if r.id == "run-riser/conductor-bending")
    assert record.margin is not None
    assert curve.name == record.id
    greatest = max(v for v in curve.value if v is not None)
    assert greatest == pytest.approx(1.0 - record.margin, abs=5e-7)  # shown to six digits
    assert curve.z[0] == pytest.approx(float(main_walk.hole.sea_bed))
