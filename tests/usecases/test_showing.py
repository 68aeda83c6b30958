"""Numbers as a reader meets them must not say what they do not mean."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from made_walk import pressure, question

from bathybore.base.registry import Limit, equation_of
from bathybore.checks.record import judge
from bathybore.kernels.tubular_strength import internal_yield_pressure
from bathybore.usecases.ledger import row_of
from bathybore.usecases.showing import cited, limits, percent, shown


@given(st.floats(-10.0, 1.0))
def test_a_margin_is_shown_with_its_sign_and_never_rounded_to_nothing(share: float) -> None:
    assume(abs(share) > 1e-12)
    text = percent(share)
    assert text.startswith("-") == (share < 0.0)
    value = float(text.removesuffix(" %").replace("\u202f", ""))
    assert value != 0.0
    assert value == pytest.approx(100.0 * share, rel=0.06)


@given(st.floats(1e-4, 0.2))
def test_a_failure_never_shows_the_same_number_twice(share: float) -> None:
    demand, capacity = pressure(50e6 * (1 + share)), pressure(50e6)
    row = row_of(judge("s", question("q"), demand, capacity, 0.05), "metric")
    assert row.status == "fails"
    assert row.demand is not None
    assert row.capacity is not None
    assert row.demand.text != row.capacity.text


def test_units_follow_the_reader() -> None:
    assert shown("internal_pressure", 22.9e6, "Pa", "metric").text == "22.9 MPa"
    # 22.9 MPa / 6894.757 Pa = 3321.4 psi
    assert shown("internal_pressure", 22.9e6, "Pa", "oilfield").text == "3\u202f321.4 psi"
    assert shown("wall_tolerance", 0.875, "-", "metric").text == "0.875"
    assert shown("temperature", 277.15, "K", "metric").text == "4 °C"


def test_gaps_on_diameter_are_told_as_diameters_are() -> None:
    for name in ("clearance", "inner_barrel_clearance", "coupling_outside_diameter"):
        for system in ("metric", "oilfield"):
            assert shown(name, 0.01905, "m", system).text == "0.75 in"  # 0.0254 m an inch


def test_long_times_are_told_in_days() -> None:
    day = 86400.0
    assert shown("duration", 3600.0 * 36, "s", "metric").text == "36 h"
    assert shown("duration", 4.9 * day, "s", "metric").text == "117.6 h"
    assert shown("duration", 220.0 * day, "s", "oilfield").text == "220 d"
    assert shown("duration", [1.0 * day, 10.0 * day], "s", "metric").text == "[1, 10] d"
    assert shown("wave_period", 10.0 * day, "s", "metric").text.endswith(" s")


def test_a_name_outside_the_nomenclature_is_still_shown() -> None:
    value = shown("something_new", 5.0, "m", "metric")
    assert (value.text, value.symbol, value.words) == ("5 m", "", "something new")


def test_stacks_are_written_out_up_to_a_dozen() -> None:
    few = shown("length", np.arange(1.0, 13.0), "m", "metric")
    assert few.text == "[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12] m"
    many = shown("length", np.arange(1.0, 41.0), "m", "metric")
    assert many.text.startswith("[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, … ")
    assert "40 in all, 1 to 40" in many.text
    assert many.si == list(range(1, 41))


def test_what_is_not_finite_is_null_beside_its_text() -> None:
    value = shown("length", np.array([1.0, np.nan]), "m", "metric")
    assert value.si == [1.0, None]
    assert "nan" in value.text


def test_limits_are_told_in_the_units_of_the_reader() -> None:
    equation = equation_of(internal_yield_pressure)
    assert [limit.kept for limit in limits(equation, {"wall_tolerance": 1.1}, "metric")] == [False]
    assert [limit.kept for limit in limits(equation, {"wall_tolerance": 0.9}, "metric")] == [True]


@pytest.mark.parametrize(
    ("limit", "text"),
    [
        (Limit(0.0, np.inf), "temperature at least -273.15 °C"),
        (Limit(-np.inf, 373.15), "temperature at most 100 °C"),
        (Limit(273.15, 373.15), "temperature 0 °C to 100 °C"),
    ],
)
def test_half_open_limits(limit: Limit, text: str) -> None:
    from dataclasses import replace

    equation = replace(equation_of(internal_yield_pressure), valid={"temperature": limit})
    equation.__dict__["parameters"] = (type(equation.result)("temperature", "K", ""),)
    assert [one.text for one in limits(equation, {}, "metric")] == [text]


def test_a_citation_is_one_sentence() -> None:
    assert cited("A Work.", "page 3.") == "A Work: page 3."
