"""Weighted mud that members dump: against the walk of a plan that dumps it, and plain numbers."""

from __future__ import annotations

import sys
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from bathybore.base.arrays import Array
from bathybore.ensembles.drawing import central, draw
from bathybore.ensembles.frame import frame_of, planned_policy
from bathybore.ensembles.legs_of_members import planned_legs
from bathybore.ensembles.making import made
from bathybore.ensembles.shapes import LIMITS, Drawn, Frame, Limit, Made
from bathybore.ensembles.spending import Spent, asked_names, spent
from bathybore.ensembles.spent_alone import made_as_planned
from bathybore.model.loading import load_hole
from bathybore.model.uncertainty import load_uncertainty
from bathybore.operations.columns import gravity
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.walk import walk_hole

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "benchmarks"))
from plain_holes import plain_hole, plain_made  # noqa: E402

DEFAULTS = ROOT / "examples" / "riserless"  # which has no document of what is uncertain


@pytest.fixture(scope="module", params=["main", "riserless", "frontier"])
def frame(request: pytest.FixtureRequest) -> Frame:
    return _frame(request.param)


@pytest.fixture(scope="module")
def main() -> Frame:
    return _frame("main")


def _frame(name: str) -> Frame:
    return frame_of(replace(load_hole(ROOT / "examples" / name), weather=None))


def _dumping(frame: Frame, index: int, density: Array) -> Made:
    """Return the plan as made, one string's hole drilled with other mud."""
    plan = made_as_planned(frame)
    there = plan.string == index
    return replace(plan, density=np.where(there, density, plan.density))


def _spent(frame: Frame, holes: Made) -> Spent:
    drawn = central(load_uncertainty(DEFAULTS, frame.hole), frame)
    return spent(frame, holes, frame.depth[[frame.target]], drawn)


def _riserless(frame: Frame) -> tuple[int, ...]:
    """Return the strings of sections without a riser that leave heavy mud."""
    sections = frame.hole.plan.sections
    return tuple(
        index
        for index, one in enumerate(frame.strings)
        if one.section >= 0
        and not one.spare
        and sections[one.section].returns != "riser"
        and sections[one.section].pad_fluid is not None
    )


def _with_stores(frame: Frame, **stores: float) -> Frame:
    hole = frame.hole
    plenty = dict.fromkeys(("mud_volume", "barite", "cement", "drill_water"), 1e9)
    update = {**plenty, "resupplies": 0, **stores}
    kept = hole.vessel.stores.model_copy(update=update)
    vessel = hole.vessel.model_copy(update={"stores": kept})
    return replace(
        frame, hole=replace(hole, document=hole.document.model_copy(update={"vessel": vessel}))
    )


def test_a_plan_that_dumps_the_mud_uses_as_much(frame: Frame) -> None:
    """The walk of the plan with its heavy mud for fluid and sweeps, section by section."""
    hole = frame.hole
    for index in _riserless(frame):
        section = hole.plan.sections[frame.strings[index].section]
        heavy = hole.plan.fluids[section.pad_fluid or ""]
        changed = section.model_copy(
            update={
                "fluid": section.pad_fluid,
                "sweep_fluid": section.sweep_fluid and section.pad_fluid,
            }
        )
        sections = [changed if one is section else one for one in hole.plan.sections]
        coring = hole.plan.coring
        if coring is not None and section is hole.plan.sections[-1]:
            coring = coring.model_copy(update={"fluid": section.pad_fluid})
        plan = hole.plan.model_copy(update={"sections": sections, "coring": coring})
        document = hole.document.model_copy(update={"plan": plan})
        used = walk_hole(replace(hole, document=document))[-1].consumed
        got = _spent(frame, _dumping(frame, index, np.array(heavy.density)))
        assert got.mud[0] == pytest.approx(used.mud_built, rel=1e-9)
        assert got.barite[0] == pytest.approx(used.barite, rel=1e-9)
        assert got.mud[0] > frame.states[-1].consumed.mud_built * 1.05


def test_the_plan_s_own_fluids_cost_what_they_did(frame: Frame) -> None:
    got, used = _spent(frame, made_as_planned(frame)), frame.states[-1].consumed
    assert got.mud[0] == pytest.approx(used.mud_built, rel=1e-9)
    assert got.barite[0] == pytest.approx(used.barite, rel=1e-9)


def _half(frame: Frame) -> tuple[int, Array, Array]:
    """Return a string drilled with mud that grows heavier over the lower half of its hole."""
    index = _riserless(frame)[0]
    legs = planned_legs(frame)
    top, bottom = legs.top[0, index], legs.bottom[0, index]
    planned = made_as_planned(frame).density[0]
    middle = 0.5 * (top + bottom)
    heavy = 1100.0 + 0.2 * (frame.depth - middle)
    return index, np.where(frame.depth > middle, heavy, planned), legs.bottom[0]


def _by_hand(frame: Frame, index: int, density: Array) -> tuple[Array, Array, Array]:
    """Return depths, and weighted mud and barite dumped down to them, node by node."""
    hole, legs = frame.hole, planned_legs(frame)
    section = hole.plan.sections[frame.strings[index].section]
    state = next(
        one for one in frame.states
        if one.step.kind.name == "DRILL" and one.step.section == frame.strings[index].section
    )  # fmt: skip
    planned = hole.plan.fluids[section.fluid].density
    top, bottom = float(legs.top[0, index]), float(legs.bottom[0, index])
    pumped = float(section.flow_rate) * sum(
        float(part) for part in state.times if part.name in ("drill", "connections")
    )
    depth = np.unique(np.concatenate([frame.depth, [top, bottom]]))
    depth = depth[(depth >= top) & (depth <= bottom)]
    shoe = float(legs.shoe[0, index])
    rate = hole.earth.at("rate_of_penetration", frame.depth)
    fine = [np.linspace(a, b, 201) for a, b in pairwise(depth)]
    slow = [np.trapezoid(np.interp(one, frame.depth, 1.0 / rate), one) for one in fine]
    part = np.array(slow) / np.sum(slow)
    at = np.searchsorted(frame.depth, np.minimum(depth[1:], shoe) - 1e-9)
    mud = density[at]
    volume = np.where(np.abs(mud - planned) > 1e-3, pumped * part, 0.0)
    water, grain = sea_water(hole).density, 4200.0
    # mass is kept: barite and the water that it leaves room for are the mud
    barite = np.where(mud > 1.01 * water, volume * (mud - water) / (1.0 - water / grain), 0.0)
    return depth, np.append(0.0, np.cumsum(volume)), np.append(0.0, np.cumsum(barite))


def test_mud_that_grows_heavier_is_charged_node_by_node(main: Frame) -> None:
    index, density, _ = _half(main)
    plain = _spent(main, made_as_planned(main))
    got = _spent(main, _dumping(main, index, density))
    _, volume, barite = _by_hand(main, index, density)
    section = main.hole.plan.sections[main.strings[index].section]
    # the sweeps that are left out where everything pumped is mud
    swept = section.sweep_share * volume[-1]
    sweep = main.hole.plan.fluids[section.sweep_fluid or ""].density
    water = sea_water(main.hole).density
    spared = swept * (sweep - water) / (1.0 - water / 4200.0)
    assert volume[-1] > 500.0
    assert got.mud[0] - plain.mud[0] == pytest.approx(volume[-1] - swept, rel=1e-6)
    assert got.barite[0] - plain.barite[0] == pytest.approx(barite[-1] - spared, rel=1e-6)


def test_the_mud_runs_out_where_it_is_dumped(main: Frame) -> None:
    """Nothing is weighted in the upper half: there only sweeps and the pad count, evenly."""
    index, density, _ = _half(main)
    dumped = _dumping(main, index, density)
    depth, volume, _ = _by_hand(main, index, density)
    whole = _spent(main, dumped).mud[0] - _spent(main, made_as_planned(main)).mud[0]
    assert whole > 0.0
    used = next(
        sum(float(use.amount) for use in one.uses if use.store == "mud_built")
        for one in main.states
        if one.step.kind.name == "DRILL" and one.step.section == main.strings[index].section
    )
    before = next(
        one.consumed.mud_built for one in main.states if one.step.kind.name == "SET_CONDUCTOR"
    )
    even = used + whole - volume[-1]
    total = before + even * (depth - depth[0]) / (depth[-1] - depth[0]) + volume
    for deep in (depth[0] + 50.0, 0.5 * (depth[0] + depth[-1]) + 80.0, depth[-1] - 30.0):
        store = float(np.interp(deep, depth, total))
        got = _spent(_with_stores(main, mud_volume=store), dumped)
        assert got.bites[Limit.STOCK][0] == pytest.approx(deep, abs=0.5)
        asked = asked_names(main)[got.asked[Limit.STOCK][0]]
        assert asked.endswith("/mud-stock")


def _moved(frame: Frame, count: int, heavier: float) -> Drawn:
    """Return members whose pores need mud from the conductor on, some more and some less."""
    drawn = draw(load_uncertainty(DEFAULTS, frame.hole), frame, 4, 0, count)
    more = heavier * np.linspace(0.2, 1.8, count)[:, None] * gravity(frame.hole) * frame.depth
    pore = drawn.curves["pore_pressure"] + more
    strong = drawn.curves["fracture_pressure"] + more
    return replace(
        drawn, curves={**drawn.curves, "pore_pressure": pore, "fracture_pressure": strong}
    )


@pytest.mark.parametrize("name", ["main", "riserless"])
@pytest.mark.parametrize("share", [0.3, 1.0])
def test_a_loop_of_plain_numbers_dumps_the_same(name: str, share: float) -> None:
    frame = _frame(name)
    board = frame.hole.vessel.stores
    frame = _with_stores(frame, mud_volume=share * board.mud_volume)
    policy, drawn = planned_policy(frame), _moved(frame, 24, 20.0)
    got, plain = made(frame, policy, drawn), plain_hole(frame, policy)
    out = LIMITS.index(Limit.STOCK)
    for member in range(drawn.count):
        shoes, density, string, ends, why = plain_made(plain, drawn, member)
        np.testing.assert_array_equal(got.shoes[member], shoes)
        np.testing.assert_array_equal(got.string[member], string)
        np.testing.assert_allclose(got.density[member], density, rtol=1e-12)
        assert got.ends[member] == ends
        assert got.ends_by[member] == (-1 if why is None else LIMITS.index(why))
    assert (_dumped_by_hand(frame, got, drawn) > 0.0).any(axis=1).sum() > 4
    assert name == "main" or (got.ends_by == out).any()


def test_no_more_is_dumped_over_all_sections_than_there_is() -> None:
    """Two sections without a riser: what the first dumps the second no longer has."""
    frame = _frame("riserless")
    policy, drawn = planned_policy(frame), _moved(frame, 48, 20.0)
    ample = made(_with_stores(frame, mud_volume=1e9), policy, drawn)
    gone = _dumped_by_hand(frame, ample, drawn)
    first, last = gone[:, 0], gone.sum(axis=1)
    both = (first > 0.0) & (last > first * 1.2)
    assert both.any()
    board = float(np.median(last[both]))
    short = made(_with_stores(frame, mud_volume=board), policy, drawn)
    left = _dumped_by_hand(frame, short, drawn).sum(axis=1)
    assert left.max() <= board * (1.0 + 1e-9)
    ends = np.where(np.isfinite(short.ends), short.ends, np.inf)
    assert (ends <= ample.ends).all()
    assert (ends[both] < ample.ends[both]).any()


def _dumped_by_hand(frame: Frame, holes: Made, drawn: Drawn) -> Array:
    """Return what members dump (member, string of a section without riser)."""
    handling = frame.hole.vessel.handling
    gone = []
    for index in _riserless(frame):
        section = frame.hole.plan.sections[frame.strings[index].section]
        fluid = frame.hole.plan.fluids[section.fluid].density
        slow = 1.0 / (section.rate_of_penetration_factor * drawn.curves["rate_of_penetration"])
        slow = 0.5 * (slow[:, 1:] + slow[:, :-1])
        slow = slow + drawn.number("handling_time") * (
            handling.connection_time / handling.stand_length
        )
        mine = (np.array([s.section for s in frame.strings])[holes.string] == (
            frame.strings[index].section
        )) & (holes.string >= 0)  # fmt: skip
        other = mine & (np.abs(holes.density - fluid) > 1e-6)
        steps = section.flow_rate * slow * np.diff(frame.depth)
        gone.append(np.sum(np.where(other[:, 1:], steps, 0.0), axis=1))
    return np.stack(gone, axis=1)
