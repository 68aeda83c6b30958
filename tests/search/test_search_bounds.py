"""The bounds of a search against the walk's own numbers, and the facts that everyone knows."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bathybore.checks.window import bound_high, bound_low
from bathybore.kernels.pipe_flow import annulus_friction_gradient
from bathybore.model.editing import Draft, Edit, read_draft
from bathybore.model.fluid_readings import Readings
from bathybore.model.hole import Hole
from bathybore.operations.circulation import of_drilling, pressure_while_circulating
from bathybore.operations.columns import column_pressure, column_top, nodes_at, sea_bed_pressure
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.state import FluidLayer, HoleState
from bathybore.operations.steps import StepKind
from bathybore.search.bounds import (
    COLLAPSE,
    FRACTURE,
    PORE,
    Bounds,
    Grid,
    bounds_for,
    grid,
    usual_terms,
)
from bathybore.search.circulation import RISER, SEA_WATER
from bathybore.search.flow_in_place import below_sea_bed
from bathybore.search.intervals import Bound, Window, highest_tops
from bathybore.search.practice import Practice, casing_surge, practice_for
from bathybore.usecases.walking import Walk
from varied import EXAMPLES, changed, state_of


@pytest.fixture(scope="module")
def nodes(main_hole: Hole) -> Grid:
    return grid(main_hole, 50.0)


def drilling_states(walk: Walk, returns: str) -> list[HoleState]:
    return [
        state
        for state in walk.states
        if state.step.kind is StepKind.DRILL
        and state.activity.section is not None
        and state.activity.section.returns == returns
    ]


def one_of(window: Window, name: str) -> Bound:
    (found,) = [b for b in (*window.needed, *window.borne) if b.name.startswith(name)]
    return found


def bounds_like(hole: Hole, nodes: Grid, state: HoleState) -> Bounds:
    """Return the search's bounds for the very section that a state drills."""
    section = state.activity.section
    assert section is not None
    circulation = RISER if section.returns == "riser" else SEA_WATER
    return bounds_for(nodes, circulation, practice_for(hole, section.hole_diameter, circulation))


def test_densities_give_the_pressures_that_the_ledger_asks_for(
    main_walk: Walk, nodes: Grid
) -> None:
    hole, terms = main_walk.hole, usual_terms(main_walk.hole)
    for state in drilling_states(main_walk, "riser"):
        bounds = bounds_like(hole, nodes, state)
        assert bounds.practice.exact
        window, fluid = bounds.window(terms), bounds.practice.fluid
        for node in range(0, len(nodes.depth), 9):
            z = nodes_at(float(nodes.z[node]))
            for bound, wanted in (
                (one_of(window, PORE), float(np.asarray(bound_low(state, z).si)[0])),
                (
                    one_of(window, FRACTURE),
                    float(np.asarray(bound_high(state, z).si)[0]) - float(bounds.allowance[node]),
                ),
            ):
                mud = fluid.model_copy(update={"density": float(bound.density[node])})
                top, pressure = column_top(hole, True)
                layer = FluidLayer("mud", mud, top, hole.z(hole.plan.target))
                got = float(np.asarray(column_pressure(hole, (layer,), pressure, z).si)[0])
                # the closed form is made to meet the parts at the density planned
                close = 1e-9 if fluid.made_of is None else 1e-4
                assert got == pytest.approx(wanted, rel=close)


def test_friction_and_cuttings_are_no_less_than_in_the_walk(main_walk: Walk) -> None:
    """On the riser the allowance errs to the safe side where rock is weakest, at the shoe.

    Riserless the walk has more, by the cuttings that rise slowly inside the wide conductor:
    the search does not know what stands above, and says so.
    """
    hole = main_walk.hole
    for returns, least in (("riser", 1.0), ("sea floor", 0.5)):
        for state in drilling_states(main_walk, returns):
            flow = of_drilling(state)
            z = np.linspace(float(state.deepest_shoe), float(state.bottom), 25)
            top, pressure = column_top(hole, returns == "riser")
            assert top <= z[0]
            still = np.asarray(column_pressure(hole, flow.layers, pressure, z).si)
            added = np.asarray(pressure_while_circulating(flow, z).si) - still
            bounds = bounds_like(hole, Grid(hole, z - float(hole.sea_bed)), state)
            # the walk takes the fastest rate of the whole interval at its bottom, the search that
            # from each depth down: they meet at the shoe, where rock is weakest
            assert bounds.allowance[0] >= least * added[0] * (1.0 - 1e-9), state.step.name
            # the narrowest hole is taken as narrow up to the sea bed, which costs twice as much
            most = 2.0 if bounds.practice.hole_diameter < 0.2 else 1.6
            assert bounds.allowance[0] < most * added[0] + 2e5, state.step.name


def told_warm_and_cold(hole: Hole, name: str, turned: bool) -> Hole:
    """Return a hole whose mud was measured at three temperatures, thicker when cold."""
    mud = hole.plan.fluids[name]
    (first,) = mud.readings

    def at(warmth: float, share: float) -> Readings:
        dials = {f"dial_{rpm}": share * dial for rpm, dial in first.dials.items()}
        return first.model_copy(update={"temperature": 273.15 + warmth, **dials})

    readings = (at(50.0, 1.0), at(2.0, 1.5), at(120.0, 0.7))[:: -1 if turned else 1]
    law = readings[0].law
    constants = {one: getattr(law, one) for one in ("yield_stress", "consistency", "flow_index")}
    return changed(
        hole, f"plan/fluids/{name}", mud.model_copy(update={"readings": readings, **constants})
    )


def test_a_mud_told_at_three_temperatures_counts_as_in_the_walk(main_walk: Walk) -> None:
    """In whichever order its readings are listed: no less than in the walk."""
    allowances = []
    for turned in (False, True):
        hole = told_warm_and_cold(main_walk.hole, "mud-2", turned)
        state = state_of(hole, "drill-section-1214")
        flow = of_drilling(state)
        shoe = nodes_at(float(state.deepest_shoe))
        pressure = column_top(hole, True)[1]
        still = np.asarray(column_pressure(hole, flow.layers, pressure, shoe).si)
        added = np.asarray(pressure_while_circulating(flow, shoe).si) - still
        z = np.linspace(float(shoe[0]), float(state.bottom), 5)
        bounds = bounds_like(hole, Grid(hole, z - float(hole.sea_bed)), state)
        assert added[0] <= bounds.allowance[0] < 1.3 * added[0]
        allowances.append(bounds.allowance)
        depth = bounds.grid.depth
        surge = casing_surge(bounds.practice, 0.2445, None, depth)
        assert (surge > casing_surge(one_reading(bounds), 0.2445, None, depth)).all()
    # the heat of the mud follows the readings listed first: a few thousandths
    np.testing.assert_allclose(allowances[0], allowances[1], rtol=5e-3)


def one_reading(bounds: Bounds) -> Practice:
    """Return the same practice with the mud as measured at 50 degC alone."""
    mud = bounds.practice.fluid
    (warm,) = [one for one in mud.readings if round(one.temperature - 273.15) == 50]
    law = warm.law
    constants = {one: getattr(law, one) for one in ("yield_stress", "consistency", "flow_index")}
    fluid = mud.model_copy(update={"readings": (warm,), **constants})
    return replace(bounds.practice, fluid=fluid)


def test_a_plan_that_cannot_be_walked_counts_its_mud_as_cold(main_walk: Walk) -> None:
    hole = told_warm_and_cold(main_walk.hole, "mud-2", turned=False)
    index = next(i for i, one in enumerate(hole.plan.sections) if one.fluid == "mud-2")
    mud = hole.plan.fluids["mud-2"]
    known = below_sea_bed(hole, index, mud)
    broken = changed(hole, "plan/sections/0/hole_diameter", 0.2)  # its string does not go in
    broken = changed(broken, f"plan/sections/{index}/hole_diameter", 0.15)
    cold = below_sea_bed(broken, index, mud)
    assert len(known.length) == len(cold.length) > 10
    gradients = [
        np.asarray(annulus_friction_gradient(0.05, 0.31, 0.15, *one.law)) for one in (known, cold)
    ]
    assert (gradients[1] > gradients[0]).all()
    np.testing.assert_allclose(gradients[1], gradients[1][0], rtol=1e-12)


def test_rock_that_holds_water_alone_kicks_with_water(main_hole: Hole) -> None:
    """As the walk has it; with gas anywhere below the conductor all kicks are of gas."""
    told = changed(main_hole, "design_basis/kick_fluid", "as told")
    words = {"formation_fluid": ("water",) * len(told.earth.depths)}
    watery = replace(told, earth=replace(told.earth, words=told.earth.words | words))
    borne = {}
    for name, hole in {"gas": main_hole, "as told": told, "water": watery}.items():
        nodes = grid(hole, 200.0)
        bounds = bounds_for(nodes, RISER, practice_for(hole, 0.2159, RISER))
        kick = bounds.window(usual_terms(hole)).kick
        assert kick is not None
        inside = np.triu_indices(len(nodes.depth))
        borne[name] = kick.density[inside]
    assert (borne["as told"] == borne["gas"]).all()
    assert (borne["water"] >= borne["gas"]).all()
    assert (borne["water"] > borne["gas"] + 5.0).any()
    light = grid(watery, 200.0).influx_density
    assert ((light > 850.0) & (light <= sea_water(watery).density)).all()


def test_pore_pressure_asks_for_sea_water_without_overpressure(
    main_hole: Hole, nodes: Grid
) -> None:
    """Under hydrostatic rock the density in place is that of sea water, whatever the depth."""
    bounds = bounds_for(nodes, SEA_WATER, practice_for(main_hole, 0.6604, SEA_WATER))
    pore = np.asarray(main_hole.earth.at("pore_pressure", nodes.depth))
    above = (nodes.depth > 300.0) & (nodes.depth < 1400.0)
    top = float(sea_bed_pressure(main_hole))
    in_place = (pore - top) / (9.795 * nodes.depth)
    weighed = one_of(bounds.window(usual_terms(main_hole)), PORE).density
    assert np.allclose(in_place[above], 1026.0, rtol=0.003)
    # weighed at 20 degC and no pressure it is lighter: 4.4e-10 per Pa on 25 to 40 MPa, and 2e-4
    # per K on at most 20 K that the rock is colder
    light = 1.0 - weighed[above] / in_place[above]
    assert (light > 4.4e-10 * top).all()
    assert (light < 4.4e-10 * pore[above] + 2e-4 * 20.0).all()


def shallower(draft: Draft, by: float) -> Draft:
    """Return the hole in shallower water: the same rock below its sea bed, less sea on it."""
    assert draft.hole is not None
    lines = draft.files.texts["earth.csv"].splitlines()
    head = next(n for n, line in enumerate(lines) if line.startswith("depth_below"))
    less = float(sea_bed_pressure(draft.hole)) / 1e6 * by / draft.hole.site.water_depth
    rows = []
    for line in lines[head + 1 :]:
        cells = line.split(",")
        for column in (2, 3, 4):
            cells[column] = f"{float(cells[column]) - less:.4f}"
        rows.append(",".join(cells))
    after = draft.edited(
        [
            Edit("set", "site.water_depth", f"{draft.hole.site.water_depth - by} m"),
            Edit("remove", "inventory.riser.stack_up"),  # its joints reach the sea bed that was
            Edit("table", file="earth.csv", text="\n".join([lines[head], *rows]) + "\n"),
        ]
    )
    assert after.faults == ()
    return after


def test_deeper_water_narrows_the_window_to_the_drill_floor() -> None:
    deep = read_draft(EXAMPLES / "main")
    widths = []
    for draft in (deep, shallower(deep, 1000.0), shallower(deep, 2000.0)):
        hole = draft.hole
        assert hole is not None
        nodes = grid(hole, 100.0)
        bounds = bounds_for(nodes, RISER, practice_for(hole, 0.3112, RISER))
        window = bounds.window(usual_terms(hole))
        low, high = one_of(window, COLLAPSE).density, one_of(window, FRACTURE).density
        below = nodes.depth > 500.0
        widths.append((high - low)[below])
    assert (widths[0] < widths[1]).all()
    assert (widths[1] < widths[2]).all()


def test_a_window_that_closes_forces_a_shoe() -> None:
    """Pressure that rises below a weak top: no density serves both, a shoe stands between."""
    depth = np.linspace(0.0, 3000.0, 31)
    needed = np.where(depth < 1500.0, 1030.0, 1030.0 + 0.3 * (depth - 1500.0))
    borne = 1150.0 + 0.15 * depth

    def told(node: int) -> object:
        raise AssertionError(node)

    window = Window(
        (Bound("pore", needed, told),),  # type: ignore[arg-type]
        (Bound("fracture", borne, told),),  # type: ignore[arg-type]
    )
    tops = highest_tops(window)
    first_closed = int(np.argmax(tops > 0))
    # by hand: 1030 + 0.3 (z - 1500) reaches the 1150 borne at the top at 1,900 m
    assert depth[first_closed] == pytest.approx(2000.0)
    assert (np.diff(tops) >= 0).all()
    for bottom in range(first_closed, len(depth)):
        shoe = int(tops[bottom])
        assert needed[bottom] <= borne[shoe]
        assert needed[bottom] > borne[shoe - 1]
