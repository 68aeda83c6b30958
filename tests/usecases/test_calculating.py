"""One equation at a time, through the unit gate."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.base.errors import InputErrors
from bathybore.base.registry import equations
from bathybore.usecases.calculating import calculate, describe, list_equations, pairs

BURST = {"outside_diameter": "13 3/8 in", "wall": "0.480 in", "yield_strength": "55 ksi"}


def test_a_printed_value_comes_back_in_the_units_of_the_reader() -> None:
    # API Bulletin 5C2, 13 3/8 in 68 lb/ft K-55: internal yield 3,450 psi, printed to 10 psi
    result = calculate("internal_yield_pressure", BURST, "oilfield").result
    assert isinstance(result.si, float)
    assert result.si / 6894.757293168 == pytest.approx(3450.0, abs=10.0)
    assert result.text.endswith("psi")
    assert float(result.text.removesuffix(" psi").replace("\u202f", "")) == pytest.approx(
        result.si / 6894.757293168, rel=1e-4
    )


def test_numbers_stand_in_the_formula() -> None:
    result = calculate("internal_yield_pressure", BURST, "oilfield")
    assert result.formula == "p_iy = k_w (2 Y t) / D"
    assert result.with_numbers == "p_iy = 0.875 · (2 · 55 ksi · 0.48 in) / 13.375 in"


def test_defaults_say_that_they_are() -> None:
    inputs = {v.name: v for v in calculate("internal_yield_pressure", BURST).inputs}
    assert inputs["wall_tolerance"].origin == "default of the equation"
    assert inputs["wall"].origin == "given"


def test_all_faults_are_told_at_once() -> None:
    with pytest.raises(InputErrors) as caught:
        calculate("internal_yield_pressure", {"wal": "1 mm", "yield_strength": "55 m"})
    text = str(caught.value)
    assert len(caught.value.faults) == 4
    assert "Did you mean 'wall'?" in text
    assert "unit 'm'" in text
    assert 'outside_diameter="13 3/8 in"' in text
    assert 'wall="0.480 in"' in text


def test_an_unknown_equation_is_told_the_nearest() -> None:
    with pytest.raises(InputErrors, match="Did you mean 'internal_yield_pressure'"):
        calculate("internal_yield_presure", BURST)
    with pytest.raises(InputErrors, match="lists them all"):
        describe("qqqqqqq")


def test_a_hyphen_is_as_good_as_an_underscore() -> None:
    written = {key.replace("_", "-"): text for key, text in BURST.items()}
    assert calculate("internal-yield-pressure", written).result == (
        calculate("internal_yield_pressure", BURST).result
    )


def test_a_broken_limit_is_reported_with_the_number() -> None:
    result = calculate("internal_yield_pressure", {**BURST, "wall_tolerance": "0.3"})
    (text,) = result.outside
    assert "wall tolerance 0.5 to 1" in text
    assert [limit.kept for limit in result.limits] == [False]
    assert not calculate("internal_yield_pressure", BURST).outside


def test_no_answer_is_given_where_the_equation_has_none() -> None:
    with pytest.raises(InputErrors, match="no finite result"):
        calculate("internal_yield_pressure", {**BURST, "outside_diameter": "0 in"})


def test_a_stack_of_inputs_gives_a_stack() -> None:
    both = calculate("internal_yield_pressure", {**BURST, "wall": "0.480 in; 0.514 in"})
    one = calculate("internal_yield_pressure", BURST)
    assert isinstance(both.result.si, list)
    assert both.result.si[0] == one.result.si
    assert both.result.si[1] == pytest.approx(one.result.si * 0.514 / 0.480)
    assert both.result.text.startswith("[")


def test_every_equation_is_listed_once_under_its_topic() -> None:
    topics = list_equations()
    names = [brief.name for topic in topics for brief in topic.equations]
    assert sorted(names) == sorted(equations())
    assert len({topic.name for topic in topics}) == len(topics)


def test_every_description_is_complete() -> None:
    for topic in list_equations():
        for brief in topic.equations:
            about = describe(brief.name)
            assert about.source
            assert about.where
            assert about.formula
            assert [p.name for p in about.parameters] == (
                [q.name for q in equations()[brief.name].parameters]
            )
            optional = set(equations()[brief.name].defaults)
            assert {p.name for p in about.parameters if p.default} == {
                name for name in optional if equations()[brief.name].defaults[name] is not None
            }


def test_every_example_is_calculated_and_inside_its_validity() -> None:
    for topic in list_equations():
        for brief in topic.equations:
            result = calculate(brief.name, equations()[brief.name].example)
            assert np.all(np.isfinite(np.asarray(result.result.si, dtype=float))), brief.name
            assert not result.outside, brief.name


@pytest.mark.parametrize("bad", [["wall"], ["=3"], ["wall=1 mm", "wall=2 mm"]])
def test_pairs_refuse_what_is_no_pair(bad: list[str]) -> None:
    with pytest.raises(InputErrors):
        pairs(bad)


def test_pairs_split_at_the_first_sign_only() -> None:
    assert pairs(["a=1 m", "b = x=2"]) == {"a": "1 m", "b": "x=2"}
