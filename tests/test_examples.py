"""The demonstration holes: two that work, one that cannot, and facts of the trade in all."""

from __future__ import annotations

import itertools
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest

from bathybore.base.units import parse_quantity
from bathybore.checks.record import CheckRecord, Discipline, Status
from bathybore.kernels.heat import half_space_heat_flow
from bathybore.model.plan import Fluid
from bathybore.operations.catalogue_pipes import CasingPipe, casing_pipe
from bathybore.operations.columns import temperature
from bathybore.operations.steps import StepKind
from bathybore.usecases.walking import Walk, walk

EXAMPLES = Path(__file__).parents[1] / "examples"
NAMES = ("main", "riserless", "frontier")
PASSES = (Status.HOLDS, Status.TIGHT)
MILLION_YEARS = 1e6 * 31557600.0


@lru_cache
def walked(name: str) -> Walk:
    return walk(EXAMPLES / name)


def failing(name: str) -> tuple[CheckRecord, ...]:
    return tuple(r for r in walked(name).records if r.status is Status.FAILS)


def pipes(name: str) -> list[CasingPipe]:
    """Conductor and casings in the order they are set."""
    hole = walked(name).hole
    casings = [s.casing.pipe for s in hole.plan.sections if s.casing is not None]
    return [casing_pipe(hole, pipe) for pipe in (hole.plan.conductor.pipe, *casings)]


def inches(text: str) -> float:
    return parse_quantity(text, "m")


# ---- all of them -------------------------------------------------------------------------


def test_no_example_is_forgotten() -> None:
    assert sorted(NAMES) == sorted(p.parent.name for p in EXAMPLES.glob("*/hole.yaml"))


@pytest.mark.parametrize("name", NAMES)
def test_every_file_says_that_it_is_invented(name: str) -> None:
    document = walked(name).hole.document
    assert document.invented
    assert "(invented)" in document.vessel.name
    for file in (EXAMPLES / name).iterdir():
        comments = [x for x in file.read_text().splitlines() if x.startswith("#")]
        assert any("invented" in comment for comment in comments[:3]), file


@pytest.mark.parametrize("name", NAMES)
def test_the_walk_ends_off_site_with_the_hole_at_its_target_and_plugged(name: str) -> None:
    whole = walked(name)
    last = whole.states[-1]
    assert last.step.kind is StepKind.DEPART
    assert last.bottom == pytest.approx(whole.hole.z(whole.hole.plan.target))
    assert last.riser is None
    assert last.string is None
    assert len(last.plugs) >= 2


@pytest.mark.parametrize("name", NAMES)
def test_every_question_is_answered_inside_validity(name: str) -> None:
    open_ones = [
        r.id
        for r in walked(name).records
        if r.status in (Status.NOT_JUDGED, Status.OUTSIDE_VALIDITY)
    ]
    assert open_ones == []


@pytest.mark.parametrize("name", NAMES)
def test_each_string_passes_the_one_above(name: str) -> None:
    for above, below in itertools.pairwise(pipes(name)):
        assert float(below.outside_diameter) < float(above.outside_diameter)
        assert float(below.coupling_outside_diameter) < float(above.drift_diameter)


@pytest.mark.parametrize("name", NAMES)
def test_the_core_passes_every_part_of_the_coring_string(name: str) -> None:
    """A wireline barrel comes up through the pipe, so the core is narrower than every bore."""
    whole = walked(name)
    barrel = whole.hole.inventory.core_barrel
    coring = next(s for s in whole.states if s.step.kind is StepKind.CORE)
    assert barrel is not None
    assert coring.activity.string is not None
    for part in coring.activity.string.parts:
        assert barrel.core_diameter < float(part.pipe.inside_diameter), part.pipe.name


@pytest.mark.parametrize("name", NAMES)
def test_pressures_and_heat_grow_with_depth_and_stay_in_order(name: str) -> None:
    earth = walked(name).hole.earth.numbers
    for column in ("pore_pressure", "fracture_pressure", "temperature"):
        assert np.all(np.diff(earth[column]) > 0.0), column
    assert np.all(earth["pore_pressure"] <= earth["fracture_pressure"])
    below = earth["depth_below_sea_bed"] > 0.0
    assert np.all(earth["collapse_pressure"][below] < earth["fracture_pressure"][below])


# ---- the two that work -------------------------------------------------------------------


@pytest.mark.parametrize("name", ["main", "riserless"])
def test_everything_holds(name: str) -> None:
    assert [r.id for r in walked(name).records if r.status not in PASSES] == []


def test_the_riserless_hole_is_cored_into_basalt_without_a_riser() -> None:
    whole = walked("riserless")
    assert {s.returns for s in whole.hole.plan.sections} == {"sea floor"}
    assert all(state.riser is None for state in whole.states)
    assert "basalt" in whole.hole.earth.word_at(
        "lithology", whole.states[-1].bottom - whole.hole.sea_bed
    )
    assert whole.states[-1].cored > 200.0


def test_the_first_casing_of_the_main_hole_is_about_20_inches() -> None:
    _, first, *_ = pipes("main")
    assert inches("18 in") < float(first.outside_diameter) < inches("22 in")


def test_the_main_hole_is_drilled_riserless_for_several_hundred_metres() -> None:
    hole = walked("main").hole
    before = list(itertools.takewhile(lambda s: s.returns == "sea floor", hole.plan.sections))
    assert 300.0 < hole.z(before[-1].bottom) - hole.z(hole.plan.conductor.shoe) < 1500.0
    assert before[-1].casing is not None  # the preventer stands on it


def viscosity(fluid: Fluid, shear_rate: float) -> float:
    """Apparent viscosity of a Herschel-Bulkley fluid [Pa s]."""
    stress = fluid.yield_stress + fluid.consistency * shear_rate**fluid.flow_index
    return float(stress / shear_rate)


@pytest.mark.parametrize("name", ["main", "frontier"])
def test_mud_is_denser_and_more_viscous_than_the_sea(name: str) -> None:
    plan = walked(name).hole.plan
    sea = plan.fluids["sea-water"]
    muds = [plan.fluids[s.fluid] for s in plan.sections if s.returns == "riser"]
    assert muds
    for mud in muds:
        assert mud.density > sea.density
        # from the slow riser to the inside of the pipe
        assert all(viscosity(mud, rate) > 2.0 * viscosity(sea, rate) for rate in (10.0, 1000.0))
    assert [m.density for m in muds] == sorted(m.density for m in muds)


# ---- the one that cannot work ------------------------------------------------------------


def test_the_frontier_fails_for_depth_of_water_heat_and_hard_rock() -> None:
    """Riser: 4 km of it are too heavy. Flow: tools too hot. Time: a metre an hour."""
    found = {r.discipline for r in failing("frontier")}
    assert found >= {Discipline.RISER, Discipline.FLOW, Discipline.TIME}


def test_the_frontier_is_planned_well() -> None:
    """What good planning can make hold does hold: no failure there is for want of a plan."""
    planned = {
        Discipline.STATION,
        Discipline.SOIL,
        Discipline.WINDOW,
        Discipline.FIT,
        Discipline.STORES,
        Discipline.CEMENT,
        Discipline.CORE,
        Discipline.WELL_CONTROL,
    }
    assert [r.id for r in failing("frontier") if r.discipline in planned] == []


def test_tools_fail_exactly_where_the_rock_is_hotter_than_they_bear() -> None:
    whole = walked("frontier")
    vessel, barrel = whole.hole.vessel, whole.hole.inventory.core_barrel
    assert barrel is not None
    assert barrel.temperature_limit is not None
    checked = [r for r in whole.records if r.name == "temperature"]
    states = {state.step.name: state for state in whole.states}
    assert {r.status is Status.FAILS for r in checked} == {True, False}
    for record in checked:
        state = states[record.step]
        coring = state.step.kind is StepKind.CORE
        limit = barrel.temperature_limit if coring else vessel.tool_temperature_limit
        hot = float(temperature(whole.hole, state.bottom)) > limit
        assert (record.status is Status.FAILS) == hot


def test_heat_of_the_frontier_is_that_of_crust_cooled_for_forty_million_years() -> None:
    """Steady conduction: heat flow over conductivity, layer by layer (Stein and Stein 1992)."""
    hole = walked("frontier").hole
    flow = float(half_space_heat_flow(40.0 * MILLION_YEARS))
    layers = ((200.0, 1.0), (800.0, 1.7), (1000.0, 2.0), (3900.0, 2.2))  # m, W/m/K
    rise = sum(flow * thickness / conductivity for thickness, conductivity in layers)
    boundary = sum(thickness for thickness, _ in layers)
    warmth = hole.earth.at("temperature", np.array([0.0, 1000.0, 2000.0, boundary]))
    assert warmth[-1] - warmth[0] == pytest.approx(rise, abs=0.2)
    # Hole 504B, crust of 5.9 Ma: 61 degC/km in the deeper kilometre (ODP Leg 137)
    assert 0.0 < warmth[2] - warmth[1] < 61.0


def test_rates_bits_and_recovery_are_those_of_published_hard_rock_holes() -> None:
    """Hole 1256D: 0.8 to 1.5 m/h, 50 h a bit, 11 to 36 % recovered (IODP 309, 312, 335).

    ODP Leg 209: a bit of nearly 80 h.
    """
    hole = walked("frontier").hole
    rock = hole.earth.depths > 200.0
    rates = hole.earth.numbers["rate_of_penetration"][rock] * 3600.0
    assert np.all((rates >= 0.8) & (rates <= 1.5 + 1e-9))
    barrel, coring = hole.inventory.core_barrel, hole.plan.coring
    assert barrel is not None
    assert coring is not None
    lives = [bit.life for bit in hole.inventory.bits] + [barrel.bit_life]
    assert all(50.0 <= life / 3600.0 <= 80.0 for life in lives)
    assert 0.1 < coring.expected_recovery <= 0.6


def test_hard_rock_alone_takes_most_of_the_campaign() -> None:
    """Rotating at the table's rates, without one trip, takes over half of the days there are."""
    hole = walked("frontier").hole
    z = np.linspace(200.0, hole.z(hole.plan.target) - hole.sea_bed, 2000)
    slowness = 1.0 / hole.earth.at("rate_of_penetration", z)
    rotating = float(np.sum(0.5 * (slowness[1:] + slowness[:-1]) * np.diff(z)))
    available = hole.basis.days_available
    assert available is not None
    assert 0.5 < rotating / available < 1.0


def test_the_riser_outweighs_the_hoist_by_hand() -> None:
    """Steel in water less lift, with the preventer and the travelling gear (Archimedes).

    Steel 5 % heavier and lift 4 % less than nominal: API RP 16Q (1993), from memory.
    """
    hole = walked("frontier").hole
    riser, stack = hole.inventory.riser, hole.inventory.preventer
    assert riser is not None
    assert stack is not None
    steel = riser.mass_in_air * (1.0 - 1030.0 / 7850.0) * 9.8
    lift = riser.buoyancy_lift * riser.buoyant_share / riser.joint_length
    load = (1.05 * steel - 0.96 * lift) * hole.site.water_depth
    load += stack.weight_in_water + hole.vessel.hoist.travelling_weight
    assert load > hole.basis.hook_load_share * hole.vessel.hoist.hook_capacity
    records = {r.id: r for r in walked("frontier").records}
    hang = records["run-riser/riser-hang"]
    assert hang.status is Status.FAILS
    assert hang.demand is not None
    assert float(hang.demand) == pytest.approx(load, rel=0.03)
