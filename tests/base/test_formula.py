"""Formulas for a terminal: read by a person, so judged by what a person would write."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.base.formula import plain, with_numbers
from bathybore.base.nomenclature import nomenclature
from bathybore.base.registry import Equation, equations
from bathybore.kernels import load_all

load_all()
ALL = sorted(equations().values(), key=lambda e: e.name)


@pytest.mark.parametrize(
    ("typst", "text"),
    [
        ('p_"iy" = k_w (2 Y t) / D', "p_iy = k_w (2 Y t) / D"),
        ("rho g h", "ρ g h"),
        ("Delta p_c = p_e - p_i", "Δp_c = p_e - p_i"),
        ("tau = tau_y + K dot(gamma)^n", "τ = τ_y + K γ̇^n"),
        ("a = sqrt(x^2 + y^2)", "a = √(x^2 + y^2)"),
        ("x^(1/2)", "x^(1/2)"),
        ("x^((a)+(b))", "x^((a)+(b))"),
        ("x^(2) + x^-1", "x^2 + x^(-1)"),
        ("frac(a, b)", "a / b"),
        ("frac(8 v, D - d)", "(8 v) / (D - d)"),
        ("a dot.c b times c", "a · b × c"),
        ("a <= b != c >= d", "a ≤ b ≠ c ≥ d"),
        ("integral_0^L rho dif z", "∫_0^L ρ d z"),
        ("F = 0.9 1/2 rho V^2", "F = 0.9 · 1/2 ρ V^2"),
        (r"V = U (1 - I), \ I = 2 U", "V = U (1 - I),\nI = 2 U"),
        (r"a\/b", "a/b"),
        ("abs(theta) / pi", "|θ| / π"),
        ('f = cases(16 / "Re" "if laminar", 0.079 "else")', "f =\n  16 / Re if laminar\n  0.079 else"),  # noqa: E501
        ("d = D - 2 t, quad t > 0", "d = D - 2 t,   t > 0"),
        ("x_(i, j) + tau_(x y)", "x_(i, j) + τ_xy"),
        ("unheard(x)", "unheard(x)"),
    ],
)  # fmt: skip
def test_plain(typst: str, text: str) -> None:
    assert plain(typst) == text


@pytest.mark.parametrize(
    ("typst", "numbers", "text"),
    [
        (
            'p_"iy" = k_w (2 Y t) / D',
            {"k_w": "0.875", "Y": "379.2 MPa", "t": "12.19 mm", "D": "339.7 mm"},
            "p_iy = 0.875 · (2 · 379.2 MPa · 12.19 mm) / 339.7 mm",
        ),
        # the longer symbol wins, and a part of a symbol is not the symbol
        ("Y + Y_a + x_Y", {"Y": "1", "Y_a": "2"}, "1 + 2 + x_Y"),
        ("Delta p_c - p_c", {"p_c": "3 MPa"}, "Δp_c - 3 MPa"),
        ("Delta p_c - p_c", {"p_c": "3 MPa", "Delta p_c": "4 MPa"}, "4 MPa - 3 MPa"),
        ('p_"max" + "max" + max(p, q)', {"p": "1", "m": "5"}, "p_max + max + max(1, q)"),
        ("gamma + dot(gamma)", {"gamma": "2"}, "2 + γ̇"),
        ("gamma + dot(gamma)", {"dot(gamma)": "170 1/s"}, "γ + 170 1/s"),
        ("x_(i, j) + i", {"i": "7"}, "x_(i, j) + 7"),
        ("E + E'", {"E": "1 GPa"}, "1 GPa + E′"),
        # a number with its unit or sign is one thing
        ("D^2 - x^n", {"D": "2 m", "n": "-0.5", "x": "3"}, "(2 m)^2 - 3^(-0.5)"),
        ("a - b", {"b": "-3 m"}, "a - (-3 m)"),
        # the name of a function is not multiplied with what it is a function of
        ("C = C (z)", {"z": "40 m"}, "C = C (40 m)"),
        ("G = F(Y) / A", {"Y": "80 ksi"}, "G = F(80 ksi) / A"),
        ("p = p_c (D, t) x", {"D": "2 m", "t": "1 m"}, "p = p_c (2 m, 1 m) · x"),
        ("2 cos theta", {"theta": "30 °"}, "2 cos 30 °"),
        ("(1 + x) (1 - f(a, b))", {"x": "2"}, "(1 + 2) · (1 - f(a, b))"),
        ("1/c ln x", {"c": "0.4 1/GPa"}, "1/(0.4 1/GPa) ln x"),
        ("1 / c", {"c": "0.4 1/GPa"}, "1 / (0.4 1/GPa)"),
        ("Y [1 - x]", {"Y": "2 MPa"}, "2 MPa · [1 - x]"),
    ],
)
def test_with_numbers(typst: str, numbers: dict[str, str], text: str) -> None:
    assert with_numbers(typst, numbers) == text


def test_no_numbers_change_no_name() -> None:
    """Without numbers only the signs of products are added."""
    for equation in ALL:
        bare = re.sub("[ ·]", "", with_numbers(equation.formula, {}))
        assert bare == re.sub("[ ·]", "", plain(equation.formula)), equation.name


@pytest.mark.parametrize("equation", ALL, ids=[e.name for e in ALL])
def test_every_formula_is_readable(equation: Equation) -> None:
    text = plain(equation.formula)
    assert not re.search(r'[\\"#&]', text), text
    for name in ("sqrt", "frac", "quad", "cases", "dot", "times", "rho", "sigma", "Delta"):
        assert not re.search(rf"(?<![A-Za-z_]){name}(?![A-Za-z])", text), text


@pytest.mark.parametrize("equation", ALL, ids=[e.name for e in ALL])
def test_every_input_finds_its_place(equation: Equation) -> None:
    terms = nomenclature()
    numbers = {
        terms[quantity.name].symbol: f"{7000 + index} u"
        for index, quantity in enumerate(equation.parameters)
        if quantity.unit != "text" and quantity.name in terms  # names: tests/kernels
    }
    text = with_numbers(equation.formula, numbers)
    for symbol, number in numbers.items():
        assert number in text, f"{symbol} has no place in {equation.formula}"


@given(st.text(alphabet="abYD_^()[]{}\"\\ /0.5-,&'Δ", max_size=40))
def test_any_text_is_shown(text: str) -> None:
    """A formula written wrongly is shown somehow; it never stops an explanation."""
    assert isinstance(plain(text), str)
    assert isinstance(with_numbers(text, {"Y": "3 MPa", "D_a": "-1"}), str)
