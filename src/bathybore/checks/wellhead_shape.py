"""How wellhead, conductor and first casing stand under the pull of the riser.

One beam from the lower flex joint down to the shoe of the conductor: the preventer, taken
as stiff, on the conductor with the first casing inside it. Both pipes take one curvature
and share the moment by their stiffness; what cement between them adds is not counted. The
clay holds with its cyclic p-y curves: the sea moves the riser all the time.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from math import cos, sin

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept, same
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.checks.riser_reach import lower_joint_angle
from bathybore.checks.soil import mean_unit_weight
from bathybore.kernels.lateral_pile import (
    PileShape,
    bend_pile,
    cyclic_soft_clay_lateral_resistance,
    depth_of_full_resistance,
)
from bathybore.kernels.soft_string import YOUNG_MODULUS
from bathybore.kernels.soil import ultimate_lateral_resistance
from bathybore.kernels.tubular_strength import second_moment_of_area
from bathybore.model.hole import Setting
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.state import CasingInPlace

_STIFF_STACK = 100.0  # times the stiffness of the pipes: a body, not a beam
_FLOW_FACTOR = 9.0  # strengths of clay that flows around a pile
_LEAST_DIAMETERS = 2.5  # of full resistance, where strength varies
_LINEAR_SHARE = 0.1  # of the reference displacement: the first point of the published table


@dataclass(frozen=True, eq=False)
class RiserPull:
    """What the riser does to the top of the preventer at one moment.

    Attributes
    ----------
    moment : in words
    tension : at the lower flex joint
    angle : of the riser off the vertical, the vessel at the edge of the watch circle
    """

    moment: str
    tension: Value
    angle: Value


@dataclass(frozen=True, eq=False)
class Footing:
    """What stands in the sea bed under the preventer: the conductor and the casing inside it."""

    gear: RiserGear
    conductor: CasingInPlace
    casing: CasingInPlace | None

    @property
    def setting(self) -> Setting:
        return self.gear.setting

    @property
    def pipes(self) -> tuple[CasingInPlace, ...]:
        return (self.conductor,) if self.casing is None else (self.conductor, self.casing)

    @property
    def stick_up(self) -> float:
        return self.setting.sea_bed - self.conductor.top

    @cached_property
    def buried(self) -> Array:
        """Depths of the nodes below the sea bed, closer where the pile bends [m]."""
        shoe = self.conductor.shoe - self.setting.sea_bed
        steps = (np.arange(0.0, 15.0, 0.5), np.arange(15.0, 30.0, 1.0), np.arange(30.0, shoe, 5.0))
        nodes = np.concatenate(steps)
        nodes = np.append(nodes[nodes < shoe - 0.25], shoe)
        nodes.setflags(write=False)
        return nodes

    @cached_property
    def standing(self) -> Array:
        """Depths of the nodes above it: flex joint, middle of the preventer, wellhead [m]."""
        head, joint = -self.stick_up, -self.gear.stack.height
        top = [joint, 0.5 * (joint + head), head]
        return np.array(top if head < 0.0 else [*top[:2]])

    @cached_property
    def bending_stiffness(self) -> Value:
        """Of all pipes together."""
        moments = tuple(
            work(
                second_moment_of_area,
                outside_diameter=pipe.pipe.outside_diameter,
                inside_diameter=pipe.pipe.inside_diameter,
            )
            for pipe in self.pipes
        )
        young = Value("young_modulus", YOUNG_MODULUS, "Pa", FromWalk("steel, API RP 7G"))
        names = " and ".join(pipe.name for pipe in self.pipes)
        return Value(
            "bending_stiffness",
            YOUNG_MODULUS * sum(float(one) for one in moments),
            "N m2",
            Solved(
                f"{names} bent to one curvature, no cement: $B_s = E sum I$",
                "definition",
                (young, *moments),
            ),
        )

    @cached_property
    def strength(self) -> Value:
        """Undrained strength at the buried nodes."""
        return self.setting.earth.value("undrained_shear_strength", self.buried)

    @cached_property
    def ultimate(self) -> Value:
        """Greatest lateral resistance of the clay at the buried nodes."""
        return _ultimate(self, self.buried)

    @cached_property
    def full_resistance(self) -> float:
        fine = np.arange(0.0, float(self.buried[-1]), 0.05)
        diameter = float(self.conductor.pipe.outside_diameter)
        strength = self.setting.earth.at("undrained_shear_strength", fine)
        most = np.asarray(_ultimate(self, fine).si)
        flow = _FLOW_FACTOR * strength * diameter
        return depth_of_full_resistance(fine, most, flow, _LEAST_DIAMETERS * diameter)


def _ultimate(footing: Footing, depth: Array) -> Value:
    earth = footing.setting.earth
    below = np.maximum(depth, 1e-3)  # the mean weight of the soil above no depth is none
    return work(
        ultimate_lateral_resistance,
        undrained_shear_strength=earth.value("undrained_shear_strength", depth),
        outside_diameter=footing.conductor.pipe.outside_diameter,
        submerged_unit_weight=mean_unit_weight(earth, below),
        depth_below_sea_bed=Value(
            "depth_below_sea_bed", depth, "m", FromWalk("nodes of the pile"), -1
        ),
    )


def riser_pulls(gear: RiserGear, offset: Value | None = None) -> tuple[RiserPull, ...]:
    """Return the moments that bound what the riser does; a slack riser pulls at nothing.

    Parameters
    ----------
    offset : of the vessel; that at which drilling stops if left out
    """
    return _pulls(gear, gear.watch_offset if offset is None else offset)


@kept(SOME)
def _pulls(gear: RiserGear, offset: Value) -> tuple[RiserPull, ...]:
    light = same(replace(gear, heaviest=sea_water(gear.setting)))
    pulls = []
    for words, one, after_loss in (
        ("heaviest mud in the riser, all tensioners", gear, False),
        ("heaviest mud in the riser, after the loss of a tensioner", gear, True),
        ("sea water in the riser, all tensioners", light, False),
    ):
        pull = one.vertical_pull(after_loss=after_loss)
        foot = _nominal_foot(one, pull) if one is light else one.foot_tension(pull)
        if float(foot) > 0.0:
            pulls.append(RiserPull(words, foot, lower_joint_angle(one, foot, offset)))
    return tuple(pulls)


def _nominal_foot(gear: RiserGear, pull: Value) -> Value:
    """Return the tension left with nominal weights: where more of it is the danger."""
    origin = Solved(
        "top tension less the nominal weight of riser and contents in water",
        "definition",
        (pull, gear.nominal_weight),
    )
    left = float(pull) - float(gear.nominal_weight)
    return Value("bottom_tension", left, "N", origin)


@dataclass(frozen=True, eq=False)
class WellheadShape:
    """The footing bent by each pull, one realisation a pull."""

    footing: Footing
    pulls: tuple[RiserPull, ...]
    shape: PileShape

    def axial_load(self, pull: int) -> Value:
        """Return what presses on the pipes: preventer and wellhead less the riser's pull."""
        return _pressed(self.footing, self.pulls[pull])

    def inputs(self, pull: int) -> tuple[Value, ...]:
        """Return what went into the shape under one pull, all but the clay."""
        basis, one = self.footing.setting.basis, self.pulls[pull]
        return (
            one.tension,
            one.angle,
            basis.value("flex_joint_stiffness"),
            self.footing.gear.stack.value("height"),
            self.footing.gear.stack.value("weight_in_water"),
            self.footing.setting.site.value("expected_inclination", "inclination"),
            self.axial_load(pull),
            self.footing.bending_stiffness,
            basis.value("half_strength_strain"),
        )

    def moment(self, pull: int) -> Value:
        """Return the moment in the pipes at the buried nodes; it grows down to there."""
        at = len(self.footing.standing)
        numbers = np.abs(self.shape.moment[pull, at:])
        clay = (self.footing.strength, self.footing.ultimate)
        origin = Solved(_PROBLEM, "matlock-1970", (*self.inputs(pull), *clay), self.shape.residual)
        return Value("pile_bending_moment", numbers, "N m", origin, -1)

    def at_wellhead(self, name: str, unit: str, pull: int) -> Value:
        """Return rotation or displacement at the wellhead under one pull."""
        node = 2  # below the flex joint and the middle of the preventer
        turned = name == "wellhead_rotation"
        numbers = self.shape.rotation if turned else self.shape.displacement
        origin = Solved(_PROBLEM, "matlock-1970", self.inputs(pull), self.shape.residual)
        return Value(name, abs(float(numbers[pull, node])), unit, origin)


_PROBLEM = (
    "elastic beam on the cyclic p-y curves of soft clay, preventer on top, both ends free: "
    "$B_s y'''' + (N y')' + p_y (y, z) = 0$"
)


def _pressed(footing: Footing, pull: RiserPull) -> Value:
    inventory = footing.setting.inventory
    weights = (
        footing.gear.stack.value("weight_in_water"),
        inventory.wellhead.value("weight"),
        inventory.wellhead.value("guide_base_weight"),
    )
    load = sum(float(one) for one in weights) - float(pull.tension) * cos(float(pull.angle))
    origin = Solved(
        "preventer, wellhead and guide base in the sea, less the upright part of the riser's pull",
        "definition",
        (*weights, pull.tension, pull.angle),
    )
    return Value("axial_force", load, "N", origin)


@kept(SOME)
def wellhead_shape(footing: Footing, pulls: tuple[RiserPull, ...]) -> WellheadShape:
    """Return the footing bent by each pull.

    Raises
    ------
    NotConverged
        The clay cannot hold a pull, or the weight of the preventer buckles the conductor.
    """
    gear, basis = footing.gear, footing.setting.basis
    nodes = np.concatenate([footing.standing, footing.buried])
    lean = float(footing.setting.site.expected_inclination)
    tension = np.array([float(one.tension) for one in pulls])
    angle = np.array([float(one.angle) for one in pulls])
    load = np.zeros((len(pulls), len(nodes)))
    load[:, 0] = tension * np.sin(angle)
    load[:, 1] = gear.stack.weight_in_water * sin(lean)  # it leans towards the pull: the safe side
    diameter, strain = float(footing.conductor.pipe.outside_diameter), basis.half_strength_strain
    above = len(footing.standing)
    shape = bend_pile(
        nodes,
        np.broadcast_to(_stiffness(footing, nodes), (len(pulls), len(nodes) - 1)),
        _compression(footing, pulls, nodes),
        load,
        -basis.flex_joint_stiffness * angle,  # turns as the pull does, a lever above the top
        lambda y: np.concatenate(
            [np.zeros_like(y[..., :above]), _clay(footing, y[..., above:])], -1
        ),
        _LINEAR_SHARE * 2.5 * strain * diameter,
    )
    return WellheadShape(footing, pulls, shape)


def _clay(footing: Footing, y: Array) -> Array:
    return np.asarray(
        cyclic_soft_clay_lateral_resistance(
            np.asarray(footing.ultimate.si),
            y,
            footing.setting.basis.half_strength_strain,
            float(footing.conductor.pipe.outside_diameter),
            footing.buried,
            footing.full_resistance,
        )
    )


def _stiffness(footing: Footing, nodes: Array) -> Array:
    pipes = float(footing.bending_stiffness)
    middle = 0.5 * (nodes[1:] + nodes[:-1])
    return np.where(middle < -footing.stick_up, _STIFF_STACK * pipes, pipes)


def _compression(footing: Footing, pulls: tuple[RiserPull, ...], nodes: Array) -> Array:
    """Return the compression of the elements: the riser's pull above, the weights below it.

    In the clay a pull is soon let go of, so there it does not straighten the pile.
    """
    middle = 0.5 * (nodes[1:] + nodes[:-1])
    head, half = -footing.stick_up, nodes[1]
    rows = []
    for one in pulls:
        up, whole = -float(one.tension) * cos(float(one.angle)), float(_pressed(footing, one))
        stack = footing.gear.stack.weight_in_water + up
        free = np.where(middle < half, up, np.where(middle < head, stack, whole))
        rows.append(np.where(middle > 0.0, max(whole, 0.0), free))
    return np.array(rows)
