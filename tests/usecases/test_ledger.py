"""The order in which verdicts are told, and the sentence that sums them up."""

from __future__ import annotations

from dataclasses import replace

import pytest
from made_walk import MadeWalk, made_walk, only, question

from bathybore.base.errors import InputErrors
from bathybore.checks.record import Status, unjudged
from bathybore.usecases.ledger import DAY, Ledger, ledger, select, verdict


@pytest.fixture
def whole() -> Ledger:
    return ledger(made_walk())  # type: ignore[arg-type]


def of(walk: MadeWalk) -> Ledger:
    return ledger(walk)  # type: ignore[arg-type]


def test_nothing_is_lost(whole: Ledger) -> None:
    assert sorted(row.id for row in whole.rows) == sorted(r.id for r in made_walk().records)
    assert sum(whole.counts.values()) == len(made_walk().records)
    assert set(whole.counts) == {str(status) for status in Status}


def test_steps_stand_in_the_order_of_the_operation(whole: Ledger) -> None:
    assert [step.name for step in whole.steps] == [
        "hold-station",
        "run-conductor",
        "drill-surface",
        "run-surface",
        "the-hole",  # belongs to no step of the walk: last, not lost
    ]
    assert whole.elapsed == 4.25 * DAY


def test_the_urgent_stands_first_in_a_step(whole: Ledger) -> None:
    by_name = {step.name: [row.status for row in step.rows] for step in whole.steps}
    assert by_name["drill-surface"] == ["fails", "not judged", "holds"]
    assert by_name["run-surface"] == ["fails", "outside validity"]
    assert by_name["run-conductor"] == ["tight", "holds", "holds"]


def test_first_in_time_is_not_the_worst(whole: Ledger) -> None:
    assert whole.fails_first == "drill-surface/fracture"
    assert whole.fails_most == "run-surface/collapse"
    assert whole.tightest == "run-conductor/burst"


def test_first_in_time_does_not_depend_on_the_order_of_the_records() -> None:
    walk = made_walk()
    assert of(replace(walk, records=walk.records[::-1])).fails_first == "drill-surface/fracture"


def test_sources_are_named_and_what_is_assumed_is_among_them(whole: Ledger) -> None:
    rows = {row.id: row for row in whole.rows}
    assert rows["run-conductor/burst"].sources == ("api-tr-5c3", "api-5ct")
    assert "assumed" in rows["run-conductor/hook-load"].sources


def test_cautions_are_told_once_with_their_checks(whole: Ledger) -> None:
    (caution,) = whole.cautions
    assert caution.checks == ("run-surface/burst-of-casing",)


@pytest.mark.parametrize(
    ("statuses", "passes"),
    [
        (("holds",), True),
        (("holds", "tight"), True),
        (("holds", "not judged"), False),
        (("holds", "outside validity"), False),
        (("holds", "fails"), False),
        ((), False),
    ],
)
def test_only_what_was_judged_and_holds_has_passed(statuses: tuple[str, ...], passes: bool) -> None:
    chosen = of(only(made_walk(), *statuses))
    assert chosen.passes is passes
    # the sentence may not sound like a pass when it is none
    assert verdict(chosen).startswith("All") is passes


def test_the_sentence_counts(whole: Ledger) -> None:
    assert verdict(whole) == (
        "2 of 9 checks FAIL; 1 is not judged and 1 is outside validity, which is no pass either."
    )
    assert verdict(of(only(made_walk(), "holds", "tight"))) == (
        "All 5 checks hold, 1 of them tightly."
    )
    assert verdict(of(only(made_walk(), "not judged"))) == (
        "Nothing fails, but of 1 checks 1 is not judged: that is not a pass."
    )


def test_an_unjudged_check_keeps_its_reason() -> None:
    walk = made_walk()
    record = unjudged("hold-station", question("wind"), "no wind given")
    (step, *_) = of(replace(walk, records=(record,))).steps
    assert [(row.status, row.reason) for row in step.rows] == [("not judged", "no wind given")]


def test_selection_changes_what_is_shown_only(whole: Ledger) -> None:
    chosen = select(whole, only="fails, not-judged")
    assert {row.status for step in chosen for row in step.rows} == {"fails", "not judged"}
    assert [step.name for step in chosen] == ["drill-surface", "run-surface"]
    (step,) = select(whole, step="hold-station")
    assert step.rows == ()
    assert select(whole) == whole.steps


def test_selection_refuses_what_there_is_not(whole: Ledger) -> None:
    with pytest.raises(InputErrors, match="Did you mean 'holds'"):
        select(whole, only="hold")
    with pytest.raises(InputErrors, match="Did you mean 'run-surface'"):
        select(whole, step="run-surfac")
    with pytest.raises(InputErrors, match="Steps: hold-station"):
        select(whole, step="zzz")
