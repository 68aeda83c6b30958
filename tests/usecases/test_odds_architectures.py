"""The search's proposals asked of members: what is carried over, and which of them is best."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from bathybore.base.errors import InputErrors, OrderError
from bathybore.base.working import Default
from bathybore.ensembles.choosing import OTHER_SEED, Goal
from bathybore.ensembles.evaluating import Ensemble
from bathybore.ensembles.frame import frame_of, planned_policy
from bathybore.ensembles.ledger_depths import LedgerDepths
from bathybore.ensembles.running import run
from bathybore.model.editing import Draft, read_draft
from bathybore.model.laws import Law
from bathybore.model.loading import load_hole
from bathybore.model.uncertain import Alternative, Change, Trouble, Uncertain
from bathybore.model.uncertainty import load_uncertainty
from bathybore.usecases import odds_architectures
from bathybore.usecases.adopting import adopted
from bathybore.usecases.odds import OddsOrder
from bathybore.usecases.odds_architectures import (
    ArchitecturesTold,
    Other,
    architectures,
    carried,
)
from bathybore.usecases.searching import Proposal, SearchOrder, find_architectures

RISERLESS = Path(__file__).parents[2] / "examples" / "riserless"
MEMBERS = 96


@pytest.fixture(scope="module")
def ensemble() -> Ensemble:
    """Mud, strings and stores alone: no question of the tables ends a hole."""
    hole = load_hole(RISERLESS)
    frame = frame_of(hole)
    uncertainty = load_uncertainty(RISERLESS, hole)
    return Ensemble(frame, LedgerDepths(()), uncertainty, planned_policy(frame), 1)


@pytest.fixture(scope="module")
def draft() -> Draft:
    return read_draft(RISERLESS)


def shallower(ensemble: Ensemble) -> Ensemble:
    """Return the same hole, its only casing set where the rock is weak."""
    policy = ensemble.policy
    bottoms = (policy.bottoms[0], policy.bottoms[0] + 30.0, *policy.bottoms[2:])
    return replace(ensemble, policy=replace(policy, bottoms=bottoms))


def test_the_best_is_found_and_weighed_on_other_members(
    ensemble: Ensemble, draft: Draft, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The plan itself, and one that spares mud by a shallow casing, which strength would forbid."""
    here = {1: ensemble, 2: shallower(ensemble)}

    def asked(one: Ensemble, of: Draft, proposal: Proposal) -> tuple[Ensemble, tuple[str, ...]]:
        return here[proposal.number], ()

    monkeypatch.setattr(odds_architectures, "_asked", asked)
    found = architectures(ensemble, draft, OddsOrder(), Goal.odds, None, MEMBERS, 2)
    assert [one.number for one in found.tried] == [1, 2]
    assert found.tried[0].gain == 0.0
    plan, other = (run(one, MEMBERS).reached for one in here.values())
    assert found.planned.count == int(plan.sum())
    assert found.tried[1].reached.count == int(other.sum())
    assert found.tried[1].gain == pytest.approx(other.mean() - plan.mean(), abs=1e-12)
    assert found.best == 2
    ended = 1.0 - found.tried[1].reached.share
    assert found.tried[1].ended_by.endswith("%")
    assert float(found.tried[1].ended_by.split(": ")[1].rstrip("%")) <= 100.0 * ended + 0.5
    before, after = (
        run(replace(one, seed=1 + OTHER_SEED), MEMBERS).reached.mean() for one in here.values()
    )
    assert found.gain == pytest.approx(after - before, abs=1e-12)


def test_what_cannot_be_asked_says_why_and_the_plan_stays(
    ensemble: Ensemble, draft: Draft, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*given: object) -> None:
        raise OrderError("the string is too short")

    monkeypatch.setattr(odds_architectures, "_asked", refuse)
    found = architectures(ensemble, draft, OddsOrder(), Goal.odds, None, 32, 2)
    assert found.best == 0
    assert all(one.why_not for one in found.tried)
    topic = ArchitecturesTold(found, None).topic("metric")
    assert dict(topic.facts)["Best"].startswith("the plan: nothing that the search proposes")
    assert topic.tables[0].rows[0][-1] == "the string is too short"
    assert topic.numbers["tried"][0]["chance"] is None


def test_what_the_other_plan_has_no_place_for_is_left_out_and_named(
    ensemble: Ensemble, draft: Draft
) -> None:
    proposal = find_architectures(draft, SearchOrder(walk=False)).proposals[0]
    hole = adopted(draft, proposal.sections).hole
    assert hole is not None
    gone, stays = "plan.sections[0].casing.cement.rate", "vessel.handling.connection_time"
    planned = ensemble.frame.hole.vessel.handling.connection_time
    law = Law("uniform", (("least", 0.9 * planned), ("greatest", 1.1 * planned)))
    numbers = tuple(
        Uncertain(key, "number", "s", law, value, Default(key, "assumed"))
        for key, value in ((gone, -1.0), (stays, planned))
    )
    last = ensemble.frame.states[-1].step.name
    told = replace(
        ensemble.uncertainty,
        quantities=(*ensemble.uncertainty.quantities, *numbers),
        alternatives=(Alternative("slow", 1.0, (Change(gone, 0.0, 2.0, 0.0, 9.0, "here"),)),),
        trouble={"": Trouble(0.2, 1.0, None), "no-such": Trouble(0.9, 1.0, None),
                 last: Trouble(0.5, 1.0, None)},
    )  # fmt: skip
    left, named = carried(told, hole)
    assert named == (gone, "trouble in no-such")
    assert stays in left.by_key
    assert gone not in left.by_key
    assert left.alternatives[0].changes == ()
    assert set(left.trouble) == {"", last}


def test_a_gain_that_is_not_shown_is_not_called_one(ensemble: Ensemble, draft: Draft) -> None:
    found = architectures(ensemble, draft, OddsOrder(), Goal.odds, None, 32, 0)
    assert found.tried == ()
    told = dict(ArchitecturesTold(found, None).topic("metric").facts)["Best"]
    assert "the search proposes none" in told
    proposal = find_architectures(draft, SearchOrder(walk=False)).proposals[0]
    one = Other(proposal, found.planned, 0.1, 0.0, 0.2)
    for low, words in ((-0.1, "do not show"), (0.1, "--write 1")):
        some = replace(found, tried=(one,), best=1, gain=0.15, low=low, high=0.2)
        assert words in dict(ArchitecturesTold(some, None).topic("metric").facts)["Best"]


@pytest.mark.parametrize(
    ("goal", "level", "members", "words"),
    [
        (Goal.odds, 0.9, 64, "a chance has one value"),
        (Goal.days, 1.5, 64, "a share between 0 and 1"),
        (Goal.days, None, 1, "2 or more"),
        (Goal.cost, None, 32, "a price of a day"),
    ],
)
def test_what_makes_no_sense_is_refused(
    ensemble: Ensemble, draft: Draft, goal: Goal, level: float | None, members: int, words: str
) -> None:
    with pytest.raises(InputErrors, match=words):
        architectures(ensemble, draft, OddsOrder(), goal, level, members, 1)


@pytest.mark.soak
def test_the_proposals_of_the_search_are_asked_as_holes(draft: Draft) -> None:
    from bathybore.usecases.odds import ensemble_at

    ensemble = ensemble_at(RISERLESS)
    found = architectures(ensemble, draft, OddsOrder(), Goal.odds, None, 64)
    assert found.tried
    for one in found.tried:
        assert not one.why_not
        assert np.isfinite(one.gain)
        expected = one.reached.share - found.planned.share
        assert one.gain == pytest.approx(expected, abs=1e-12)
