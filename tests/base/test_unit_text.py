"""Unit text is a product of powers of names; nothing a user writes is worked out as arithmetic."""

from __future__ import annotations

import time

import pytest

from bathybore.base.depth import Depth
from bathybore.base.errors import InputErrors
from bathybore.base.units import conversion, parse_quantity


@pytest.mark.parametrize(
    "text",
    [
        "5 2 m",
        "5 m*2",
        "5 m + m",
        "5 m - m",
        "5 9**9**9 m",
        "5 m**9**9**9",
        "5 m/0",
        "5 (m",
        "5 m)",
        "5 %m",
        "5 m**",
        "5 m;",
        "5 m if 1 else m",
        "1 " + "m*m/" * 300 + "m",
        "5" + " " * 100_000,
    ],
)
def test_arithmetic_and_endless_text_are_refused_at_once(text: str) -> None:
    start = time.process_time()
    with pytest.raises(InputErrors):
        parse_quantity(text, "m")
    with pytest.raises(InputErrors):
        Depth.parse(f"{text} below sea bed")
    assert time.process_time() - start < 0.1


@pytest.mark.parametrize(
    ("unit", "factor"),
    [
        # 1 lbf = 4.4482216152605 N, 1 ft = 0.3048 m, exact (NIST SP 811, Appendix B)
        ("lbf/100ft2", 4.4482216152605 / (100 * 0.3048**2)),
        ("lbf/100 ft^2", 4.4482216152605 / (100 * 0.3048**2)),
        ("lbf_per_100ft2", 4.4482216152605 / (100 * 0.3048**2)),
        ("ft-lbf", 0.3048 * 4.4482216152605),
        ("ft lbf", 0.3048 * 4.4482216152605),
        ("J/(kg K)", 1.0),
        ("W/m/K", 1.0),
        ("1/Pa", 1.0),
        ("kg/m³", 1.0),
        ("in^2", 0.0254**2),
        ("m**2", 1.0),
        ("kN·m", 1000.0),
        ("%", 0.01),
        ("°C", 1.0),
    ],
)
def test_products_of_powers_are_read(unit: str, factor: float) -> None:
    assert conversion(unit).factor == pytest.approx(factor, rel=1e-9)
