"""Holes made many times: against the plan, the search's bounds, and a loop of plain numbers."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from bathybore.base.arrays import Array
from bathybore.ensembles.drawing import central, draw
from bathybore.ensembles.frame import frame_of, planned_policy
from bathybore.ensembles.making import made
from bathybore.ensembles.members import member_hole
from bathybore.ensembles.open_hole import open_section
from bathybore.ensembles.shapes import LIMITS, Drawn, Frame, Limit, Made
from bathybore.ensembles.window_of_members import circulation_of, earths_of, planned_practice
from bathybore.model.loading import load_hole
from bathybore.model.uncertainty import load_uncertainty
from bathybore.operations.columns import column_pressure, column_top, gravity, nodes_at
from bathybore.operations.state import FluidLayer
from bathybore.search.bounds import Bounds, Grid, bounds_for, usual_terms
from bathybore.search.intervals import interval

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "benchmarks"))
from plain_holes import plain_hole, plain_made  # noqa: E402

NAMES = ("main", "riserless", "frontier")
DEFAULTS = ROOT / "examples" / "riserless"  # which has no document of what is uncertain


@pytest.fixture(scope="module", params=NAMES)
def frame(request: pytest.FixtureRequest) -> Frame:
    return frame_of(load_hole(ROOT / "examples" / request.param))


@pytest.fixture(scope="module")
def main() -> Frame:
    return frame_of(load_hole(ROOT / "examples" / "main"))


def planned(frame: Frame) -> Drawn:
    return central(load_uncertainty(DEFAULTS, frame.hole), frame)


def some(frame: Frame, count: int, seed: int = 1) -> Drawn:
    return draw(load_uncertainty(DEFAULTS, frame.hole), frame, seed, 0, count)


def with_curve(drawn: Drawn, column: str, moved: Array) -> Drawn:
    return replace(drawn, curves={**drawn.curves, column: drawn.curves[column] + moved})


def legs(frame: Frame) -> Iterator[tuple[int, int, int]]:
    """Yield section, first and last node of every hole of the plan."""
    top = int(np.argmin(np.abs(frame.depth - frame.strings[0].bottom)))
    for string in frame.strings[1:]:
        if not string.spare:
            bottom = int(np.argmin(np.abs(frame.depth - string.bottom)))
            yield string.section, top, bottom
            top = bottom


def to_target(bounds: Bounds, frame: Frame, top: int) -> Bounds:
    """Return the bounds down to the target: gas is as warm as the search's deepest node."""
    grid = Grid(bounds.grid.hole, frame.depth[top : frame.target + 1])
    return bounds_for(grid, bounds.circulation, bounds.practice)


def test_nothing_drawn_is_the_plan(frame: Frame) -> None:
    got = made(frame, planned_policy(frame), planned(frame))
    bottoms = np.array([string.bottom for string in frame.strings])
    np.testing.assert_array_equal(got.shoes[0], bottoms)  # spares are not set
    assert got.ends[0] == np.inf
    assert got.ends_by[0] == -1
    for section, top, bottom in legs(frame):
        mud = frame.hole.plan.fluids[frame.hole.plan.sections[section].fluid].density
        np.testing.assert_array_equal(got.density[0, top + 1 : bottom + 1], mud)


def test_bounds_are_those_of_the_search(frame: Frame) -> None:
    hole, drawn, terms = frame.hole, planned(frame), usual_terms(frame.hole)
    for section, top, bottom in legs(frame):
        grid = Grid(hole, frame.depth[top : bottom + 1])
        practice = planned_practice(hole, section)
        bounds = bounds_for(grid, circulation_of(hole, section), practice)
        window = bounds.window(terms)
        one = open_section(earths_of(frame, drawn), drawn, section, top, bottom)
        needed = np.max([bound.density for bound in window.needed], axis=0) + window.room
        borne = np.min([bound.density for bound in window.borne], axis=0)
        np.testing.assert_allclose(np.ravel(one.needed), needed, rtol=1e-12)
        np.testing.assert_allclose(np.ravel(one.borne), borne, rtol=1e-12)
        if one.kick is not None:
            weak, foot = np.triu_indices(len(grid.depth))
            kick = to_target(bounds, frame, top).kick_load(terms).borne(weak, foot)
            np.testing.assert_allclose(one.kick.borne(weak, foot)[0], kick, rtol=1e-12)
        # the plan's own mud lies in the interval that the search opens for this hole
        found = interval(window, 0, len(grid.depth) - 1)
        assert found.needed.density <= practice.fluid.density <= found.borne.density


def test_drawn_curves_give_the_bounds_of_the_hole_that_a_member_is(main: Frame) -> None:
    """A member's bounds are those of the search in the member's own hole, nodes as table rows.

    The mean temperature of a column of mud sums the same layers in another order.
    """
    drawn = some(main, 3)
    for member in range(3):
        hole = member_hole(main, drawn, member)
        section, top, bottom = list(legs(main))[2]
        bounds = bounds_for(
            Grid(hole, main.depth[top : bottom + 1]),
            circulation_of(hole, section),
            planned_practice(hole, section),
            float(drawn.number("friction_pressure")[member, 0]),
        )
        window = bounds.window(usual_terms(hole))
        one = open_section(earths_of(main, drawn), drawn, section, top, bottom)
        needed = np.max([bound.density for bound in window.needed], axis=0) + window.room
        borne = np.min([bound.density for bound in window.borne], axis=0)
        np.testing.assert_allclose(one.needed[member], needed, rtol=1e-9)
        np.testing.assert_allclose(one.borne[member], borne, rtol=1e-9)
        assert one.kick is not None
        weak, foot = np.triu_indices(bottom - top + 1)
        kick = to_target(bounds, main, top).kick_load(usual_terms(hole)).borne(weak, foot)
        np.testing.assert_allclose(one.kick.borne(weak, foot)[member], kick, rtol=1e-9)


def test_mud_at_rest_gives_what_the_walk_asks_for(main: Frame) -> None:
    """The least density's column ends in pore pressure and trip margin, to rounding.

    Upwards the two part: the walk has the friction of the hole as it is, the search and the
    members that of one as narrow up to the sea bed (see the tests of the search's bounds).
    """
    hole, drawn = main.hole, planned(main)
    margin, top = float(hole.basis.trip_margin), float(hole.drill_floor)
    for section, first, last in legs(main):
        if hole.plan.sections[section].returns == "riser":
            one = open_section(earths_of(main, drawn), drawn, section, first, last)
            density = float(one.pore[0, -1]) - one.room
            fluid = hole.plan.fluids[hole.plan.sections[section].fluid]
            mud = fluid.model_copy(update={"density": density})
            start, pressure = column_top(hole, True)
            layer = FluidLayer("mud", mud, start, hole.z(hole.plan.target))
            z = nodes_at(float(main.z[last]))
            got = float(np.asarray(column_pressure(hole, (layer,), pressure, z).si)[0])
            pore = float(hole.earth.at("pore_pressure", main.depth[last]))
            wanted = pore + margin * gravity(hole) * (float(z[0]) - top)
            assert got == pytest.approx(wanted, rel=1e-9)


def test_a_loop_of_plain_numbers_makes_the_same_holes(frame: Frame) -> None:
    policy, drawn = planned_policy(frame), some(frame, 25, seed=3)
    for spares in (True, False):
        got = made(frame, replace(policy, spares=spares), drawn)
        plain = plain_hole(frame if spares else without_spares(frame), policy)
        for member in range(drawn.count):
            shoes, density, string, ends, why = plain_made(plain, drawn, member)
            if not spares:
                kept = [not one.spare for one in frame.strings]
                np.testing.assert_array_equal(got.shoes[member, kept], shoes)
            else:
                np.testing.assert_array_equal(got.shoes[member], shoes)
                np.testing.assert_array_equal(got.string[member], string)
            np.testing.assert_allclose(got.density[member], density, rtol=1e-12)
            assert got.ends[member] == ends
            assert got.ends_by[member] == (-1 if why is None else LIMITS.index(why))


def without_spares(frame: Frame) -> Frame:
    return replace(frame, strings=tuple(one for one in frame.strings if not one.spare))


def test_chunks_make_no_difference(frame: Frame) -> None:
    drawn = some(frame, 130)
    whole = made(frame, planned_policy(frame), drawn)
    for first, last in ((0, 1), (1, 66), (66, 130)):
        part = made(frame, planned_policy(frame), members(drawn, first, last))
        for field in ("shoes", "density", "string", "ends", "ends_by", "alone"):
            np.testing.assert_array_equal(
                getattr(part, field), getattr(whole, field)[first:last], err_msg=field
            )


def members(drawn: Drawn, first: int, last: int) -> Drawn:
    return replace(
        drawn,
        count=last - first,
        curves={
            name: rows if len(rows) == 1 else rows[first:last]
            for name, rows in drawn.curves.items()
        },
        numbers={name: numbers[first:last] for name, numbers in drawn.numbers.items()},
    )


def within_target(frame: Frame, got: Made) -> Array:
    return np.minimum(got.ends, frame.depth[frame.target])


def test_weaker_rock_never_lets_a_hole_come_deeper(frame: Frame) -> None:
    drawn, policy = some(frame, 200), planned_policy(frame)
    strong = made(frame, policy, drawn)
    for share in (2.0, 30.0, 150.0):  # kg/m3 less, from the sea bed down
        weaker = with_curve(drawn, "fracture_pressure", -share * 9.81 * frame.depth)
        weak = made(frame, policy, weaker)
        assert (within_target(frame, weak) <= within_target(frame, strong)).all()
        assert (np.nan_to_num(weak.shoes) <= np.nan_to_num(strong.shoes)).all(axis=1).any()


def test_spares_never_cost_depth(frame: Frame) -> None:
    drawn, policy = some(frame, 300), planned_policy(frame)
    with_spares = made(frame, policy, drawn)
    without = made(frame, replace(policy, spares=False), drawn)
    assert (within_target(frame, with_spares) >= within_target(frame, without)).all()
    spare = [index for index, one in enumerate(frame.strings) if one.spare]
    assert np.isnan(without.shoes[:, spare]).all()


def test_less_kick_and_less_friction_never_cost_depth(main: Frame) -> None:
    drawn, policy = some(main, 200), planned_policy(main)
    before = within_target(main, made(main, policy, drawn))
    basis = main.hole.basis
    planned_of = {
        "friction_pressure": 1.0,
        "design_basis.kick_volume": basis.kick_volume,
        "design_basis.kick_intensity": basis.kick_intensity,
    }
    for key in planned_of:
        less = replace(
            drawn, numbers={**drawn.numbers, key: drawn.number(key, planned_of[key])[:, 0] * 0.5}
        )
        assert (within_target(main, made(main, policy, less)) >= before).all(), key


def test_shoes_lie_in_order_and_mud_lies_inside(frame: Frame) -> None:
    drawn = some(frame, 200)
    earths, got = earths_of(frame, drawn), made(frame, planned_policy(frame), drawn)
    down = np.where(np.isfinite(got.shoes), got.shoes, -np.inf)
    assert (np.diff(np.maximum.accumulate(down, axis=1), axis=1) >= 0.0).all()
    assert (got.shoes[np.isfinite(got.shoes)] <= frame.depth[frame.target]).all()
    inside = np.isfinite(got.density)
    assert (inside == (got.string >= 0)).all()
    assert (inside == (frame.depth <= got.ends[:, None])).all()
    lowest = {section: bottom for section, _, bottom in legs(frame)}
    lowest[frame.strings[-1].section] = len(frame.depth) - 1
    conductor = frame.depth <= frame.strings[0].bottom
    for index, string in enumerate(frame.strings[1:], 1):
        here = (got.string == index) & ~conductor
        if frame.hole.plan.sections[string.section].returns == "riser":
            one = open_section(earths, drawn, string.section, 0, lowest[string.section])
            here = here[:, one.nodes]
            mud = got.density[:, one.nodes][here]
            assert (mud >= one.needed[here] - one.room - 1e-9).all()
            assert (mud <= one.borne[here] + 1e-9).all()


def test_a_depth_that_nothing_serves_ends_every_hole(main: Frame) -> None:
    """Pore pressure above fracture pressure at one depth: no number of strings helps."""
    drawn, node = planned(main), 120
    moved = np.zeros((1, len(main.depth)))
    pore, fracture = (drawn.curves[c][0, node] for c in ("pore_pressure", "fracture_pressure"))
    moved[0, node] = fracture - pore + 1e6
    got = made(main, planned_policy(main), with_curve(drawn, "pore_pressure", moved))
    assert got.ends[0] == got.alone[0, 0] == main.depth[node - 1]
    assert LIMITS[got.ends_by[0]] is Limit.WINDOW
    wall = made(main, planned_policy(main), with_curve(drawn, "collapse_pressure", moved))
    assert wall.ends[0] == wall.alone[0, 1] == main.depth[node - 1]
    assert LIMITS[wall.ends_by[0]] is Limit.CAVING
    assert np.isnan(wall.shoes[0, 5:]).all()


def test_a_window_that_closes_sets_the_casing_early(main: Frame) -> None:
    """A step in pore pressure half-way down a section: its casing goes above the step."""
    drawn = planned(main)
    step = np.where(main.depth > 2600.0, 6e6, 0.0)[None, :]
    moved = with_curve(drawn, "pore_pressure", step)
    moved = with_curve(moved, "collapse_pressure", step)
    got = made(main, planned_policy(main), moved)
    assert got.shoes[0, 4] == main.depth[main.depth <= 2600.0][-1]
    assert got.shoes[0, 5] > 2600.0


def test_mud_to_be_dumped_lasts_as_long_as_there_is_any(main: Frame) -> None:
    """Overpressure below the conductor: weighted mud instead of sea water, while it lasts."""
    drawn, hole = planned(main), main.hole
    moved = with_curve(drawn, "pore_pressure", 25.0 * gravity(hole) * main.depth[None, :])
    got = made(main, planned_policy(main), moved)
    section = hole.plan.sections[0]
    first = int(np.argmin(np.abs(main.depth - main.strings[0].bottom)))
    last = int(np.argmin(np.abs(main.depth - got.shoes[0, 1])))
    assert (got.density[0, first + 1 : last + 1] > 1027.0).all()
    there = hole.vessel.stores.mud_volume * (1 + hole.vessel.stores.resupplies)
    rate = section.rate_of_penetration_factor * drawn.curves["rate_of_penetration"][0]
    fine = np.linspace(main.depth[first], main.depth[last], 200_001)
    slow = 1.0 / np.interp(fine, main.depth, rate)
    pumped = section.flow_rate * float(np.sum(0.5 * (slow[1:] + slow[:-1]) * np.diff(fine)))
    assert pumped <= there * 1.01
    assert got.shoes[0, 1] in (700.0, main.depth[last])


def test_bottoms_that_do_not_follow_one_another(main: Frame) -> None:
    policy = planned_policy(main)
    with pytest.raises(ValueError, match="one below the other"):
        made(main, replace(policy, bottoms=policy.bottoms[::-1]), planned(main))
