"""Densities from pressures: inverse of the column, and the balance of a kick."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.kernels.density_window import (
    density_of_column,
    greatest_mud_density_with_kick,
    kick_breaks_weak_point,
)
from bathybore.kernels.mud import compressible_column_pressure, density_at

G = 9.80665


@given(
    st.floats(0.0, 6e7),
    st.floats(800.0, 2300.0),
    st.floats(0.0, 8e-10),
    st.floats(10.0, 9000.0),
    st.floats(275.0, 500.0),
    st.floats(0.0, 6e-4),
)
def test_it_inverts_the_column_of_the_walk(
    top: float, weighed: float, compressible: float, height: float, warm: float, expands: float
) -> None:
    at_top = density_at(weighed, 0.0, warm, compressible, expands)
    foot = compressible_column_pressure(top, at_top, compressible, height)
    back = density_of_column(foot, top, compressible, expands, warm, height)
    assert float(np.asarray(back)) == pytest.approx(weighed, rel=1e-7)


def under_gas(
    rho: float,
    top: float,
    weak: float,
    foot: float,
    kick: float,
    volume: float,
    area: float,
    gas: float,
    fracture: float,
) -> float:
    """Pressure at the weak point, from the bottom up: gas under it, mud under the gas."""
    at_bottom = top + rho * G * foot + kick
    tall = min(volume / area * at_bottom / fracture, foot - weak)
    return at_bottom - rho * G * (foot - weak - tall) - gas * G * tall


@given(
    st.floats(0.0, 4e7),
    st.floats(100.0, 6000.0),
    st.floats(0.0, 3000.0),
    st.floats(1.02, 2.2),
    st.floats(0.0, 3e6),
    st.floats(0.0, 80.0),
    st.floats(0.005, 0.2),
    st.floats(0.0, 400.0),
)
def test_a_kick_brings_the_weak_point_to_its_limit(
    top: float,
    weak: float,
    below: float,
    gradient: float,
    kick: float,
    volume: float,
    area: float,
    gas: float,
) -> None:
    fracture = top + 1000.0 * gradient * G * weak
    foot = weak + below
    rho = float(greatest_mud_density_with_kick(fracture, top, weak, foot, kick, volume, area, gas))
    if rho <= gas:
        return  # lighter than the gas: no mud at all will do
    stands = under_gas(rho, top, weak, foot, kick, volume, area, gas, fracture)
    assert stands == pytest.approx(fracture, rel=1e-9)
    heavier = under_gas(rho + 5.0, top, weak, foot, kick, volume, area, gas, fracture)
    assert heavier > fracture


def test_larger_kicks_want_lighter_mud() -> None:
    def greatest(kick: float, volume: float) -> float:
        return float(
            greatest_mud_density_with_kick(90e6, 0.0, 5900.0, 7100.0, kick, volume, 0.015, 280.0)
        )

    by_volume = [greatest(1e6, v) for v in (0.0, 2.0, 4.0, 8.0, 16.0)]
    assert by_volume == sorted(by_volume, reverse=True)
    by_intensity = [greatest(k, 4.0) for k in (0.0, 1e6, 2e6, 5e6)]
    assert by_intensity == sorted(by_intensity, reverse=True)
    # no kick at all: the plain column
    assert greatest(0.0, 0.0) == pytest.approx(90e6 / (G * 5900.0), rel=1e-12)
    # once the hole below is full of gas, more gas changes nothing
    assert greatest(1e6, 100.0) == pytest.approx(greatest(1e6, 190.0), rel=1e-12)


def test_a_mud_breaks_the_weak_point_where_it_is_heavier_than_the_greatest() -> None:
    rng = np.random.default_rng(3)

    def some(low: float, high: float) -> np.ndarray:
        return rng.uniform(low, high, 4000)

    weak = some(100.0, 6000.0)
    given_ = (weak * G * some(1020.0, 2200.0), 0.0, weak, weak + some(0.0, 3000.0))
    kick = (some(0.0, 3e6), some(0.0, 80.0), some(0.005, 0.2), some(0.0, 400.0), G)
    greatest = np.asarray(greatest_mud_density_with_kick(*given_, *kick))
    for share in (0.9, 1.0 - 1e-9, 1.0 + 1e-9, 1.1):
        mud = share * greatest
        heavier = mud > 450.0  # lighter than the gas it would hold down, it is no mud
        broken = kick_breaks_weak_point(mud, *given_, *kick)
        assert (broken[heavier] == (share > 1.0)).all()
        assert heavier.sum() > 3000
