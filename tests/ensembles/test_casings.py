"""Casings of many members: against the walk's load cases, and asked bottom by bottom."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from bathybore.checks.steel import casing_strength_checks
from bathybore.ensembles.casings import (
    KICK,
    LOST_RETURNS,
    Asked,
    Below,
    Holes,
    Planned,
    casing_bites,
    planned_casings,
)
from bathybore.ensembles.drawing import central, draw
from bathybore.ensembles.frame import frame_of, planned_policy
from bathybore.ensembles.making import made
from bathybore.ensembles.shapes import Drawn, Frame
from bathybore.model.loading import load_hole
from bathybore.model.uncertainty import load_uncertainty
from bathybore.operations.casing_loads import (
    LoadCase,
    lost_returns,
    sea_column,
    worst_kick,
)
from bathybore.operations.exposures import exposures
from bathybore.operations.steps import StepKind

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "benchmarks"))
from plain_casings import PlainStrength, plain_casings  # noqa: E402
from plain_holes import plain_hole, plain_made, plain_rock  # noqa: E402

EXAMPLES = ROOT / "examples"
DEFAULTS = EXAMPLES / "riserless"  # which has no document of what is uncertain


@pytest.fixture(scope="module", params=("main", "frontier"))
def frame(request: pytest.FixtureRequest) -> Frame:
    return frame_of(load_hole(EXAMPLES / request.param))


@pytest.fixture(scope="module")
def main() -> Frame:
    return frame_of(load_hole(EXAMPLES / "main"))


def planned(frame: Frame) -> Drawn:
    return central(load_uncertainty(DEFAULTS, frame.hole), frame)


def some(frame: Frame, count: int, strength: float = 1.0) -> Drawn:
    drawn = draw(load_uncertainty(DEFAULTS, frame.hole), frame, 1, 0, count)
    numbers = {**drawn.numbers, "casing_strength": np.full(count, strength)}
    return replace(drawn, numbers=numbers)


def faced(frame: Frame, drawn: Drawn) -> Iterator[tuple[Planned, Asked, Below]]:
    """Yield every casing with every hole below it."""
    holes = Holes(frame, made(frame, planned_policy(frame), drawn), drawn)
    for one in planned_casings(frame):
        asked = Asked(holes, one)
        for below in asked.below:
            yield one, asked, below


def case_of(frame: Frame, one: Planned, below: Below, lost: bool) -> tuple[LoadCase, int]:
    """Return the walk's load case with the section's bottom at its last planned node, and that."""
    string = frame.strings[below.string]
    node = int(np.argmin(np.abs(frame.depth - string.bottom)))
    section = frame.hole.plan.sections[below.section].name
    (faces,) = [e for e in exposures(frame.hole, one.job.casing) if e.section == section]
    faces = replace(faces, bottom=float(frame.z[node]))
    case = lost_returns(one.job, (faces,)) if lost else worst_kick(one.job, (faces,))
    assert case is not None
    return case, node


def test_loads_of_the_plan_are_those_of_the_walk(frame: Frame) -> None:
    """Nothing drawn: the same pressures and forces as the walk's load cases, to rounding."""
    asked_for = 0
    for one, asked, below in faced(frame, planned(frame)):
        for lost in (False, True):
            case, node = case_of(frame, one, below, lost)
            if lost:
                inside, outside = asked.fallen_back(below, np.array([[node]])), asked.backup(below)
            else:
                inside = asked.full_of_kick(below, asked.at_shoe(below)[:, [node]])
                outside = asked.sea
            for got, wanted in (
                (inside, case.internal_pressure.si),
                (outside, case.external_pressure.si),
                (asked.force(below, inside, outside), case.axial_force.si),
            ):
                numbers = np.asarray(wanted, dtype=float)
                both, mine, theirs = np.intersect1d(
                    np.round(frame.z[one.nodes], 3), np.round(case.z, 3), return_indices=True
                )
                assert len(both) > 0.7 * len(case.z)
                np.testing.assert_allclose(got[0][mine], numbers[theirs], rtol=1e-9, atol=1.0)
            asked_for += 1
    assert asked_for >= 6


def test_a_riser_lost_asks_less_of_a_member_than_returns_lost_in_its_mud(frame: Frame) -> None:
    """Why it is not asked of members: at every node the mud stands higher, in the lightest of it.

    The sea on the mud at the sea bed, against mud fallen back until the sea's pressure is left
    at the bottom: the longer column of what is heavier than the sea has the lower head.
    """
    nodes = 0
    for one, asked, below in faced(frame, some(frame, 64)):
        bottoms = below.bottoms
        last = bottoms.shape[1] - 1 - np.argmax(bottoms[:, ::-1], axis=1)
        mud = np.where(bottoms, asked.holes.made.density[below.members], np.inf).min(axis=1)
        height = asked.z - float(frame.hole.sea_bed)
        sea_bed = float(np.asarray(sea_column(frame.hole.setting, frame.z[:1]).si)[0])
        riser_lost = sea_bed + mud[:, None] * asked.holes.gravity * height
        fallen = asked.fallen_back(below, last[:, None])
        heavier = mud > 1030.0
        assert (fallen <= riser_lost * (1.0 + 1e-3))[heavier].all()
        nodes += int(heavier.sum()) * len(one.inside)
    assert nodes > 1000


def test_demand_and_capacity_are_those_of_the_records(main: Frame) -> None:
    """At the plan's own bottoms, within 1e-6; the core hole is the one without a rat hole."""
    records = {
        (state.activity.casing.name, record.name): record
        for state in main.states
        if state.step.kind is StepKind.CEMENT and state.activity.casing is not None
        for record in casing_strength_checks(state)
    }
    compared = 0
    for one, asked, below in faced(main, planned(main)):
        if below.section != len(main.hole.plan.sections) - 1:
            continue
        case, node = case_of(main, one, below, False)
        kick = asked.full_of_kick(below, asked.at_shoe(below)[:, [node]])
        lost = asked.fallen_back(below, np.array([[node]]))
        for questions, name, inside, outside in (
            (KICK, "kick", kick, asked.sea),
            (LOST_RETURNS, "lost-returns", lost, asked.backup(below)),
        ):
            for question in questions:
                demand, capacity = asked.judged(below, question, inside, outside)
                worst = int(np.argmin((capacity - demand)[0] / capacity[0]))
                record = records[one.job.casing.name, f"{question}-{name}"]
                assert record.demand is not None
                assert record.capacity is not None
                assert demand[0, worst] == pytest.approx(float(record.demand), rel=1e-6)
                assert capacity[0, worst] == pytest.approx(float(record.capacity), rel=1e-6)
                compared += 1
        assert case.held
    assert compared == 8


@pytest.mark.parametrize("strength", [0.45, 0.6])
def test_halving_finds_what_a_search_bottom_by_bottom_finds(main: Frame, strength: float) -> None:
    """Every bottom from the shoe down asked one after another, each with its own kick and loss."""
    drawn = some(main, 40, strength)
    holes = made(main, planned_policy(main), drawn)
    found = casing_bites(main, holes, drawn)
    wanted = np.full_like(found.depth, np.inf)
    names = {case: column for column, case in enumerate(found.cases)}
    for one, asked, below in faced(main, drawn):
        at_shoe, outside = asked.at_shoe(below), asked.backup(below)
        nodes = np.arange(one.first, one.last + 1)
        there = main.depth[nodes] <= holes.shoes[below.members, one.string][:, None] + 1e-6
        for node in np.flatnonzero(below.bottoms.any(axis=0)):
            drills = below.bottoms[:, node]
            brought = np.where(drills[:, None], at_shoe[:, [node]], 2e7)  # the others are left out
            kick = asked.full_of_kick(below, brought)
            lost = asked.fallen_back(below, np.full((len(drills), 1), node))
            for name, questions, inside, out in (
                ("kick", KICK, kick, asked.sea),
                ("lost-returns", LOST_RETURNS, lost, outside),
            ):
                failed = np.zeros(len(drills), bool)
                for question in questions:
                    demand, capacity = asked.judged(below, question, inside, out)
                    failed |= ((demand - capacity > 1e-9 * capacity) & there).any(axis=1)
                members = below.members[failed & drills]
                column = names[f"{name} {one.job.casing.name}"]
                wanted[members, column] = np.minimum(wanted[members, column], main.depth[node - 1])
    np.testing.assert_array_equal(found.depth, wanted)
    assert np.isfinite(found.depth).any()


def test_stronger_casings_never_bear_less(frame: Frame) -> None:
    before = np.zeros(60)
    for strength in (1e-6, 0.3, 0.5, 0.8, 1e3):
        drawn = some(frame, 60, strength)
        found = casing_bites(frame, made(frame, planned_policy(frame), drawn), drawn).first
        assert (found >= before).all()
        before = found
    assert (before == np.inf).all()


def test_of_nothing_bears_nothing(main: Frame) -> None:
    """Without strength the first bottom below the shoe is not borne: the hole ends at the shoe."""
    drawn = replace(planned(main), numbers={"casing_strength": np.array([1e-9])})
    found = casing_bites(main, made(main, planned_policy(main), drawn), drawn)
    shoe = {one.job.casing.name: main.depth[one.last] for one in planned_casings(main)}
    for case, depth in zip(found.cases, found.depth[0], strict=True):
        assert depth == shoe[case.split()[1]]


def test_a_hole_without_a_riser_asks_nothing() -> None:
    frame = frame_of(load_hole(EXAMPLES / "riserless"))
    drawn = planned(frame)
    found = casing_bites(frame, made(frame, planned_policy(frame), drawn), drawn)
    assert found.cases == ()
    assert (found.first == np.inf).all()


def test_a_loop_of_plain_numbers_gives_the_same_depths(main: Frame) -> None:
    drawn, policy = some(main, 4, 0.55), planned_policy(main)
    found = casing_bites(main, made(main, policy, drawn), drawn)
    plain, casings = plain_hole(main, policy), plain_casings(main)
    for member in range(drawn.count):
        shoes, density, string, _, _ = plain_made(plain, drawn, member)
        rock = plain_rock(plain, drawn, member)
        strength = PlainStrength(plain, rock, drawn, member, density)
        np.testing.assert_array_equal(found.depth[member], strength.bites(casings, shoes, string))
