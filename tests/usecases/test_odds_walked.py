"""Members at the target walked in full, and what the longer questions say of them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from bathybore.base.errors import InputErrors
from bathybore.checks.record import CheckRecord, Status
from bathybore.drawings.odds_walked import in_words, walked_picture
from bathybore.ensembles.drawing import CHUNK, planned_curves
from bathybore.ensembles.evaluating import Ensemble
from bathybore.ensembles.made_members import made_files
from bathybore.ensembles.odds import Share, share_of
from bathybore.ensembles.running import run
from bathybore.model.editing import Draft, read_draft
from bathybore.operations.state import HoleState
from bathybore.usecases import odds_walked
from bathybore.usecases.odds import OddsOrder, ensemble_at
from bathybore.usecases.odds_walked import Failing, Walked, WalkedTold, walked

RISERLESS = Path(__file__).parents[2] / "examples" / "riserless"


@pytest.fixture(scope="module")
def ensemble() -> Ensemble:
    return ensemble_at(RISERLESS)


@pytest.fixture(scope="module")
def draft() -> Draft:
    return read_draft(RISERLESS)


def failing_in(
    plan: Ensemble,
    monkeypatch: pytest.MonkeyPatch,
    ids: tuple[str, ...],
    status: Status = Status.FAILS,
    in_plan: Status = Status.HOLDS,
) -> None:
    """Let longer questions of a step come out as told, in every member and in the plan."""

    def studies(state: HoleState) -> tuple[CheckRecord, ...]:
        if state.step.name != "core":
            return ()
        one = next(r for r in odds_walked.records_of(state) if r.demand is not None)
        said = in_plan if state in plan.frame.states else status
        return tuple(replace(one, name=name, status=said) for name in ids)

    monkeypatch.setattr(odds_walked, "studies_of", studies)


def test_who_fails_a_longer_question_does_not_stand(
    ensemble: Ensemble, draft: Draft, monkeypatch: pytest.MonkeyPatch
) -> None:
    failing_in(ensemble, monkeypatch, ("kick-in-time", "trip-speed"))
    found = walked(ensemble, draft, OddsOrder(), 2)
    reached = run(ensemble, CHUNK).reached
    assert found.reached == share_of(reached)
    assert set(found.walked) <= set(np.flatnonzero(reached).tolist())
    assert (found.stand.count, found.stand.of) == (0, 2)
    about = {one.id: one.about for one in found.longer}
    assert about == {"core/kick-in-time": "", "core/trip-speed": "the crew trips slower"}
    assert all(one.share.count == 2 for one in found.longer)


def test_what_the_crew_answers_ends_no_hole(
    ensemble: Ensemble, draft: Draft, monkeypatch: pytest.MonkeyPatch
) -> None:
    failing_in(ensemble, monkeypatch, ("trip-speed",))
    found = walked(ensemble, draft, OddsOrder(), 2)
    assert (found.stand.count, found.stand.of) == (2, 2)
    assert found.stand.low > 0.0  # two tell little


def test_a_question_left_open_is_not_stood(
    ensemble: Ensemble, draft: Draft, monkeypatch: pytest.MonkeyPatch
) -> None:
    failing_in(ensemble, monkeypatch, ("kick-in-time",), Status.NOT_JUDGED)
    found = walked(ensemble, draft, OddsOrder(), 2)
    assert (found.stand.count, found.open, found.longer) == (0, 2, ())
    assert dict(WalkedTold(found).topic("metric").facts)["Left open"].startswith("2 of those")


@pytest.mark.parametrize(("status", "stands"), [(Status.FAILS, False), (Status.NOT_JUDGED, True)])
def test_what_the_plan_leaves_unjudged_a_member_may_still_fail(
    ensemble: Ensemble, monkeypatch: pytest.MonkeyPatch, status: Status, stands: bool
) -> None:
    """Outside validity in the plan, and judged in softer rock: it is no less failed for that."""
    failing_in(ensemble, monkeypatch, ("kick-in-time",), status, in_plan=status)
    counted = odds_walked._Counted(frozenset({"core/kick-in-time"}))
    counted.add(0, ensemble.frame.states)
    assert (counted.stand, counted.open) == ([stands], 0)
    assert list(counted.longer) == ([] if stands else ["core/kick-in-time"])


def test_who_cannot_be_walked_is_counted_apart(
    ensemble: Ensemble, draft: Draft, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*given: object) -> None:
        raise InputErrors.one("hole.yaml", "a hole", "another")

    monkeypatch.setattr(odds_walked, "made_files", refuse)
    found = walked(ensemble, draft, OddsOrder(), 2)
    assert found.stand == Share(0, 0, 0.0, 1.0)
    assert len(found.not_walked) == 2
    facts = dict(WalkedTold(found).topic("metric").facts)
    assert facts["Not walked"].startswith("2 members")
    assert "Chance with them" not in facts


def test_a_written_member_drills_no_faster_than_its_crew(ensemble: Ensemble, draft: Draft) -> None:
    """In softer rock too: the table has the rate that the plan's share is taken of."""
    frame, drawn = ensemble.frame, ensemble.drawn(0, 64)
    rate, planned = drawn.curves["rate_of_penetration"], planned_curves(frame)
    most = planned["rate_of_penetration"][0]
    fast = int(np.argmax((rate / most).max(axis=1)))
    assert (rate[fast] > 1.2 * most).any()
    files = made_files(draft, frame, ensemble.ledger, ensemble.policy, drawn, fast)
    hole = Draft.of(files).hole
    assert hole is not None
    assert (hole.earth.at("rate_of_penetration", frame.depth) <= most * (1.0 + 1e-9)).all()


def test_it_is_told_and_drawn() -> None:
    share = Share(1, 16, 0.011, 0.283)
    one = Failing("core/kick-in-time", share, (4,))
    found = Walked(Share(90, 100, 0.8, 0.95), 3, tuple(range(16)), Share(15, 16, 0.717, 0.989),
                   0, (one,), (), ())  # fmt: skip
    topic = WalkedTold(found).topic("oilfield")
    facts = dict(topic.facts)
    assert facts["Chance with them"] == "about 84% (57% to 94%)"
    assert facts["Left out"].startswith("3 members")
    assert [table.title for table in topic.tables] == ["Longer questions that fail"]
    assert "core/kick-in-time fails in 1" in in_words(found)
    assert "15 of 16 members" in walked_picture(found).svg
    none = replace(found, stand=Share(14, 16, 0.64, 0.965), open=2, longer=())
    assert "none fails" in walked_picture(none).svg
    assert "2 are left open" in in_words(none)
    assert "left open" not in in_words(found)


@pytest.mark.parametrize("count", [1, 513])
def test_too_few_and_too_many_are_refused(ensemble: Ensemble, draft: Draft, count: int) -> None:
    with pytest.raises(InputErrors, match="each a walk of its own"):
        walked(ensemble, draft, OddsOrder(), count)
