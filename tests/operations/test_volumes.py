"""Volumes against geometry worked here in another way, and the mud account."""

from __future__ import annotations

from itertools import pairwise
from math import pi

import pytest

from bathybore.model.hole import Hole
from bathybore.operations.geometry import annuli, bores, hole_volume, string_bores, volume_of
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind
from bathybore.operations.volumes import cement_volumes, plug_volume
from bathybore.operations.walk import walk_hole
from bathybore.usecases.walking import Walk
from varied import by_step, changed, state_of

INCH = 0.0254
# Catalogue sizes (API Specification 5CT): outside and inside diameter in inches.
CONDUCTOR = (36.0, 33.0)
SIZES = {
    "casing-20": (20.0, 18.730),
    "casing-1338": (13.375, 12.347),
    "casing-958": (9.625, 8.535),
    "liner-7": (7.0, 6.094),
}


def ring(outer: float, inner: float, length: float) -> float:
    """Volume [m3] between two diameters in inches over a length in metres."""
    return pi / 4.0 * (outer**2 - inner**2) * INCH**2 * length


SLICE = 0.1  # metres; every depth of the plan is a multiple of it


def volume_in_slices(hole: Hole, index: int, top: float, bottom: float) -> float:
    """Slurry outside a casing, slice by slice down the plan: no bores, no states.

    Parameters
    ----------
    index : of the section whose casing is cemented
    top, bottom : [m] below the sea bed
    """
    plan = hole.plan
    casing = plan.sections[index].casing
    assert casing is not None
    inside = SIZES[plan.sections[index - 1].casing.name][1] if index else CONDUCTOR[1]  # type: ignore[union-attr]
    before = plan.sections[index - 1].casing.shoe if index else plan.conductor.shoe  # type: ignore[union-attr]
    total = 0.0
    for number in range(round(top / SLICE), round(bottom / SLICE)):
        z = (number + 0.5) * SLICE
        if z < before.metres:
            total += ring(inside, SIZES[casing.name][0], SLICE)
        else:
            cut_by = next(one for one in plan.sections if z < one.bottom.metres)
            outer = cut_by.hole_diameter / INCH
            total += (1.0 + casing.cement.excess) * ring(outer, SIZES[casing.name][0], SLICE)
    return total


@pytest.mark.parametrize("name", SIZES)
def test_cement_is_the_annulus_slice_by_slice(main_walk: Walk, name: str) -> None:
    hole = main_walk.hole
    state = by_step(main_walk.states)[f"cement-{name}"]
    placed = state.casings[-1]
    assert float(placed.pipe.inside_diameter) / INCH == pytest.approx(SIZES[name][1], abs=1e-6)
    index = next(i for i, s in enumerate(hole.plan.sections) if s.casing and s.casing.name == name)
    casing = hole.plan.sections[index].casing
    assert casing is not None
    job = casing.cement
    split = job.tail_top.metres if job.tail_top is not None else job.top.metres
    lead = volume_in_slices(hole, index, job.top.metres, split)
    tail = volume_in_slices(hole, index, split, casing.shoe.metres)
    tail += ring(SIZES[name][1], 0.0, job.shoe_track)
    volumes = cement_volumes(state, placed)
    assert float(volumes.lead) == pytest.approx(lead, rel=1e-9, abs=1e-12)
    assert float(volumes.tail) == pytest.approx(tail, rel=1e-9)
    assert float(volumes.slurry) == pytest.approx(lead + tail, rel=1e-9)


@pytest.mark.parametrize("name", SIZES)
def test_the_job_is_the_same_before_and_after_the_casing_is_placed(
    main_walk: Walk, name: str
) -> None:
    steps = by_step(main_walk.states)
    before, after = steps[f"run-{name}"], steps[f"cement-{name}"]
    hanging = before.hanging_casing
    assert hanging is not None
    volumes = (cement_volumes(before, hanging), cement_volumes(after, after.casings[-1]))
    assert float(volumes[0].slurry) == pytest.approx(float(volumes[1].slurry), rel=1e-12)


def test_cement_used_is_volume_over_yield(main_walk: Walk) -> None:
    hole = main_walk.hole
    for before, after in pairwise(main_walk.states):
        if after.step.kind is not StepKind.CEMENT:
            continue
        job = after.step.casing_of(hole.plan).cement
        volumes = cement_volumes(after, after.casings[-1])
        lead = hole.plan.slurries[job.slurry]
        tail = hole.plan.slurries[job.tail_slurry or job.slurry]
        kilograms = (
            float(volumes.lead) / lead.slurry_yield + float(volumes.tail) / tail.slurry_yield
        )
        used = after.consumed.cement - before.consumed.cement
        assert used == pytest.approx(kilograms, rel=1e-12)


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("plan/sections/1/casing/cement/excess", 0.6),
        ("plan/sections/1/hole_diameter", 0.508),
        ("plan/sections/1/casing/cement/shoe_track", 40.0),
    ],
)
def test_more_room_takes_more_cement(main_hole: Hole, path: str, value: float) -> None:
    step = "cement-casing-1338"
    plain, more = state_of(main_hole, step), state_of(changed(main_hole, path, value), step)
    volumes = [cement_volumes(state, state.casings[-1]) for state in (plain, more)]
    assert float(volumes[1].slurry) > float(volumes[0].slurry)


def test_displacement_is_the_inside_down_to_the_float(main_walk: Walk) -> None:
    """Landing string from the drill floor to the hanger, then the casing less its shoe track."""
    state = by_step(main_walk.states)["cement-casing-1338"]
    hole = main_walk.hole
    length = hole.site.water_depth + hole.vessel.drill_floor_height
    thick = hole.inventory.pipe["landing-658"]
    assert thick.outside_diameter is not None
    assert thick.wall is not None
    landing = 0.25 * pi * (thick.outside_diameter - 2.0 * thick.wall) ** 2 * length
    casing = hole.plan.sections[1].casing
    assert casing is not None
    expected = landing + ring(12.347, 0.0, casing.shoe.metres - casing.cement.shoe_track)
    volumes = cement_volumes(state, state.casings[-1])
    assert float(volumes.displacement) == pytest.approx(expected, rel=1e-9)


def test_annulus_and_string_fill_the_hole(example_walk: Walk) -> None:
    """Steel and fluid together are the hole, down to the end of the string."""
    for state in example_walk.states:
        string = state.activity.string
        if state.step.kind not in (StepKind.DRILL, StepKind.CORE) or string is None:
            continue
        segments = annuli(state, string)
        top, bottom = float(segments.top[0]), float(segments.bottom[-1])
        steel = float(sum(0.25 * pi * segments.inner_diameter**2 * segments.length))
        assert bottom == pytest.approx(state.bottom)
        assert top == pytest.approx(bores(state)[0].top)
        assert volume_of(segments) + steel == pytest.approx(hole_volume(state), rel=1e-9)


def test_the_inside_of_a_string_is_its_pipes(example_walk: Walk) -> None:
    for state in example_walk.states:
        string = state.activity.string
        if string is None:
            continue
        expected = sum(
            0.25 * pi * float(part.pipe.inside_diameter) ** 2 * part.length for part in string.parts
        )
        assert volume_of(string_bores(string)) == pytest.approx(expected, rel=1e-9)


def inside_at(hole: Hole, z: float) -> float:
    """Innermost diameter in inches at a depth below the sea bed, once all casings stand."""
    plan = hole.plan
    for section in reversed(plan.sections):
        casing = section.casing
        if casing is None:
            continue
        top = 0.0 if isinstance(casing.hung_at, str) else casing.hung_at.metres
        if top <= z < casing.shoe.metres:
            return SIZES[casing.name][1]
    return next(s.hole_diameter for s in plan.sections if z < s.bottom.metres) / INCH


def test_a_plug_is_the_hole_over_its_length(main_walk: Walk) -> None:
    state = by_step(main_walk.states)["plug"]
    bed = float(state.hole.sea_bed)
    for plug in state.plugs:
        slices = range(round((plug.top - bed) / SLICE), round((plug.bottom - bed) / SLICE))
        expected = sum(
            ring(inside_at(state.hole, (number + 0.5) * SLICE), 0.0, SLICE) for number in slices
        )
        assert float(plug_volume(state, plug)) == pytest.approx(expected, rel=1e-9)


def test_bores_of_the_main_hole_by_hand(main_walk: Walk) -> None:
    state = by_step(main_walk.states)["core"]
    bed = float(state.hole.sea_bed)
    told = [(wall.kind, round(float(wall.bottom) - bed, 6)) for wall in bores(state)]
    assert told == [
        ("riser", 0.0),
        ("casing", 3250.0),
        ("casing", 4600.0),
        ("open hole", 4610.0),
        ("open hole", 4950.0),
    ]
    inches = [wall.diameter / INCH for wall in bores(state)]
    assert inches == pytest.approx([21.0 - 2 * 0.875, 8.535, 6.094, 8.5, 6.0])


# -- the mud account ------------------------------------------------------------------


def pits(state: HoleState) -> float:
    return state.mud_volume - hole_volume(state)


def test_mud_in_hole_and_pits_was_built_and_not_lost(example_walk: Walk) -> None:
    for state in example_walk.states:
        used = state.consumed
        assert used.mud_built - used.mud_to_sea_floor >= state.mud_volume - 1e-6, state.step.name


def test_drilling_with_returns_builds_what_the_hole_takes_and_what_leaves(
    example_walk: Walk,
) -> None:
    basis = example_walk.hole.basis
    ratio = basis.mud_on_cuttings_ratio
    for before, after in pairwise(example_walk.states):
        drills = after.step.kind in (StepKind.DRILL, StepKind.CORE)
        if not drills or after.riser is None:
            continue
        built = after.consumed.mud_built - before.consumed.mud_built
        section = after.activity.section
        assert section is not None
        rock = 0.25 * pi * section.hole_diameter**2 * (after.bottom - before.bottom)
        new_hole = hole_volume(after) - hole_volume(before)
        assert new_hole == pytest.approx(rock, rel=1e-9)
        # never less than what spreads the drilled solids left in it as thin as is allowed
        thin = rock * (1.0 - basis.solids_control_efficiency) / basis.drilled_solids_fraction
        assert built == pytest.approx(max(new_hole + ratio * rock, thin), rel=1e-9)
        assert pits(after) == pytest.approx(pits(before), rel=1e-9)
        assert after.consumed.mud_to_sea_floor == before.consumed.mud_to_sea_floor


def test_after_a_shoe_test_hole_and_pits_are_full(example_walk: Walk) -> None:
    for state in example_walk.states:
        if state.step.kind is StepKind.TEST_SHOE:
            assert pits(state) == pytest.approx(state.hole.basis.pit_reserve)


def test_riserless_mud_is_all_lost(example_walk: Walk) -> None:
    for before, after in pairwise(example_walk.states):
        if after.riser is None and after.step.kind in (StepKind.DRILL, StepKind.SET_CONDUCTOR):
            built = after.consumed.mud_built - before.consumed.mud_built
            lost = after.consumed.mud_to_sea_floor - before.consumed.mud_to_sea_floor
            assert built == pytest.approx(lost)


def test_what_is_pumped_riserless_is_flow_times_time(main_walk: Walk) -> None:
    steps = by_step(main_walk.states)
    before, after = steps["release-conductor"], steps["drill-top-hole"]
    section = after.activity.section
    assert section is not None
    seconds = sum(float(t) for t in after.times if t.name in ("drill", "connections"))
    pumped = 6500.0 / 1000.0 / 60.0 * seconds
    water = after.consumed.sea_water_pumped - before.consumed.sea_water_pumped
    assert water == pytest.approx((1.0 - section.sweep_share) * pumped, rel=1e-9)
    pad = after.hole.basis.pad_volumes * hole_volume(after)
    built = after.consumed.mud_built - before.consumed.mud_built
    assert built == pytest.approx(section.sweep_share * pumped + pad, rel=1e-9)


def test_weighted_mud_pumped_riserless_is_built_and_lost_with_its_barite(main_hole: Hole) -> None:
    """The same flow and time, so the volume that was sea water is mud now."""
    heavy = changed(main_hole, "plan/sections/0/fluid", "pad-mud")
    usual, dumped = (
        by_step(walk_hole(hole))["drill-top-hole"].consumed for hole in (main_hole, heavy)
    )
    conductor = by_step(walk_hole(heavy))["set-conductor"].consumed.sea_water_pumped
    assert dumped.sea_water_pumped == pytest.approx(conductor)
    less_water = usual.sea_water_pumped - dumped.sea_water_pumped
    more_mud = dumped.mud_to_sea_floor - usual.mud_to_sea_floor
    assert more_mud == pytest.approx(less_water, rel=1e-9)
    assert dumped.mud_built == pytest.approx(dumped.mud_to_sea_floor)
    assert dumped.barite > usual.barite
