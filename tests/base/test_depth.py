"""A depth has a datum, and the same place is the same place counted from any of them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.base.depth import Datum, Depth, DepthFrame
from bathybore.base.errors import InputErrors

FRAME = DepthFrame(drill_floor_height=28.0, water_depth=2480.0)
metres = st.floats(-1e4, 1e4)
datums = st.sampled_from(Datum)
frames = st.builds(DepthFrame, st.floats(5, 50), st.floats(10, 8000))


@given(frames, metres, datums, datums)
def test_there_and_back(frame: DepthFrame, number: float, first: Datum, second: Datum) -> None:
    depth = Depth(number, first)
    back = frame.to(frame.to(depth, second), first)
    assert back.datum is first
    assert back.metres == pytest.approx(number, abs=1e-8)


@given(frames, metres, datums, datums, datums)
def test_the_way_round_does_not_matter(
    frame: DepthFrame, number: float, first: Datum, second: Datum, third: Datum
) -> None:
    depth = Depth(number, first)
    direct, round_about = frame.to(depth, third), frame.to(frame.to(depth, second), third)
    assert direct.metres == pytest.approx(round_about.metres, abs=1e-8)


def test_the_datums_stand_above_one_another() -> None:
    place = Depth(100.0, Datum.SEA_BED)
    assert FRAME.below_sea_bed(place) == 100.0
    assert FRAME.below_sea_level(place) == 2580.0
    assert FRAME.below_drill_floor(place) == 2608.0
    assert FRAME.below_sea_level(Depth(0.0, Datum.DRILL_FLOOR)) == -28.0


@pytest.mark.parametrize(
    ("text", "metres", "datum"),
    [
        ("1200 m below sea bed", 1200.0, Datum.SEA_BED),
        ("  1200 m  below sea bed ", 1200.0, Datum.SEA_BED),
        ("1000 ft below drill floor", 304.8, Datum.DRILL_FLOOR),
        ("3 m above sea bed", -3.0, Datum.SEA_BED),
        ("28 m above sea level", -28.0, Datum.SEA_LEVEL),
        ("-3 m below sea bed", -3.0, Datum.SEA_BED),
        ("1.5 km below sea level", 1500.0, Datum.SEA_LEVEL),
        ("0 m below sea bed", 0.0, Datum.SEA_BED),
    ],
)
def test_read(text: str, metres: float, datum: Datum) -> None:
    depth = Depth.parse(text)
    assert depth.metres == pytest.approx(metres)
    assert depth.datum is datum


@pytest.mark.parametrize(
    "written",
    [
        1200,
        1200.0,
        None,
        "1200",
        "1200 m",
        "1200 m below",
        "1200 m below the sea bed",
        "1200 below sea bed",
        "below sea bed",
        "1200 m below rotary",
        "1200 kg below sea bed",
        "1,2 km below sea bed",
        "1200 m below sea bed below sea bed",
        "m " * 200 + "below sea bed",
    ],
)
def test_what_is_no_depth_is_refused(written: object) -> None:
    with pytest.raises(InputErrors) as caught:
        Depth.parse(written, "plan.target")
    (fault,) = caught.value.faults
    assert fault.where == "plan.target"
    assert fault.found
    assert fault.expected


def test_the_datums_are_named_when_one_is_missing() -> None:
    with pytest.raises(InputErrors, match="below sea level"):
        Depth.parse("1200 m")


@given(st.floats(-9e3, 9e3), datums)
def test_a_shown_depth_is_read_again(number: float, datum: Datum) -> None:
    depth = Depth(number, datum)
    for system in ("metric", "oilfield"):
        text = depth.show(system).replace("\u202f", "")  # type: ignore[arg-type]
        again = Depth.parse(text)
        assert again.datum is datum
        assert again.metres == pytest.approx(number, rel=1e-4, abs=1e-4)


def test_above_is_said_and_not_a_minus() -> None:
    assert str(Depth(-3.0, Datum.SEA_BED)) == "3 m above sea bed"
    assert str(Depth(3.0, Datum.SEA_BED)) == "3 m below sea bed"
