"""Fluids as measured: constants come from readings and composition, and faults are named."""

from __future__ import annotations

import numpy as np
import pytest
from hole_folder import Folder

from bathybore.base.working import FromWalk, Solved, Value, Working
from bathybore.kernels.mud import density_at
from bathybore.kernels.seawater import conservative_temperature, sea_water_density
from bathybore.model.fluid_composition import OILS, BaseOil, Composition
from bathybore.model.plan import Fluid

THICK = "dial_600: 188, dial_300: 120, dial_200: 94, dial_100: 62, dial_6: 18, dial_3: 16"
PLAIN = """    pad-mud:
      density: 1.20 sg
      yield_stress: 5 Pa
      consistency: 0.5 Pa s^n
      flow_index: 0.65
"""
DIALS = "dial_600: 94, dial_300: 60, dial_200: 47, dial_100: 31, dial_6: 9, dial_3: 8"


def mud(dials: str = DIALS, *more: str, density: str = "density: 1.20 sg") -> str:
    lines = [f"        - {{temperature: 20 degC, {dials}}}", *more]
    return f"    pad-mud:\n      {density}\n      readings:\n" + "\n".join(lines) + "\n"


def with_mud(folder: Folder, text: str) -> Folder:
    return folder.replace(PLAIN, text)


def test_the_walk_has_the_fit_and_it_opens(folder: Folder) -> None:
    fluid = with_mud(folder, mud()).load().plan.fluids["pad-mud"]
    law = fluid.readings[0].law
    assert (fluid.yield_stress, fluid.consistency, fluid.flow_index) == (
        law.yield_stress,
        law.consistency,
        law.flow_index,
    )
    value = fluid.value("consistency", "consistency_index")
    assert value.name == "consistency_index"
    assert float(value) == law.consistency
    assert isinstance(value.origin, Solved)
    assert value.origin.residual == law.share
    assert [float(one) for one in value.origin.inputs] == [94.0, 60.0, 47.0, 31.0, 9.0, 8.0]
    assert "dial_600" in value.origin.inputs[0].whence  # the line it was read from
    assert fluid.value("consistency", "consistency_index") is value  # kept: found again


def test_the_law_runs_through_its_readings(folder: Folder) -> None:
    readings = with_mud(folder, mud()).load().plan.fluids["pad-mud"].readings[0]
    np.testing.assert_allclose(
        readings.law.stress(readings.rates), readings.stresses, atol=0.01 * readings.stresses.max()
    )


@pytest.mark.parametrize(
    ("dials", "found"),
    [
        (DIALS.replace("94", "50"), "60 at 300 rpm and 50 at 600 rpm"),
        (DIALS.replace("dial_3: 8", "dial_3: -8"), "'-8'"),
        (DIALS.replace("dial_3: 8", "dial_3: 0"), "no reading at 3 rpm"),
        ("dial_600: 94, dial_300: 60", "2 speeds"),
        (DIALS + ", gel_10_seconds: -1", "'-1'"),
        ("dial_600: 9, dial_300: 9, dial_3: 9", "one reading at every speed"),
        (DIALS + ", dial_900: 99", "dial_900"),
    ],
)
def test_readings_that_cannot_be_are_named_with_fluid_and_line(
    folder: Folder, dials: str, found: str
) -> None:
    spoiled = with_mud(folder, mud(dials))
    (fault,) = spoiled.faults()
    assert "plan.fluids[pad-mud].readings[0]" in fault.where
    assert f"line {spoiled.line_of('temperature: 20 degC, ')}" in fault.where
    assert found in fault.found


def test_readings_and_constants_together_are_refused(folder: Folder) -> None:
    text = mud().replace("      readings", "      flow_index: 0.7\n      readings")
    (fault,) = with_mud(folder, text).faults()
    assert "readings together with flow_index" in fault.found


def test_two_sets_at_one_condition_are_refused(folder: Folder) -> None:
    again = f"        - {{temperature: 20 degC, {DIALS}}}"
    (fault,) = with_mud(folder, mud(DIALS, again)).faults()
    assert "two sets of readings at one temperature and pressure" in fault.found


def test_pressure_that_rises_with_temperature_alone_is_refused(folder: Folder) -> None:
    deep = f"        - {{temperature: 60 degC, pressure: 50 MPa, {DIALS}}}"
    (fault,) = with_mud(folder, mud(DIALS, deep)).faults()
    assert "rise together along one line" in fault.found
    assert "plan.fluids[pad-mud]" in fault.where


def test_readings_at_several_pressures_have_one_law_that_opens(folder: Folder) -> None:
    deep = f"        - {{temperature: 20 degC, pressure: 50 MPa, {THICK}}}"
    warm = f"        - {{temperature: 60 degC, {DIALS}}}"
    fluid = with_mud(folder, mud(DIALS, deep, warm)).load().plan.fluids["pad-mud"]
    assert fluid.under_pressure
    law = fluid.conditions_law
    assert law.pressures == (0.0, 50e6)
    # twice the dials under 50 MPa, the same at 60 degC: twice every stress, no effect of heat
    assert np.exp(law.consistency_exponents[0]) == pytest.approx(2.0, rel=1e-5)
    assert np.exp(law.yield_exponents[0]) == pytest.approx(2.0, rel=1e-5)
    assert (law.consistency_exponents[1], law.flow_index_change) == pytest.approx((0, 0), abs=1e-5)
    value = fluid.over_conditions("pressure_exponent", law.yield_exponents[0], "-")
    assert isinstance(value.origin, Solved)
    assert value.origin.residual == law.share
    names = [one.name for one in value.origin.inputs]
    assert names.count("dial_reading") == 18
    assert names.count("pressure") == 3
    # constants that nothing asks a condition for are those of the readings listed first
    assert fluid.consistency == fluid.readings[0].law.consistency


def test_readings_are_put_in_order_of_warmth(folder: Folder) -> None:
    cold = f"        - {{temperature: 4 degC, {DIALS}}}"
    fluid = with_mud(folder, mud(DIALS, cold)).load().plan.fluids["pad-mud"]
    assert [one.temperature for one in fluid.measured_at] == pytest.approx([277.15, 293.15])


# -- composition ------------------------------------------------------------------------

PARTS = "composition: {low_gravity_solids: 0.04, high_gravity_solids: 0.09}"


def test_density_is_that_of_the_parts(folder: Folder) -> None:
    fluid = with_mud(folder, mud(density=PARTS)).load().plan.fluids["pad-mud"]
    water = sea_water_density(35.0, conservative_temperature(35.0, 293.15, 0.0), 0.0)
    expected = 0.87 * float(np.asarray(water)) + 0.04 * 2600.0 + 0.09 * 4200.0
    assert fluid.density == pytest.approx(expected, rel=1e-9)
    assert isinstance(fluid.value("density").origin, Working)
    assert fluid.value("compressibility", "compressibility").name == "compressibility"


def test_coefficients_follow_the_parts_over_the_range_they_are_taken_from() -> None:
    """In the range the constant coefficients keep within half a percent of the parts."""
    from bathybore.base.working import FromWalk, Value

    parts = Composition(low_gravity_solids=0.03, high_gravity_solids=0.08)
    how = FromWalk("made")
    reference = Value("reference_temperature", 293.15, "K", how)
    constants = {name: float(one) for name, one in parts.constants(reference).items()}
    for warmth in (278.15, 293.15, 320.0, 350.0):
        for pressure in (0.0, 30e6, 60e6):
            exact = parts.density(
                Value("pressure", pressure, "Pa", how),
                Value("temperature", warmth, "K", how),
                reference,
            )
            linear = density_at(
                constants["density"],
                pressure,
                warmth,
                constants["compressibility"],
                constants["thermal_expansion"],
                293.15,
            )
            assert float(np.asarray(linear)) == pytest.approx(float(exact), rel=5e-3)


def test_no_step_where_the_equation_of_sea_water_ends() -> None:
    parts = Composition(high_gravity_solids=0.1)
    for pressure in (0.0, 50e6, 90e6):
        below, above = parts.numbers(pressure, np.array([313.14, 313.16]), 293.15)
        assert above == pytest.approx(below, rel=2e-5)
        assert above < below


def test_parts_keep_their_mass_in_place() -> None:
    parts = Composition(oil=0.5, low_gravity_solids=0.03, high_gravity_solids=0.12)
    pressure, warmth = np.array([0.0, 40e6, 90e6]), np.array([277.0, 330.0, 400.0])
    numbers = parts.parts(pressure, warmth, 293.15)
    share = {"water": 0.35, "oil": 0.5, "low_gravity": 0.03, "high_gravity": 0.12}
    mass = sum(part * numbers[f"{name}_density"] for name, part in share.items())
    volume = sum(
        part * numbers[f"{name}_density"] / numbers[f"{name}_density_in_place"]
        for name, part in share.items()
    )
    np.testing.assert_allclose(parts.numbers(pressure, warmth, 293.15) * volume, mass, rtol=1e-12)


def test_at_the_surface_it_weighs_what_it_was_weighed(folder: Folder) -> None:
    text = mud(density=PARTS + "\n      density: 1.40 sg")
    fluid = with_mud(folder, text).load().plan.fluids["pad-mud"]
    assert fluid.made_of is not None
    assert fluid.density_under(0.0, fluid.reference_temperature) == pytest.approx(1400.0)
    stiff = fluid.model_copy(update={"thermal_expansion": 0.0})
    assert stiff.made_of is None  # a copy with other constants is what its constants say
    assert stiff.density_under(0.0, 350.0) == pytest.approx(1400.0)


def test_what_was_measured_of_the_oil_counts(folder: Folder) -> None:
    oil = "oil: 0.99, oil_density: 800 kg/m3, "
    oil += "oil_compressibility: 8e-10 1/Pa, oil_thermal_expansion: 9e-4 1/K"
    fluid = with_mud(folder, mud(density=f"composition: {{{oil}}}")).load().plan.fluids["pad-mud"]
    gain = fluid.density_under(20e6, 293.15) / fluid.density
    assert gain == pytest.approx(np.exp(8e-10 * 20e6), rel=2e-4)


@pytest.mark.parametrize("name", ["mineral oil", "diesel", "internal olefin"])
def test_oil_by_its_name_alone_is_its_law(name: BaseOil) -> None:
    law = OILS[name]
    parts = Composition(oil=0.999999, base_oil=name)
    for pressure, warmth in ((0.0, 293.15), (40e6, 350.0), (80e6, 280.0)):
        expected = float(np.asarray(law(pressure, warmth)))
        assert parts.numbers(pressure, warmth, 293.15) == pytest.approx(expected, rel=1e-6)
    heavier = Composition(oil=0.999999, base_oil=name, oil_density="900 kg/m3")
    gain = float(np.asarray(law(40e6, 350.0) / law(0.0, 293.15)))
    assert heavier.numbers(40e6, 350.0, 293.15) == pytest.approx(900.0 * gain, rel=1e-6)


def test_oil_deeper_than_its_law_is_outside_validity(folder: Folder) -> None:
    text = mud(density="composition: {oil: 0.6, high_gravity_solids: 0.1, base_oil: diesel}")
    fluid = with_mud(folder, text).load().plan.fluids["pad-mud"]
    assert fluid.made_of is not None

    def outside(deep: float) -> tuple[str, ...]:
        pressure = Value("pressure", deep, "Pa", FromWalk("tried"))
        warm = Value("temperature", 330.0, "K", FromWalk("tried"))
        return fluid.density_in_place(pressure, warm).outside_validity()

    assert outside(80e6) == ()
    assert any("diesel_density: pressure" in one for one in outside(95e6))


def test_measured_coefficients_need_their_oil(folder: Folder) -> None:
    oil = "oil: 0.5, oil_compressibility: 8e-10 1/Pa, oil_thermal_expansion: 9e-4 1/K"
    (fault,) = with_mud(folder, mud(density=f"composition: {{{oil}}}")).faults()
    assert "without oil_density" in fault.found


def test_solids_stiffen_and_oil_softens() -> None:
    from bathybore.base.working import FromWalk, Value

    reference = Value("reference_temperature", 293.15, "K", FromWalk("made"))

    def squeezed(**parts: float) -> float:
        made = Composition(**parts)
        return float(made.constants(reference)["compressibility"])

    assert squeezed(high_gravity_solids=0.2) < squeezed() < squeezed(oil=0.6)


@pytest.mark.parametrize(
    ("parts", "found"),
    [
        ("composition: {oil: 0.6, high_gravity_solids: 0.5}", "1.1 of the volume"),
        ("composition: {salinity: 200}", "salinity of 200"),
        (
            "composition: {oil: 0.5, oil_compressibility: 8e-10 1/Pa}",
            "half of what was measured of the oil",
        ),
        (
            PARTS + "\n      compressibility: 1e-10 1/Pa",
            "composition together with compressibility",
        ),
    ],
)
def test_compositions_that_cannot_be_are_named(folder: Folder, parts: str, found: str) -> None:
    (fault,) = with_mud(folder, mud(density=parts)).faults()
    assert "plan.fluids[pad-mud]" in fault.where
    assert found in fault.found


def test_a_weighed_density_counts_beside_a_composition(folder: Folder) -> None:
    plain = with_mud(folder, mud(density=PARTS)).load().plan.fluids["pad-mud"]
    text = (folder.text()).replace(PARTS, PARTS + "\n      density: 1.40 sg")
    fluid = folder.write(text).load().plan.fluids["pad-mud"]
    assert fluid.density == 1400.0
    assert float(fluid.value("density")) == 1400.0
    assert fluid.compressibility == pytest.approx(plain.compressibility, rel=1e-12)


def test_a_copy_with_another_density_says_that_density(folder: Folder) -> None:
    fluid = with_mud(folder, mud(density=PARTS)).load().plan.fluids["pad-mud"]
    heavier = fluid.model_copy(update={"density": 1500.0})
    assert float(heavier.value("density")) == 1500.0
    assert float(heavier.value("consistency")) == fluid.consistency


def test_fluids_without_measurements_are_as_before() -> None:
    fluid = Fluid.model_validate({"density": "1.2 sg", "consistency": "0.3 Pa s^n"})
    assert (fluid.density, fluid.consistency, fluid.flow_index) == (1200.0, 0.3, 1.0)
    assert fluid.readings == ()
    assert fluid.composition is None
