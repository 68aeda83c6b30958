"""The table of environments: it rises, its winds are those of the scale, its waves can stand."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.kernels.environment_table import (
    GREATEST_NUMBER,
    table_current_speed,
    table_peak_period,
    table_wave_height,
    table_wind_speed,
)
from bathybore.kernels.waves import beaufort_wind_speed

NUMBERS = np.arange(1, GREATEST_NUMBER + 1)


def test_winds_are_the_upper_ends_of_the_beaufort_scale() -> None:
    scale = beaufort_wind_speed(NUMBERS + 0.5)
    assert table_wind_speed(NUMBERS) == pytest.approx(scale, abs=0.11)


def test_wind_waves_and_current_never_fall_with_the_number() -> None:
    for column in (table_wind_speed, table_wave_height, table_peak_period, table_current_speed):
        assert (np.diff(column(NUMBERS)) >= 0.0).all()


def test_no_sea_of_the_table_is_steeper_than_a_sea_can_be() -> None:
    """A wind sea keeps Tp above about 3.6 sqrt(Hs); the small seas of the table are longer."""
    assert (table_peak_period(NUMBERS) > 3.4 * np.sqrt(table_wave_height(NUMBERS))).all()


def test_between_two_numbers_the_higher_counts() -> None:
    assert table_wave_height(5.2) == table_wave_height(6)
    assert table_wind_speed(0) == 0.0
