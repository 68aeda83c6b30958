"""Values remember: the evaluation that is shown is the one that made the number."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.base.working import Default, FromTable, FromWalk, Given, Solved, Value, Working, work
from bathybore.kernels.mud import hydrostatic_pressure
from bathybore.kernels.segments import circulating_pressure, pressure_over_segments
from bathybore.kernels.tubular_strength import internal_yield_pressure

HERE = FromWalk("made up")


def value(name: str, si: object, unit: str, axis: int | None = None) -> Value:
    return Value(name, si, unit, HERE, axis)  # type: ignore[arg-type]


def column(height: object, axis: int | None = None) -> Value:
    return work(
        hydrostatic_pressure,
        fluid_density=value("fluid_density", 1200.0, "kg/m3"),
        height=value("height", height, "m", axis),
        gravity=value("gravity", 10.0, "m/s2"),
    )


def pressures(names: tuple[str, ...], **inputs: Value) -> Value:
    filled = {name: value(name, 0.0, "Pa") for name in names if name not in inputs}
    return work(circulating_pressure, **inputs, **filled)


PARTS = ("static_pressure", "cuttings_pressure", "friction_pressure")


def test_result_and_origin() -> None:
    result = column(1000.0)
    assert result.unit == "Pa"
    assert float(result) == pytest.approx(1.2e7)
    assert isinstance(result.origin, Working)
    assert {v.name: v.si for v in result.origin.inputs}["height"] == 1000.0
    assert result.depth_axis is None


def test_another_unit_is_refused() -> None:
    with pytest.raises(TypeError, match=r"takes \[m\], got \[Pa\]"):
        work(
            hydrostatic_pressure,
            fluid_density=value("fluid_density", 1200.0, "kg/m3"),
            height=value("height", 1000.0, "Pa"),
            gravity=value("gravity", 10.0, "m/s2"),
        )


def test_an_unknown_input_is_refused() -> None:
    with pytest.raises(TypeError, match="hydrostatic_pressure has no parameter 'density'"):
        work(hydrostatic_pressure, density=value("density", 1200.0, "kg/m3"))


def test_inputs_take_the_name_of_the_parameter() -> None:
    result = pressures(PARTS, static_pressure=value("sea_pressure", 5.0, "Pa"))
    assert isinstance(result.origin, Working)
    assert [v.name for v in result.origin.inputs if v.si == 5.0] == ["static_pressure"]


def test_defaults_of_the_equation_are_shown_with_their_source() -> None:
    result = work(
        internal_yield_pressure,
        outside_diameter=value("outside_diameter", 0.34, "m"),
        wall=value("wall", 0.012, "m"),
        yield_strength=value("yield_strength", 379e6, "Pa"),
    )
    assert isinstance(result.origin, Working)
    tolerance = result.origin.inputs[-1]
    assert (tolerance.name, tolerance.si, tolerance.unit) == ("wall_tolerance", 0.875, "-")
    assert isinstance(tolerance.origin, Default)
    assert tolerance.origin.source_key == result.origin.equation.source_key


@given(st.lists(st.floats(1.0, 1e4), min_size=1, max_size=8), st.data())
def test_one_node_is_that_node_all_the_way_down(heights: list[float], data: st.DataObject) -> None:
    index = data.draw(st.integers(0, len(heights) - 1))
    whole = pressures(PARTS, static_pressure=column(np.array(heights), -1))
    assert whole.depth_axis == -1
    one = whole.at_node(index)
    assert one.depth_axis is None
    assert float(one) == np.asarray(whole.si)[index]
    (inner, outer) = one.workings()
    assert {v.name: v.si for v in inner.inputs}["height"] == heights[index]
    assert float(outer.equation.function(**{v.name: v.si for v in outer.inputs})) == float(one)
    # the profile itself is as it was
    assert np.shape(whole.si) == (len(heights),)


def test_a_node_of_a_number_is_the_number() -> None:
    result = column(1000.0)
    assert result.at_node(0).si == result.si


def test_a_node_passes_through_solved_values() -> None:
    profile = column(np.array([10.0, 20.0]), -1)
    origin = Solved("the same again", "definition", (profile,), 0.0)
    again = Value("pressure", profile.si, "Pa", origin, -1)
    one = again.at_node(1)
    assert isinstance(one.origin, Solved)
    assert float(one.origin.inputs[0]) == float(one) == 1200.0 * 10.0 * 20.0


def test_a_node_of_segment_sums_keeps_the_segments() -> None:
    gradient = value("pressure_gradient", np.array([100.0, 200.0]), "Pa/m")
    above = value("segment_length", np.array([[10.0, 0.0], [10.0, 5.0]]), "m", -2)
    total = work(pressure_over_segments, pressure_gradient=gradient, segment_length=above)
    assert np.asarray(total.si).tolist() == [1000.0, 2000.0]
    one = total.at_node(1)
    (working,) = one.workings()
    inputs = {v.name: v.si for v in working.inputs}
    assert np.asarray(inputs["segment_length"]).tolist() == [10.0, 5.0]
    assert np.asarray(inputs["pressure_gradient"]).tolist() == [100.0, 200.0]
    assert float(working.equation.function(**inputs)) == float(one) == 2000.0


def test_one_segment_is_as_far_outside_validity_as_the_whole() -> None:
    over = Value("length", np.array([1.0, 2.0]), "m", FromWalk("two segments"))
    problem = Solved("twice", "definition", (over,), outside=("longer than known",))
    whole = Value("length", np.array([2.0, 4.0]), "m", problem)
    assert whole.at_segment(1).outside_validity() == ("longer than known",)


def test_one_segment_is_that_segment_all_the_way_down() -> None:
    heights = value("height", np.array([10.0, 20.0]), "m")
    both = work(
        hydrostatic_pressure,
        fluid_density=value("fluid_density", 1200.0, "kg/m3"),
        height=heights,
        gravity=value("gravity", 10.0, "m/s2"),
    )
    one = both.at_segment(1)
    assert float(one) == 1200.0 * 10.0 * 20.0
    (working,) = one.workings()
    assert {v.name: v.si for v in working.inputs}["height"] == 20.0
    assert {v.name: v.si for v in working.inputs}["fluid_density"] == 1200.0


def test_a_shared_value_is_worked_out_and_told_once() -> None:
    shared = column(1000.0)
    result = pressures(
        PARTS,
        static_pressure=shared,
        cuttings_pressure=shared,
        friction_pressure=pressures(PARTS, static_pressure=shared),
    )
    names = [w.equation.name for w in result.workings()]
    assert names == ["hydrostatic_pressure", "circulating_pressure", "circulating_pressure"]
    # and stays one object behind every use, when a node is taken as well
    sliced = pressures(
        PARTS,
        static_pressure=(profile := column(np.array([1.0, 2.0]), -1)),
        cuttings_pressure=profile,
    ).at_node(0)
    assert isinstance(sliced.origin, Working)
    first, second, _ = sliced.origin.inputs
    assert first.origin is second.origin


def test_workings_behind_many_shared_values_are_quick() -> None:
    """Each level uses the level below three times: 3^60 paths, 61 workings."""
    result = column(1.0)
    for _ in range(60):
        result = pressures(
            PARTS,
            static_pressure=result,
            cuttings_pressure=result,
            friction_pressure=result,
        )
    assert len(list(result.workings())) == 61
    assert result.at_node(0).si == result.si


def test_a_chain_longer_than_the_call_stack() -> None:
    result = column(np.array([1.0, 2.0]), -1)
    for _ in range(3000):
        result = pressures(PARTS, static_pressure=result)
    assert float(result.at_node(1)) == np.asarray(result.si)[1]
    assert len(list(result.at_node(1).workings())) == 3001


def test_inputs_come_before_results() -> None:
    result = pressures(PARTS, friction_pressure=column(5.0))
    assert [w.equation.name for w in result.workings()] == [
        "hydrostatic_pressure",
        "circulating_pressure",
    ]


def test_broken_validity_is_told_from_anywhere_in_the_chain() -> None:
    thick = work(
        internal_yield_pressure,
        outside_diameter=value("outside_diameter", 0.34, "m"),
        wall=value("wall", 0.012, "m"),
        yield_strength=value("yield_strength", 1.0, "Pa"),
    )
    result = pressures(PARTS, static_pressure=thick.named("static_pressure"))
    assert result.outside_validity() == thick.outside_validity()


def test_a_stack_is_no_number() -> None:
    with pytest.raises(TypeError):
        float(column(np.array([1.0, 2.0]), -1))


@pytest.mark.parametrize(
    ("origin", "text"),
    [
        (Given("hole.yaml", 12, "plan.wall"), "plan.wall (hole.yaml, line 12)"),
        (Given("hole.yaml", None, "plan.wall"), "plan.wall (hole.yaml)"),
        (Default("basis.x", "assumed", "why"), "default of basis.x [assumed], why"),
        (FromTable("casing.csv", "20", "api-5ct"), "casing.csv: 20 [api-5ct]"),
        (FromWalk("how"), "how"),
    ],
)
def test_origins_in_words(origin: object, text: str) -> None:
    assert str(origin) == text
