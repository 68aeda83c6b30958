"""Series of weather in netCDF files: brought in by their standard names, or refused by name."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.io import netcdf_file
from typer.testing import CliRunner

from bathybore.base.errors import InputErrors
from bathybore.cli.main import app
from bathybore.model.loading import load_hole
from bathybore.model.outside_netcdf import OutsideSeries, read_series
from bathybore.usecases.weather_import import bring_in

HEIGHT = "sea_surface_wave_significant_height"
PERIOD = "sea_surface_wave_period_at_variance_spectral_density_maximum"
Made = dict[str, tuple[str, str, Any]]
USUAL: Made = {
    "hs": (HEIGHT, "m", [1.0, 2.0, 3.0]),
    "tp": (PERIOD, "s", [7.0, 8.0, 9.0]),
    "ws": ("wind_speed", "m s-1", [5.0, 6.0, 7.0]),
}


def made(
    variables: Made,
    times: Sequence[float] = (0.0, 6.0, 12.0),
    since: str = "hours since 1991-04-01 00:00:00",
    change: Callable[[Any], None] = lambda _: None,
) -> bytes:
    target = io.BytesIO()
    source: Any = netcdf_file(target, "w")
    source.title = b"An invented sea"
    source.createDimension("time", len(times))
    source.createDimension("place", 2)
    time = source.createVariable("time", "d", ("time",))
    time[:] = times
    time.units = since.encode()
    for name, (standard, units, values) in variables.items():
        array = np.asarray(values)
        shape = ("time",) if array.ndim == 1 else ("time", "place")
        one = source.createVariable(name, "d", shape)
        one[:] = array
        one.standard_name, one.units = standard.encode(), units.encode()
    change(source)
    source.flush()
    return target.getvalue()


def refused(data: bytes) -> str:
    with pytest.raises(InputErrors) as caught:
        read_series("sea.nc", data)
    return "\n".join(map(str, caught.value.faults))


def test_a_series_in_si_from_the_first_of_its_january() -> None:
    found = read_series("sea.nc", made(USUAL))
    assert found.begins == datetime(1991, 1, 1)
    assert (found.time / 3600.0).tolist() == [90 * 24.0, 90 * 24.0 + 6.0, 90 * 24.0 + 12.0]
    assert found.columns["significant_wave_height"].tolist() == [1.0, 2.0, 3.0]
    assert found.columns["wind_speed"].tolist() == [5.0, 6.0, 7.0]
    assert "current_speed" not in found.columns
    assert found.title == "An invented sea"


def test_units_and_packing_are_undone() -> None:
    def packed(source: Any) -> None:
        one = source.createVariable("hs", "h", ("time",))
        one[:] = np.array([100, 200, 300], dtype=np.int16)
        one.standard_name, one.units, one.scale_factor = HEIGHT.encode(), b"cm", 1.0

    others = {name: one for name, one in USUAL.items() if name != "hs"}
    others["ws"] = ("wind_speed", "knots", [10.0, 10.0, 10.0])
    found = read_series("sea.nc", made(others, change=packed))
    assert found.columns["significant_wave_height"] == pytest.approx([1.0, 2.0, 3.0])
    assert found.columns["wind_speed"] == pytest.approx(10.0 * 1852.0 / 3600.0)


def test_what_was_never_written_is_a_gap_and_no_wave() -> None:
    """The format marks it by 9.97e36, whether or not a variable says so."""
    data = made(USUAL | {"hs": (HEIGHT, "m", [1.0, 9.969209968386869e36, 3.0])})
    assert "1 values that are missing, the first in row 2" in refused(data)


@pytest.mark.parametrize(
    ("since", "hours"),
    [
        ("days since 1991-01-01", 24.0),
        ("seconds since 1991-01-01T00:00:00", 1.0 / 3600.0),
        ("minutes since 1991-01-01 00:00", 1.0 / 60.0),
        ("hours since 1990-12-31 23:00:00", 1.0),
    ],
)
def test_times_in_whatever_unit(since: str, hours: float) -> None:
    found = read_series("sea.nc", made(USUAL, (2.0, 4.0, 6.0), since))
    expected = np.array([2.0, 4.0, 6.0]) * hours - (1.0 if "23:00" in since else 0.0)
    assert found.time / 3600.0 == pytest.approx(expected)


def without(name: str) -> Made:
    return {key: one for key, one in USUAL.items() if key != name}


GAP = float(np.float64(9.96921e36))


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"\x89HDF\r\n\x1a\n" + bytes(50), "a broken file"),
        (b"CDF\x05" + bytes(50), "64-bit data"),
        (b"time,hs\n0,1\n", "no netCDF file"),
        (b"", "no netCDF file"),
        (b"CDF\x01", "a broken file"),
        (made(USUAL)[:150], "a broken file"),
        (made(without("tp")), f"no variable with the standard name {PERIOD}"),
        (made({**USUAL, "hs2": USUAL["hs"]}), "2 variables with the standard name"),
        (made({**USUAL, "hs": (HEIGHT, "s", [1.0, 2.0, 3.0])}), "variable hs"),
        (made({**USUAL, "hs": (HEIGHT, "", [1.0, 2.0, 3.0])}), "no units"),
        (made({**USUAL, "hs": (HEIGHT, "m", [[1.0, 2.0]] * 3)}), "Cut the place of the hole"),
        (made({**USUAL, "hs": (HEIGHT, "m", [1.0, np.nan, 3.0])}), "first in row 2"),
        (made(USUAL, since="hours"), "the unit 'hours'"),
        (made(USUAL, since="hours since yesterday"), "the date 'yesterday'"),
        (made(USUAL, change=lambda s: setattr(s.variables["time"], "calendar", b"360_day")),
         "360_day"),
    ],
)  # fmt: skip
def test_what_is_no_such_series_is_refused_by_name(data: bytes, words: str) -> None:
    assert words in refused(data)


@given(st.integers(0, 400), st.integers(0, 255))
@settings(max_examples=60, deadline=None)
def test_a_file_with_a_wrong_byte_is_a_series_or_refused(place: int, byte: int) -> None:
    data = bytearray(made(USUAL))
    data[min(place, len(data) - 1)] = byte
    try:
        found = read_series("sea.nc", bytes(data))
    except InputErrors:
        return
    assert isinstance(found, OutsideSeries)
    assert all(np.isfinite(column).all() for column in found.columns.values())


# ---- into a hole -----------------------------------------------------------------------------


@pytest.fixture
def series(tmp_path: Path) -> Path:
    file = tmp_path / "sea.nc"
    file.write_bytes(made(USUAL))
    return file


def test_a_hole_without_a_series_gets_one(
    template_path: Path, tmp_path: Path, series: Path
) -> None:
    folder = tmp_path / "hole"
    folder.mkdir()
    for file in template_path.iterdir():
        (folder / file.name).write_bytes(file.read_bytes())
    assert load_hole(folder).weather is None
    done = bring_in(folder, series, False)
    assert (done.file, done.rows, done.kept) == ("weather.csv", 3, "")
    table = load_hole(folder).weather
    assert table is not None
    assert table.numbers["peak_period"].tolist() == [7.0, 8.0, 9.0]
    with pytest.raises(InputErrors, match="stands there"):
        bring_in(folder, series, False)
    before = (folder / "weather.csv").read_bytes()
    assert bring_in(folder, series, True).kept == "weather.csv.before"
    assert (folder / "weather.csv.before").read_bytes() == before


def test_the_command_and_its_refusals(template_path: Path, tmp_path: Path, series: Path) -> None:
    folder = tmp_path / "hole"
    folder.mkdir()
    for file in template_path.iterdir():
        (folder / file.name).write_bytes(file.read_bytes())
    held = {one.name: one.read_bytes() for one in folder.iterdir()}

    def said(*words: str) -> tuple[int, str]:
        result = CliRunner().invoke(app, ["import", *words])
        return result.exit_code, result.stdout + result.stderr

    code, words = said(str(tmp_path / "none.nc"), str(folder))
    assert code == 2
    assert "no such file" in words
    wrong = {**USUAL, "tp": (PERIOD, "s", [7.0, 0.0, 9.0])}
    series.write_bytes(made(wrong))
    code, words = said(str(series), str(folder))
    assert code == 2
    assert "more than zero" in words
    assert {one.name: one.read_bytes() for one in folder.iterdir()} == held
    series.write_bytes(made(USUAL))
    code, words = said(str(series), str(folder), "--json")
    assert code == 0
    assert '"rows": 3' in words
