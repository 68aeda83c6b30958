"""The verdict: every status, the worst place, and nothing that is missing ever passes."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.base.depth import Datum, Depth
from bathybore.base.working import FromWalk, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, Status, judge, unjudged
from bathybore.kernels.tubular_strength import internal_yield_pressure

QUESTION = Question("burst", Discipline.STEEL, "Does it hold?", "Thicker.", "Body only.")
PASSES = (Status.HOLDS, Status.TIGHT)


def value(si: object, unit: str = "Pa", axis: int | None = None) -> Value:
    return Value("pressure", si, unit, FromWalk("made up"), axis)  # type: ignore[arg-type]


def profile(*numbers: float) -> Value:
    return value(np.array(numbers), axis=-1)


def places(count: int) -> tuple[Depth, ...]:
    return tuple(Depth(100.0 * i, Datum.SEA_BED) for i in range(count))


def verdict(demand: float, capacity: float, band: float = 0.05) -> Status:
    return judge("step", QUESTION, value(demand), value(capacity), band).status


@pytest.mark.parametrize(
    ("demand", "capacity", "status"),
    [
        (50.0, 100.0, Status.HOLDS),
        (94.0, 100.0, Status.HOLDS),
        (96.0, 100.0, Status.TIGHT),
        (100.0, 100.0, Status.TIGHT),
        (100.001, 100.0, Status.FAILS),
        (200.0, 100.0, Status.FAILS),
        (0.0, 100.0, Status.HOLDS),
        (-10.0, 100.0, Status.HOLDS),
        (0.0, 0.0, Status.HOLDS),
        (1.0, 0.0, Status.FAILS),
        (1.0, -1.0, Status.FAILS),
        (-1.0, -2.0, Status.FAILS),
    ],
)
def test_the_verdict(demand: float, capacity: float, status: Status) -> None:
    got = verdict(demand, capacity)
    # nothing asked of nothing: whether that is tight is a matter of taste, a failure it is not
    assert got is status or (demand == capacity == 0.0 and got in PASSES)


def test_an_exact_fit_holds_where_nothing_is_to_be_left() -> None:
    assert verdict(0.3111, 0.3111, band=0.0) is Status.HOLDS
    assert verdict(0.1 + 0.2, 0.3, band=0.0) in PASSES  # rounding alone is no failure
    assert verdict(0.3 * (1 + 1e-6), 0.3, band=0.0) is Status.FAILS


# No quantity of the trade is a millionth of its SI unit and judged.
sized = st.floats(-1e9, 1e9).filter(lambda x: x == 0.0 or abs(x) > 1e-6)


@given(demand=sized, capacity=sized, band=st.sampled_from([0.0, 0.05]))
def test_more_is_never_asked_than_there_is(demand: float, capacity: float, band: float) -> None:
    status = verdict(demand, capacity, band)
    if status in PASSES:
        assert demand <= capacity + 2e-9 * max(abs(capacity), abs(demand))
    else:
        assert status is Status.FAILS
        assert demand > capacity


@pytest.mark.parametrize("number", [np.nan, np.inf, -np.inf])
@pytest.mark.parametrize("side", ["demand", "capacity"])
def test_a_missing_number_never_passes(number: float, side: str) -> None:
    demand, capacity = (value(number), value(100.0))
    if side == "capacity":
        demand, capacity = value(50.0), value(number)
    with np.errstate(invalid="ignore"):  # the verdict counts, not what numpy says of infinities
        record = judge("step", QUESTION, demand, capacity, 0.05)
    assert record.status not in PASSES
    if np.isnan(number):
        assert record.status is Status.NOT_JUDGED
        assert record.reason


@pytest.mark.parametrize("at", [0, 1, 2])
@pytest.mark.parametrize("side", ["demand", "capacity"])
def test_a_gap_in_a_profile_does_not_hide(at: int, side: str) -> None:
    numbers, enough = [10.0, 20.0, 30.0], [100.0, 100.0, 100.0]
    (numbers if side == "demand" else enough)[at] = np.nan
    record = judge("s", QUESTION, profile(*numbers), profile(*enough), 0.05, places(3))
    assert record.status is Status.NOT_JUDGED
    assert str(places(3)[at]) in record.reason


def test_a_failure_shows_even_beside_a_gap() -> None:
    record = judge("s", QUESTION, profile(np.nan, 120.0), value(100.0), 0.05, places(2))
    assert record.status is Status.FAILS
    assert record.depth == places(2)[1]


@given(st.lists(st.tuples(st.floats(-1e3, 1e3), st.floats(1.0, 1e3)), min_size=1, max_size=12))
def test_the_worst_node_is_shown(pairs: list[tuple[float, float]]) -> None:
    demand, capacity = (np.array(column) for column in zip(*pairs, strict=True))
    margins = (capacity - demand) / capacity
    record = judge("s", QUESTION, profile(*demand), profile(*capacity), 0.05, places(len(pairs)))
    assert record.margin == pytest.approx(float(np.min(margins)))
    assert record.depth is not None
    node = places(len(pairs)).index(record.depth)
    assert margins[node] == np.min(margins)
    assert float(record.demand) == demand[node]  # type: ignore[arg-type]
    assert float(record.capacity) == capacity[node]  # type: ignore[arg-type]
    assert record.demand.depth_axis is None  # type: ignore[union-attr]


def test_a_number_against_a_profile() -> None:
    record = judge("s", QUESTION, value(50.0), profile(100.0, 60.0, 80.0), 0.05, places(3))
    assert (record.depth, float(record.capacity)) == (places(3)[1], 60.0)  # type: ignore[arg-type]
    other = judge("s", QUESTION, profile(10.0, 60.0, 20.0), value(100.0), 0.05, places(3))
    assert (other.depth, float(other.demand)) == (places(3)[1], 60.0)  # type: ignore[arg-type]


def test_a_place_given_is_kept() -> None:
    one = Depth(7.0, Datum.SEA_BED)
    assert judge("s", QUESTION, value(1.0), value(2.0), 0.05, one).depth == one
    assert judge("s", QUESTION, value(1.0), value(2.0), 0.05).depth is None


def test_units_must_agree() -> None:
    with pytest.raises(ValueError, match=r"burst: \[Pa\] against \[N\]"):
        judge("s", QUESTION, value(1.0), value(2.0, "N"), 0.05)


def beyond_validity(strength: float) -> Value:
    """A capacity whose wall tolerance lies outside the limits of its equation."""
    names = {"outside_diameter": (0.34, "m"), "wall": (0.012, "m"), "wall_tolerance": (0.2, "-")}
    inputs = {n: Value(n, si, unit, FromWalk("made up")) for n, (si, unit) in names.items()}
    steel = Value("yield_strength", strength, "Pa", FromWalk("made up"))
    return work(internal_yield_pressure, yield_strength=steel, **inputs)


def test_outside_validity_never_passes() -> None:
    capacity = beyond_validity(379e6)
    for demand in (0.0, 0.5 * float(capacity), 0.99 * float(capacity)):
        record = judge("s", QUESTION, value(demand), capacity, 0.05)
        assert record.status is Status.OUTSIDE_VALIDITY
        assert "wall_tolerance outside" in record.reason


def test_a_failure_outside_validity_stays_a_failure() -> None:
    capacity = beyond_validity(379e6)
    record = judge("s", QUESTION, value(2.0 * float(capacity)), capacity, 0.05)
    assert record.status is Status.FAILS
    assert "wall_tolerance outside" in record.reason


def test_the_question_stands_in_the_record() -> None:
    for record in (
        judge("step", QUESTION, value(1.0), value(2.0), 0.05, caution="Mind."),
        unjudged("step", QUESTION, "nobody said", "Mind."),
    ):
        assert record.id == "step/burst"
        assert (record.question, record.remedy) == (QUESTION.text, QUESTION.remedy)
        assert record.discipline is Discipline.STEEL
        assert record.caution == "Body only. Mind."


def test_what_was_not_judged_has_no_numbers() -> None:
    record: CheckRecord = unjudged("step", QUESTION, "nobody said")
    assert record.status is Status.NOT_JUDGED
    assert (record.demand, record.capacity, record.margin) == (None, None, None)
    assert record.reason == "nobody said"
