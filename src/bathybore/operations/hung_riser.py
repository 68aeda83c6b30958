"""The riser let go of the well: hung from the heaving vessel, full of sea water."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.hang_off import hung_tension_response, soft_hung_top
from bathybore.kernels.riser import hang_off_load
from bathybore.kernels.riser_shape import hung_riser_axial_period
from bathybore.operations.columns import gravity_value
from bathybore.operations.riser_in_waves import seaway
from bathybore.operations.riser_shape import SeaRiser
from bathybore.operations.sea_conditions import mean_density
from bathybore.operations.vessel_motions import STORM, greatest_heave, motions_at

# The water that moves along with a package of plates and pipes: about its own mass, assumed.
_PACKAGE_ADDED: Final = 1.0
_COUNT: Final = 81
_PROBLEM: Final = (
    "bar with a mass at its foot, its top heaving with the vessel, over the planned sea: "
    "$T_s^2 = integral t(omega, s)^2 h(omega)^2 S(omega) dif omega$, greatest in three hours"
)
_SOFT_PROBLEM: Final = (
    "bar with a mass at its foot on a spring that heaves with the vessel, over the planned sea: "
    "$u / h = k_t / (k_t + Z(omega))$, greatest in three hours"
)


@dataclass(frozen=True, eq=False)
class HungRiser:
    """The riser with the lower package at its foot, held hard at the top or on its tensioners.

    Attributes
    ----------
    depth : below the top [m]
    swing : most probable greatest amplitude of the tension in three hours [N]
    stroke_swing : the same of the stroke of tensioners that it hangs on [m]; 0 if held hard
    soft : whether it hangs on the tensioners
    """

    riser: SeaRiser
    depth: Array
    swing: Array
    crossing_period: float
    stroke_swing: float = 0.0
    soft: bool = False

    @property
    def places(self) -> Array:
        """Depths below sea level."""
        return float(self.riser.gear.setting.drill_floor) + self.depth

    @cached_property
    def load(self) -> Value:
        """Static load at the top."""
        gear = self.riser.gear
        return work(
            hang_off_load,
            riser_submerged_weight=gear.steel_weight,
            buoyancy_lift=gear.lift,
            stack_submerged_weight=gear.stack.value(
                "lower_package_weight_in_water", "stack_submerged_weight"
            ),
        )

    @cached_property
    def linear_mass(self) -> Value:
        """Steel, modules and the sea water inside: along its axis it drags little water with it."""
        return self.riser.linear_mass(mean_density(self.riser.gear.setting))

    @cached_property
    def package_mass(self) -> Value:
        """Mass of the lower package with water, from its weight in water."""
        gear, setting = self.riser.gear, self.riser.gear.setting
        weight, gravity = gear.stack.value("lower_package_weight_in_water"), gravity_value(setting)
        water = float(mean_density(setting))
        steel = float(weight) / float(gravity) / (1.0 - water / 7850.0)
        origin = Solved(
            "steel of that weight in water, and as much again of water that moves along",
            "assumed",
            (weight, gravity, mean_density(setting)),
        )
        return Value("hung_stack_mass", steel * (1.0 + _PACKAGE_ADDED), "kg", origin)

    @cached_property
    def axial_period(self) -> Value:
        return work(hung_riser_axial_period, **self._bar)

    @property
    def _bar(self) -> dict[str, Value]:
        return {
            "riser_length": self.riser.gear.length,
            "riser_linear_mass": self.linear_mass,
            "axial_stiffness": self.riser.axial_stiffness,
            "hung_stack_mass": self.package_mass,
        }

    @property
    def _springs(self) -> tuple[Value, ...]:
        if not self.soft:
            return ()
        damping = self.riser.gear.tensioners.value("damping_ratio", "tensioner_damping_ratio")
        return (self.tensioner_stiffness, damping)

    @cached_property
    def inputs(self) -> tuple[Value, ...]:
        setting = self.riser.gear.setting
        sea = setting.site.environment
        return (
            *self._bar.values(),
            setting.basis.value("hang_off_damping", "damping_ratio"),
            *self._springs,
            sea.value("significant_wave_height"),
            sea.value("peak_period"),
            greatest_heave(setting),
        )

    @cached_property
    def tensioner_stiffness(self) -> Value:
        """Change of the pull of all tensioners per stroke, set to carry the hung riser."""
        tensioners = self.riser.gear.tensioners
        parts = tensioners.value("stiffness_share"), tensioners.value("stroke")
        share, stroke = (float(one) for one in parts)
        origin = Solved("share of the pull that changes over the stroke, pull as the hung load",
                        "assumed", (*parts, self.load))  # fmt: skip
        number = share * max(float(self.load), 0.0) / stroke
        return Value("tensioner_stiffness", number, "N/m", origin)

    @cached_property
    def stroke_needed(self) -> Value:
        """Stroke that the hung riser takes up: twice its greatest swing, and the tide."""
        swing = Value("tensioner_stroke", self.stroke_swing, "m", Solved(
            _SOFT_PROBLEM, "timoshenko-vibration", self.inputs))  # fmt: skip
        tide = self.riser.gear.setting.site.environment.value("tide_range")
        origin = Solved("twice the greatest swing, and the tide", "definition", (swing, tide))
        total = 2.0 * self.stroke_swing + float(tide)
        return Value("tensioner_stroke", total, "m", origin)

    @cached_property
    def tensioner_capacity(self) -> Value:
        """Vertical pull of the tensioners that are left after the loss of the rule's."""
        tensioners = self.riser.gear.tensioners
        left = tensioners.count - tensioners.out_of_service
        each, share = tensioners.value("capacity_each"), tensioners.value("vertical_share")
        count = Value("number_of_tensioners", float(left), "-",
                      FromWalk("those left after the loss of the rule's"))  # fmt: skip
        origin = Solved("capacity of each, times those left, times their vertical share",
                        "api-rp-16q", (each, count, share))  # fmt: skip
        return Value("load", left * float(each) * float(share), "N", origin)

    @cached_property
    def tension(self) -> Value:
        """Static effective tension along it, even weight over the package."""
        gear = self.riser.gear
        package = gear.stack.value("lower_package_weight_in_water")
        own, words = float(self.load) - float(package), "even along the riser"
        share = 1.0 - self.depth / float(gear.length)
        if gear.stack_up is not None:
            above, words = gear.weight_above(self.places, nominal=True, mud=False), "joint by joint"
            share = 1.0 - above / own if own else share
        origin = Solved(f"weight in water of all that hangs below, {words}",
                        "definition", (self.load, package))  # fmt: skip
        return Value("effective_tension", float(package) + own * share, "N", origin, -1)

    @cached_property
    def swing_value(self) -> Value:
        origin = Solved(
            _SOFT_PROBLEM if self.soft else _PROBLEM, "timoshenko-vibration", self.inputs
        )
        return Value("effective_tension", self.swing, "N", origin, -1)

    @cached_property
    def peak(self) -> Value:
        """Greatest load at the top."""
        swing = self.swing_value.at_node(0)
        origin = Solved("static load and its greatest swing", "definition", (self.load, swing))
        return Value("load", float(self.load) + float(swing), "N", origin)

    @cached_property
    def hung_mass(self) -> Value:
        """Mass of riser, what is inside, and package."""
        gear = self.riser.gear
        total = float(self.linear_mass) * float(gear.length) + float(self.package_mass)
        origin = Solved("mass per length times length, and the lower package", "definition",
                        (self.linear_mass, gear.length, self.package_mass))  # fmt: skip
        return Value("hung_mass", total, "kg", origin)

    @cached_property
    def released(self) -> Value:
        """Pull in excess of the weight, the mud gone: all that makes it rise."""
        pull = self.riser.gear.vertical_pull()
        origin = Solved("pull at the top less the hung weight, the mud run out", "definition",
                        (pull, self.load))  # fmt: skip
        return Value("released_force", max(float(pull) - float(self.load), 0.0), "N", origin)

    @cached_property
    def up_stroke(self) -> Value:
        """Half of the stroke, less the greatest heave and half the tide: room to rise.

        Where a stack-up tells how the telescopic joint stands, no more than it can slide in.
        """
        gear, setting = self.riser.gear, self.riser.gear.setting
        stroke, heave = gear.tensioners.value("stroke"), greatest_heave(setting)
        tide = setting.site.environment.value("tide_range")
        inputs: tuple[Value, ...] = (stroke, heave, tide)
        room, words = 0.5 * float(stroke), "half the stroke"
        if gear.stack_up is not None and float(gear.stack_up.slid_in_left) < room:
            way_in = gear.stack_up.slid_in_left
            room, words, inputs = float(way_in), "what the joint can slide in", (way_in, *inputs)
        left = max(room - float(heave) - 0.5 * float(tide), 0.0)
        origin = Solved(f"{words} less heave and half the tide", "assumed", inputs)
        return Value("recoil_rise", left, "m", origin)

    @cached_property
    def reaction(self) -> Value:
        return self.riser.gear.setting.basis.value("anti_recoil_time", "reaction_time")


@kept(SOME)
def hung_riser(riser: SeaRiser) -> HungRiser:
    """Return the riser hung off hard in the planned sea, how its tension swings."""
    return _hung(riser, False)


@kept(SOME)
def hung_on_tensioners(riser: SeaRiser) -> HungRiser:
    """Return the riser hung on its tensioners, how its tension and their stroke swing."""
    return _hung(riser, True)


def _hung(riser: SeaRiser, soft: bool) -> HungRiser:
    gear, setting = riser.gear, riser.gear.setting
    waves = seaway(setting)
    depth = np.linspace(0.0, float(gear.length), _COUNT)
    empty = HungRiser(riser, depth, np.zeros(_COUNT), 0.0, soft=soft)
    bar = (
        float(gear.length),
        float(empty.linear_mass),
        float(riser.axial_stiffness),
        float(empty.package_mass),
        setting.basis.hang_off_damping,
    )
    heave = np.abs(motions_at(setting, waves.frequency).heave)
    response = np.asarray(hung_tension_response(depth, waves.frequency[:, None], *bar))
    stroke = np.zeros(len(heave))
    if soft:
        spring = float(empty.tensioner_stiffness), gear.tensioners.damping_ratio
        top = soft_hung_top(waves.frequency, *bar, *spring)
        response, stroke = response * np.abs(top)[:, None], np.abs(1.0 - top)
    power = np.gradient(waves.frequency) * waves.power * heave**2
    at_top = power * response[:, 0] ** 2
    period = 2.0 * np.pi * np.sqrt(at_top.sum() / max(at_top @ waves.frequency**2, 1e-300))
    greatest = np.sqrt(2.0 * np.log(max(STORM / max(period, 1e-3), 2.0)))
    swing = np.sqrt(power @ response**2) * greatest
    strokes = float(np.sqrt(power @ stroke**2) * greatest)
    return HungRiser(riser, depth, swing, float(period), strokes, soft)
