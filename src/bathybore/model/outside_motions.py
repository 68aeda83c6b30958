"""The motions of a vessel from a data set of her hydrodynamics, as a table of a hole.

Such a data set has forces of waves, added mass and damping by frequency, direction and motion;
or the motions themselves. Its axes are those of hydrodynamics: ahead, to port, up; directions
are those in which waves go, counted from ahead to port; time goes as e^(-i omega t).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from bathybore.base.arrays import Array
from bathybore.base.errors import InputErrors
from bathybore.kernels.vessel_motion import Complex, coupled_motions
from bathybore.model.files import shown
from bathybore.model.netcdf_files import Variable

MOTIONS: Final = ("surge", "sway", "heave", "roll", "pitch", "yaw")
_NEEDED: Final = ("heave", "pitch", "roll")
_TOLD: Final = ("RAO", "rao", "response_amplitude_operator")
_OMEGA: Final = ("omega", "wave_frequency", "period", "wave_period")
_DIRECTION: Final = "wave_direction"
_LONG: Final = 0.5  # a hull that goes half as far as the water follows long waves
_DATA_SET: Final = (
    "a data set of hydrodynamics: omega, wave_direction, names of the motions, and either their "
    "response operators or added_mass, radiation_damping, inertia_matrix, hydrostatic_stiffness "
    "and the forces of the waves"
)


@dataclass(frozen=True, eq=False)
class OutsideMotions:
    """Motions per wave amplitude as a data set gives them, in a hole's own convention.

    Attributes
    ----------
    heading : where the waves come from, clockwise from the bow [rad]
    frequency : [rad/s]
    motions : complex by name *(frequency, heading)*, ahead of the crest in time
    """

    file: str
    title: str
    heading: Array
    frequency: Array
    motions: dict[str, Complex]


def holds_motions(found: Mapping[str, Variable]) -> bool:
    """Return whether variables are of a vessel's hydrodynamics."""
    return _DIRECTION in found and any(name in found for name in (*_TOLD, "added_mass"))


@dataclass(frozen=True, eq=False)
class _Set:
    """The variables of a data set, put in order by their dimensions."""

    file: str
    found: Mapping[str, Variable]

    def one(self, name: str) -> Variable:
        if name not in self.found:
            raise InputErrors.one(self.file, f"no variable '{name}'", _DATA_SET)
        return self.found[name]

    def names(self, dimension: str) -> tuple[str, ...]:
        """Return the motions along a dimension, by the last part of their names."""
        words = self.one(dimension).words
        names = tuple(word.rpartition("__")[2].strip().lower() for word in words)
        if not names or len(set(names)) < len(names) or not set(names) <= set(MOTIONS):
            where, told = f"{self.file}, variable {dimension}", ", ".join(map(shown, words))
            raise InputErrors.one(where, told or "no words", f"some of {', '.join(MOTIONS)}, "
                                  "of one body")  # fmt: skip
        return names

    def axis(self, names: Sequence[str]) -> tuple[str, Array]:
        for name in names:
            if name in self.found and self.found[name].values.size:
                return name, np.asarray(self.found[name].values, dtype=float).ravel()
        raise InputErrors.one(self.file, f"none of {', '.join(names)}", _DATA_SET)

    def array(self, name: str, order: Sequence[str]) -> npt.NDArray[Any]:
        """Return a variable with its dimensions in an order, real and imaginary parts joined."""
        one, where = self.one(name), f"{self.file}, variable {name}"
        values, dimensions = one.values, list(one.dimensions)
        if "complex" in dimensions:
            parts = self.one("complex").words
            if tuple(parts) != ("re", "im"):
                told = ", ".join(map(shown, parts))
                raise InputErrors.one(f"{self.file}, variable complex", told, "re, im")
            values = np.moveaxis(values, dimensions.index("complex"), -1)
            values = values[..., 0] + 1j * values[..., 1]
            dimensions.remove("complex")
        for at in reversed(range(len(dimensions))):  # one water depth, one speed
            if dimensions[at] not in order and values.shape[at] == 1:
                values = np.take(values, 0, axis=at)
                del dimensions[at]
        if sorted(dimensions) != sorted(order):
            found = ", ".join(map(shown, one.dimensions)) or "no dimension"
            raise InputErrors.one(where, found, ", ".join(order))
        if not np.isfinite(values).all():
            raise InputErrors.one(where, "numbers that are missing", "a number everywhere")
        return np.transpose(values, [dimensions.index(one) for one in order])


def motions_of(file: str, title: str, found: Mapping[str, Variable]) -> OutsideMotions:
    """Return the motions that a data set of hydrodynamics holds, or that follow from it.

    Raises
    ------
    InputErrors
        A variable is missing, has other dimensions or gaps, more than one body, a motion that
        nothing resists, phases the other way round in time.
    """
    data = _Set(shown(file) or "file", found)
    axis, waves = data.axis(_OMEGA)
    kept = np.isfinite(waves) & (waves > 0.0)  # the ends, 0 and infinity, are no waves
    if not kept.any():
        raise InputErrors.one(f"{data.file}, variable {axis}", "no wave", "frequencies above zero")
    frequency = 2.0 * np.pi / waves if "period" in axis else waves
    _, direction = data.axis((_DIRECTION,))
    if "deg" in data.one(_DIRECTION).units.lower():
        direction = np.radians(direction)
    wave_axis = data.one(axis).dimensions[0] if data.one(axis).dimensions else axis
    names, answered = _answered(data, wave_axis, frequency, kept)
    motions = {name: np.asarray(answered[..., n]) for n, name in enumerate(names)}
    lacking = [name for name in _NEEDED if name not in motions]
    if lacking:
        raise InputErrors.one(data.file, f"no {' and no '.join(lacking)}", "heave, pitch and roll")
    heading, order = _headings(direction)
    return _checked(OutsideMotions(
        data.file, title, heading, frequency[kept],
        {name: one[:, order] for name, one in motions.items() if name != "yaw"},
    ))  # fmt: skip


def _headings(direction: Array) -> tuple[Array, npt.NDArray[np.intp]]:
    """Return where the waves come from, growing and each once, and which columns those are."""
    from_there = np.round((np.pi - direction) % (2.0 * np.pi), 9) % round(2.0 * np.pi, 9)
    return np.unique(from_there, return_index=True)


def _answered(
    data: _Set, axis: str, frequency: Array, kept: npt.NDArray[np.bool_]
) -> tuple[tuple[str, ...], Complex]:
    """Return motions *(frequency, direction, motion)* ahead of the crest."""
    given = next((name for name in _TOLD if name in data.found), "")
    if given:
        dimension = next(
            (one for one in data.one(given).dimensions if one.endswith("_dof")), "radiating_dof"
        )
        told = data.array(given, (axis, _DIRECTION, dimension))[kept]
        return data.names(dimension), np.conj(told.astype(complex))
    names = data.names("influenced_dof")
    if data.names("radiating_dof") != names:
        raise InputErrors.one(data.file, "other motions that radiate than are moved", "the same")
    square = ("influenced_dof", "radiating_dof")
    force = _forces(data, (axis, _DIRECTION, "influenced_dof"))[kept]
    mass, restoring = (
        np.real(data.array(name, square)) for name in ("inertia_matrix", "hydrostatic_stiffness")
    )
    added, damping = (
        np.real(data.array(name, (axis, *square)))[kept]
        for name in ("added_mass", "radiation_damping")
    )
    return names, coupled_motions(frequency[kept], np.conj(force), restoring, mass, added, damping)


def _forces(data: _Set, order: Sequence[str]) -> Complex:
    if "excitation_force" in data.found:
        return data.array("excitation_force", order).astype(complex)
    of_wave, of_hull = (
        data.array(name, order).astype(complex)
        for name in ("Froude_Krylov_force", "diffraction_force")
    )
    total: Complex = of_wave + of_hull
    return total


def _checked(found: OutsideMotions) -> OutsideMotions:
    """Refuse motions that go against the water in long waves: their phases run backwards."""
    if "surge" not in found.motions:
        return found
    longest = int(np.argmin(found.frequency))
    along = -found.motions["surge"][longest] * np.cos(found.heading)
    straight = int(np.argmax(np.abs(np.cos(found.heading))))
    if np.abs(along[straight]) > _LONG and np.imag(along[straight]) > 0.0:
        where = f"{found.file}, phases"
        told = "a hull that goes against the water in its longest wave"
        fix = "Give the complex conjugate of forces or motions."
        raise InputErrors.one(where, told, "time as e^(-i omega t)", fix)
    return found


def motions_text(found: OutsideMotions) -> str:
    """Return motions as the text of a table of motions."""
    names = [name for name in MOTIONS if name in found.motions]
    header = ["relative_wave_direction [deg]", "wave_period [s]"]
    for name in names:
        turns = name in ("roll", "pitch")
        header += [f"{name}_response [{'deg/m' if turns else '-'}]", f"{name}_phase [deg]"]
    waves = np.argsort(-found.frequency)
    rows = []
    for column, heading in enumerate(np.degrees(found.heading).tolist()):
        for at in waves.tolist():
            cells = [heading, 2.0 * np.pi / float(found.frequency[at])]
            for name in names:
                motion = complex(found.motions[name][at, column])
                size = abs(motion) * (180.0 / np.pi if name in ("roll", "pitch") else 1.0)
                cells += [size, float(np.degrees(np.angle(motion)))]
            rows.append(",".join(f"{cell:.7g}" for cell in cells))
    title = f", '{found.title}'" if found.title else ""
    head = [
        f"# From {found.file}{title}.",
        "# Waves from 0 deg come from ahead, from 90 deg from starboard. Phases lead the crest at",
        "# the reference point; surge ahead, sway to port, heave up, roll with starboard down,",
        "# pitch with the bow down.",
    ]
    return "\n".join([*head, ",".join(header), *rows]) + "\n"
