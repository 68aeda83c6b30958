"""A member as its crew made it, written into the plan: shoes, cement, muds; the rest in words."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from planned_members import as_planned

from bathybore.ensembles.drawing import central
from bathybore.ensembles.frame import frame_of, planned_policy
from bathybore.ensembles.ledger_depths import LedgerDepths
from bathybore.ensembles.made_members import made_plan, told_of, top_of_cement
from bathybore.ensembles.shapes import REACHED, Frame, Made, Outcome
from bathybore.model.editing import read_draft
from bathybore.model.edits import Edit
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.model.uncertainty import load_uncertainty
from bathybore.operations.walk import walk_hole

EXAMPLES = Path(__file__).parents[2] / "examples"
NO_TABLES = LedgerDepths(())  # only mud and strings count: no other question ends a hole


@cache
def frame(name: str) -> Frame:
    return frame_of(load_hole(EXAMPLES / name))


def edited(name: str, edits: tuple[Edit, ...]) -> Hole:
    hole = read_draft(EXAMPLES / name).edited(edits).hole
    assert hole is not None
    return hole


def outcome(made: Made, frame: Frame, depth: float | None = None, by: int = REACHED) -> Outcome:
    """Return what became of one member, as far as it is told in a plan."""
    end = float(frame.depth[frame.target]) if depth is None else depth
    nothing, none = np.zeros(1), np.full(1, -1, dtype=np.intp)
    return Outcome(
        first=7,
        bites=np.full((1, 1), np.inf),
        ends_by=np.full(1, by, dtype=np.intp),
        depth=np.full(1, end),
        strings=none,
        shoes=made.shoes,
        days=nothing,
        cost=nothing,
        mud=nothing,
        barite=nothing,
        cement=nothing,
        steel=nothing,
        waiting=nothing,
        day_at=np.zeros((1, 1)),
        asked_first=np.full((1, 1), -1, dtype=np.intp),
    )


def test_as_planned_nothing_is_edited() -> None:
    this = frame("riserless")
    drawn = central(load_uncertainty(EXAMPLES / "riserless", this.hole), this)
    made = made_plan(this, NO_TABLES, planned_policy(this), drawn)
    assert made.edits == ()
    assert made.words == "Made as planned; it came to the target."


def test_a_shoe_set_higher_is_set_so_in_the_plan_and_can_be_walked() -> None:
    this = frame("riserless")
    drawn = central(load_uncertainty(EXAMPLES / "riserless", this.hole), this)
    policy = planned_policy(this)
    higher = replace(
        policy, bottoms=(policy.bottoms[0], policy.bottoms[1] - 65.0, *policy.bottoms[2:])
    )
    made = made_plan(this, NO_TABLES, higher, drawn)
    hole = edited("riserless", made.edits)
    assert frame_of(hole).planned[1].bottom == pytest.approx(policy.bottoms[1] - 65.0)
    before, after = this.hole.plan.sections[0], hole.plan.sections[0]
    assert before.casing is not None
    assert after.casing is not None
    below = hole.frame.below_sea_bed
    assert below(after.bottom) == pytest.approx(below(before.bottom) - 65.0)
    assert walk_hole(hole)[-1].step.name == this.states[-1].step.name


def early(this: Frame, string: int, by: float) -> tuple[Made, np.ndarray]:
    made, _ = as_planned(this)
    shoes = made.shoes.copy()
    shoes[0, string] -= by
    return replace(made, shoes=shoes), shoes


def test_a_liner_below_an_early_shoe_is_lapped_as_planned_and_its_cement_comes_as_high() -> None:
    this = frame("main")
    names = [one.name for one in this.strings]
    made, _ = early(this, names.index("casing-958"), 100.0)
    told = told_of(this, made, outcome(made, this), np.ones((len(this.depth),)))
    hole = edited("main", told.edits)
    sections = {one.name: one for one in hole.plan.sections}
    planned = {one.name: one for one in this.hole.plan.sections}
    below = hole.frame.below_sea_bed
    liner, liner_before = sections["section-812"].casing, planned["section-812"].casing
    assert liner is not None
    assert liner_before is not None
    assert not isinstance(liner.hung_at, str)
    assert not isinstance(liner_before.hung_at, str)
    assert below(liner.hung_at) == pytest.approx(below(liner_before.hung_at) - 100.0)
    assert below(liner.shoe) == pytest.approx(below(liner_before.shoe))
    casing, before = sections["section-1214"].casing, planned["section-1214"].casing
    assert casing is not None
    assert before is not None
    assert below(casing.shoe) == pytest.approx(below(before.shoe) - 100.0)
    assert sections["top-hole"] == planned["top-hole"]


def test_the_mud_of_the_last_node_and_the_slowest_rate_stand_in_the_plan() -> None:
    this = frame("main")
    made, _ = as_planned(this)
    string = [one.name for one in this.strings].index("casing-958")
    density, share = made.density.copy(), np.ones(len(this.depth))
    here = np.flatnonzero(made.string[0] == string)
    density[0, here] = np.linspace(1300.0, 1333.0, len(here))
    share[here[2]] = 0.5
    heavier = replace(made, density=density)
    hole = edited("main", told_of(this, heavier, outcome(made, this), share).edits)
    for before, after in zip(this.hole.plan.sections, hole.plan.sections, strict=True):
        moved = before.name == "section-1214"
        rate = before.rate_of_penetration_factor * (0.5 if moved else 1.0)
        assert after.rate_of_penetration_factor == pytest.approx(rate)
        mud = hole.plan.fluids[after.fluid].density
        assert mud == pytest.approx(
            1333.0 if moved else this.hole.plan.fluids[before.fluid].density
        )


def test_where_weighted_mud_was_dumped_the_section_has_a_mud_of_its_own() -> None:
    this = frame("main")
    made, _ = as_planned(this)
    density = made.density.copy()
    last = np.flatnonzero(made.string[0] == 1)[-1]
    density[0, last] = 1150.0
    heavier = replace(made, density=density)
    hole = edited(
        "main", told_of(this, heavier, outcome(made, this), np.ones(len(this.depth))).edits
    )
    section, before = hole.plan.sections[0], this.hole.plan.sections[0]
    assert section.fluid == f"{before.name}-mud"
    assert hole.plan.fluids[section.fluid].density == pytest.approx(1150.0)
    assert hole.plan.fluids[before.fluid] == this.hole.plan.fluids[before.fluid]


def test_a_hole_that_ended_keeps_the_plan_below_and_says_where_and_of_spares() -> None:
    this = frame("main")
    spare = next(n for n, one in enumerate(this.strings) if one.spare)
    made, _ = as_planned(this)
    shoes = made.shoes.copy()
    shoes[0, spare] = this.strings[spare - 1].bottom + 300.0
    shoes[0, spare + 1 :] = [2500.0] + [np.nan] * (len(this.strings) - spare - 2)
    ended = outcome(replace(made, shoes=shoes), this, 2500.0, 0)
    told = told_of(this, replace(made, shoes=shoes), ended, np.ones(len(this.depth)))
    assert told.edits == ()
    assert "pressure window ended it at 2500 m below the sea bed" in told.words
    assert f"The spare {this.strings[spare].name} was set at" in told.words


def test_cement_comes_to_the_top_of_a_string_into_the_shoe_above_or_as_high_over_its_own() -> None:
    before = (2000.0, 900.0, 1000.0)  # shoe, top, shoe above
    assert top_of_cement(900.0, (1900.0, 800.0, 900.0), before) == 800.0
    assert top_of_cement(950.0, (1900.0, 800.0, 900.0), before) == 850.0
    assert top_of_cement(1600.0, (1900.0, 900.0, 1000.0), before) == 1500.0
    wellhead = (2000.0, 0.0, 1000.0)
    assert top_of_cement(0.0, (1900.0, 0.0, 1000.0), wellhead) == 0.0
