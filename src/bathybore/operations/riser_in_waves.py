"""The riser in the planned sea: what waves and vessel do to it, its modes, and its vortices.

Frequency by frequency in a Gaussian sea of one direction, that of the current. How the vessel goes
and leans with the waves is told by her table of motions, or by the closed forms of a box.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value
from bathybore.kernels.riser_modes import Modes, bending_modes
from bathybore.kernels.riser_waves import (
    InWater,
    Seaway,
    Swayed,
    sway_in_waves,
)
from bathybore.kernels.tensioned_beam import SMALL_ANGLE
from bathybore.kernels.vortex_vibration import Vibration, vibrate
from bathybore.kernels.waves import jonswap_spectral_density
from bathybore.model.hole import Setting
from bathybore.operations.columns import gravity_value
from bathybore.operations.riser_shape import Lying, SeaRiser, laid
from bathybore.operations.sea_conditions import mean_density, peakedness
from bathybore.operations.vessel_motions import STORM, in_planned_sea, motions_at, sea_inputs

MODES: Final = 20
_GRID: Final = np.linspace(0.5, 3.2, 45)  # of the peak frequency: all but 1 % of the energy
SWAY_PROBLEM: Final = (
    "beam in a Gaussian sea, frequency by frequency, its drag made linear about the mean flow "
    "until the water's speed past it settles: "
    "$(K + i omega C(sigma_u) - omega^2 M) y = f(omega)$"
)
_SHAPE: Final = "modes of the riser as a beam under its own tension: $K phi = omega_n^2 M phi$"


@kept(SOME)
def seaway(setting: Setting) -> Seaway:
    """Return the planned sea, and how the drill floor goes to and fro in it."""
    sea = setting.site.environment
    frequency = 2.0 * np.pi / sea.peak_period * _GRID
    power = jonswap_spectral_density(
        frequency, sea.significant_wave_height, sea.peak_period, float(peakedness(setting))
    )
    vessel = motions_at(setting, frequency)
    return Seaway(frequency, np.asarray(power), vessel.floor, vessel.lean)


@dataclass(frozen=True, eq=False)
class Swaying:
    """The riser in the planned sea, and how it lies on the mean meanwhile."""

    riser: SeaRiser
    swayed: Swayed
    mean: Lying

    @cached_property
    def inputs(self) -> tuple[Value, ...]:
        riser = self.riser
        mass = riser.linear_mass(riser.mud_density)
        return (*self.mean.inputs, mass, riser.added_mass, *sea_inputs(riser.gear.setting))

    def _beyond(self) -> tuple[str, ...]:
        """Say where it leans too far for its sway about the vertical, or the table is too short."""
        steepest, table = self.mean.steepest, in_planned_sea(self.riser.gear.setting).beyond()
        if steepest <= SMALL_ANGLE:
            return table
        return (
            *table,
            f"the riser leans by {np.degrees(steepest):.0f} degrees at rest; its sway in waves is "
            f"taken about the vertical, up to {np.degrees(SMALL_ANGLE):.0f} degrees",
        )

    @cached_property
    def cycles(self) -> float:
        """Swings of the lower joint in three hours."""
        return max(STORM / self.swayed.crossing_period, 2.0)

    def greatest(self, name: str, unit: str, deviation: Array | float) -> Value:
        """Return the most probable greatest swing in three hours from a standard deviation."""
        axis = -1 if np.ndim(deviation) else None
        spread = Value(name, deviation, unit,
                       Solved(f"standard deviation: {SWAY_PROBLEM}", "borgman-1969", self.inputs,
                              self.swayed.residual, self._beyond()), axis)  # fmt: skip
        time = Value("duration", STORM, "s", FromWalk("a sea state, taken as steady for 3 h"))
        period = Value("wave_period", self.swayed.crossing_period, "s", spread.origin)
        origin = Solved(
            "most probable greatest swing in three hours: $sigma sqrt(2 ln N_c)$",
            "faltinsen-1990",
            (spread, time, period),
        )
        factor = np.sqrt(2.0 * np.log(self.cycles))
        return Value(name, np.asarray(deviation) * factor if axis else float(deviation) * factor,
                     unit, origin, axis)  # fmt: skip

    @cached_property
    def lower_swing(self) -> Value:
        return self.greatest("lower_flex_joint_angle", "rad", self.swayed.foot_angle)

    @cached_property
    def upper_swing(self) -> Value:
        return self.greatest("upper_flex_joint_angle", "rad", self.swayed.top_angle)

    @cached_property
    def curvature_swing(self) -> Value:
        return self.greatest("dogleg_severity", "rad/m", self.swayed.curvature)


def in_water(riser: SeaRiser) -> InWater:
    """Return the riser at the planned tension and the water round it."""
    pull = riser.gear.vertical_pull()
    wet, along = riser.middle > 0.0, riser.along
    return InWater(
        depth=riser.nodes,
        bending_stiffness=np.full(len(wet), float(riser.bending_stiffness)),
        tension=riser.tension(pull),
        linear_mass=along.linear_mass,
        added_mass=np.where(wet, along.added_mass, 0.0),
        pushed_mass=np.where(wet, along.added_mass + along.displaced, 0.0),
        drag=np.where(wet, along.drag, 0.0),
        current=np.asarray(riser.current.si),
    )


@kept(SOME)
def swaying(riser: SeaRiser) -> Swaying:
    """Return the riser in the planned sea at the planned tension.

    Raises
    ------
    NotConverged
        The riser is pressed and buckles, or its drag does not settle.
    """
    setting = riser.gear.setting
    swayed = sway_in_waves(
        in_water(riser), riser.ends(0.0), seaway(setting), float(gravity_value(setting))
    )
    mean = laid(riser, False, swayed.mean_flow, sea_inputs(setting)[:3])
    return Swaying(riser, swayed, mean)


def mean_at(sway: Swaying, offset: Value) -> Lying:
    """Return how the riser lies on the mean in the same sea with the vessel at another offset."""
    riser, flow = sway.riser, sway.swayed.mean_flow
    return laid(riser, False, flow, sea_inputs(riser.gear.setting)[:3], offset)


@dataclass(frozen=True, eq=False)
class Swinging:
    """The modes of the connected riser, and how vortices would drive each of them."""

    riser: SeaRiser
    modes: Modes
    vibration: Vibration
    mass: Array

    @cached_property
    def inputs(self) -> tuple[Value, ...]:
        riser, basis = self.riser, self.riser.gear.setting.basis
        return (
            riser.gear.vertical_pull(),
            riser.gear.weight_per_length,
            riser.bending_stiffness,
            riser.linear_mass(riser.mud_density),
            riser.added_mass,
            riser.current,
            riser.diameter,
            basis.value("riser_strouhal_number"),
        )

    def value(self, name: str, number: float, unit: str, what: str) -> Value:
        origin = Solved(f"{what}; {_SHAPE}", "blevins-1990", self.inputs, self.modes.residual)
        return Value(name, number, unit, origin)


def _at_nodes(riser: SeaRiser, elements: Array) -> Array:
    """Return what the elements have at the nodes between them."""
    return np.asarray(np.interp(riser.nodes, riser.middle, elements))


@kept(SOME)
def swinging(riser: SeaRiser) -> Swinging:
    """Return the modes of the connected riser and what vortices would make of them.

    Raises
    ------
    NotConverged
        The riser is pressed and buckles, or the modes were not found.
    """
    setting, basis = riser.gear.setting, riser.gear.setting.basis
    along = riser.along
    element = along.linear_mass + np.where(riser.middle > 0.0, along.added_mass, 0.0)
    modes = bending_modes(
        riser.nodes,
        np.array([float(riser.bending_stiffness)]),
        riser.tension(riser.gear.vertical_pull()),
        element,
        riser.ends(0.0),
        MODES,
    )
    own, added = (_at_nodes(riser, one) for one in (along.linear_mass, along.added_mass))
    mass = own + np.where(riser.nodes >= 0.0, added, 0.0)
    wide: Array | float = riser.gear.joint.hydrodynamic_diameter
    stack = riser.gear.stack_up
    if stack is not None:
        wide = stack.diameters[stack.places(riser.nodes)]
    vibration = vibrate(
        modes,
        riser.nodes,
        mass,
        np.asarray(riser.current.si),
        wide,
        float(mean_density(setting)),
        basis.riser_strouhal_number,
    )
    return Swinging(riser, modes, vibration, mass)
