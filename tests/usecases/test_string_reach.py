"""The string from the stock of a walked hole: limits kept, tendencies, what is left out."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bathybore.base.errors import InputErrors
from bathybore.checks.record import Status
from bathybore.checks.steel import string_checks
from bathybore.drawings.string_loads import draw_string
from bathybore.model.hole import Hole
from bathybore.model.inventory import PipeStock
from bathybore.usecases.string_reach import StringReach, load_curve, string_reach
from bathybore.usecases.walking import Walk, walk_loaded
from varied import by_step, changed


@pytest.fixture(scope="module")
def reach(main_walk: Walk) -> StringReach:
    return string_reach(main_walk)


def of(walk: Walk, path: str, value: object) -> StringReach:
    """Ask of the same states with another hole around them: no walk is needed."""
    hole: Hole = changed(walk.hole, path, value)
    return string_reach(replace(walk, hole=hole))


def test_every_pipe_bears_what_hangs_below_it(reach: StringReach) -> None:
    tension = float(reach.below)
    weights = {one.pipe.name: float(one.weight) for one in reach.limits}
    stock = {one.pipe.name: one.pipe.stock.length for one in reach.limits}
    foot = float(reach.reach) - reach.assembly_length
    feet = {one.pipe.name: one.foot for one in reach.limits}
    for pipe in reach.pipes:
        tension += weights[pipe.name] * pipe.length
        assert pipe.top_tension == pytest.approx(tension)
        assert pipe.top_tension <= pipe.bears * (1.0 + 1e-6)
        assert pipe.length <= stock[pipe.name] * (1.0 + 1e-6)
        assert foot <= feet[pipe.name] + 1e-3
        foot -= pipe.length
    assert foot == pytest.approx(0.0, abs=1e-3)
    assert tension <= float(reach.hoist)


def test_it_reaches_no_less_than_the_planned_string(main_walk: Walk, reach: StringReach) -> None:
    """The planned coring string holds, so the best string reaches the target at least."""
    core = by_step(main_walk.states)["core"]
    planned = [r for r in string_checks(core) if r.name in ("string-tension", "slips", "hook-load")]
    assert all(r.status in (Status.HOLDS, Status.TIGHT) for r in planned)
    assert reach.passes


def test_free_of_bores_and_stock_it_only_reaches_deeper(reach: StringReach) -> None:
    fitting = float(reach.reach) - reach.assembly_length
    assert fitting <= reach.free.length + 1e-3
    assert reach.free.length <= reach.endless.length + 1e-3
    depth, tension = load_curve(reach.free, reach.assembly_length)
    assert depth[0] == pytest.approx(reach.assembly_length)
    assert tension[0] == pytest.approx(float(reach.below))
    assert (depth[1:] > depth[:-1]).all()


def test_more_overpull_reaches_less_and_more_stock_reaches_more(
    main_walk: Walk, reach: StringReach
) -> None:
    pulled = of(main_walk, "design_basis/string_overpull", 1.5e6)
    assert float(pulled.reach) < float(reach.reach)
    stocked = of(main_walk, "inventory/pipe/dp-4/length", 3000.0)
    assert float(stocked.reach) > float(reach.reach)


def test_a_weak_hoist_ends_it_and_is_named(main_walk: Walk, reach: StringReach) -> None:
    weak = of(main_walk, "vessel/hoist/hook_capacity", 4.0e6)
    assert float(weak.reach) < float(reach.reach)
    assert "the hoist" in weak.ends
    assert not weak.passes
    assert weak.records[0].status is Status.FAILS


def test_an_assembly_that_nothing_bears_is_told(main_walk: Walk) -> None:
    none = of(main_walk, "design_basis/string_overpull", 9e6)
    assert none.pipes == ()
    assert none.ends == "no pipe of the stock bears the bottom assembly"
    assert not none.passes


def test_light_alloy_reaches_deeper(main_walk: Walk, reach: StringReach) -> None:
    """Titanium for the 5 7/8 in pipe: half of the weight at the strength of S-135 less a tenth."""
    steel = main_walk.hole.inventory.pipe["dp-578"]
    light = PipeStock.model_validate(
        {
            "size": "5 7/8 in titanium",
            "kind": "pipe",
            "length": f"{steel.length} m",
            "outside_diameter": "5.875 in",
            "wall": "0.361 in",
            "linear_mass": "21 kg/m",
            "tool_joint_diameter": "7 in",
            "material": "titanium",
            "yield_strength": "120 ksi",
        }
    )
    other = of(main_walk, "inventory/pipe/dp-578", light)
    assert other.endless.length > reach.endless.length
    assert float(other.stretch) > float(reach.stretch)  # 114 GPa bends more easily than 207


def test_a_surveyed_hole_needs_more_pipe(main_walk: Walk, reach: StringReach) -> None:
    from bathybore.model.csv_tables import parse_table
    from bathybore.model.tables import SURVEY_COLUMNS

    rows = "measured_depth_below_sea_bed [m],inclination [deg],azimuth [deg]\n0,0,0\n3000,9,0\n"
    table = parse_table(rows, "survey.csv", SURVEY_COLUMNS)
    hole = replace(main_walk.hole, survey=table)
    longer = string_reach(replace(main_walk, hole=hole))
    assert float(longer.needed) > float(reach.needed) + 10.0


def test_too_many_kinds_of_pipe_are_bad_input(main_walk: Walk) -> None:
    """Every order is tried: seven kinds would take minutes."""
    pipe = main_walk.hole.inventory.pipe
    many = {**pipe, **{f"more-{i}": pipe["dp-4"] for i in range(4)}}
    with pytest.raises(InputErrors, match="at most 6"):
        of(main_walk, "inventory/pipe", many)


def test_the_picture_says_in_words_what_it_shows(reach: StringReach) -> None:
    sheet = draw_string(reach)
    assert "landing-658" in sheet.alt
    assert reach.ends in sheet.alt


@pytest.mark.parametrize("name", ["drilling-26", "plugging"])
def test_any_string_of_the_plan_can_be_asked_for(main_walk: Walk, name: str) -> None:
    assert string_reach(main_walk, name).string == name


def test_a_walk_anew_gives_the_same(main_walk: Walk, reach: StringReach) -> None:
    again = string_reach(walk_loaded(main_walk.hole))
    assert float(again.reach) == float(reach.reach)
    assert again.ends == reach.ends
