"""The ledger at every depth: it says what the walk says, between its nodes and at them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from planned_members import as_planned

from bathybore.checks.ledger import answers, askers_of, records_of
from bathybore.checks.record import CheckRecord, Status
from bathybore.ensembles.bites import SLOWEST, bites, each_bite, fails
from bathybore.ensembles.cut_holes import cut, made_to
from bathybore.ensembles.frame import frame_of
from bathybore.ensembles.ledger_depths import (
    ABOUT,
    LedgerDepths,
    Moment,
    Table,
    Which,
    asked_of,
    densities_asked,
    depths_asked,
    ledger_depths,
    tabled_askers,
    top_of,
)
from bathybore.ensembles.limits_of_checks import (
    ANSWERED,
    ELSEWHERE,
    SOIL,
    belongs,
    is_known,
    is_tabled,
)
from bathybore.ensembles.shapes import LIMITS, Drawn, Frame, Limit, Made
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.operations.state import HoleState

EXAMPLES = Path(__file__).parents[2] / "examples"
ALL = ("main", "frontier", "riserless")
# share of a capacity: what straight lines between the depths of a table may miss
INTERPOLATED = 0.006


# a difference, a count that jumps, and what is told node by node: read by tests of their own
NO_SHARE = ("margin-of-overpull", "barriers", "riser-margin")


@cache
def frame(name: str) -> Frame:
    return frame_of(load_hole(EXAMPLES / name))


@cache
def ledger(name: str) -> LedgerDepths:
    return ledger_depths(frame(name))


AT = (Moment.MAKING, Moment.SET, Moment.TESTED, Moment.ONCE)


def planned_of(table: Table, hole: Hole) -> float:
    """Return the mud of a table, or the share of the soil's strength, that is the plan's."""
    if len(table.density) == 1:
        return float(table.density[0])
    if table.check in SOIL:
        return 1.0
    return hole.plan.fluids[hole.plan.sections[table.section].fluid].density


def at(table: Table, depth: float, density: float) -> tuple[float, float]:
    """Read a table by plain means: demand and capacity at a depth in a mud."""
    found = []
    for values in (table.demand, table.capacity):
        column = [np.interp(depth, table.depth, values[:, k]) for k in range(values.shape[1])]
        found.append(float(np.interp(density, table.density, column)))
    return found[0], found[1]


@pytest.mark.parametrize("name", ALL)
def test_every_quick_question_has_its_limit(name: str) -> None:
    asked = {record.name for state in frame(name).states for record in records_of(state)}
    assert [check for check in sorted(asked) if not is_known(check)] == []
    assert "burst-kick" in asked or name == "riserless"


def test_a_question_nobody_placed_is_no_limit_of_its_own() -> None:
    assert belongs("flow-checks-solver").limit is Limit.OTHER
    assert not is_known("flow-checks-solver")


def tabled_of(state: HoleState) -> Iterator[CheckRecord]:
    """Yield what those answer who are asked for the tables, the one longer question among them."""
    for ask in tabled_askers(state.step.kind):
        yield from answers(ask, state)


@pytest.mark.parametrize(
    "name", ["main", "riserless", pytest.param("frontier", marks=pytest.mark.soak)]
)
def test_at_the_planned_depths_and_muds_the_walk_answers(name: str) -> None:
    """Every tabulated record of the plan is met by a table, to rounding."""
    hole, met = frame(name).hole, 0
    tables = {(t.id, t.moment): t for t in ledger(name).tables}
    told_only = dict(ledger(name).answered)
    for state in frame(name).states:
        for record in tabled_of(state):
            if record.demand is None or not is_tabled(record.name):
                continue
            table = next((tables[record.id, m] for m in AT if (record.id, m) in tables), None)
            if table is None:
                assert record.step == "run-riser"
                continue
            depth = float(state.bottom - hole.sea_bed)
            if table.moment in (Moment.SET, Moment.TESTED):
                depth = float(state.activity.end or 0.0) - float(hole.sea_bed)
                if state.hanging_casing is not None:
                    depth = float(state.hanging_casing.shoe - hole.sea_bed)
            demand, capacity = at(table, depth, planned_of(table, hole))
            # a margin of overpull is told as tension against strength: the difference stands
            left = float(record.capacity or 0.0) - float(record.demand)
            if record.id in told_only:
                assert record.status is not Status.FAILS
                left = 0.0
            assert capacity - demand == pytest.approx(left, rel=1e-7, abs=1e-9 * abs(capacity))
            met += 1
    assert met > {"main": 200, "frontier": 200, "riserless": 60}[name]


@pytest.mark.parametrize("name", ["main", pytest.param("frontier", marks=pytest.mark.soak)])
def test_the_riser_is_asked_as_the_walk_asks_it_of_the_last_section(name: str) -> None:
    hole = frame(name).hole
    landed = next(s for s in frame(name).states if s.step.name == "run-riser")
    records = {r.name: r for r in records_of(landed)}
    last = len(hole.plan.sections) - 1
    target = hole.frame.below_sea_bed(hole.plan.target)
    heaviest = max(
        hole.plan.fluids[one.fluid].density for one in hole.plan.sections if one.returns == "riser"
    )
    held = [t for t in ledger(name).tables if t.moment is Moment.RISER and t.section == last]
    assert {"riser-tension", "lift-off", "preventer-rating"} <= {t.check for t in held}
    for table in held:
        record = records[table.check]
        assert record.demand is not None
        assert record.capacity is not None
        demand, capacity = at(table, target, heaviest)
        assert demand == pytest.approx(float(record.demand), rel=1e-6)
        assert capacity == pytest.approx(float(record.capacity), rel=1e-6)


@pytest.mark.parametrize("name", ALL)
def test_between_its_depths_and_muds_the_walk_is_met_within_what_is_stated(name: str) -> None:
    this, draws = frame(name), np.random.default_rng(7)
    tables = [t for t in ledger(name).tables if t.moment is Moment.MAKING]
    looked = 0
    for index in range(len(this.hole.plan.sections)):
        depths, muds = depths_asked(this, index), densities_asked(this, index)
        for _ in range(4):
            bottom = this.hole.frame.below_sea_bed(this.hole.plan.sections[index].bottom)
            last = index == len(this.hole.plan.sections) - 1
            depth, mud = float(draws.uniform(depths[0], depths[-1] if last else bottom)), None
            if len(muds) > 1:
                mud = float(draws.uniform(muds[0], muds[-1]))
            state = made_to(this, cut(this.hole, index, depth, mud), index)[-1]
            for record in asked_of(state):
                table = next((t for t in tables if t.id == record.id), None)
                if table is None or record.demand is None or record.name in NO_SHARE:
                    continue
                demand, capacity = at(table, depth, mud or float(muds[0]))
                used = float(record.demand) / float(record.capacity or np.nan)
                missed = demand / capacity - used
                if record.name == "pipe-stock":  # of several pipes the scarcest: no less is told
                    assert -1e-9 < missed < 0.05
                else:
                    assert abs(missed) < INTERPOLATED, (record.id, depth, mud)
                looked += 1
    assert looked > 80


@pytest.mark.parametrize("name", ALL)
def test_the_plan_itself_bites_where_its_walk_fails_and_nowhere_else(name: str) -> None:
    this = frame(name)
    made, drawn = as_planned(this)
    depth, first = bites(ledger(name), this, made, drawn)
    target = float(this.depth[this.target])
    failing = {
        belongs(record.name).limit
        for state in this.states
        for record in tabled_of(state)
        if record.status is Status.FAILS
    } - ELSEWHERE
    found = {limit for limit, bite in zip(LIMITS, depth[0], strict=True) if bite <= target}
    assert found == failing
    assert ((first[0] >= 0) == np.isfinite(depth[0])).all()
    of_frontier = {Limit.HOIST, Limit.RISER, Limit.HEAT, Limit.PIPE, Limit.OTHER}
    assert failing == (of_frontier if name == "frontier" else set())


def test_heat_bites_where_the_earth_is_as_hot_as_the_tools_bear() -> None:
    """The frontier's rock passes the rating between two rows; the depth is theirs, exactly."""
    this = frame("frontier")
    made, drawn = as_planned(this)
    depth, first = bites(ledger("frontier"), this, made, drawn)
    column = LIMITS.index(Limit.HEAT)
    assert ledger("frontier").checks[first[0, column]] == "drill-lower-gabbro/temperature"
    earth, rating = this.hole.earth, this.hole.vessel.tool_temperature_limit
    heat = earth.numbers["temperature"]
    hot = int(np.argmax(heat > rating))
    share = (rating - heat[hot - 1]) / (heat[hot] - heat[hot - 1])
    expected = earth.depths[hot - 1] + share * (earth.depths[hot] - earth.depths[hot - 1])
    assert depth[0, column] == pytest.approx(expected, abs=0.01)


def drawn_with(name: str, key: str, values: list[float]) -> tuple[Made, Drawn]:
    made, drawn = as_planned(frame(name), len(values))
    return made, replace(drawn, numbers={key: np.array(values)})


def test_a_heavier_hook_load_bites_where_it_is_as_heavy_as_the_hoist_bears() -> None:
    """A factor that brings demand to capacity half-way down a section bites just there."""
    this = frame("main")
    table = next(t for t in ledger("main").tables if t.id == "core/hook-load")
    mud = this.hole.plan.fluids["mud-4"].density
    demand, capacity = at(table, 4800.0, mud)
    made, drawn = drawn_with("main", "hook_load", [capacity / demand, 0.5])
    depth, first = bites(ledger("main"), this, made, drawn)
    column = LIMITS.index(Limit.HOIST)
    # every other step of the plan weighs more than this core at half its depth
    heavier = [t for t in ledger("main").tables if t.limit is Limit.HOIST]
    assert any(np.nanmax(t.demand) > demand for t in heavier)
    only = LedgerDepths((table,))
    depth, first = bites(only, this, made, drawn)
    assert depth[0, column] == pytest.approx(4800.0, abs=0.01)
    assert first[0, column] == 0
    assert np.isinf(depth[1, column])


@pytest.mark.parametrize(
    ("key", "limit", "worse"),
    [
        ("hook_load", Limit.PIPE, 1),
        ("pipe_strength", Limit.PIPE, -1),
        ("casing_strength", Limit.CASING, -1),
        ("friction_pressure", Limit.PUMPS, 1),
        ("lifting", Limit.CLEANING, -1),
        ("riser_tension", Limit.RISER, 1),
    ],
)
def test_a_worse_factor_never_bites_deeper(key: str, limit: Limit, worse: int) -> None:
    values = list(np.linspace(0.4, 2.5, 25))
    made, drawn = drawn_with("main", key, values)
    depth, _ = bites(ledger("main"), frame("main"), made, drawn)
    found = depth[:, LIMITS.index(limit)][::worse]
    assert (found[1:] <= found[:-1] + 1e-9).all()
    assert np.isfinite(found).any()
    others = [i for i, one in enumerate(LIMITS) if one is not limit and one is not Limit.HOIST]
    moved = key == "hook_load"
    assert moved or (depth[:, others] == depth[:1, others]).all()


def test_members_drilled_one_by_one_bite_where_they_do_together() -> None:
    """Brute force: each node of each member looked at by itself, with plain interpolation."""
    this, draws, count = frame("main"), np.random.default_rng(11), 20
    made, drawn = as_planned(this, count)
    density = made.density + draws.normal(0.0, 60.0, (count, 1))
    made = replace(made, density=density)
    keys = ("hook_load", "pipe_strength", "friction_pressure", "lifting")
    drawn = replace(drawn, numbers={key: draws.normal(1.0, 0.3, count).clip(0.3) for key in keys})
    chosen = [
        table
        for table in ledger("main").tables
        if table.moment is Moment.MAKING
        and table.check not in ("temperature", "cuttings")
        and table.left is None
    ]
    depth, first = bites(LedgerDepths(tuple(chosen)), this, made, drawn)
    of = [one.section for one in this.strings]
    for member in range(count):
        for column, limit in enumerate(LIMITS):
            expected = np.inf
            for table in chosen:
                if table.limit is limit:
                    expected = min(expected, by_hand(this, table, made, drawn, member, of))
            assert depth[member, column] == pytest.approx(expected, rel=1e-9)
    assert np.isfinite(depth).sum() > 10
    assert (first[np.isfinite(depth)] >= 0).all()


def by_hand(
    this: Frame, table: Table, made: Made, drawn: Drawn, member: int, of: list[int]
) -> float:
    moved = belongs(table.check)
    more = float(drawn.number(moved.demand)[member, 0]) if moved.demand else 1.0
    less = float(drawn.number(moved.capacity)[member, 0]) if moved.capacity else 1.0
    coring = this.hole.plan.coring
    assert coring is not None
    begins = this.hole.frame.below_sea_bed(coring.top)

    def left(node: int, mud: float) -> float:
        values = []
        for numbers in (table.demand, table.capacity):
            column = [
                np.interp(this.depth[node], table.depth, numbers[:, k])
                for k in range(len(table.density))
            ]
            values.append(straight(mud, table.density, np.array(column)))
        return values[1] * less - values[0] * more

    for node in range(1, len(this.depth)):
        section = of[made.string[member, node]]
        cored = this.depth[node] > begins
        if section != table.section or (section == 4 and cored != (table.step == "core")):
            continue
        here = left(node, made.density[member, node])
        if here >= 0.0:
            continue
        same = of[made.string[member, node - 1]] == section
        mud = made.density[member, node - 1 if same else node]
        before = max(left(node - 1, mud), 0.0)
        share = before / (before - here)
        return float(this.depth[node - 1] + share * (this.depth[node] - this.depth[node - 1]))
    return float("inf")


def straight(x: float, known: np.ndarray, values: np.ndarray) -> float:
    """Interpolate, straight on beyond the ends."""
    if len(known) == 1:
        return float(values[0])
    i = int(np.clip(np.searchsorted(known, x) - 1, 0, len(known) - 2))
    slope = (values[i + 1] - values[i]) / (known[i + 1] - known[i])
    return float(values[i] + slope * (x - known[i]))


def test_hotter_rock_and_faster_drilling_bite_sooner() -> None:
    this = frame("main")
    made, drawn = as_planned(this, 3)
    heat = this.hole.earth.at("temperature", this.depth)
    rate = this.hole.earth.at("rate_of_penetration", this.depth)
    drawn = replace(
        drawn,
        curves={
            "temperature": np.stack([heat, heat + 60.0, heat]),
            "rate_of_penetration": np.stack([rate, rate * 1.5, rate * 1.5 / SLOWEST]),
        },
    )
    depth, first = bites(ledger("main"), this, made, drawn)
    hot, full = LIMITS.index(Limit.HEAT), LIMITS.index(Limit.CLEANING)
    assert np.isinf(depth[0, [hot, full]]).all()
    at_limit = np.interp(this.hole.vessel.tool_temperature_limit - 60.0, heat, this.depth)
    assert depth[1, hot] == pytest.approx(at_limit, abs=0.01)
    # the crew slows down first; where that is not enough, at the top of the first hole
    assert np.isinf(depth[1, full])
    assert depth[2, full] == pytest.approx(top_of(this, 0), abs=30.0)
    assert ledger("main").checks[first[2, full]] == "drill-top-hole/cuttings"
    as_fast = each_bite(ledger("main"), this, made, drawn, slowest=1.0)
    bitten = {t.id: found for t, found in zip(ledger("main").tables, as_fast, strict=True)}
    cuttings = bitten["drill-top-hole/cuttings"]
    assert np.isfinite(cuttings).tolist() == [False, True, True]


def test_pressure_of_the_pores_shifts_what_the_preventer_must_hold() -> None:
    """Half again the pore pressure asks at least half again of the preventer."""
    this = frame("main")
    made, drawn = as_planned(this, 3)
    pore = this.hole.earth.at("pore_pressure", this.depth)
    drawn = replace(drawn, curves={"pore_pressure": np.stack([pore, pore * 1.15, pore * 1.4])})
    depth, _ = bites(ledger("main"), this, made, drawn)
    bitten = depth[:, LIMITS.index(Limit.PREVENTER)]
    assert np.isinf(bitten[0])
    assert bitten[2] < bitten[1] < this.depth[-1] or np.isinf(bitten[1])
    assert np.isfinite(bitten[2])


def test_a_casing_not_set_is_not_asked() -> None:
    this = frame("main")
    made, drawn = drawn_with("main", "casing_strength", [0.3, 0.3])
    shoes = made.shoes.copy()
    shoes[1] = np.nan
    tables = tuple(t for t in ledger("main").tables if t.moment is Moment.SET)
    depth, _ = bites(LedgerDepths(tables), this, replace(made, shoes=shoes), drawn)
    column = LIMITS.index(Limit.CASING)
    assert np.isfinite(depth[0, column])
    assert np.isinf(depth[1, column])


@pytest.mark.parametrize("name", ALL)
def test_who_asks_about_some_limits_asks_about_no_other(name: str) -> None:
    for state in frame(name).states:
        for ask in askers_of(state.step.kind):
            if ask in ABOUT:
                found = {belongs(record.name).limit for record in answers(ask, state)}
                assert found - ELSEWHERE <= ABOUT[ask], ask.__name__


def test_asked_about_one_limit_in_known_muds_the_answers_are_the_same() -> None:
    this = frame("main")
    plan = this.hole.plan
    muds = tuple(plan.fluids[one.fluid].density for one in plan.sections)
    few = ledger_depths(this, which=Which((Limit.HOIST, Limit.RISER)), muds=muds)
    every = {(t.id, t.section): t for t in ledger("main").tables}
    assert {t.limit for t in few.tables} == {Limit.HOIST, Limit.RISER}
    assert len(few.tables) == sum(t.limit in (Limit.HOIST, Limit.RISER) for t in every.values())
    for table in few.tables:
        whole = every[table.id, table.section]
        mud = muds[table.section] if len(whole.density) > 1 else whole.density[0]
        column = 0 if len(whole.density) == 1 else int(np.searchsorted(whole.density, mud))
        assert (table.depth == whole.depth).all()
        assert table.demand[:, 0] == pytest.approx(whole.demand[:, column], rel=1e-12)


def test_progress_is_told_section_by_section() -> None:
    told: list[tuple[str, int, int]] = []
    ledger_depths(frame("riserless"), lambda *one: told.append(one))
    assert told == [("top-hole", 0, 2), ("core-hole", 1, 2), ("", 2, 2)]


def test_the_hole_is_left_as_it_was() -> None:
    this = frame("riserless")
    before = [record.margin for state in this.states for record in records_of(state)]
    ledger_depths(this)
    assert [r.margin for state in this.states for r in records_of(state)] == before


def test_a_cut_hole_is_the_plan_where_it_is_cut_at_its_own_depth() -> None:
    this = frame("main")
    for index, section in enumerate(this.hole.plan.sections):
        bottom = this.hole.frame.below_sea_bed(section.bottom)
        again = cut(this.hole, index, bottom).plan.sections[index]
        assert again == section


# ---- what moves with the rock and the soil -----------------------------------------------


def only(name: str, check: str) -> LedgerDepths:
    return LedgerDepths(tuple(t for t in ledger(name).tables if t.check == check))


def weaker(name: str, less: list[float]) -> tuple[Made, Drawn]:
    """Return members of the plan in rock that breaks sooner by so many pascals."""
    made, drawn = as_planned(frame(name), len(less))
    fracture = frame(name).hole.earth.at("fracture_pressure", frame(name).depth)
    curves = {"fracture_pressure": fracture - np.array(less)[:, None]}
    return made, replace(drawn, curves=curves)


def test_cement_breaks_rock_that_is_weaker_by_more_than_was_left() -> None:
    """The same everywhere: it bites at the shoe once the loss passes the plan's least margin."""
    this = frame("riserless")
    cemented = next(s for s in this.states if s.step.name == "cement-casing-1134")
    record = next(r for r in records_of(cemented) if r.name == "placing-high")
    assert record.demand is not None
    assert record.capacity is not None
    left = float(record.capacity) - float(record.demand)
    made, drawn = weaker("riserless", [0.0, 0.98 * left, 1.02 * left])
    depth, _ = bites(only("riserless", "placing-high"), this, made, drawn)
    bitten = depth[:, LIMITS.index(Limit.OTHER)]
    assert np.isinf(bitten[:2]).all()
    assert bitten[2] == pytest.approx(340.0)


def test_rock_that_is_cased_off_is_not_broken() -> None:
    """Weak above a spare string alone: bitten without it, not with it."""
    this = frame("riserless")
    made, drawn = weaker("riserless", [1e6, 1e6])
    fracture = drawn.curves["fracture_pressure"].copy()
    planned = this.hole.earth.at("fracture_pressure", this.depth)
    fracture[:, this.depth > 150.0] = planned[this.depth > 150.0]
    shoes = made.shoes.copy()
    spare = next(i for i, one in enumerate(this.strings) if one.spare)
    shoes[1, spare] = 200.0
    made = replace(made, shoes=shoes)
    drawn = replace(drawn, curves={"fracture_pressure": fracture})
    depth, _ = bites(only("riserless", "placing-high"), this, made, drawn)
    bitten = depth[:, LIMITS.index(Limit.OTHER)]
    assert bitten[0] == pytest.approx(340.0)
    assert bitten[1] == pytest.approx(200.0)  # the spare's own cement breaks it


def test_a_shoe_test_proves_what_the_drawn_rock_bears() -> None:
    """Without a planned test the fracture pressure at the shoe is taken: the margin to rounding."""
    this = frame("main")
    tested = next(s for s in this.states if s.step.name == "test-casing-20")
    record = next(r for r in records_of(tested) if r.name == "shoe-test")
    left = float(record.capacity or np.nan) - float(record.demand or np.nan)
    made, drawn = weaker("main", [0.999 * left, 1.001 * left])
    tables = tuple(t for t in only("main", "shoe-test").tables if t.step == "test-casing-20")
    depth, _ = bites(LedgerDepths(tables), this, made, drawn)
    bitten = depth[:, LIMITS.index(Limit.OTHER)]
    assert np.isinf(bitten[0])
    assert bitten[1] == pytest.approx(700.0)


def test_the_mud_of_a_member_is_what_the_shoe_is_tested_for() -> None:
    """By the heaviest mud below it: half a density more asks its weight down to the shoe more."""
    this = frame("main")
    (table,) = [t for t in only("main", "shoe-test").tables if t.step == "test-casing-20"]
    made, drawn = as_planned(this, 2)
    density = made.density.copy()
    density[1, made.string[1] == 3] += 100.0  # the hole of the string below, no spare
    below = next(i for i, s in enumerate(this.strings) if s.name == "casing-1338")
    assert below == 3
    depth, _ = bites(LedgerDepths((table,)), this, replace(made, density=density), drawn)
    bitten = depth[:, LIMITS.index(Limit.OTHER)]
    assert np.isinf(bitten[0])
    assert bitten[1] == pytest.approx(700.0)


def test_pores_bite_where_the_column_holds_them_no_longer() -> None:
    """Made up: a column that is left 1 MPa at the top and less below, more in heavier mud."""
    this = frame("frontier")
    top, bottom, muds = 1030.0, 2500.0, np.array([1000.0, 1200.0])
    open_hole = (this.depth >= top) & (this.depth <= bottom)
    left = np.where(open_hole, 1e6 - 500.0 * (this.depth - top), np.nan)
    table = Table(
        "drill-dikes",
        "riser-margin",
        Moment.MAKING,
        2,
        np.array([top, bottom]),
        muds,
        np.zeros((2, 2)),
        np.ones((2, 2)),
        "Pa",
        (),
        np.stack([left, left + 4e5])[None].repeat(2, axis=0),
    )
    made, drawn = as_planned(this, 3)
    density = made.density.copy()
    density[:2], density[2] = 1000.0, 1100.0
    pore = this.hole.earth.at("pore_pressure", this.depth)
    curves = {"pore_pressure": pore + np.array([[0.0], [6e5], [6e5]])}
    made, drawn = replace(made, density=density), replace(drawn, curves=curves)
    depth, _ = bites(LedgerDepths((table,)), this, made, drawn)
    bitten = depth[:, LIMITS.index(Limit.OTHER)]
    assert np.isinf(bitten[0])
    for found, more in ((bitten[1], 0.0), (bitten[2], 2e5)):
        first = this.depth[open_hole & (left + more < 6e5)][0]
        assert found == first


def test_softer_soil_bears_less_and_is_entered_sooner() -> None:
    """Half the strength: what bears fails, what must be pushed in goes in; twice: the reverse."""
    this = frame("riserless")
    made, drawn = as_planned(this, 3)
    soil = this.hole.earth.at("undrained_shear_strength", this.depth)
    curves = {"undrained_shear_strength": soil * np.array([[1.0], [0.5], [2.5]])}
    drawn = replace(drawn, curves=curves)
    column = LIMITS.index(Limit.OTHER)
    for check, bitten in (
        ("bears-itself", [False, True, False]),
        ("penetration", [False, False, True]),
    ):
        depth, _ = bites(only("riserless", check), this, made, drawn)
        assert np.isfinite(depth[:, column]).tolist() == bitten, check


def test_resistance_to_jetting_is_proportional_to_strength() -> None:
    """A closed form of what the table must hold: the outer wall drags with the strength alone."""
    (table,) = only("main", "penetration").tables
    share = table.demand[0] / table.demand[0, list(table.density).index(1.0)]
    assert share == pytest.approx(table.density, rel=1e-9)


def test_soil_of_the_planned_strength_is_the_plan() -> None:
    made, drawn = as_planned(frame("main"), 1)
    for check in sorted(SOIL):
        depth, _ = bites(only("main", check), frame("main"), made, drawn)
        assert np.isinf(depth).all()


def test_what_the_crew_answers_is_named() -> None:
    answered = dict(ledger("main").answered)
    assert ANSWERED.keys() <= {check.split("/")[1] for check in answered}
    assert not {t.check for t in ledger("main").tables} & ANSWERED.keys()


def test_a_casing_cooled_on_a_worse_kick_is_pulled_harder() -> None:
    """In proportion to the pressure the kick comes in with, at the bottom below the casing."""
    this = frame("main")
    table = next(
        t
        for t in ledger("main").tables
        if t.id == "cement-casing-958/triaxial-cooled" and t.moment is Moment.BELOW
    )
    demand, capacity = at(table, 4950.0, float(table.density[0]))
    pore = this.hole.earth.at("pore_pressure", this.depth)
    more = capacity / demand - 1.0
    intensity = this.hole.basis.kick_intensity
    height = this.z - float(this.hole.drill_floor)
    source = pore + intensity * 9.81 * height
    made, drawn = as_planned(this, 2)
    curves = {"pore_pressure": np.stack([pore + 0.9 * more * source, pore + 1.1 * more * source])}
    depth, _ = bites(LedgerDepths((table,)), this, made, replace(drawn, curves=curves))
    bitten = depth[:, LIMITS.index(Limit.CASING)]
    assert bitten[0] > 4950.0
    assert bitten[1] < 4950.0


def test_a_number_that_is_missing_is_no_pass_and_two_are_no_question() -> None:
    none = np.nan
    demand = np.array([1.0, 2.0, 1.0, none, none])
    capacity = np.array([2.0, 1.0, none, 2.0, none])
    assert fails(demand, capacity).tolist() == [False, True, True, True, False]
