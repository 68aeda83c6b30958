"""The gate: what a user writes becomes SI once, and nothing slips through without a unit."""

from __future__ import annotations

import contextlib
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.base.errors import InputErrors
from bathybore.base.nomenclature import nomenclature
from bathybore.base.units import (
    TEMPERATURE_DIFFERENCE,
    conversion,
    example_unit,
    from_si,
    known_units,
    parse_quantity,
    pretty_number,
    pretty_unit,
    registry,
    show,
    shown_unit,
    to_si,
)


def si_of(unit: str) -> str:
    """Return a spelling of the SI unit that has the dimension of ``unit``."""
    base = registry().Quantity(1.0, "dimensionless" if unit == "" else unit).to_base_units().units
    return str(base).replace(" ** ", "**").replace(" * ", " ") or "-"


UNITS = known_units()
numbers = st.floats(min_value=1e-6, max_value=1e9)


@pytest.mark.parametrize("unit", UNITS)
@given(value=numbers)
def test_in_and_out_again(unit: str, value: float) -> None:
    target = si_of(unit)
    inside = parse_quantity(f"{value!r} {unit}", target)
    back = from_si(inside, target, unit)
    # a temperature loses digits to its offset
    assert back == pytest.approx(value, rel=1e-12, abs=1e-9 * abs(conversion(unit).offset))


@pytest.mark.parametrize("unit", UNITS)
def test_text_and_column_agree(unit: str) -> None:
    target = si_of(unit)
    assert parse_quantity(f"3.25 {unit}", target) == pytest.approx(to_si(3.25, unit, target))


# NIST SP 811 (2008) Appendix B, and the SI brochure; Beaufort scale apart nothing is rounded.
@pytest.mark.parametrize(
    ("text", "unit", "expected", "rel"),
    [
        ("1 psi", "Pa", 6894.757, 1e-7),
        ("1 ksi", "Pa", 6894757.0, 1e-7),
        ("1 bar", "Pa", 1e5, 0),
        ("1 lbf", "N", 4.448222, 1e-6),
        ("1 klbf", "N", 4448.222, 1e-6),
        ("1 lb/ft", "kg/m", 1.488164, 1e-6),
        ("1 lbf/ft", "N/m", 14.59390, 1e-6),
        ("1 ft lbf", "N m", 1.355818, 1e-6),
        ("1 ft-lbf", "N m", 1.355818, 1e-6),
        ("1 in", "m", 0.0254, 1e-15),
        ("1 ft", "m", 0.3048, 1e-15),
        ("1 nmi", "m", 1852.0, 0),
        ("1 kn", "m/s", 0.5144444, 1e-7),
        ("1 gpm", "m3/s", 6.309020e-05, 1e-6),
        ("1 bbl", "m3", 0.1589873, 1e-6),
        ("1 gal", "m3", 3.785412e-03, 1e-6),
        ("1 hp", "W", 745.6999, 1e-6),
        ("1 ppg", "kg/m3", 119.8264, 1e-6),
        ("1 pcf", "kg/m3", 16.01846, 1e-6),
        ("1 sg", "kg/m3", 1000.0, 0),
        ("1 cP", "Pa s", 1e-3, 1e-12),
        ("1 lbf/100ft2", "Pa", 0.4788026, 1e-6),
        ("1 lbf/100 ft2", "Pa", 0.4788026, 1e-6),
        ("32 degF", TEMPERATURE_DIFFERENCE, 32 / 1.8, 1e-12),
        ("180 °", "rad", math.pi, 1e-12),
        ("50 %", "-", 0.5, 1e-15),
        ("1 d", "s", 86400.0, 0),
        ("60 rpm", "1/s", 1.0, 1e-12),
        ("60 spm", "1/s", 1.0, 1e-12),
        ("1 kPa/m", "Pa/m", 1000.0, 1e-12),
        ("1 psi/ft", "Pa/m", 22620.59, 1e-6),
        ("1 µm", "m", 1e-6, 1e-12),
        ("2 in^2", "m2", 2 * 0.0254**2, 1e-12),
        ("2 in2", "m2", 2 * 0.0254**2, 1e-12),
        ("2 in²", "m2", 2 * 0.0254**2, 1e-12),
        ("4.4e-10 1/Pa", "1/Pa", 4.4e-10, 1e-12),
    ],
)
def test_printed_factors(text: str, unit: str, expected: float, rel: float) -> None:
    assert parse_quantity(text, unit) == pytest.approx(expected, rel=rel, abs=0)


@pytest.mark.parametrize("text", ["5 delta_degC", "5 Δ°C", "5 mdegC", "5 kdegF"])
def test_a_temperature_is_no_difference(text: str) -> None:
    """Taken for a scale with no offset, 5 degC would be 5 K: a wrong number that looks right."""
    with pytest.raises(InputErrors):
        parse_quantity(text, "K")


def test_a_gradient_of_temperature_has_no_offset() -> None:
    assert parse_quantity("34 degC/km", "K/m") == pytest.approx(0.034)
    assert parse_quantity("18 degF/ft", "K/m") == pytest.approx(10 / 0.3048)


# Fixed points of the scales.
@pytest.mark.parametrize(
    ("text", "kelvin"),
    [
        ("0 degC", 273.15),
        ("100 °C", 373.15),
        ("32 degF", 273.15),
        ("212 °F", 373.15),
        ("-40 degC", 233.15),
        ("-40 degF", 233.15),
        ("0 K", 0.0),
        ("0.01 degC", 273.16),
    ],
)
def test_fixed_points_of_temperature(text: str, kelvin: float) -> None:
    assert parse_quantity(text, "K") == pytest.approx(kelvin, abs=1e-9)


@given(st.floats(-300, 300))
def test_a_difference_of_temperature_has_no_offset(value: float) -> None:
    text = f"{value!r}"
    assert parse_quantity(f"{text} degC", TEMPERATURE_DIFFERENCE) == pytest.approx(value)
    assert parse_quantity(f"{text} K", TEMPERATURE_DIFFERENCE) == pytest.approx(value)
    fahrenheit = parse_quantity(f"{text} degF", TEMPERATURE_DIFFERENCE)
    assert fahrenheit == pytest.approx(value / 1.8)


@given(st.integers(0, 60), st.integers(0, 15), st.sampled_from([2, 4, 8, 16, 32]))
def test_mixed_fractions(whole: int, above: int, below: int) -> None:
    expected = (whole + above / below) * 0.0254
    for text in (f"{whole} {above}/{below} in", f"{whole}-{above}/{below} in"):
        assert parse_quantity(text, "m") == pytest.approx(expected, rel=1e-12)
    assert parse_quantity(f"-{whole} {above}/{below} in", "m") == pytest.approx(-expected)
    assert parse_quantity(f"{above}/{below}in", "m") == pytest.approx(above / below * 0.0254)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1.35sg", 1350.0),
        (" 1.35  sg ", 1350.0),
        ("+1.35 sg", 1350.0),
        (".5 sg", 500.0),
        ("2. sg", 2000.0),
        ("1e3 kg/m3", 1000.0),
        ("1E3 kg/m^3", 1000.0),
        ("1000 kg/m**3", 1000.0),
        ("1000 kg/m³", 1000.0),
    ],
)
def test_spellings(text: str, value: float) -> None:
    assert parse_quantity(text, "kg/m3") == pytest.approx(value)


@pytest.mark.parametrize(
    ("text", "fixed"), [("1,35 sg", "1.35 sg"), ("-1,35 sg", "-1.35 sg"), ("1,350 kg/m3", "1.350")]
)
def test_a_comma_is_refused_and_the_point_suggested(text: str, fixed: str) -> None:
    with pytest.raises(InputErrors, match="decimal comma") as caught:
        parse_quantity(text, "kg/m3")
    assert fixed in caught.value.faults[0].fix


@pytest.mark.parametrize("written", ["1.35", 1.35, 3, "  7  ", "13 3/8", "7/8"])
def test_a_bare_number_is_refused(written: object) -> None:
    with pytest.raises(InputErrors, match="bare number") as caught:
        parse_quantity(written, "kg/m3")
    (fault,) = caught.value.faults
    assert "unit" in fault.expected
    assert fault.fix


@pytest.mark.parametrize(("written", "value"), [(0.5, 0.5), ("0.5", 0.5), (2, 2.0), ("1/2", 0.5)])
def test_a_pure_number_needs_no_unit(written: object, value: float) -> None:
    assert parse_quantity(written, "-") == value


@pytest.mark.parametrize(
    "written",
    [
        None,
        True,
        False,
        [1],
        {"value": 1},
        "",
        "   ",
        "m",
        "ten m",
        "nan m",
        "inf m",
        "1e999 m",
        "1/0 in",
        "--1 m",
        "1 2 m",
        "1.5.2 m",
        "1 m m m **",
        "1 m + 2",
        "1 " + "m" * 300,
        "0x10 m",
        float("nan"),
        float("inf"),
    ],
)
def test_what_is_no_quantity_is_refused(written: object) -> None:
    with pytest.raises(InputErrors) as caught:
        parse_quantity(written, "m", "plan.depth")
    (fault,) = caught.value.faults
    assert fault.where == "plan.depth"
    assert fault.found
    assert fault.expected


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("1 m", "Pa"),
        ("1 psi", "m"),
        ("1 kg", "N"),
        ("1 lb", "N"),
        ("1 ppg", "Pa/m"),
        ("1 m", "-"),
        ("1 degC", "m"),
        ("1 L", "m3/s"),
        ("1 Pa s", "Pa s^n"),
    ],
)
def test_another_dimension_is_refused(text: str, unit: str) -> None:
    with pytest.raises(InputErrors):
        parse_quantity(text, unit)


@pytest.mark.parametrize(
    ("unit", "meant"), [("meeter", "meter"), ("psii", "psi"), ("PPG", "ppg"), ("feet", "ft")]
)
def test_an_unknown_unit_suggests_the_nearest(unit: str, meant: str) -> None:
    with pytest.raises(InputErrors) as caught:
        parse_quantity(f"1 {unit}", "m")
    assert f"Did you mean '{meant}'?" in str(caught.value)


def test_the_consistency_index_is_written_in_si_only() -> None:
    assert parse_quantity("0.5 Pa s^n", "Pa s^n") == 0.5
    with pytest.raises(InputErrors):
        parse_quantity("0.5 lbf/100ft2", "Pa s^n")


@given(st.text(max_size=40))
def test_no_text_does_anything_but_convert_or_refuse(text: str) -> None:
    with contextlib.suppress(InputErrors):
        assert math.isfinite(parse_quantity(text, "Pa"))


def test_every_shown_unit_comes_back() -> None:
    for term in nomenclature().values():
        if term.unit in ("text", "Pa s^n"):
            continue
        for system in ("metric", "oilfield"):
            unit = term.shown_in(system)  # type: ignore[arg-type]
            number = 0.37 if unit == "" else from_si(0.37, term.unit, unit)
            back = number if unit == "" else to_si(number, unit, term.unit)
            assert back == pytest.approx(0.37, abs=1e-10), term.name


def test_the_example_of_every_unit_is_read() -> None:
    for term in nomenclature().values():
        if term.unit not in ("text", "-"):
            parse_quantity(f"1 {example_unit(term.unit)}", term.unit)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.0, "0"),
        (1234567.0, "1\u202f234\u202f567"),
        (1234.5678, "1\u202f235"),
        (12.345678, "12.35"),
        (0.0012345678, "0.001235"),
        (-12.3, "-12.3"),
        (100.0, "100"),
        (99.996, "100"),
        (1e-7, "1.000e-07"),
        (float("inf"), "inf"),
        (float("nan"), "nan"),
    ],
)
def test_numbers_for_people(value: float, text: str) -> None:
    assert pretty_number(value) == text


def test_units_for_people() -> None:
    assert pretty_unit("kg/m**3") == "kg/m³"
    assert pretty_unit("degC") == "°C"
    assert pretty_unit("m3") == "m³"
    assert pretty_unit("-") == ""


def test_shown_in_both_systems() -> None:
    assert show(6894757.293168361, "Pa") == "6.895 MPa"
    assert show(6894757.293168361, "Pa", "oilfield") == "1\u202f000 psi"
    assert show(273.15, "K") == "0 °C"
    assert show(0.25, "-") == "0.25"
    assert show(0.3048, "m", unit="ft") == "1 ft"
    assert show(0.5, "Pa s^n") == "0.5 Pa·s^n"
    assert shown_unit("Pa", "oilfield") == "psi"


@given(st.floats(1e-3, 1e8), st.integers(2, 8))
def test_a_shown_number_keeps_its_digits(value: float, significant: int) -> None:
    text = pretty_number(value, significant).replace("\u202f", "")
    assert float(text) == pytest.approx(value, rel=0.5001 * 10.0 ** (1 - significant))
