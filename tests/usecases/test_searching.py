"""Proposals for real holes: they fit, they are borne, they can be adopted, and why not if not."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from bathybore.base.errors import InputErrors
from bathybore.base.working import Value
from bathybore.checks.record import Status
from bathybore.cli.search_page import search as page
from bathybore.data import catalogues
from bathybore.model.editing import Draft, Edit, read_draft
from bathybore.model.hole import Hole
from bathybore.operations.columns import (
    column_pressure,
    column_top,
    earth_value,
    gravity,
    nodes_at,
)
from bathybore.operations.state import FluidLayer
from bathybore.usecases.adopting import adopted, edits_to_adopt
from bathybore.usecases.explaining import explain
from bathybore.usecases.search_records import density_records, record_in
from bathybore.usecases.searching import Found, Proposal, SearchOrder, find_architectures
from bathybore.usecases.walking import study, walk_as_far
from varied import EXAMPLES

QUICK = SearchOrder(walk=False, spacing=50.0)


@pytest.fixture(scope="module")
def main() -> Draft:
    return read_draft(EXAMPLES / "main")


@pytest.fixture(scope="module")
def found(main: Draft) -> Found:
    return find_architectures(main, SearchOrder(alternatives=2))  # each is walked in full


@pytest.fixture(scope="module")
def plans(found: Found, main: Draft) -> tuple[Draft, ...]:
    """Return the document with each proposal made the plan."""
    return tuple(adopted(main, one.sections) for one in found.proposals)


def hole_of(draft: Draft) -> Hole:
    assert draft.hole is not None
    return draft.hole


def edited(draft: Draft, **basis: str) -> Draft:
    """Return a draft with keys of its design basis set."""
    after = draft.edited(Edit("set", f"design_basis.{key}", text) for key, text in basis.items())
    assert after.faults == ()
    return after


@pytest.mark.parametrize("name", ["main", "riserless", "frontier"])
def test_proposals_hang_together(name: str) -> None:
    draft = read_draft(EXAMPLES / name)
    hole = hole_of(draft)
    told = find_architectures(draft, QUICK)
    assert told.proposals
    assert not told.closed
    for one in told.proposals:
        _hangs_together(hole, one)


def _hangs_together(hole: Hole, one: Proposal) -> None:
    shoe = hole.frame.below_sea_bed(hole.plan.conductor.shoe)
    assert one.sections[0].top.metres == pytest.approx(shoe)
    assert one.sections[-1].bottom == hole.plan.target
    assert one.sections[-1].casing is None
    assert one.strings == len(one.sections) - 1
    barrel = hole.inventory.core_barrel
    assert barrel is not None
    assert one.sections[-1].hole_diameter == pytest.approx(barrel.hole_diameter)
    passes = catalogues.casing(hole.inventory.casing[hole.plan.conductor.pipe].size).drift_diameter
    for section, below in pairwise((*one.sections, None)):
        assert section is not None
        assert section.hole_diameter <= passes + 1e-6
        assert float(section.least_density) <= float(section.density) + 1e-9
        assert float(section.density) <= float(section.greatest_density) + 1e-9
        if section.casing is None:
            assert below is None
            continue
        assert below is not None
        assert below.top == section.casing.shoe == section.bottom
        stock = hole.inventory.casing[section.casing.pipe]
        row = catalogues.casing(stock.size)
        assert section.casing.length <= stock.length + 1e-6
        assert row.coupling_outside_diameter <= passes + 1e-6
        clear = section.hole_diameter - row.coupling_outside_diameter
        assert clear >= hole.basis.casing_clearance - 1e-6
        special = stock.drift == "special" and row.special_drift_diameter is not None
        passes = row.special_drift_diameter if special else row.drift_diameter  # type: ignore[assignment]


def test_the_walk_finds_every_window_open(found: Found) -> None:
    """What the search promises of mud and rock, the walk's own checks confirm."""
    assert len(found.proposals) >= 3
    for one in found.proposals:
        assert one.verdict is not None
        assert one.verdict.stopped == ""
        told = [f.id for f in one.verdict.findings]
        broken = [i for i in told if "/window" in i or "kick-tolerance" in i or "-passes" in i]
        assert broken == [], one.why
        assert not any("casing-clearance" in i for i in told)
        assert sum(one.verdict.counts.values()) > 200
        assert one.verdict.passes == (not one.verdict.findings)


def test_proposals_differ_materially(found: Found) -> None:
    chains = [
        tuple(
            (s.hole_diameter, s.casing.pipe if s.casing else "", round(s.bottom.metres / 151.0))
            for s in one.sections
        )
        for one in found.proposals
    ]
    assert len(set(chains)) == len(chains)
    assert [one.number for one in found.proposals] == list(range(1, len(chains) + 1))
    assert found.proposals[0].strings == min(one.strings for one in found.proposals)


def test_a_least_density_holds_just_what_needs_it(found: Found, main: Draft) -> None:
    """The column of the walk with the least density ends in the very pressure that is needed."""
    hole = hole_of(main)
    section = found.proposals[0].sections[-1]
    assert section.needed_by == "collapse pressure"
    fluid = hole.plan.fluids["mud-4"].model_copy(update={"density": float(section.least_density)})
    z = nodes_at(float(hole.z(section.needed_at)))
    top, pressure = column_top(hole, True)
    layer = FluidLayer("mud", fluid, top, hole.z(section.bottom))
    stands = float(np.asarray(column_pressure(hole, (layer,), pressure, z).si)[0])
    needs = float(np.asarray(earth_value(hole, "collapse_pressure", z).si)[0])
    assert stands == pytest.approx(needs, rel=1e-12)


def test_a_section_is_opened_like_a_check(found: Found, main: Draft) -> None:
    hole = hole_of(main)
    record = record_in(hole, found.proposals, "proposal-1/section-2")
    section = found.proposals[0].sections[1]
    assert record.demand is section.least_density
    assert record.status in (Status.HOLDS, Status.TIGHT)
    told = explain(record)
    equations = {getattr(step, "equation", "") for step in told.steps}
    assert any("density_of_column" in str(e) for e in equations)
    for one in found.proposals:
        for each in density_records(hole, one):
            assert each.margin is not None
            assert each.margin >= 0.0
            assert explain(each).steps
    with pytest.raises(InputErrors, match="one of proposal-1/section-1"):
        record_in(hole, found.proposals, "proposal-9/section-1")


def test_adopting_makes_the_proposal_the_plan(
    found: Found, plans: tuple[Draft, ...], main: Draft
) -> None:
    one = found.proposals[1]
    after = hole_of(plans[1])
    plan, frame = after.plan, after.frame
    assert len(plan.sections) == len(one.sections)
    for section, wanted in zip(plan.sections, one.sections, strict=True):
        assert frame.below_sea_bed(section.bottom) == pytest.approx(wanted.bottom.metres)
        assert section.hole_diameter == pytest.approx(wanted.hole_diameter)
        assert plan.fluids[section.fluid].density == pytest.approx(float(wanted.density))
        if wanted.casing is not None:
            assert section.casing is not None
            assert section.casing.pipe == wanted.casing.pipe
    before = hole_of(main)
    assert after.document.site.model_dump() == before.document.site.model_dump()
    assert plan.conductor.model_dump() == before.plan.conductor.model_dump()
    assert plan.target == before.plan.target
    assert plan.coring is not None
    assert before.plan.coring is not None
    assert (plan.coring.top, plan.coring.bottom) == (
        before.plan.coring.top,
        before.plan.coring.bottom,
    )


def test_adopting_keeps_what_is_written_elsewhere(plans: tuple[Draft, ...], main: Draft) -> None:
    before = main.files.texts["hole.yaml"]
    after = plans[0].files.texts["hole.yaml"]
    kept = before[: before.index("  fluids:")]
    assert after.startswith(kept)
    assert "Lowest part first; the last reaches the drill floor." in after
    assert main.files.texts["hole.yaml"] == before


def test_what_is_judged_is_what_is_adopted(found: Found, plans: tuple[Draft, ...]) -> None:
    one = found.proposals[0]
    walk = study(walk_as_far(hole_of(plans[0])))
    assert one.verdict is not None
    assert one.verdict.counts == dict(Counter(str(record.status) for record in walk.records))
    assert one.verdict.duration == walk.states[-1].elapsed


def test_plugs_close_the_deepest_shoe(found: Found, plans: tuple[Draft, ...]) -> None:
    for one, plan in zip(found.proposals, plans, strict=True):
        hole = hole_of(plan)
        shoe = one.sections[-2].bottom.metres
        plug = hole.plan.leaving.plugs[0]
        assert hole.frame.below_sea_bed(plug.top) < shoe < hole.frame.below_sea_bed(plug.bottom)


def test_step_edits_of_sections_that_go_are_dropped(found: Found, main: Draft) -> None:
    content = [
        {"step": "drill-section-1712", "duration": "30 h", "why": "slow"},
        {"step": "hold-station", "duration": "20 h", "why": "current"},
        {
            "insert_after": "drill-section-1712",
            "insert": "circulate",
            "name": "clean-up",
            "why": "torque",
        },
        {"step": "clean-up", "duration": "5 h", "why": "as it was told"},
    ]
    draft = main.edited([Edit("put", "plan.step_edits", content=content)])
    assert draft.faults == ()
    after = hole_of(adopted(draft, found.proposals[0].sections))
    assert [edit.step for edit in after.plan.step_edits] == ["hold-station"]


@pytest.fixture(scope="module")
def closed(main: Draft) -> Found:
    return find_architectures(edited(main, fracture_margin="120 kg/m3"), QUICK)


def test_closed_ways_name_bounds_and_depths(closed: Found) -> None:
    assert closed.proposals == ()
    assert closed.closed
    assert closed.opened
    deepest = [way.deepest.metres for way in closed.closed]
    assert deepest == sorted(deepest, reverse=True)
    assert deepest[0] < closed.target.metres
    first = closed.closed[0]
    assert first.least_density is not None
    assert first.greatest_density is not None
    short = float(first.least_density) + first.room_wanted - float(first.greatest_density)
    assert short > 0.0
    assert first.needed_at is not None
    assert first.borne_at is not None
    assert first.shoe.metres <= first.borne_at.metres <= first.deepest.metres + 50.0


def amount_of(found: Found, what: str) -> float:
    (one,) = [o for o in found.opened if what in o.what]
    assert one.amount is not None
    return float(one.amount)


def test_the_change_named_opens_a_way_and_less_does_not(closed: Found, main: Draft) -> None:
    less = amount_of(closed, "smaller margin under the fracture")
    for slack, opens in ((0.3, True), (-1.0, False)):
        margin = 120.0 - less - slack
        told = find_architectures(edited(main, fracture_margin=f"{margin} kg/m3"), QUICK)
        assert bool(told.proposals) is opens


def test_a_stronger_rock_by_the_amount_named_opens_a_way(closed: Found, main: Draft) -> None:
    """Write the stronger rock into the table itself and search again."""
    stronger = amount_of(closed, "fracture pressure higher at every depth")
    text = main.files.texts["earth.csv"]
    lines = text.splitlines()
    head = next(n for n, line in enumerate(lines) if line.startswith("depth_below"))
    columns = lines[head].split(",")
    at = next(n for n, name in enumerate(columns) if name.startswith("fracture_pressure"))
    for share, opens in ((1.01, True), (0.9, False)):
        rows = []
        for line in lines[head + 1 :]:
            cells = line.split(",")
            if float(cells[0]) > 0.0:  # the sea bed itself has the pressure of the sea
                cells[at] = f"{float(cells[at]) + share * stronger / 1e6:.6f}"
            rows.append(",".join(cells))
        table = "\n".join([*lines[: head + 1], *rows]) + "\n"
        draft = edited(main, fracture_margin="120 kg/m3").edited(
            [Edit("table", file="earth.csv", text=table)]
        )
        assert bool(find_architectures(draft, QUICK).proposals) is opens


def test_a_heavier_mud_opens_what_a_lighter_one_closes(main: Draft) -> None:
    light = replace(QUICK, heaviest_mud=1300.0)
    told = find_architectures(main, light)
    more = amount_of(told, "heavier mud")
    assert find_architectures(main, replace(light, heaviest_mud=1300.0 + more)).proposals
    assert not find_architectures(main, replace(light, heaviest_mud=1298.0 + more)).proposals


def test_one_more_size_is_named_where_the_chain_lacks_one(main: Draft) -> None:
    """Of the sizes between 20 in and 7 in there is a metre each: too little for any hole."""
    short = ("casing-1338", "light-1338", "casing-958", "light-958", "spare-16")
    draft = main.edited([Edit("set", f"inventory.casing[{n}].length", "1 m") for n in short])
    assert draft.faults == ()
    told = find_architectures(draft, QUICK)
    assert told.proposals == ()
    sizes = [o.what for o in told.opened if o.what.startswith("one more size")]
    assert sizes
    assert any(o.what.startswith("more of the casings") for o in told.opened)


def test_systems_are_compared_on_the_same_earth(main: Draft) -> None:
    told = find_architectures(main, replace(QUICK, circulation="all"))
    rows = {row.name: row for row in told.systems}
    assert list(rows) == ["sea-water", "dumped", "sea-bed-pump", "riser", "dual-gradient"]
    # overpressure below 1,400 m and gas: no riserless way reaches the target
    for name in ("sea-water", "dumped", "sea-bed-pump"):
        row = rows[name]
        assert row.strings is None
        assert row.reach is not None
        assert row.closed_by
    reach = {name: rows[name].reach for name in rows}
    assert reach["sea-water"].metres <= reach["dumped"].metres  # type: ignore[union-attr]
    assert reach["dumped"].metres <= reach["sea-bed-pump"].metres  # type: ignore[union-attr]
    # a column that begins at the sea bed follows the rock better: never more strings
    riser, dual = rows["riser"], rows["dual-gradient"]
    assert riser.strings is not None
    assert dual.strings is not None
    assert dual.strings <= riser.strings


def test_a_riser_that_is_not_there_is_said() -> None:
    draft = read_draft(EXAMPLES / "riserless")
    told = find_architectures(draft, replace(QUICK, circulation="all"))
    rows = {row.name: row for row in told.systems}
    assert "no riser" in rows["riser"].not_available
    assert "no riser" in rows["dual-gradient"].not_available
    assert rows["sea-water"].strings == 1
    with pytest.raises(InputErrors, match="no riser"):
        find_architectures(draft, replace(QUICK, circulation="riser"))


def test_a_kick_less_intense_or_smaller_never_costs_a_string(main: Draft) -> None:
    strings = []
    for volume in ("0 m3", "4 m3", "12 m3"):
        told = find_architectures(edited(main, kick_volume=volume), QUICK)
        strings.append(told.proposals[0].strings if told.proposals else 99)
    assert strings == sorted(strings)


def test_prices_make_money(main: Draft) -> None:
    order = replace(QUICK, best="money", price_of_day=3.0, price_of_steel=2.0, alternatives=0)
    one = find_architectures(main, order).proposals[0]
    days, tonnes = float(one.days) / 86400.0, float(one.steel) / 1000.0
    assert one.money == pytest.approx(3.0 * days + 2.0 * tonnes)


def with_prices(draft: Draft, **prices: str) -> Draft:
    after = draft.edited(Edit("set", f"prices.{key}", text) for key, text in prices.items())
    assert after.faults == ()
    return after


def test_the_holes_own_prices_are_used_where_the_order_tells_none(main: Draft) -> None:
    priced = with_prices(main, day_rate="3 money/day", steel_per_mass="2 money/t")
    order = replace(QUICK, best="money", alternatives=0)
    one = find_architectures(priced, order).proposals[0]
    days, tonnes = float(one.days) / 86400.0, float(one.steel) / 1000.0
    assert one.money == pytest.approx(3.0 * days + 2.0 * tonnes)
    other = find_architectures(priced, replace(order, price_of_day=7.0)).proposals[0]
    days, tonnes = float(other.days) / 86400.0, float(other.steel) / 1000.0
    assert other.money == pytest.approx(7.0 * days + 2.0 * tonnes)


def test_the_currency_of_the_hole_is_told(main: Draft) -> None:
    priced = with_prices(main, currency="crowns", day_rate="3 money/day")
    found = find_architectures(priced, replace(QUICK, alternatives=0))
    assert found.currency == "crowns"
    assert f"{found.proposals[0].money:,.0f}".replace(",", "\u202f") + " crowns" in page(
        found, "metric"
    )


@pytest.mark.parametrize(
    ("order", "told"),
    [
        (SearchOrder(circulation="rizer"), "Did you mean 'riser'"),
        (SearchOrder(best="money"), "without a price"),
        (SearchOrder(best="depth"), "one of strings, days, steel, money"),  # type: ignore[arg-type]
        (SearchOrder(alternatives=99), "0 to 12"),
        (SearchOrder(spacing=0.01), "1 to 500 m"),
        (SearchOrder(spacing=float("nan")), "1 to 500 m"),
        (SearchOrder(heaviest_mud=float("nan")), "zero or more"),
        (SearchOrder(room=-1.0), "zero or more"),
    ],
)
def test_bad_orders_are_told(main: Draft, order: SearchOrder, told: str) -> None:
    with pytest.raises(InputErrors, match=told):
        find_architectures(main, order)


def test_a_draft_with_faults_is_not_searched(main: Draft) -> None:
    broken = main.edited([Edit("set", "plan.sections[1].bottom", "400 m below sea bed")])
    assert broken.faults
    with pytest.raises(InputErrors):
        find_architectures(broken, QUICK)


def test_returns_that_no_plan_can_say_are_not_adopted(main: Draft) -> None:
    order = replace(QUICK, circulation="dual-gradient", walk=True)
    told = find_architectures(main, order)
    one = told.proposals[0]
    assert one.verdict is None
    assert "cannot say" in one.not_walked
    with pytest.raises(InputErrors, match="dual gradient"):
        edits_to_adopt(main, one.sections)


def test_a_kick_leaves_the_weak_point_at_its_limit(found: Found, main: Draft) -> None:
    """Put the greatest density back into the balance of the kick, written out here."""
    section = next(s for s in found.proposals[0].sections if s.borne_by.endswith("kick"))
    greatest: Value = section.greatest_density
    (mean, _) = greatest.origin.inputs
    put = {value.name: float(value) for value in mean.origin.inputs}
    g, rho = put["gravity"], float(mean)
    assert g == pytest.approx(gravity(hole_of(main)))
    at_bottom = put["pressure_at_top"] + rho * g * put["height_to_bottom"] + put["kick_pressure"]
    fracture = put["weak_point_fracture_pressure"]
    tall = put["influx_volume"] / put["annulus_area"] * at_bottom / fracture
    below = put["height_to_bottom"] - put["height_to_weak_point"]
    assert tall < below
    under_gas = at_bottom - rho * g * (below - tall) - put["gas_density"] * g * tall
    assert under_gas == pytest.approx(fracture, rel=1e-9)


def test_what_the_earth_does_not_tell_is_said(main: Draft) -> None:
    told = find_architectures(main, QUICK)
    assert any(text.startswith("Shallow water flow is told from 300") for text in told.cautions)
    lines = main.files.texts["earth.csv"].splitlines()
    head = next(n for n, line in enumerate(lines) if line.startswith("depth_below"))
    at = next(
        n for n, name in enumerate(lines[head].split(",")) if name.startswith("collapse_pressure")
    )
    rows = [line.split(",") for line in lines[head:]]
    without = "\n".join(",".join(row[:at] + row[at + 1 :]) for row in rows) + "\n"
    draft = main.edited([Edit("table", file="earth.csv", text=without)])
    assert draft.faults == ()
    blind = find_architectures(draft, QUICK)
    assert any("caving was not asked" in text for text in blind.cautions)
    # what is not asked cannot close a way: fewer strings, and said why
    assert blind.proposals[0].strings <= told.proposals[0].strings


@pytest.mark.soak
def test_the_frontier_hole_is_told_what_stands_against_every_way() -> None:
    """No architecture cools the rock, stiffens the riser or carries more than the hoist does."""
    told = find_architectures(read_draft(EXAMPLES / "frontier"), SearchOrder(spacing=50.0))
    checks = {finding.check for finding in told.against_all}
    assert {"riser-tension", "flex-joint", "temperature"} <= checks
    for finding in told.against_all:
        assert finding.remedy
        for one in told.proposals:
            assert one.verdict is not None
            same = [f for f in one.verdict.findings if f.check == finding.check]
            assert same
            assert max(f.severity for f in same) >= finding.severity


@pytest.mark.parametrize(("name", "close"), [("main", 0.03), ("frontier", 0.08)])
def test_estimates_come_near_what_the_walk_makes_of_them(name: str, close: float) -> None:
    draft = read_draft(EXAMPLES / name)
    one = find_architectures(draft, replace(QUICK, alternatives=0)).proposals[0]
    last = walk_as_far(hole_of(adopted(draft, one.sections))).states[-1]
    elsewhere = {"hold-station", "core", "plug", "depart"}
    elsewhere |= {"run-conductor", "set-conductor", "release-conductor"}
    walked = sum(float(v) for v in last.durations if v.name not in elsewhere)
    assert float(one.days) == pytest.approx(walked, rel=close)
    assert float(one.mud_dumped) == pytest.approx(last.consumed.mud_to_sea_floor, rel=0.1)
    masses = [
        float(casing.pipe.linear_mass) * (casing.shoe - casing.top) for casing in last.casings[1:]
    ]
    assert float(one.steel) == pytest.approx(sum(masses), rel=1e-6)


def test_cuttings_that_do_not_rise_in_the_conductor_ask_for_a_casing() -> None:
    """A narrow hole below a wide conductor would fill up: the walk says so, the search knows."""
    told = find_architectures(read_draft(EXAMPLES / "riserless"), replace(QUICK, walk=True))
    for one in told.proposals:
        assert one.strings >= 1
        assert one.verdict is not None
        assert not any(f.check == "cuttings" for f in one.verdict.findings)


def test_adopted_casings_are_tested_for_the_kick_they_may_meet(main: Draft) -> None:
    (one,) = find_architectures(main, SearchOrder(alternatives=0)).proposals
    assert one.verdict is not None
    assert "test-covers-kick" not in {finding.check for finding in one.verdict.findings}
    after = main.edited(one.edits)
    assert after.hole is not None
    casings = [s.casing for s in after.hole.plan.sections if s.casing is not None]
    assert all(casing.test_pressure for casing in casings)
