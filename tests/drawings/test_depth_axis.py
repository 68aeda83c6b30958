"""Depths on paper: two scales that meet at the sea bed, round numbers of each datum."""

from __future__ import annotations

import pytest

from bathybore.base.depth import Datum
from bathybore.drawings.depth_axis import DepthScale, nice_step, round_depths
from bathybore.drawings.words import inches, wrapped
from bathybore.usecases.walking import Walk

SCALE = DepthScale(0.0, 2500.0, 7500.0, 10.0, 35.0, 185.0)


def test_the_ends_of_the_scale_lie_where_they_were_put() -> None:
    assert [SCALE.y(z) for z in (0.0, 2500.0, 7500.0)] == [10.0, 35.0, 185.0]


def test_the_rock_is_to_scale_and_the_sea_is_squeezed_by_what_is_said() -> None:
    assert SCALE.y(5000.0) - SCALE.y(2500.0) == pytest.approx(2500.0 / SCALE.metres_per_mm)
    assert SCALE.y(2500.0) - SCALE.y(0.0) == pytest.approx(
        2500.0 / SCALE.metres_per_mm / SCALE.squeeze
    )
    assert SCALE.squeeze == pytest.approx(3.0)


@pytest.mark.parametrize(
    ("length", "most", "step"), [(100, 10, 10), (101, 10, 20), (4950, 12, 500), (0.9, 10, 0.1)]
)
def test_steps_are_round(length: float, most: int, step: float) -> None:
    assert nice_step(length, most) == pytest.approx(step)


def test_a_round_depth_below_each_datum_is_the_same_place(example: Walk) -> None:
    hole = example.hole
    floor = {t: z for z, t in round_depths(hole, Datum.DRILL_FLOOR, 2480, 7430, "metric")}
    bed = {t: z for z, t in round_depths(hole, Datum.SEA_BED, 2480, 7430, "metric")}
    # the drill floor stands 28 m above the sea, the sea bed lies 2 480 m below it
    assert floor["3\u202f000"] == pytest.approx(2972.0)
    assert bed["500"] == pytest.approx(2980.0)


def test_a_round_depth_in_feet_is_round_in_feet(example: Walk) -> None:
    marks = round_depths(example.hole, Datum.SEA_BED, 2480.0, 7430.0, "oilfield")
    feet = {text: z for z, text in marks}
    assert feet["2\u202f000"] - 2480.0 == pytest.approx(609.6)


@pytest.mark.parametrize(
    ("metres", "text"),
    [(0.339725, "13 3/8 in"), (0.508, "20 in"), (0.022225, "7/8 in"), (0.4699, "18 1/2 in")],
)
def test_diameters_are_said_in_fractions(metres: float, text: str) -> None:
    assert inches(metres) == text


def test_a_diameter_that_is_no_fraction_is_said_in_decimals() -> None:
    assert inches(0.31361) == "12.347 in"


def test_a_number_is_not_parted_from_its_unit() -> None:
    assert wrapped("shoe at 700 m", 11) == "shoe at\n700\u00a0m"
