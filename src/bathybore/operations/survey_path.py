"""The path of a surveyed hole: stations, arcs between them, and where along it a depth is.

Minimum curvature: between two stations the hole is an arc of a circle. The walk itself
stays on one vertical axis (decision 5); the path says what the real hole costs beside it.
Lengths along the hole count from the sea bed.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import FEW, MANY, kept
from bathybore.base.working import FromTable, Value, work
from bathybore.kernels._roots import newton_root
from bathybore.kernels.survey import (
    dogleg_severity,
    easting_increment,
    northing_increment,
    vertical_increment,
)
from bathybore.model.hole import Setting
from bathybore.model.tables import ProfileTable

_STRAIGHT = 1e-9  # rad; a smaller angle between two directions is none


@dataclass(frozen=True, eq=False)
class SurveyPath:
    """The path through the stations of a survey.

    Below the last station the hole is taken to go on straight; whoever asks there says so.
    """

    table: ProfileTable

    @property
    def measured(self) -> Array:
        """Lengths along the hole of the stations [m]."""
        return self.table.depths

    def courses(self, which: np.ndarray) -> dict[str, Value]:
        """Return what the equations ask of some stretches between two stations."""

        def column(name: str, end: str, rows: np.ndarray) -> Value:
            origin = FromTable(self.table.file, f"{name}, station by station", "given")
            return Value(f"{name}_{end}", self.table.numbers[name][rows], "rad", origin, -1)

        lengths = FromTable(self.table.file, "measured depths of two stations", "given")
        values = (
            Value("course_length", np.diff(self.measured)[which], "m", lengths, -1),
            *(column(name, "above", which) for name in ("inclination", "azimuth")),
            *(column(name, "below", which + 1) for name in ("inclination", "azimuth")),
        )
        return {value.name: value for value in values}

    def dogleg_of(self, which: np.ndarray) -> Value:
        """Return the dogleg severity of some stretches."""
        return work(dogleg_severity, **self.courses(which))

    @cached_property
    def stations(self) -> Array:
        """North, east and down of every station from the wellhead *(3, station)* [m]."""
        every = self.courses(np.arange(len(self.measured) - 1))
        kernels = (northing_increment, easting_increment, vertical_increment)
        gained = [np.asarray(work(kernel, **every).si) for kernel in kernels]
        return np.concatenate([np.zeros((3, 1)), np.cumsum(gained, axis=-1)], axis=-1)

    @cached_property
    def _doglegs(self) -> Array:
        return np.asarray(self.dogleg_of(np.arange(len(self.measured) - 1)).si)

    @property
    def deepest(self) -> float:
        """True vertical depth below the sea bed of the last station."""
        return float(self.stations[2, -1])

    @cached_property
    def directions(self) -> Array:
        """Unit vectors along the hole at the stations: north, east, down."""
        return _unit(self.table.numbers["inclination"], self.table.numbers["azimuth"])

    def along(self, depth: Array | float) -> Array:
        """Return the length along the hole at true vertical depths below the sea bed.

        No hole turns up: a depth lies on the arc between the stations above and below it, and is
        found there by Newton's rule, whose slope is how steep the hole is.
        """
        return self._along(depth) if np.ndim(depth) else _along_to(self, float(depth))

    def _along(self, depth: Array | float) -> Array:
        wanted = np.asarray(depth, dtype=float)
        deep, measured = self.stations[2], self.measured
        below = wanted > deep[-1]
        inside = np.clip(wanted, deep[0], deep[-1])
        foot = np.clip(np.searchsorted(deep, inside, side="left"), 1, len(deep) - 1)
        low, high = measured[foot - 1], measured[foot]
        room = 1.0  # m: a depth of a station itself must lie between the bounds, not upon one

        def excess(along: Array) -> tuple[Array, Array]:
            return self.position(along)[..., 2] - inside, self.direction(along)[..., 2]

        start = np.clip(np.interp(inside, deep, measured), low, high)
        on_arc = newton_root(excess, low - room, high + room, start, "length along the hole")
        beyond = measured[-1] + (wanted - deep[-1]) / max(float(self.directions[-1, 2]), 1e-12)
        return np.where(below, beyond, on_arc)

    def position(self, measured: Array | float) -> Array:
        """Return north, east and down from the wellhead at lengths along the hole *(…, 3)*."""
        at, share, course = self._on_course(measured)
        start, ahead = self.directions[at], self._ahead(at, share)
        turned = np.linalg.norm(np.cross(start, ahead), axis=-1)
        angle = np.arctan2(turned, np.sum(start * ahead, axis=-1))
        half = 0.5 * np.where(angle < _STRAIGHT, 1.0, angle)
        factor = np.where(angle < _STRAIGHT, 1.0, np.tan(half) / half)
        way = 0.5 * (share * course * factor)[..., None] * (start + ahead)
        result: Array = self.stations.T[at] + way
        return result

    def direction(self, measured: Array | float) -> Array:
        """Return the unit vector along the hole at lengths along it *(…, 3)*."""
        at, share, _ = self._on_course(measured)
        return self._ahead(at, share)

    def inclination(self, measured: Array | float) -> Array:
        """Return the inclination at lengths along the hole [rad]."""
        ahead = self.direction(measured)
        return np.asarray(np.arctan2(np.hypot(ahead[..., 0], ahead[..., 1]), ahead[..., 2]))

    def severity(self, measured: Array | float) -> Array:
        """Return the dogleg severity at lengths along the hole; none below the last station."""
        at, share, _ = self._on_course(measured)
        last = len(self.measured) - 2
        here = self._doglegs[np.minimum(at, last)]
        return np.where((at > last) & (share > 0.0), 0.0, here)

    def _on_course(self, measured: Array | float) -> tuple[np.ndarray, Array, Array]:
        """Return stretch, share of it gone and its length; below the last station one more."""
        s = np.asarray(measured, dtype=float)
        at = np.clip(np.searchsorted(self.measured, s, side="right") - 1, 0, None)
        at = np.minimum(at, len(self.measured) - 1)
        courses = np.append(np.diff(self.measured), 1.0)
        return at, (s - self.measured[at]) / courses[at], courses[at]

    def _ahead(self, at: np.ndarray, share: Array) -> Array:
        """Return directions part of the way along their arcs; straight on below the last."""
        after = np.minimum(at + 1, len(self.measured) - 1)
        start, end = self.directions[at], self.directions[after]
        turned = np.linalg.norm(np.cross(start, end), axis=-1)
        angle = np.arctan2(turned, np.sum(start * end, axis=-1))
        straight = angle < _STRAIGHT
        safe = np.where(straight, 1.0, angle)
        first = np.where(straight, 1.0, np.sin((1.0 - share) * safe) / np.sin(safe))
        second = np.where(straight, 0.0, np.sin(share * safe) / np.sin(safe))
        result: Array = first[..., None] * start + second[..., None] * end
        return result


@kept(MANY)
def _along_to(path: SurveyPath, depth: float) -> Array:
    """Return the length along the hole at one depth: a bottom is asked for many times."""
    return path._along(depth)


def _unit(inclination: Array, azimuth: Array) -> Array:
    sine = np.sin(inclination)
    return np.stack([sine * np.cos(azimuth), sine * np.sin(azimuth), np.cos(inclination)], axis=-1)


@kept(FEW)
def survey_path(setting: Setting) -> SurveyPath | None:
    """Return the path of a surveyed hole; None for one that is taken as vertical."""
    return None if setting.survey is None else SurveyPath(setting.survey)
