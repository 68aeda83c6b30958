"""The kill sheet of a section with a sea-bed preventer: pressures, volumes, strokes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.kill_sheet import (
    final_circulating_pressure,
    initial_circulating_pressure,
    kill_schedule_pressure,
    pump_strokes,
    shut_in_casing_pressure_of_kick,
    starting_choke_pressure,
)
from bathybore.model.vessel import Liner
from bathybore.operations.circulation import bore_friction, losses, pump_pressure
from bathybore.operations.circulation_pumps import best_liner
from bathybore.operations.columns import gravity_value
from bathybore.operations.downhole_tools import lost_above
from bathybore.operations.geometry import filled_to, string_bores, volume_of
from bathybore.operations.kick import greatest_annulus_pressure, slow_friction
from bathybore.operations.kick_in_time import KickInTime

ROWS: Final = 10  # even parts of the string's volume in the table
_SAME: Final = 1e-6  # m3 and m between which nothing is told apart


@dataclass(frozen=True)
class Row:
    """One line of the schedule: what the drill pipe shows while kill mud goes down.

    Attributes
    ----------
    strokes, volume : pumped since the kill mud left the pump [-], [m3]
    pressure : on the drill pipe [Pa]
    depth : of the front of the kill mud [m below sea level]
    where : what the front is in, or what it has reached
    """

    strokes: float
    volume: float
    pressure: Value
    depth: float
    where: str


@dataclass(frozen=True)
class Stage:
    """A volume that the pump must move, and its strokes."""

    name: str
    volume: Value
    strokes: Value


@dataclass(frozen=True, eq=False)
class KillSheet:
    """The kill sheet of the design kick in a section."""

    timed: KickInTime

    @property
    def shut_in_drill_pipe_pressure(self) -> Value:
        return self.timed.shut_in_drill_pipe_pressure

    @property
    def kill_density(self) -> Value:
        return self.timed.kill_density

    @cached_property
    def influx_height(self) -> Value:
        """Height of the design kick round the string at the bottom."""
        volume = self.timed.kick.volume
        top = filled_to(self.timed.flow.annuli, self.timed.kick.bottom, float(volume))
        origin = Solved("volume filled into the annulus from the bottom", "definition", (volume,))
        return Value("influx_height", self.timed.kick.bottom - top, "m", origin)

    @cached_property
    def shut_in_casing_pressure(self) -> Value:
        timed = self.timed
        return work(
            shut_in_casing_pressure_of_kick,
            formation_pressure=timed.kick.formation_pressure,
            mud_density=timed.mud_density,
            mud_column_height=timed.column_height,
            influx_density=timed.influx_density,
            influx_height=self.influx_height,
            gravity=gravity_value(timed.kick.setting),
        )

    @cached_property
    def greatest_annulus_pressure(self) -> Value:
        return greatest_annulus_pressure(self.timed.kick)

    @cached_property
    def choke_line_friction(self) -> Value:
        return slow_friction(self.timed.kick.setting, self.timed.kick.fluid)

    @cached_property
    def slow_circulating_pressure(self) -> Value:
        """Pump pressure at the slow rate, returns up the riser."""
        return pump_pressure(self.timed.slow).named("slow_circulating_pressure")

    @cached_property
    def initial_pressure(self) -> Value:
        return work(
            initial_circulating_pressure,
            slow_circulating_pressure=self.slow_circulating_pressure,
            shut_in_drill_pipe_pressure=self.shut_in_drill_pipe_pressure,
        )

    @cached_property
    def final_pressure(self) -> Value:
        return work(
            final_circulating_pressure,
            slow_circulating_pressure=self.slow_circulating_pressure,
            kill_mud_density=self.kill_density,
            mud_density=self.timed.mud_density,
        )

    @cached_property
    def starting_choke(self) -> Value:
        return work(
            starting_choke_pressure,
            shut_in_casing_pressure=self.shut_in_casing_pressure,
            choke_line_friction=self.choke_line_friction,
        )

    @property
    def liner(self) -> Liner:
        pumps = self.timed.kick.setting.vessel.pumps
        return pumps.liners[best_liner(self.timed.flow)[0]]

    def strokes(self, volume: Value) -> Value:
        pumps = self.timed.kick.setting.vessel.pumps
        return work(
            pump_strokes,
            volume=volume.named("volume"),
            volume_per_stroke=self.liner.value("volume_per_stroke"),
            volumetric_efficiency=pumps.value("volumetric_efficiency"),
        )

    @cached_property
    def stages(self) -> tuple[Stage, ...]:
        """Volumes and strokes: down the string, up the annulus, the lines, and the riser after."""
        timed = self.timed
        open_hole = [i for i, kind in enumerate(timed.below_stack.kinds) if kind == "open hole"]
        area = (
            0.25
            * np.pi
            * (timed.below_stack.outer_diameter**2 - timed.below_stack.inner_diameter**2)
        )
        parts = area * timed.below_stack.length
        whole, rising = float(parts.sum()), float(parts[open_hole].sum())
        named = (
            ("surface lines", self._lines),
            ("string, down to the bit", timed.string_volume),
            ("bit to the shoe", rising),
            ("shoe to the preventer", whole - rising),
            ("choke line", timed.line_volume),
            ("kill line, alike", timed.line_volume),
            ("riser, displaced after the kill", self._riser),
        )
        return tuple(self._stage(*one) for one in named)

    @property
    def _lines(self) -> float:
        pumps = self.timed.kick.setting.vessel.pumps
        return float(0.25 * np.pi * pumps.surface_line_diameter**2 * pumps.surface_line_length)

    @property
    def _riser(self) -> float:
        return volume_of(self.timed.flow.annuli) - self.timed.annulus_volume

    def _stage(self, name: str, volume: float) -> Stage:
        how = FromWalk(f"{name}: bores and strings as they stand")
        value = Value("volume", volume, "m3", how)
        return Stage(name, value, self.strokes(value))

    @cached_property
    def rows(self) -> tuple[Row, ...]:
        """Drill-pipe pressure against strokes, a real string counted part by part."""
        bores = string_bores(self.timed.flow.string)
        area = 0.25 * np.pi * bores.outer_diameter**2
        ends = np.concatenate([[0.0], np.cumsum(area * bores.length)])
        volumes = np.unique(np.concatenate([ends, np.linspace(0.0, ends[-1], ROWS + 1)]))
        volumes = volumes[np.append(np.diff(volumes) > _SAME, True)]
        depths = np.interp(volumes, ends, np.append(bores.top, bores.bottom[-1]))
        shares = self._shares(depths)
        rows = []
        for volume, depth, share in zip(volumes, depths, shares, strict=True):
            pumped = self._lines + float(volume)
            strokes = self.strokes(Value("volume", pumped, "m3", FromWalk("pumped so far")))
            index = min(int(np.searchsorted(bores.bottom, depth, side="left")), len(bores) - 1)
            at_bit = volume >= ends[-1] - _SAME
            rows.append(
                Row(
                    float(strokes),
                    pumped,
                    self._pressure(float(depth), float(share)),
                    float(depth),
                    "at the bit" if at_bit else bores.names[index],
                )
            )
        return tuple(rows)

    def _shares(self, depths: Array) -> Array:
        """Share of the circulating friction that kill mud has passed; with the bit at the end."""
        slow = self.timed.slow
        lost, inside = losses(slow), slow.inside
        gradient = np.broadcast_to(bore_friction(slow, inside).si, (len(inside),))
        ends = np.append(inside.top, inside.bottom[-1])
        summed = np.concatenate([[0.0], np.cumsum(gradient * inside.length)])
        whole = float(self.slow_circulating_pressure)
        in_tools = lost_above(slow.tools, depths)
        passed = (float(lost.lines) + np.interp(depths, ends, summed) + in_tools) / whole
        # nozzles and annulus take kill mud once it has left the bit: the sheet's usual final
        # pressure counts them as soon as it is there
        return np.where(depths >= ends[-1] - _SAME, 1.0, passed)

    def _pressure(self, depth: float, share: float) -> Value:
        timed, setting = self.timed, self.timed.kick.setting
        return work(
            kill_schedule_pressure,
            shut_in_drill_pipe_pressure=self.shut_in_drill_pipe_pressure,
            slow_circulating_pressure=self.slow_circulating_pressure,
            kill_mud_density=self.kill_density,
            mud_density=timed.mud_density,
            kill_mud_height=Value(
                "kill_mud_height",
                depth - setting.drill_floor,
                "m",
                FromWalk("drill floor to the front of the kill mud"),
            ),
            friction_share=Value(
                "friction_share",
                share,
                "-",
                Solved(
                    "friction in surface lines and string down to the front over the whole",
                    "definition",
                    (self.slow_circulating_pressure,),
                ),
            ),
            gravity=gravity_value(setting),
        )


@kept(SOME)
def kill_sheet(timed: KickInTime) -> KillSheet:
    """Return the kill sheet of a design kick."""
    return KillSheet(timed)
