"""Published facts about pipe that take more than one equation to reproduce."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.base.units import from_si, parse_quantity
from bathybore.kernels.soft_string import vertical_critical_buckling_load
from bathybore.kernels.string_mechanics import buoyancy_factor, buoyed_weight
from bathybore.kernels.tubular_collapse import ELASTIC, collapse_depth_when_empty
from bathybore.kernels.tubular_strength import linear_mass_of_pipe, pipe_body_area

GRAVITY = 9.80665
MUD = parse_quantity("80 pcf", "kg/m3")
STEEL = parse_quantity("490 pcf", "kg/m3")


def _string() -> list[tuple[float, float, float]]:
    """6,000 ft of 5 in pipe (0.362 in wall) and 500 ft of 9 x 3 in collars: D, t, length."""
    inch, foot = 0.0254, 0.3048
    return [(5.0 * inch, 0.362 * inch, 6000 * foot), (9.0 * inch, 3.0 * inch, 500 * foot)]


def test_weight_of_a_string_in_air() -> None:
    # Rabia, Oilwell Drilling Engineering, drill string example: 203,797 lbf, collars 96,162 lbf.
    pipe, collars = (
        from_si(linear_mass_of_pipe(d, t, STEEL) * length * GRAVITY, "N", "lbf")
        for d, t, length in _string()
    )
    assert collars == pytest.approx(96162, abs=80)
    assert pipe + collars == pytest.approx(203797, abs=120)


def test_buoyancy_by_pressure_on_areas_is_that_of_archimedes() -> None:
    # Rabia, same example: the mud of 80 lb/ft3 takes off 33,300 lbf; and the two ways are one.
    air = buoyed = 0.0
    for d, t, length in _string():
        mass = linear_mass_of_pipe(d, t, STEEL)
        air += mass * length * GRAVITY
        buoyed += buoyed_weight(mass, length, d, d - 2 * t, MUD, MUD)
    assert from_si(air - buoyed, "N", "lbf") == pytest.approx(33300, abs=60)
    assert buoyed == pytest.approx(air * buoyancy_factor(MUD, STEEL), rel=1e-12)
    assert from_si(buoyed, "N", "lbf") == pytest.approx(170610.99, abs=1.0)


def test_free_point_constant_is_2500_times_the_steel_area() -> None:
    # Lapeyrouse (2002), ch. 2: 4 1/2 in 16.6 lb/ft has 11,017.5.
    area = from_si(
        pipe_body_area(parse_quantity("4.5 in", "m"), parse_quantity("0.337 in", "m")),
        "m2",
        "in2",
    )
    assert 2500.0 * area == pytest.approx(11017.5, rel=5e-4)


def test_depth_of_an_empty_pipe_from_its_collapse_pressure() -> None:
    # University casing design slides: 4,760 psi / 1.125 in 12.5 lb/gal mud is 6,509 ft. The
    # slides use 0.052 psi/ft a lb/gal, which is 0.10 % high; the exact figure is 0.0519481.
    depth = collapse_depth_when_empty(
        parse_quantity("4760 psi", "Pa"), 1.125, parse_quantity("12.5 ppg", "kg/m3")
    )
    feet = from_si(depth, "m", "ft")
    assert feet * 0.0519481 / 0.052 == pytest.approx(6509, abs=1.5)
    assert abs(feet - 6509) > 1.5


def test_elastic_collapse_constant_is_that_of_a_ring_less_a_margin() -> None:
    # API Bulletin 5C3 prints 46.95e6 psi for 0.7125 x 2 E / (1 - nu^2), which is 46.98e6.
    product = 0.7125 * 2.0 * 30e6 / (1.0 - 0.3**2)
    printed = from_si(ELASTIC, "Pa", "psi")
    assert printed == pytest.approx(product, rel=1e-3)
    assert printed == pytest.approx(46.95e6, rel=1e-12)


def test_lubinski_constant_is_the_eigenvalue_of_a_hanging_bar() -> None:
    """y'''' - (x y')' = -W y'' in lengths of (EI/w)^(1/3), hinged, eight lengths long."""
    n, reach = 480, 8.0
    h = reach / (n + 1)
    y = np.eye(n)
    padded = np.vstack([np.zeros((1, n)), y, np.zeros((1, n))])  # y = 0 at both ends
    second = (padded[2:] - 2 * padded[1:-1] + padded[:-2]) / h**2
    curved = np.vstack([np.zeros((1, n)), second, np.zeros((1, n))])  # no moment at both ends
    fourth = (curved[2:] - 2 * curved[1:-1] + curved[:-2]) / h**2
    middle = (np.arange(n + 1) + 0.5) * h
    flux = middle[:, None] * (padded[1:] - padded[:-1]) / h
    stiff = fourth - (flux[1:] - flux[:-1]) / h
    loads = np.linalg.eigvals(np.linalg.solve(-second, stiff)).real
    assert loads.min() == pytest.approx(1.94, abs=0.01)
    unit = vertical_critical_buckling_load(64.0**0.25, 0.0, 1.0, 1.0 / np.pi)
    assert float(unit) == pytest.approx(1.94)
