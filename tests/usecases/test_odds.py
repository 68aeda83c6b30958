"""The odds of a hole, what matters, what it is worth to know, what to change."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from bathybore.base.errors import InputErrors
from bathybore.checks.record import Status
from bathybore.ensembles.asked_numbers import Effect, Moved, NumberAsked
from bathybore.ensembles.choosing import Goal
from bathybore.ensembles.drawing import groups
from bathybore.ensembles.evaluating import Ensemble
from bathybore.model.loading import load_hole
from bathybore.model.uncertainty import load_uncertainty
from bathybore.model.uncertainty_document import (
    MeasurementsEntry,
    PilotHoleEntry,
    TemperatureEntry,
)
from bathybore.usecases.ledger import DAY
from bathybore.usecases.odds import (
    LONGER,
    OddsFound,
    OddsOrder,
    ensemble_at,
    in_words,
    matters,
    odds,
    robust,
    worths,
    write_one,
)
from bathybore.usecases.odds_told import (
    MattersTold,
    OddsTold,
    RobustTold,
    WorthsTold,
    assumed,
)
from bathybore.usecases.walking import walk

RISERLESS = Path("examples/riserless")
FEW = OddsOrder(members=200)


@pytest.fixture(scope="module")
def ensemble() -> Ensemble:
    return ensemble_at(RISERLESS)


@pytest.fixture(scope="module")
def found(ensemble: Ensemble) -> OddsFound:
    return odds(ensemble, FEW)


def test_every_member_is_accounted_for(found: OddsFound) -> None:
    ended = sum(cause.share.count for cause in found.odds.causes)
    assert found.odds.reached.count + ended + len(found.odds.unjudged) == 200
    chances = [section.share.count for section in found.odds.sections]
    assert chances == sorted(chances, reverse=True)
    assert chances[-1] == found.odds.reached.count


def test_the_chance_is_a_record_that_opens(found: OddsFound) -> None:
    record = found.records[0]
    assert record.id == "odds/target"
    assert record.capacity is not None
    assert float(record.capacity) == found.odds.reached.share
    wanted = found.hole.basis.least_chance
    assert (record.status is Status.FAILS) == (found.odds.reached.share < wanted)
    assert "Wilson" in record.note


def test_the_same_seed_is_the_same_answer(ensemble: Ensemble, found: OddsFound) -> None:
    again = odds(ensemble, replace(FEW, workers=2))
    np.testing.assert_array_equal(again.outcome.days, found.outcome.days)
    other = odds(ensemble, replace(FEW, seed=2))
    assert not np.array_equal(other.outcome.days, found.outcome.days)


def test_a_member_written_out_ends_as_the_odds_say(
    ensemble: Ensemble, found: OddsFound, tmp_path: Path
) -> None:
    """A member that came to the target is walked in full: its time agrees with the ensemble's."""
    member = int(np.flatnonzero(found.outcome.reached)[0])
    folder = write_one(ensemble, RISERLESS, member, tmp_path / "member")
    walked = walk(folder)
    assert walked.stopped == ""
    assert f"member {member}" in walked.hole.name
    assert walked.hole.document.invented
    # trouble is the member's own, not the plan's factor: the net times are what agree
    net = sum(float(part) for state in walked.states for part in state.times)
    planned = sum(float(part) for state in ensemble.frame.states for part in state.times)
    assert net != pytest.approx(planned, rel=1e-6)
    with pytest.raises(InputErrors, match="a name that is not taken yet"):
        write_one(ensemble, RISERLESS, member, tmp_path / "member")


def test_what_matters_names_every_group(ensemble: Ensemble) -> None:
    answer = matters(ensemble, OddsOrder(), 64)
    names = set(groups(ensemble.uncertainty))
    assert answer.runs == 2 + 2 * len(names)
    for rows in answer.shares.values():
        assert {one.group for one in rows} == names
        totals = [one.total.share for one in rows]
        assert totals == sorted(totals, reverse=True)
        assert min(totals) >= 0.0
    assert "cost" not in answer.shares  # no price is told
    days = {one.group: one.spread for one in answer.swings["days"]}
    assert days["handling_time"].p90 > days["handling_time"].p10
    assert days["casing_strength"].p90 == pytest.approx(days["casing_strength"].p10)
    assert answer.planned["reached"] == 1.0
    topic = MattersTold(answer).topic("metric")
    assert len(topic.tables) == len(answer.shares) + len(answer.swings)


def test_a_measurement_is_never_worth_more_than_to_know_all(ensemble: Ensemble) -> None:
    answer = worths(ensemble, OddsOrder(), 320)
    assert (
        len(answer) == 2
    )  # pilot hole and temperature: below the only casing nothing can be moved
    for one in answer:
        assert one.odds.low <= one.odds.gain <= one.odds.high
        assert one.odds.gain <= one.odds.perfect + 1e-9
        assert one.days.perfect >= 0.0
        assert one.action(0, "metric") == "as planned"
    topic = WorthsTold(answer).topic("metric")
    assert len(topic.tables[0].rows) == len(answer)


def test_a_measurement_takes_its_time_off_what_it_saves_and_costs_what_is_told(
    ensemble: Ensemble,
) -> None:
    usual = {one.reading.unit: one for one in worths(ensemble, OddsOrder(), 160)}
    told = MeasurementsEntry(
        pilot_hole=PilotHoleEntry.model_validate({"time": "2 d", "cost": 50000}),
        temperature=TemperatureEntry.model_validate({"time": "0 h"}),
    )
    uncertainty = replace(ensemble.uncertainty, measurements=told)
    other = worths(replace(ensemble, uncertainty=uncertainty), OddsOrder(), 160)
    mine = {one.reading.unit: one for one in other}
    drilled = usual["kg/m3"].reading.takes
    step = next(s for s in ensemble.frame.states if s.step.name.startswith("drill-"))
    assert drilled == sum(float(part) for part in step.times)
    assert mine["kg/m3"].days.gain == pytest.approx(usual["kg/m3"].days.gain + drilled - 2.0 * DAY)
    assert mine["K"].days.gain == pytest.approx(usual["K"].days.gain + 0.5 * DAY)
    assert mine["kg/m3"].odds.gain == usual["kg/m3"].odds.gain
    rows = WorthsTold(other).topic("oilfield").tables[0].rows
    assert {row[1] for row in rows} == {"2.0 days, 50,000 money", "no more time"}
    assert all("ft below the sea bed" in row[0] for row in rows)


def test_it_is_told_which_questions_a_drawn_number_moves(found: OddsFound) -> None:
    tables = found.ensemble.ledger.tables
    at = next(n for n, table in enumerate(tables) if table.check == "hook-load")
    same = Effect.of(tables[at].demand, tables[at].demand[None])
    numbers = (
        NumberAsked("vessel.hoist.hook_capacity", np.ones(1), {at: Moved(same, same)}),
        NumberAsked("site.water_depth", np.ones(1), {}, ("no such sea",)),
    )
    ledger = replace(found.ensemble.ledger, numbers=numbers)
    other = replace(found, ensemble=replace(found.ensemble, ledger=ledger))
    facts = OddsTold(other).topic("metric").facts
    assert ("Drawn: vessel.hoist.hook_capacity", "moves hook-load") in facts
    assert ("Drawn: site.water_depth", "moves no question") in facts
    assert ("Not asked", "at 1 of its values: no such sea") in facts


def test_what_is_uncertain_names_trouble_arrival_and_alternatives(ensemble: Ensemble) -> None:
    main = Path("examples/main")
    uncertainty = load_uncertainty(main, load_hole(main))
    rows = {row[0]: row for row in assumed(uncertainty, "oilfield").rows}
    assert rows["fault seals"][1] == "30% of the members"
    assert "pore_pressure 0.334 ppg more from 12" in rows["fault seals"][2]
    assert rows["fault leaks"][2] == "as planned"
    assert rows["arrival"][1] == "1 April to 30 June"
    assert rows["trouble in drill-section-812"][1].startswith("chance 40%")
    assert rows["trouble in every other step"][3].startswith("uncertainty.yaml, line")
    usual = {row[0]: row for row in assumed(ensemble.uncertainty, "metric").rows}
    if "trouble in every other step" in usual and not ensemble.uncertainty.told:
        assert usual["trouble in every other step"][3] == "assumed"


def test_too_few_members_to_part_readings(ensemble: Ensemble) -> None:
    with pytest.raises(InputErrors, match="160 or more"):
        worths(ensemble, OddsOrder(), 100)


def test_the_most_robust_plan_is_no_worse_where_it_was_chosen(ensemble: Ensemble) -> None:
    answer = robust(ensemble, OddsOrder(), Goal.days, members=128)
    chosen = answer.chosen
    assert chosen.tried >= 2
    assert chosen.low <= chosen.gain <= chosen.high
    topic = RobustTold(answer, ensemble.frame).topic("oilfield")
    assert topic.tables[0].rows[0][0] == "conductor"
    bottoms = (chosen.planned.bottoms[0], chosen.planned.bottoms[1] + 100.0)
    moved = replace(chosen.planned, bottoms=(*bottoms, *chosen.planned.bottoms[2:]))
    told = in_words(ensemble.frame, chosen.planned, moved, "oilfield")
    assert told.endswith("328 ft deeper")


def test_money_needs_a_price(ensemble: Ensemble) -> None:
    with pytest.raises(InputErrors, match="no day_rate"):
        robust(ensemble, OddsOrder(), Goal.cost, members=32)


@pytest.mark.parametrize("level", [0.0, 1.0, 1.5])
def test_a_level_is_a_share(ensemble: Ensemble, level: float) -> None:
    with pytest.raises(InputErrors, match="between 0 and 1"):
        robust(ensemble, OddsOrder(), Goal.days, level, members=32)


def test_a_chance_has_no_level(ensemble: Ensemble) -> None:
    with pytest.raises(InputErrors, match="days or cost"):
        robust(ensemble, OddsOrder(), Goal.odds, 0.8, members=32)


@pytest.mark.parametrize("units", ["metric", "oilfield"])
def test_the_page_tells_it_all(found: OddsFound, units: str) -> None:
    topic = OddsTold(found).topic(units)  # type: ignore[arg-type]
    titles = [table.title for table in topic.tables]
    assert "What ends the holes that do not come to the target" in titles
    assert "Where each limit bites first, asked alone" in titles
    assert len(topic.tables[0].rows) == 3
    assert topic.numbers["members"] == 200
    assert any("day_rate" in text for _, text in topic.facts)
    told = [text for _, text in topic.facts] + [topic.caution]
    assert " ".join(told).count(LONGER) == 1  # beside the chance, and nowhere else
    assert LONGER in topic.records[0].caution  # where `explain` opens it
