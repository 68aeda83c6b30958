"""The variables of a netCDF file: the classic format, and netCDF-4, which is HDF5."""

from __future__ import annotations

import io
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from bathybore.base.errors import InputErrors
from bathybore.model.files import shown

MOST_BYTES: Final = 200_000_000
_MOST_NUMBERS: Final = 30_000_000  # of one variable: a compressed file may claim any size
_UNWRITTEN: Final = 9.9e36  # the format's own mark of what was never written, 9.97e36, and beyond
_CLASSIC: Final = (b"CDF\x01", b"CDF\x02")
_HDF5: Final = b"\x89HDF"
_CLASSIC_FIX: Final = "Convert it first: 'nccopy -k netCDF-4 IN.nc OUT.nc'."
_BROKEN: Final = (ArithmeticError, AttributeError, LookupError, MemoryError, OSError, RuntimeError,
                  TypeError, ValueError)  # fmt: skip


@dataclass(frozen=True, eq=False)
class Variable:
    """One variable, packing undone and gaps as NaN.

    Attributes
    ----------
    values : numbers, complex where the file has them so; empty for words
    words : of a variable that holds words
    """

    values: NDArray[Any]
    dimensions: tuple[str, ...]
    standard_name: str
    units: str
    calendar: str
    words: tuple[str, ...] = ()


def read_variables(file: str, data: bytes) -> tuple[str, dict[str, Variable]]:
    """Return the title of a netCDF file and its variables by name.

    Raises
    ------
    InputErrors
        Another format, a broken file, or one that is too large.
    """
    file = shown(file) or "file"
    if data[:4] in _CLASSIC:
        read = _classic
    elif data.startswith(_HDF5):
        read = _hdf5
    elif data.startswith(b"CDF\x05"):
        kind = "netCDF with 64-bit data"
        raise InputErrors.one(file, kind, "netCDF-3 or netCDF-4", _CLASSIC_FIX)
    else:
        expected = "netCDF-3, which begins with 'CDF', or netCDF-4, an HDF5 file"
        raise InputErrors.one(file, "no netCDF file", expected)
    try:
        title, found = read(data)
    except _BROKEN as error:
        if isinstance(error, InputErrors):
            raise
        expected = "a whole netCDF file"
        raise InputErrors.one(file, f"a broken file ({shown(str(error))})", expected) from error
    return shown(title), found


def _classic(data: bytes) -> tuple[str, dict[str, Variable]]:
    from scipy.io import netcdf_file  # here: costly to import, rarely needed

    with netcdf_file(io.BytesIO(data), "r", mmap=False, maskandscale=True) as source:
        found = {name: _of_classic(one) for name, one in source.variables.items()}
        return _text(getattr(source, "title", b"")), found


def _of_classic(one: Any) -> Variable:
    attributes = {name: getattr(one, name, b"") for name in ("standard_name", "units", "calendar")}
    if one.typecode() == "c":
        letters = np.atleast_2d(np.asarray(one.data)) if one.shape else np.array([[b""]])
        words = tuple(
            _text(b"".join(row.tolist())) for row in letters.reshape(-1, letters.shape[-1])
        )
        return _variable(np.array([]), tuple(one.dimensions)[:-1], attributes, words)
    values: NDArray[Any] = np.ma.filled(np.ma.asarray(one[...], dtype=float), np.nan)
    values = np.where(np.abs(values) < _UNWRITTEN, values, np.nan)
    return _variable(np.array(values), tuple(one.dimensions), attributes)


def _hdf5(data: bytes) -> tuple[str, dict[str, Variable]]:
    import h5netcdf  # here: costly to import, rarely needed

    with h5netcdf.File(io.BytesIO(data), "r", decode_vlen_strings=True) as source:
        found = {str(name): _of_hdf5(str(name), one) for name, one in source.variables.items()}
        return _text(dict(source.attrs).get("title", "")), found


def _of_hdf5(name: str, one: Any) -> Variable:
    attributes, dimensions = dict(one.attrs), tuple(map(str, one.dimensions))
    if int(np.prod(one.shape, dtype=float)) > _MOST_NUMBERS:
        found = f"{'by'.join(f' {n} ' for n in one.shape).strip()} numbers"
        raise InputErrors.one(f"variable {shown(name)}", found, f"at most {_MOST_NUMBERS}")
    raw = np.asarray(one[...])
    if raw.dtype.kind not in "iufc":
        if raw.dtype == np.dtype("S1") and raw.ndim > 1:  # letters along a dimension of their own
            raw, dimensions = raw.view(f"S{raw.shape[-1]}")[..., 0], dimensions[:-1]
        words = tuple(_text(word) for word in raw.ravel().tolist())
        return _variable(np.array([]), dimensions, attributes, words)
    values = raw.astype(complex if raw.dtype.kind == "c" else float)
    for gap in ("_FillValue", "missing_value"):
        if gap in attributes:
            values[np.isin(raw, np.atleast_1d(attributes[gap]))] = np.nan
    values[np.abs(values) >= _UNWRITTEN] = np.nan
    values = values * _number(attributes, "scale_factor", 1.0)
    return _variable(values + _number(attributes, "add_offset", 0.0), dimensions, attributes)


def _number(attributes: Mapping[str, Any], name: str, otherwise: float) -> float:
    return float(np.ravel(attributes.get(name, otherwise))[0])


def _variable(
    values: NDArray[Any],
    dimensions: tuple[str, ...],
    attributes: Mapping[str, Any],
    words: tuple[str, ...] = (),
) -> Variable:
    standard, units, calendar = (
        _text(attributes.get(one, "")) for one in ("standard_name", "units", "calendar")
    )
    return Variable(values, dimensions, standard, units, calendar, words)


def _text(written: Any) -> str:
    if isinstance(written, bytes):
        return written.decode("utf-8", errors="replace").strip("\x00 ")
    return str(written).strip("\x00 ")
