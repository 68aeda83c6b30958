"""The registry reads the docstring: what stands there is what the equation is."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from bathybore.base import registry
from bathybore.base.registry import Equation, Limit, equation_of, equations, published


@pytest.fixture(autouse=True)
def own_registry(monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep equations made here out of the real registry."""
    monkeypatch.setattr(registry, "_EQUATIONS", dict(registry._EQUATIONS))


def file(function: Callable[..., object], **more: object) -> Equation:
    settings = {"formula": "a", "source": "definition", "where": "here", **more}
    published(**settings)(function)  # type: ignore[arg-type]
    return equation_of(function)


def column(density: float, height: float, gravity: float = 9.80665) -> float:
    """Pressure under a column.

    A second paragraph that is
    no part of the summary.

    Parameters
    ----------
    density : [kg/m3]
        Density of the fluid,
        over two lines.
    height : (..., depth) [m]
        Height.
    gravity : [m/s2]
        Free fall.

    Returns
    -------
    pressure : [Pa]
        Gauge pressure.

    Raises
    ------
    NotConverged
        Never: [Pa] in brackets here is no quantity.
    """
    return density * height * gravity


def test_names_units_meanings_and_shapes() -> None:
    equation = file(column)
    told = [(q.name, q.unit, q.shape) for q in equation.parameters]
    assert told == [
        ("density", "kg/m3", ""),
        ("height", "m", "(..., depth)"),
        ("gravity", "m/s2", ""),
    ]
    assert equation.parameters[0].meaning == "Density of the fluid, over two lines."
    assert (equation.result.name, equation.result.unit) == ("pressure", "Pa")
    assert equation.result.meaning == "Gauge pressure."


def test_summary_is_the_first_paragraph() -> None:
    assert file(column).summary == "Pressure under a column."


def test_defaults_come_from_the_signature() -> None:
    assert file(column).defaults == {"gravity": 9.80665}


def test_name_topic_and_source() -> None:
    equation = file(column)
    assert equation.name == "column"
    assert equation.topic == "test_registry"
    assert equation.source.key == "definition"
    assert equations()["column"] is equation


def test_two_of_one_name_are_refused() -> None:
    file(column)
    with pytest.raises(ValueError, match="two published equations are called column"):
        file(column)


def test_the_list_given_out_is_a_copy() -> None:
    file(column)
    equations().pop("column")  # type: ignore[attr-defined]
    assert "column" in equations()


def test_one_result_is_demanded() -> None:
    def two(wall: float) -> float:
        """Two results.

        Returns
        -------
        first : [m]
            One.
        second : [m]
            Two.
        """
        return wall

    def none(wall: float) -> float:
        """No result."""
        return wall

    for function in (two, none):
        with pytest.raises(ValueError):  # noqa: PT011  too many or too few to unpack
            _ = file(function).result


def test_an_unknown_source_is_a_fault_of_the_program() -> None:
    with pytest.raises(KeyError):
        _ = file(column, source="nobody-1900").source


@pytest.mark.parametrize(
    ("value", "holds"),
    [
        (1.0, True),
        (2.0, True),
        (0.999, False),
        (2.001, False),
        (np.array([1.0, 1.5, 2.0]), True),
        (np.array([1.0, 2.5]), False),
        (float("nan"), False),
        (np.array([1.5, np.nan]), False),
    ],
)
def test_limits_hold_for_every_element_and_never_for_nan(value: object, holds: bool) -> None:
    assert Limit(1.0, 2.0).holds(value) is holds


def test_limits_that_break_are_told_with_their_reason() -> None:
    limits = {"density": Limit(500.0, 2500.0, "fluids"), "height": Limit(0.0, np.inf)}
    equation = file(column, valid=limits)
    assert equation.outside_validity({"density": 1000.0, "height": 3.0}) == ()
    assert equation.outside_validity({"density": 3000.0, "height": -1.0}) == (
        "density outside 500 to 2500 (fluids)",
        "height outside 0 to inf",
    )
    assert equation.outside_validity({"gravity": 9.8}) == ()
