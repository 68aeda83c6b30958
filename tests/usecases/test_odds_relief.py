"""What would lift the chance, asked of the same members."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from bathybore.drawings.odds_relief import in_words, relief_picture
from bathybore.ensembles.evaluating import Ensemble
from bathybore.ensembles.running import run
from bathybore.ensembles.shapes import Outcome
from bathybore.usecases.ledger import DAY
from bathybore.usecases.odds import OddsOrder, ensemble_at, ensemble_of
from bathybore.usecases.odds_relief import OddsReliefs, ReliefsTold, _lift, odds_reliefs
from bathybore.usecases.reliefs import Change, Effort, changed

MEMBERS = 200


@pytest.fixture(scope="module")
def ensemble() -> Ensemble:
    """The riserless hole with half as many of its bits: bits are what ends most of its members."""
    one = ensemble_at(Path("examples/riserless"))
    hole = one.frame.hole
    fewer = changed(hole, "inventory/core_barrel/bits", 2)
    return ensemble_of(fewer, one.uncertainty)


@pytest.fixture(scope="module")
def found(ensemble: Ensemble) -> OddsReliefs:
    return odds_reliefs(ensemble, OddsOrder(), MEMBERS)


def test_more_bits_lift_the_chance_where_bits_end_holes(found: OddsReliefs) -> None:
    first = found.relieved[0]
    assert str(first.cause.limit) == "stores"
    assert first.check.endswith("bit-stock")
    best = first.tried[0]
    assert "bit" in best.what
    assert best.gain > 0.0
    assert best.low > 0.0
    gains = [lift.gain for lift in first.tried if not lift.why_not]
    assert gains == sorted(gains, reverse=True)


def test_a_lift_is_that_of_the_changed_hole(ensemble: Ensemble, found: OddsReliefs) -> None:
    """The members of the hole with one more bit, run for themselves."""
    best = found.relieved[0].tried[0]
    now = ensemble.frame.hole.inventory.core_barrel
    assert now is not None
    before = run(ensemble, MEMBERS).reached
    counts = []
    for more in (1, 2, 3, 4):
        path = "inventory/core_barrel/bits"
        other = ensemble_of(
            changed(ensemble.frame.hole, path, now.bits + more), ensemble.uncertainty
        )
        counts.append(float(np.mean(run(other, MEMBERS).reached)) - float(before.mean()))
    assert best.gain in [pytest.approx(count, abs=1e-12) for count in counts]


def test_a_change_of_the_season_moves_the_arrival(ensemble: Ensemble) -> None:
    """The change that `later` stands for, and nothing else, is asked of the members."""
    asked = list[Ensemble]()

    def outcome_of(one: Ensemble) -> Outcome:
        asked.append(one)
        return run(one, 8)

    change = Change("begun a month later", Effort.DECISION, ensemble.frame.hole, 30.0 * DAY)
    _lift(ensemble, change, run(ensemble, 8), outcome_of)
    before, after = ensemble.uncertainty.arrival, asked[0].uncertainty.arrival
    assert after.earliest - before.earliest == pytest.approx(30.0 * DAY)


def test_it_is_told_and_drawn(found: OddsReliefs) -> None:
    topic = ReliefsTold(found).topic("metric")
    assert topic.tables[0].title.startswith("Against stores")
    assert topic.numbers["stores"][0]["change"] == found.relieved[0].tried[0].what
    assert found.relieved[0].tried[0].what in in_words(found)
    picture = relief_picture(found)
    assert "against stores" in picture.svg
