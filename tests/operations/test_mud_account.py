"""The account of the mud: it closes at every step, and says where all of it stands."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bathybore.checks.stores import discharge_checks
from bathybore.model.hole import Hole
from bathybore.operations.mud_account import mud_account
from bathybore.operations.stores import volume_inside
from bathybore.operations.walk import walk_hole
from bathybore.usecases.walking import Walk
from varied import by_step, changed


def test_what_was_built_is_there_or_lost_or_dumped_after_every_step(example_walk: Walk) -> None:
    account = mud_account(example_walk.states)
    built = gone = 0.0
    for step in account.steps:
        built += float(step.built)
        gone += float(step.to_sea_floor) + float(step.discarded)
        assert built == pytest.approx(gone + step.there, rel=1e-9, abs=1e-9), step.step
        assert sum(step.places.values()) == pytest.approx(step.there, rel=1e-9, abs=1e-9)
        assert min(step.places.values()) >= -1e-9, step.step
    assert account.unbalanced == pytest.approx(0.0, abs=1e-9 * max(built, 1.0))


def test_the_account_and_the_stores_are_one(example_walk: Walk) -> None:
    account, used = mud_account(example_walk.states), example_walk.states[-1].consumed
    assert float(account.total("built")) == pytest.approx(used.mud_built, rel=1e-12)
    assert float(account.total("to_sea_floor")) == pytest.approx(used.mud_to_sea_floor, rel=1e-12)
    assert float(account.total("discarded")) == pytest.approx(used.mud_discarded, rel=1e-12)
    assert float(account.total("barite")) == pytest.approx(used.barite, rel=1e-12)


def test_without_a_string_the_bores_hold_what_they_hold(main_walk: Walk) -> None:
    for state, step in zip(main_walk.states, mud_account(main_walk.states).steps, strict=True):
        if state.string is None and state.riser is not None and step.there > 0.0:
            inside = sum(step.places[name] for name in ("open hole", "casing", "riser"))
            assert inside == pytest.approx(float(volume_inside(state)), rel=1e-9)
            assert step.places["string"] == 0.0


def test_riserless_all_goes_into_the_sea_and_with_a_riser_it_comes_back(main_walk: Walk) -> None:
    account = mud_account(main_walk.states)
    without, with_it = float(account.discharge(False)), float(account.discharge(True))
    both = float(account.total("to_sea_floor")) + float(account.total("discarded"))
    assert without + with_it == pytest.approx(both)
    top = next(step for step in account.steps if step.step == "drill-top-hole")
    assert float(top.discharge) == pytest.approx(float(top.built))


def test_perfect_solids_control_needs_no_dilution_and_a_poor_one_more(main_hole: Hole) -> None:
    def diluted(efficiency: float) -> float:
        hole = changed(main_hole, "design_basis/solids_control_efficiency", efficiency)
        return float(mud_account(walk_hole(hole)).total("diluted"))

    assert diluted(1.0) == 0.0
    assert diluted(0.5) > diluted(0.7) > 0.0


def test_prices_make_money_and_none_make_none(main_hole: Hole, main_walk: Walk) -> None:
    bare = changed(
        changed(main_hole, "prices/mud_per_volume", None), "prices/barite_per_mass", None
    )
    assert mud_account(walk_hole(bare)).money is None
    priced = changed(changed(bare, "prices/mud_per_volume", 200.0), "prices/barite_per_mass", 0.35)
    account = mud_account(walk_hole(priced))
    used = main_walk.states[-1].consumed
    assert account.money is not None
    assert float(account.money) == pytest.approx(200.0 * used.mud_built + 0.35 * used.barite)


def test_discharge_is_judged_where_a_limit_is_told(main_walk: Walk) -> None:
    depart = by_step(main_walk.states)["depart"]
    assert not list(discharge_checks(depart))
    hole = changed(main_walk.hole, "design_basis/greatest_discharge", 100.0)
    (record,) = discharge_checks(replace(depart, hole=hole))
    assert str(record.status) == "fails"
    assert record.demand is not None
    assert float(record.demand) == pytest.approx(
        depart.consumed.mud_to_sea_floor + depart.consumed.mud_discarded
    )
