"""The tables beside a hole document: earth, sea, survey, weather, motions, load coefficients."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.working import FromTable, Value

# column name -> (SI unit, required)
EARTH_COLUMNS: dict[str, tuple[str, bool]] = {
    "depth_below_sea_bed": ("m", True),
    "lithology": ("text", True),
    "pore_pressure": ("Pa", True),
    "fracture_pressure": ("Pa", True),
    "collapse_pressure": ("Pa", False),
    "temperature": ("K", True),
    "undrained_shear_strength": ("Pa", False),
    "submerged_unit_weight": ("N/m3", False),
    "rate_of_penetration": ("m/s", True),
    "formation_fluid": ("text", False),
    "hazard": ("text", False),
}
SEA_COLUMNS: dict[str, tuple[str, bool]] = {
    "depth_below_sea_level": ("m", True),
    "temperature": ("K", True),
    "practical_salinity": ("-", True),
    "current_speed": ("m/s", True),
}
SURVEY_COLUMNS: dict[str, tuple[str, bool]] = {
    "measured_depth_below_sea_bed": ("m", True),
    "inclination": ("rad", True),
    "azimuth": ("rad", True),
}
WEATHER_COLUMNS: dict[str, tuple[str, bool]] = {
    "time": ("s", True),  # from the first of January
    "significant_wave_height": ("m", True),
    "peak_period": ("s", True),
    "wind_speed": ("m/s", True),
    "current_speed": ("m/s", False),
}
# classes of sea states by their middles, in any order
SCATTER_COLUMNS: dict[str, tuple[str, bool]] = {
    "significant_wave_height": ("m", True),
    "peak_period": ("s", True),
    "share_of_time": ("-", False),
    "observations": ("-", False),
    "month": ("-", False),  # from 1
}
# how the vessel answers regular waves, per wave amplitude: a full grid of headings and waves
MOTION_COLUMNS: dict[str, tuple[str, bool]] = {
    "relative_wave_direction": ("rad", True),  # where they come from, clockwise from the bow
    "wave_period": ("s", False),  # this, or the frequency
    "wave_frequency": ("rad/s", False),
    "heave_response": ("-", True),
    "heave_phase": ("rad", True),
    "pitch_response": ("rad/m", True),
    "pitch_phase": ("rad", True),
    "roll_response": ("rad/m", True),
    "roll_phase": ("rad", True),
    "surge_response": ("-", False),
    "surge_phase": ("rad", False),
    "sway_response": ("-", False),
    "sway_phase": ("rad", False),
}
# what wind, or a current, pushes the hull with: axes and sides as in kernels/hull_loads
COEFFICIENTS = ("surge_coefficient", "sway_coefficient", "yaw_coefficient")
COEFFICIENT_COLUMNS: dict[str, tuple[str, bool]] = {
    "relative_direction": ("rad", True),  # where it comes from, clockwise from the bow
    **dict.fromkeys(COEFFICIENTS, ("-", True)),
}
FORMATION_FLUIDS = ("", "none", "water", "gas", "oil")
HAZARDS = ("", "none", "shallow gas", "shallow water flow", "hydrate", "losses")


SAME_DEPTH: Final = 1e-6  # m; depths closer than this are one depth written in two ways


@dataclass(frozen=True)
class ProfileTable:
    """Columns over depth; between its rows a number is taken linearly, a word from the row above.

    Attributes
    ----------
    file : the CSV's name, for origins
    depth_name : name of the depth column, which says its datum
    numbers : SI arrays by column name, the depth column included; NaN where not given
    words : text columns by name
    units : SI unit by column name
    lines : line number of each row in the file
    """

    file: str
    depth_name: str
    numbers: dict[str, Array]
    words: dict[str, tuple[str, ...]]
    units: dict[str, str]
    lines: tuple[int, ...]

    @property
    def depths(self) -> Array:
        return self.numbers[self.depth_name]

    def has(self, column: str) -> bool:
        """Return whether a numeric column was given for at least one row."""
        return column in self.numbers and self._given[column][0].size > 0

    def at(self, column: str, depth: Array | float) -> Array:
        """Return a column at depths of the table's own datum; NaN outside what was given.

        A depth that differs from the first or last row by rounding alone stands at it.
        """
        depths, numbers = self._given[column]
        return np.asarray(np.interp(depth, depths, numbers, left=np.nan, right=np.nan))

    @cached_property
    def _given(self) -> dict[str, tuple[Array, Array]]:
        """Depths and numbers of the rows in which a numeric column is given, ends drawn out."""
        rows = {column: np.isfinite(numbers) for column, numbers in self.numbers.items()}
        return {
            column: _drawn_out(self.depths[known], self.numbers[column][known])
            for column, known in rows.items()
        }

    def value(self, column: str, depth: Array | float, name: str | None = None) -> Value:
        """Return a column at depths as a value with its origin."""
        array = self.at(column, depth)
        axis = -1 if np.ndim(depth) else None
        origin = FromTable(self.file, f"{column} over {self.depth_name}, linear", "given")
        return Value(name or column, array, self.units[column], origin, axis)

    def word_at(self, column: str, depth: float) -> str:
        """Return the word that stands in the last row at or above a depth."""
        if column not in self.words:
            return ""
        row = int(np.searchsorted(self.depths, depth, side="right")) - 1
        return self.words[column][max(row, 0)]

    def intervals(self, column: str) -> tuple[tuple[float, float, str], ...]:
        """Return (top, bottom, word) for every run of equal words down the table."""
        return self._runs.get(column, ())

    @cached_property
    def _runs(self) -> dict[str, tuple[tuple[float, float, str], ...]]:
        return {column: self._runs_of(words) for column, words in self.words.items()}

    def _runs_of(self, words: tuple[str, ...]) -> tuple[tuple[float, float, str], ...]:
        runs: list[tuple[float, float, str]] = []
        for row, word in enumerate(words):
            top = float(self.depths[row])
            bottom = float(self.depths[min(row + 1, len(self.depths) - 1)])
            if runs and runs[-1][2] == word:
                runs[-1] = (runs[-1][0], bottom, word)
            else:
                runs.append((top, bottom, word))
        return tuple(run for run in runs if run[1] > run[0])

    @cached_property
    def deepest(self) -> float:
        return float(self.depths[-1])


def _drawn_out(depths: Array, numbers: Array) -> tuple[Array, Array]:
    """Return rows that hold on as far as a depth may differ from the last one by rounding."""
    if not depths.size:
        return depths, numbers
    ends = depths[0] - 2.0 * SAME_DEPTH, depths[-1] + 2.0 * SAME_DEPTH
    return np.r_[ends[0], depths, ends[1]], np.r_[numbers[0], numbers, numbers[-1]]
