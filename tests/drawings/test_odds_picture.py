"""Pictures of the odds: what is drawn is what was counted; nothing lies off the sheet."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from matplotlib.figure import Figure

from bathybore.base.units import UnitSystem
from bathybore.drawings.knowing import draw_knowing
from bathybore.drawings.limits import FILLS
from bathybore.drawings.odds import draw_odds, endings, planned_line, still_there
from bathybore.drawings.picture import Sheet, settings
from bathybore.drawings.robust import draw_robust
from bathybore.drawings.tornado import chosen, draw_matters
from bathybore.ensembles.choosing import Chosen, Goal
from bathybore.ensembles.evaluating import Ensemble
from bathybore.ensembles.knowing import knowing
from bathybore.ensembles.odds import Share, Spread
from bathybore.ensembles.readings import Reading
from bathybore.ensembles.sensitivity import Index, Sensitivity
from bathybore.ensembles.shapes import LIMITS, NOT_JUDGED, REACHED, Limit
from bathybore.usecases.odds import (
    Matters,
    OddsFound,
    OddsOrder,
    Robust,
    Swing,
    Worth,
    ensemble_at,
    odds,
)
from varied import EXAMPLES

DAY = 86400.0
BOTH = ("metric", "oilfield")


@pytest.fixture(scope="module")
def ensemble() -> Ensemble:
    return ensemble_at(EXAMPLES / "riserless")


@pytest.fixture(scope="module")
def found(ensemble: Ensemble) -> OddsFound:
    return odds(ensemble, OddsOrder(members=128))


@pytest.fixture(scope="module")
def mixed(found: OddsFound) -> OddsFound:
    """The same, every limit ending some members at depths of their own, some not judged."""
    count = len(found.outcome.depth)
    ends_by = np.arange(count) % (len(LIMITS) + 1) - 1  # REACHED and every limit in turn
    target = float(found.odds.marks[-1])
    depth = np.where(ends_by == REACHED, target, np.linspace(0.0, target, count))
    ends_by[:3] = NOT_JUDGED
    outcome = replace(found.outcome, ends_by=ends_by, depth=depth)
    causes = tuple(
        replace(
            found.odds.causes[0],
            limit=limit,
            share=Share(int(np.sum(ends_by == at)), count - 3, 0.0, 1.0),
        )
        for at, limit in enumerate(LIMITS)
    )
    told = replace(found.odds, causes=causes, unjudged=((0, "x"), (1, "x"), (2, "x")))
    return replace(found, outcome=outcome, odds=told)


def whole(sheet: Sheet) -> None:
    """Every text lies on the sheet, and no two names of one column lie over each other."""
    figure = sheet.figure
    assert isinstance(figure, Figure)
    figure.canvas.draw()
    box = figure.bbox
    for axes in figure.axes:
        names = list(axes.texts)
        if axes.axison:
            names += [axes.xaxis.label, axes.yaxis.label, *axes.get_yticklabels()]
        for text in names:
            if text.get_text() and text.get_visible():
                extent = text.get_window_extent()
                assert extent.x0 >= box.x0 - 1.0, text.get_text()
                assert extent.y0 >= box.y0 - 1.0, text.get_text()
                assert extent.x1 <= box.x1 + 1.0, text.get_text()
                assert extent.y1 <= box.y1 + 1.0, text.get_text()
        boxes = [text.get_window_extent() for text in axes.texts if text.get_text()]
        for i, one in enumerate(boxes):
            assert not any(one.overlaps(other) for other in boxes[i + 1 :]), axes.texts[i]
        if (legend := axes.get_legend()) is not None:
            extent = legend.get_window_extent()
            assert extent.x0 >= box.x0 - 1.0
            assert extent.x1 <= box.x1 + 1.0
            assert extent.y0 >= box.y0 - 1.0


@pytest.mark.parametrize("units", BOTH)
def test_the_odds_are_drawn_whole(found: OddsFound, units: UnitSystem) -> None:
    with settings():
        sheet = draw_odds(found, units)
        whole(sheet)
    assert f"Of {found.odds.reached.of} members" in sheet.alt
    assert (" ft" in sheet.alt) == (units == "oilfield")
    for cause in found.odds.causes:
        assert str(cause.limit) in sheet.alt


@pytest.mark.parametrize("units", BOTH)
def test_every_limit_has_a_place(mixed: OddsFound, units: UnitSystem) -> None:
    with settings():
        sheet = draw_odds(mixed, units)
        whole(sheet)
    for limit in LIMITS:
        assert str(limit) in sheet.alt


def test_no_limit_is_told_from_another_by_colour_alone() -> None:
    """Two limits of one colour differ in their hatching, and no two are filled alike."""
    assert set(FILLS) == set(Limit)
    assert len({(fill.colour, fill.hatch) for fill in FILLS.values()}) == len(LIMITS)


@pytest.mark.parametrize("units", BOTH)
def test_every_hole_that_ends_is_in_one_class(mixed: OddsFound, units: UnitSystem) -> None:
    ends = endings(mixed, units)
    outcome = mixed.outcome
    for limit, counts in ends.counts.items():
        mine = outcome.depth[outcome.ends_by == LIMITS.index(limit)]
        assert counts.sum() == len(mine)
        for number, count in enumerate(counts):
            low, high = ends.edges[number], ends.edges[number + 1]
            inside = (mine > low + 1e-3) & (mine <= high + 1e-3)
            first = number == 0
            assert count == np.sum(inside | (first & (mine <= low + 1e-3)))
    assert ends.edges[-1] >= mixed.odds.marks[-1] - 1e-6


def test_the_share_still_there_is_counted(mixed: OddsFound) -> None:
    depth, share = still_there(mixed)
    judged = mixed.outcome.depth[mixed.outcome.ends_by != NOT_JUDGED]
    assert share[0] == 1.0
    assert (np.diff(share) <= 0.0).all()
    for d, s in zip(depth[::7], share[::7], strict=True):
        assert s == pytest.approx(np.mean(judged >= d - 1e-3))


def test_the_planned_line_is_that_of_the_walk(found: OddsFound) -> None:
    time, depth = planned_line(found)
    frame = found.ensemble.frame
    bottoms = [float(state.bottom) - float(frame.hole.sea_bed) for state in frame.states]
    assert depth[-1] == pytest.approx(max(bottoms))
    assert depth[-1] == pytest.approx(float(frame.depth[frame.target]))
    assert (np.diff(time) >= 0.0).all()
    first = next(s for s, b in zip(frame.states, bottoms, strict=True) if b == max(bottoms))
    assert time[-1] <= first.elapsed / DAY + 1e-9


def test_a_hole_that_always_comes_through_and_one_that_never_does(found: OddsFound) -> None:
    count = len(found.outcome.depth)
    none = replace(
        found.odds,
        causes=(),
        reached=Share(count, count, 0.97, 1.0),
    )
    all_through = replace(
        found,
        odds=none,
        outcome=replace(
            found.outcome,
            ends_by=np.full(count, REACHED),
            depth=np.full(count, float(found.odds.marks[-1])),
        ),
    )
    nowhere = replace(
        found,
        odds=replace(
            found.odds,
            reached=Share(0, 0, 0.0, 1.0),
            causes=(),
            there=np.zeros_like(found.odds.there),
            days=np.full_like(found.odds.days, np.nan),
            spent={"days": Spread(np.nan, np.nan, np.nan, np.nan, 0)},
        ),
        outcome=replace(found.outcome, ends_by=np.full(count, NOT_JUDGED)),
    )
    with settings():
        for one in (all_through, nowhere):
            whole(draw_odds(one))
        assert draw_odds(nowhere).alt == "No member could be judged."
        assert "What ends" not in draw_odds(all_through).alt


def _matters(groups: list[str]) -> Matters:
    index = Index(0.2, -0.05, 0.45)
    shares = tuple(
        Sensitivity(name, index, Index(1.0 / (n + 1.0), 0.0, 1.0)) for n, name in enumerate(groups)
    )

    def swings(width: float) -> tuple[Swing, ...]:
        return tuple(
            Swing(name, Spread(60.0 * width, 62.0 * width, (62.0 + 9.0 / (n + 1)) * width,
                               62.5 * width, 64))
            for n, name in enumerate(groups)
        )  # fmt: skip

    answers = {"reached": 0.01, "depth": 70.0, "days": DAY, "cost": 1e6}
    return Matters(
        members=64,
        runs=2 + 2 * len(groups),
        shares=dict.fromkeys(answers, shares),
        swings={answer: swings(width) for answer, width in answers.items()},
        planned={answer: 61.0 * width for answer, width in answers.items()},
    )


@pytest.mark.parametrize("units", BOTH)
def test_what_matters_is_drawn_for_every_answer(units: UnitSystem) -> None:
    long = "pore_pressure + fracture_pressure + collapse_pressure + plan.sections.section-2.flow"
    many = _matters([long, *(f"quantity_{n}" for n in range(12))])
    with settings():
        sheet = draw_matters(many, units)
        whole(sheet)
    for words in ("Chance of the target", "Depth reached", "Days spent", "Money spent"):
        assert words in sheet.alt


def test_the_widest_comes_first_and_none_that_matters_is_left_out() -> None:
    many = _matters([f"quantity_{n}" for n in range(12)])
    # one that does nothing alone, and everything together with others
    shares = tuple(
        replace(one, total=Index(0.9, 0.8, 1.0)) if one.group == "quantity_11" else one
        for one in many.shares["days"]
    )
    rows = chosen(replace(many, shares={**many.shares, "days": shares}), "days")
    widths = [one.spread.p90 - one.spread.p10 for one in rows]
    assert widths == sorted(widths, reverse=True)
    assert rows[0].group == "quantity_0"
    assert "quantity_11" in {one.group for one in rows}


def test_where_nothing_varies_that_is_said() -> None:
    nothing = Matters(64, 2, {}, {}, {"reached": 1.0})
    with settings():
        sheet = draw_matters(nothing)
        whole(sheet)
    assert "Nothing varies" in sheet.alt


def test_what_it_is_worth_to_know_is_drawn(ensemble: Ensemble) -> None:
    rng = np.random.default_rng(1)
    reading = rng.normal(size=320)
    good = np.array([reading > 0.0, reading <= 0.0], dtype=float)
    known = knowing(reading, good)
    what = "a pilot hole to 700 m below the sea bed (2480 m of water): pore pressure there"
    policies = ensemble.policy, replace(ensemble.policy, spares=not ensemble.policy.spares)
    worth = Worth(Reading(what, 1, reading, "kg/m3"), known, known, policies, ensemble.frame)
    with settings():
        sheet = draw_knowing([worth, worth])
        whole(sheet)
        assert what in sheet.alt
        at_depth = replace(worth, reading=replace(worth.reading, depth=700.0))
        assert "2297 ft" in draw_knowing([at_depth], "oilfield").alt.replace("\u202f", "")
        empty = draw_knowing([])
        whole(empty)
    assert f"{100.0 * known.gain:+.1f} percentage points" in sheet.alt
    assert "No measurement" in empty.alt


@pytest.mark.parametrize("units", BOTH)
@pytest.mark.parametrize("goal", list(Goal))
def test_both_plans_are_drawn(ensemble: Ensemble, units: UnitSystem, goal: Goal) -> None:
    planned = ensemble.policy
    moved = (planned.bottoms[0], planned.bottoms[1] + 100.0, *planned.bottoms[2:])
    share = Share(30, 64, 0.35, 0.59)
    pick = Chosen(replace(planned, bottoms=moved), planned, goal, None, share, share, 0.1, 0.0,
                  0.2, 7)  # fmt: skip
    with settings():
        sheet = draw_robust(Robust(pick, ()), ensemble.frame, units)
        whole(sheet)
        same = draw_robust(Robust(replace(pick, policy=planned), ()), ensemble.frame, units)
        whole(same)
    assert ("100 m deeper" if units == "metric" else "328 ft deeper") in sheet.alt
    assert "Nothing better than the plan" in same.alt


def test_the_same_odds_give_the_same_bytes(found: OddsFound) -> None:
    with settings():
        assert draw_odds(found).finished().svg == draw_odds(found).finished().svg
