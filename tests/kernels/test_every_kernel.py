"""What must hold for every published equation, whatever its physics."""

from __future__ import annotations

import inspect

import numpy as np
import pytest

from bathybore.base.nomenclature import nomenclature
from bathybore.base.registry import Equation, equations
from bathybore.base.sources import bibliography
from bathybore.base.units import conversion, parse_quantity
from bathybore.kernels import load_all

load_all()
ALL = sorted(equations().values(), key=lambda e: e.name)


@pytest.fixture(params=ALL, ids=[e.name for e in ALL])
def equation(request: pytest.FixtureRequest) -> Equation:
    return request.param


def example_inputs(equation: Equation) -> dict[str, float]:
    units = {q.name: q.unit for q in equation.parameters}
    return {
        name: parse_quantity(text, units[name])
        for name, text in equation.example.items()
        if units[name] != "text"
    }


def test_docstring_declares_exactly_the_signature(equation: Equation) -> None:
    declared = [q.name for q in equation.parameters]
    assert declared == list(inspect.signature(equation.function).parameters)
    assert equation.summary.endswith(".")
    assert all(q.meaning for q in (*equation.parameters, equation.result))


def test_units_are_known_and_agree_with_the_nomenclature(equation: Equation) -> None:
    for quantity in (*equation.parameters, equation.result):
        assert quantity.name in nomenclature(), quantity.name
        assert nomenclature()[quantity.name].unit == quantity.unit, quantity.name
        if quantity.unit not in ("text", "Pa s^n"):
            conversion("K" if quantity.unit == "K difference" else quantity.unit)


def test_source_is_in_the_bibliography(equation: Equation) -> None:
    assert equation.source_key in bibliography()
    assert equation.where


def test_formula_uses_the_symbols_of_the_nomenclature(equation: Equation) -> None:
    for quantity in equation.parameters:
        if quantity.unit != "text":
            assert nomenclature()[quantity.name].symbol in equation.formula, quantity.name


def test_validity_names_parameters(equation: Equation) -> None:
    assert set(equation.valid) <= {q.name for q in equation.parameters}


def test_example_runs_to_a_finite_number(equation: Equation) -> None:
    required = {q.name for q in equation.parameters} - set(equation.defaults)
    assert required <= set(equation.example)
    assert np.all(np.isfinite(equation.function(**example_inputs(equation))))


def sums_over_an_axis(equation: Equation) -> bool:
    """Equations over segments or profiles use up their last axis; their shapes say so."""
    return any(quantity.shape for quantity in equation.parameters)


def test_a_stack_of_profiles_gives_the_single_answers(equation: Equation) -> None:
    if not sums_over_an_axis(equation):
        return
    factors = np.array([[1.0, 0.98], [1.02, 0.97], [0.99, 1.01]])  # (realisation, segment)
    stacked = {name: value * factors for name, value in example_inputs(equation).items()}
    got = np.asarray(equation.function(**stacked))
    assert got.shape[0] == 3
    for i in range(3):
        one = {name: value[i] for name, value in stacked.items()}
        np.testing.assert_allclose(got[i], equation.function(**one), rtol=1e-12)


def test_a_stack_of_inputs_gives_the_single_answers(equation: Equation) -> None:
    if sums_over_an_axis(equation):
        return
    single = example_inputs(equation)
    factors = np.array([1.0, 0.999, 1.001])
    # two leading axes, (realisation, depth): the second input varies along another axis
    stacked: dict[str, np.ndarray] = {}
    for index, (name, value) in enumerate(single.items()):
        column = value * factors
        stacked[name] = column[:, None] if index % 2 else column[None, :]
    got = np.broadcast_to(equation.function(**stacked), (3, 3) if len(single) > 1 else (1, 3))
    for i in range(got.shape[0]):
        for j in range(3):
            one = {
                name: float(np.broadcast_to(value, got.shape)[i, j])
                for name, value in stacked.items()
            }
            np.testing.assert_allclose(got[i, j], equation.function(**one), rtol=1e-12)
