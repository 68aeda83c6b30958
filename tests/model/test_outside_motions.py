"""Hydrodynamics and weather in netCDF-4 and netCDF-3 files, as tables of a hole."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import h5netcdf
import numpy as np
import pytest
from scipy.io import netcdf_file

from bathybore.base.errors import InputErrors
from bathybore.kernels.vessel_motion import single_motion_response
from bathybore.model.csv_tables import parse_table
from bathybore.model.loading import load_hole
from bathybore.model.netcdf_files import read_variables
from bathybore.model.outside_motions import OutsideMotions, holds_motions, motions_of, motions_text
from bathybore.model.outside_netcdf import read_series
from bathybore.model.tables import MOTION_COLUMNS
from bathybore.operations.vessel_motions import tabled
from bathybore.usecases.weather_import import bring_in

DOFS = ("Surge", "Sway", "Heave", "Roll", "Pitch", "Yaw")
OMEGA = np.array([0.3, 0.6, 0.9, 1.2, 1.8])
DIRECTION = np.radians([0.0, 90.0, 180.0])
MASS = np.diag([1e7, 1e7, 1e7, 2e9, 3e10, 3e10])
ADDED = np.diag([1e6, 8e6, 1e7, 1e9, 2e10, 1e10])
DAMPING = np.diag([1e5, 1e6, 4e6, 1e8, 5e9, 1e9])
STIFF = np.diag([0.0, 0.0, 4e7, 6e9, 5e10, 0.0])
GRAVITY = 9.80665


def forces() -> np.ndarray:
    """Forces of a small hull on time as e^(-i omega t): pressure and slope of the water."""
    number = (OMEGA**2 / GRAVITY)[:, None]
    cos, sin = np.cos(DIRECTION), np.sin(DIRECTION)
    found = np.zeros((5, 3, 6), dtype=complex)
    # water goes as e^(i (k s - omega t)): its push is the mass it would have times acceleration
    push = -(OMEGA**2)[:, None] * 1j * 1.1e7
    found[..., 0], found[..., 1] = push * cos, push * sin
    found[..., 2] = 4e7
    found[..., 3] = 1j * number * sin * 6e9
    found[..., 4] = -1j * number * cos * 5e10
    return found


def made(change: Any = lambda source: None, **left_out: bool) -> bytes:
    target = io.BytesIO()
    with h5netcdf.File(target, "w") as source:
        sizes = {"omega": 5, "wave_direction": 3, "complex": 2}
        source.dimensions = {**sizes, "influenced_dof": 6, "radiating_dof": 6}
        source.attrs["title"] = "An invented hull"

        def put(name: str, dimensions: tuple[str, ...], values: Any) -> None:
            if name not in left_out:
                source.create_variable(name, dimensions, data=values)

        put("omega", ("omega",), OMEGA)
        put("wave_direction", ("wave_direction",), DIRECTION)
        for name, texts in (
            ("complex", ("re", "im")),
            ("influenced_dof", DOFS),
            ("radiating_dof", DOFS),
        ):
            put(name, (name,), np.array(texts, dtype=object).astype("S"))
        square = ("influenced_dof", "radiating_dof")
        put("inertia_matrix", square, MASS)
        put("hydrostatic_stiffness", square, STIFF)
        for name, matrix in (("added_mass", ADDED), ("radiation_damping", DAMPING)):
            # as such data sets have it: radiating before influenced
            put(name, ("omega", *square[::-1]), np.tile(matrix.T, (5, 1, 1)))
        force = forces()
        parts = np.stack([force.real, force.imag])
        dimensions = ("complex", "omega", "wave_direction", "influenced_dof")
        put("Froude_Krylov_force", dimensions, 0.75 * parts)
        put("diffraction_force", dimensions, 0.25 * parts)
        change(source)
    return target.getvalue()


def read(data: bytes) -> OutsideMotions:
    title, found = read_variables("hull.nc", data)
    assert holds_motions(found)
    return motions_of("hull.nc", title, found)


def test_motions_follow_from_forces_mass_and_damping() -> None:
    found = read(made())
    assert found.title == "An invented hull"
    assert np.degrees(found.heading) == pytest.approx([0.0, 90.0, 180.0])
    heave = single_motion_response(OMEGA, 4e7, 4e7, 1e7, 1e7, 4e6)
    for column in range(3):
        assert np.abs(found.motions["heave"][:, column]) == pytest.approx(heave)
    # waves from ahead (0) go aft, those from starboard (90) to port: no roll, no pitch
    assert np.abs(found.motions["roll"][:, 0]) == pytest.approx(np.zeros(5), abs=1e-9)
    assert np.abs(found.motions["pitch"][:, 1]) == pytest.approx(np.zeros(5), abs=1e-9)
    # slow waves: heave with the crest, bow down a quarter late in waves from ahead
    slow = np.angle([found.motions[name][0, 0] for name in ("heave", "pitch", "surge")])
    assert np.degrees(slow) == pytest.approx([0.0, -90.0, 90.0], abs=5.0)
    rolls = found.motions["roll"][0, 1]  # waves from starboard: port goes up later, starboard down
    assert np.degrees(np.angle(rolls)) == pytest.approx(-90.0, abs=5.0)


def test_the_table_says_what_was_read() -> None:
    found = read(made())
    table = parse_table(motions_text(found), "motions.csv", MOTION_COLUMNS)
    for column, heading in enumerate(found.heading):
        again = tabled(table, float(heading), OMEGA)
        for name, motion in again.items():
            assert motion == pytest.approx(found.motions[name][:, column], rel=1e-5, abs=1e-9)


def test_operators_in_the_file_are_taken_as_they_are() -> None:
    before = read(made())
    told = np.stack([before.motions[n.lower()] for n in DOFS[:5]], axis=-1)[:, ::-1].conj()

    def put(source: Any) -> None:
        parts = np.concatenate([told, np.zeros((5, 3, 1))], axis=-1)
        dimensions = ("omega", "wave_direction", "radiating_dof", "complex")
        source.create_variable("RAO", dimensions, data=np.stack([parts.real, parts.imag], axis=-1))

    found = read(made(put, added_mass=True, inertia_matrix=True))
    for name, motion in before.motions.items():
        assert found.motions[name] == pytest.approx(motion)


def conjugated(source: Any) -> None:
    for name in ("Froude_Krylov_force", "diffraction_force"):
        source.variables[name][1] = -source.variables[name][1]


def gap(source: Any) -> None:
    source.variables["added_mass"][0, 0, 0] = np.nan


def two_bodies(source: Any) -> None:
    source.variables["influenced_dof"][:] = np.array([b"Surge", b"Surge", *[b"Heave"] * 4])


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (made(inertia_matrix=True), "no variable 'inertia_matrix'"),
        (made(diffraction_force=True), "no variable 'diffraction_force'"),
        (made(omega=True), "none of omega"),
        (made(gap), "numbers that are missing"),
        (made(conjugated), "against the water"),
        (made(two_bodies), "of one body"),
    ],
)
def test_a_data_set_that_lacks_something_is_refused_by_name(data: bytes, words: str) -> None:
    with pytest.raises(InputErrors) as caught:
        read(data)
    assert words in "\n".join(map(str, caught.value.faults))


def test_names_in_letters_of_the_classic_format() -> None:
    target = io.BytesIO()
    source: Any = netcdf_file(target, "w")
    for name, size in (("radiating_dof", 2), ("letters", 5)):
        source.createDimension(name, size)
    one = source.createVariable("radiating_dof", "c", ("radiating_dof", "letters"))
    one[:] = [list("Heave"), list("Roll\x00")]
    source.flush()
    _, found = read_variables("hull.nc", target.getvalue())
    assert found["radiating_dof"].words == ("Heave", "Roll")
    assert found["radiating_dof"].dimensions == ("radiating_dof",)


def test_the_motions_join_a_hole(template_path: Path, tmp_path: Path) -> None:
    folder, file = tmp_path / "hole", tmp_path / "hull.nc"
    folder.mkdir()
    for one in template_path.iterdir():
        (folder / one.name).write_bytes(one.read_bytes())
    file.write_bytes(made())
    done = bring_in(folder, file, False)
    assert (done.file, done.rows) == ("motions.csv", 15)
    assert "motions: motions.csv" in (folder / "hole.yaml").read_text()
    table = load_hole(folder).motions
    assert table is not None
    assert len(table.lines) == 15


def test_a_series_of_weather_in_netcdf_4() -> None:
    target = io.BytesIO()
    with h5netcdf.File(target, "w") as source:
        source.dimensions = {"time": 3}
        put = source.create_variable
        time = put("time", ("time",), data=np.array([0, 6, 12]))
        time.attrs["units"] = "hours since 1991-04-01 00:00:00"
        height = put("hs", ("time",), data=np.array([100, 200, 300], dtype=np.int16))
        height.attrs["standard_name"] = "sea_surface_wave_significant_height"
        height.attrs["units"], height.attrs["scale_factor"] = "m", 0.01
        for name, standard, unit in (
            ("tp", "sea_surface_wave_period_at_variance_spectral_density_maximum", "s"),
            ("ws", "wind_speed", "m s-1"),
        ):
            one = put(name, ("time",), data=np.array([7.0, 8.0, 9.0]), compression="gzip")
            one.attrs["standard_name"], one.attrs["units"] = standard, unit
    found = read_series("sea.nc", target.getvalue())
    assert found.columns["significant_wave_height"] == pytest.approx([1.0, 2.0, 3.0])
    assert found.columns["wind_speed"].tolist() == [7.0, 8.0, 9.0]
    broken = target.getvalue()[: len(target.getvalue()) // 2]
    with pytest.raises(InputErrors):
        read_series("sea.nc", broken)
