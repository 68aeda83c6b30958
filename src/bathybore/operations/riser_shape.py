"""The riser in the sea as a beam: what it is made of, and how current and offset lay it.

The beam reaches from the drill floor, where its upper flex joint hangs, to the lower flex joint
on the preventer. Current, waves and offset lie in one plane, the vessel standing down the
current or up it: each joint is judged for the worse of the two. Weight goes evenly with length,
or joint by joint where a stack-up is told, tolerances on the safe side, as for the tension. At
rest it may lean far; its sway in waves is taken about the vertical.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.leaning_beam import leaning_beam
from bathybore.kernels.soft_string import YOUNG_MODULUS
from bathybore.kernels.tensioned_beam import BeamShape, Ends, graded_nodes
from bathybore.kernels.tubular_strength import pipe_body_area, second_moment_of_area
from bathybore.operations.columns import gravity_value
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.riser_stack import StackUp
from bathybore.operations.sea_conditions import current_at, mean_density

FINEST: Final = 0.5  # m; a riser straightens within some ten metres of its joints
COARSEST: Final = 25.0
_PROBLEM: Final = (
    "beam under its own tension from drill floor to lower flex joint, both joints turned by "
    "springs, the vessel at the offset down or up the current, balanced as it lies: "
    "$(B_s cos^3 theta y'')'' - (V y')' = q cos^2 theta$, $V' = -w/(cos theta) + q cos theta sin "
    "theta$"
)


@dataclass(frozen=True, eq=False)
class Along:
    """The riser and the water round it, of its elements.

    Attributes
    ----------
    drag : push over the square of the flow [kg/m2]
    diameter : that the water meets [m]
    added_mass, displaced : water that moves along, and whose place it takes, in the sea [kg/m]
    linear_mass : steel, modules and mud [kg/m]
    """

    drag: Array
    diameter: Array
    added_mass: Array
    linear_mass: Array
    displaced: Array


@dataclass(frozen=True, eq=False)
class SeaRiser:
    """The riser as elements of a beam, connected and full of its heaviest mud."""

    gear: RiserGear

    @cached_property
    def nodes(self) -> Array:
        """Depths of the nodes below sea level, those above the sea below zero."""
        marks = [float(self.gear.setting.drill_floor), 0.0, float(self.gear.foot)]
        nodes = graded_nodes(np.array(marks), FINEST, COARSEST)
        nodes.setflags(write=False)
        return nodes

    @cached_property
    def middle(self) -> Array:
        return 0.5 * (self.nodes[1:] + self.nodes[:-1])

    @cached_property
    def young(self) -> Value:
        return Value("young_modulus", YOUNG_MODULUS, "Pa", FromWalk("steel"))

    @cached_property
    def bending_stiffness(self) -> Value:
        """Of the main pipe alone: lines and couplings are left out."""
        moment = work(
            second_moment_of_area,
            outside_diameter=self.gear.joint.value("outside_diameter"),
            inside_diameter=self.gear.bore,
        )
        stiffness = float(self.young) * float(moment)
        origin = Solved("main pipe: $B_s = E I$", "definition", (self.young, moment))
        return Value("bending_stiffness", stiffness, "N m2", origin)

    @cached_property
    def axial_stiffness(self) -> Value:
        joint = self.gear.joint
        area = work(
            pipe_body_area,
            outside_diameter=joint.value("outside_diameter"),
            wall=joint.value("wall"),
        )
        origin = Solved('main pipe: $A_"E" = E A$', "definition", (self.young, area))
        return Value("axial_stiffness", float(self.young) * float(area), "N", origin)

    def ends(self, offset: Array | float) -> Ends:
        basis = self.gear.setting.basis
        return Ends(
            top=offset,
            top_turning=basis.upper_flex_joint_stiffness,
            foot_turning=basis.flex_joint_stiffness,
        )

    def tension(self, pull: Value) -> Array:
        """Return the effective tension of the elements."""
        if self.gear.stack_up is not None:
            return float(pull) - self.gear.weight_above(self.middle)
        above = self.middle - float(self.gear.setting.drill_floor)
        return float(pull) - float(self.gear.weight_per_length) * above

    def tension_at_nodes(self, pull: Value) -> Value:
        how, inputs = "even along the riser", (pull, self.gear.weight_per_length)
        if self.gear.stack_up is not None:
            how, inputs = "joint by joint", (pull, self.gear.slip_ring_tension)
            numbers = float(pull) - self.gear.weight_above(self.nodes)
        else:
            above = self.nodes - float(self.gear.setting.drill_floor)
            numbers = float(pull) - float(self.gear.weight_per_length) * above
        words = f"pull at the top less the weight in water above, {how}"
        origin = Solved(words, "api-rp-16q", inputs)
        return Value("effective_tension", numbers, "N", origin, -1)

    @property
    def diameter(self) -> Value:
        """Diameter that the water meets, on the mean where a stack-up tells several."""
        stack = self.gear.stack_up
        if stack is None:
            return self.gear.joint.value("hydrodynamic_diameter")
        return stack.mean_diameter

    @property
    def weight(self) -> Array | float:
        """Weight in water per length, of the elements where a stack-up tells them apart."""
        if self.gear.stack_up is None:
            return float(self.gear.weight_per_length)
        return np.asarray(np.diff(self.gear.weight_above(self.nodes)) / np.diff(self.nodes))

    # ---- masses -----------------------------------------------------------------------------

    @cached_property
    def module_mass(self) -> Value:
        """Mass of the buoyancy modules per length, from their lift and density."""
        joint, basis, water = self.gear.joint, self.gear.setting.basis, mean_density(
            self.gear.setting
        )  # fmt: skip
        stack = self.gear.stack_up
        gravity, density = gravity_value(self.gear.setting), basis.buoyancy_module_density
        inputs = (
            *(joint.value(one) for one in ("buoyancy_lift", "buoyant_share", "joint_length")),
            basis.value("buoyancy_module_density"),
            water,
            gravity,
        )
        lifted = float(water) - density  # the gate keeps it lighter than fresh water
        lift = joint.buoyancy_lift * joint.buoyant_share / joint.joint_length
        if stack is not None:
            inputs = (stack.lift, *inputs[3:])
            lift = float(stack.lifts @ stack.lengths) / float(stack.lengths.sum())
        origin = Solved("volume that gives the lift, times its density", "definition", inputs)
        return Value("linear_mass", lift / float(gravity) / lifted * density, "kg/m", origin)

    @cached_property
    def added_mass(self) -> Value:
        """Mass of the water that moves along, per length below the sea."""
        setting = self.gear.setting
        share, water = setting.basis.value("riser_added_mass_coefficient"), mean_density(setting)
        wide, stack = self.diameter, self.gear.stack_up
        square = float(wide) ** 2 if stack is None else stack.mean(stack.diameters**2)
        mass = float(share) * float(water) * np.pi / 4.0 * square
        origin = Solved("coefficient times the water displaced over the diameter that the water "
                        "meets", "dnv-rp-c205", (share, water, wide))  # fmt: skip
        return Value("linear_mass", mass, "kg/m", origin)

    def linear_mass(self, contents: Value) -> Value:
        """Return steel, modules and a fluid inside, per length, without the water around."""
        steel, area = self.gear.joint.value("mass_in_air"), self.gear.inside_area
        if self.gear.stack_up is not None:
            steel = self._mean_steel(self.gear.stack_up)
        total = float(steel) + float(self.module_mass) + float(area) * float(contents)
        origin = Solved("steel with lines, buoyancy modules and what stands inside", "definition",
                        (steel, self.module_mass, area, contents))  # fmt: skip
        return Value("riser_linear_mass", total, "kg/m", origin)

    def _mean_steel(self, stack: StackUp) -> Value:
        mean = float(stack.steel_mass) / float(self.gear.length)
        origin = Solved("mass of all joints over the length", "definition",
                        (stack.steel_mass, self.gear.length))  # fmt: skip
        return Value("linear_mass", mean, "kg/m", origin)

    @cached_property
    def mud_density(self) -> Value:
        return self.gear.heaviest_mud.value("density", "mud_density")

    # ---- the water ----------------------------------------------------------------------------

    @cached_property
    def current(self) -> Value:
        """Current at the nodes; none above the sea."""
        found = current_at(self.gear.setting, np.maximum(self.nodes, 0.0))
        origin = Solved("below the surface of the sea only", "definition", (found,))
        numbers = np.where(self.nodes >= 0.0, found.si, 0.0)
        return Value("current_speed", numbers, "m/s", origin, -1)

    @cached_property
    def drag_per_flow(self) -> Value:
        """Push per length over the square of the flow: half density, coefficient, diameter.

        On the mean of the joints where a stack-up is told; `along` has it joint by joint.
        """
        setting, stack = self.gear.setting, self.gear.stack_up
        parts: tuple[Value, ...] = (
            mean_density(setting),
            setting.basis.value("riser_drag_coefficient", "drag_coefficient"),
            self.diameter,
        )
        if stack is None:
            half = 0.5 * float(parts[0]) * float(parts[1]) * float(parts[2])
            words = "$1/2 rho_w C_D D_h$"
        else:
            met = stack.mean(stack.coefficients(float(parts[1])) * stack.diameters)
            half, words = 0.5 * float(parts[0]) * met, "$1/2 rho_w C_D D_h$, mean of the joints"
            parts = (*parts, *stack.told_coefficients)
        return Value("drag", half, "kg/m2", Solved(words, "dnv-rp-c205", parts))

    @cached_property
    def along(self) -> Along:
        """What the water meets and moves, element by element."""
        stack, count = self.gear.stack_up, len(self.middle)
        contents = float(self.linear_mass(self.mud_density))
        if stack is None:
            wide = self.gear.joint.hydrodynamic_diameter
            displaced = float(mean_density(self.gear.setting)) * np.pi / 4.0 * wide**2
            numbers = (float(self.drag_per_flow), wide, float(self.added_mass), contents, displaced)
            return Along(*(np.full(count, one) for one in numbers))
        basis, water = self.gear.setting.basis, float(mean_density(self.gear.setting))
        widths, usual = stack.diameters, basis.riser_drag_coefficient
        # modules weigh by their lift as on the mean, steel by its run
        foam = float(self.module_mass) / max(float(stack.lifts @ stack.lengths), 1e-300)
        foam *= float(stack.lengths.sum())
        inside = contents - float(self.module_mass) - float(self._mean_steel(stack))
        squares = water * np.pi / 4.0 * stack.over(widths**2, self.nodes)
        return Along(
            drag=0.5 * water * stack.over(stack.coefficients(usual) * widths, self.nodes),
            diameter=stack.over(widths, self.nodes),
            added_mass=basis.riser_added_mass_coefficient * squares,
            linear_mass=stack.over(stack.masses + foam * stack.lifts, self.nodes) + inside,
            displaced=squares,
        )

    def push(self, flow: Array) -> Array:
        """Return the load of a flow, given as its square at the nodes, on the elements."""
        wet = self.middle > 0.0
        return np.where(wet, self.along.drag * 0.5 * (flow[1:] + flow[:-1]), 0.0)


@kept(SOME)
def sea_riser(gear: RiserGear) -> SeaRiser:
    """Return the riser of the gear as a beam."""
    return SeaRiser(gear)


@dataclass(frozen=True, eq=False)
class Lying:
    """The riser at rest, the vessel down the current (first) and up it (second).

    Attributes
    ----------
    pull : vertical force at its top
    flow : mean of flow times its size at the nodes [m2/s2]
    """

    riser: SeaRiser
    pull: Value
    offset: Value
    flow: Array
    shape: BeamShape
    inputs: tuple[Value, ...]

    def _value(self, name: str, number: float, unit: str) -> Value:
        origin = Solved(_PROBLEM, "timoshenko-strength-2", self.inputs, self.shape.residual)
        return Value(name, number, unit, origin)

    @property
    def lower_angle(self) -> Value:
        """Angle of the lower joint, the greater of the two."""
        return self._value("lower_flex_joint_angle", self._at_joint(-1), "rad")

    @property
    def upper_angle(self) -> Value:
        """Angle of the upper joint to an upright vessel, the greater of the two."""
        return self._value("upper_flex_joint_angle", self._at_joint(0), "rad")

    def _at_joint(self, node: int) -> float:
        return float(np.abs(self.shape.rotation[:, node]).max())

    @property
    def steepest(self) -> float:
        """Greatest lean anywhere [rad]."""
        return float(np.abs(self.shape.rotation).max())

    @property
    def curvature(self) -> Value:
        """Greater of the curvatures at the nodes."""
        bent = np.abs(self.shape.curvature).max(axis=0)
        nodes = np.maximum(np.append(bent[:, 0], 0.0), np.append(0.0, bent[:, 1]))
        value = self._value("dogleg_severity", 0.0, "rad/m")
        return Value(value.name, nodes, value.unit, value.origin, -1)

    @property
    def lean(self) -> Value:
        """Greater of the leans at the nodes."""
        value = self._value("inclination", 0.0, "rad")
        leans = np.abs(self.shape.rotation).max(axis=0)
        return Value(value.name, leans, value.unit, value.origin, -1)

    @property
    def set_down(self) -> Value:
        """How much longer it is than it is deep: stroke that slope and sag draw out."""
        shorter = np.trapezoid(1.0 / np.cos(self.shape.rotation) - 1.0, self.riser.nodes)
        return self._value("offset_stroke", float(np.max(shorter)), "m")


@kept(SOME)
def lying(riser: SeaRiser, after_loss: bool) -> Lying:
    """Return the riser at rest in the current at the offset where drilling stops.

    Raises
    ------
    NotConverged
        The riser is pressed so much that it buckles.
    """
    return laid(riser, after_loss, np.asarray(riser.current.si) ** 2, ())


def lying_at(riser: SeaRiser, pull: Value, flow: Array, offset: float) -> BeamShape:
    """Return the riser at rest under a mean flow, the vessel at an offset down the current."""
    return leaning_beam(
        riser.nodes,
        float(riser.bending_stiffness),
        float(pull),
        riser.weight,
        riser.push(flow),
        riser.ends(offset),
        "riser in the current",
    )


def laid(
    riser: SeaRiser,
    after_loss: bool,
    flow: Array,
    waves: tuple[Value, ...],
    offset: Value | None = None,
) -> Lying:
    """Return the riser at rest under a mean flow, given as its square at the nodes.

    Parameters
    ----------
    offset : of the vessel; that at which drilling stops if left out
    """
    gear = riser.gear
    pull = gear.vertical_pull(after_loss=after_loss)
    offset = gear.watch_offset if offset is None else offset
    sides = [lying_at(riser, pull, flow, side * float(offset)) for side in (1.0, -1.0)]
    shape = BeamShape(
        np.array([one.displacement for one in sides]),
        np.array([one.rotation for one in sides]),
        np.array([one.curvature for one in sides]),
        max(one.residual for one in sides),
    )
    basis = gear.setting.basis
    inputs = (
        pull,
        gear.weight_per_length,
        offset,
        riser.bending_stiffness,
        basis.value("flex_joint_stiffness"),
        basis.value("upper_flex_joint_stiffness"),
        riser.drag_per_flow,
        riser.current,
        *waves,
    )
    return Lying(riser, pull, offset, flow, shape, inputs)
