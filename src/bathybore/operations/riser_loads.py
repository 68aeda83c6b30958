"""What the riser weighs, how hard it is pulled, and what stands inside and outside of it.

The riser reaches from the drill floor to the top of the preventer, where its lower flex
joint is; its weights count over that length. One planned tensioner setting serves every
question: more of it straightens the riser, less of it spares the steel.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.depth import BelowSeaLevel
from bathybore.base.keeping import FEW, SOME, kept, same
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.riser import (
    BUOYANCY_TOLERANCE,
    WEIGHT_TOLERANCE,
    minimum_slip_ring_tension,
    riser_inside_area,
    riser_mud_weight_in_water,
    riser_submerged_weight,
)
from bathybore.kernels.riser_shape import current_load, even_weight
from bathybore.kernels.tubular_strength import inside_diameter_of
from bathybore.model.hole import Hole, Setting
from bathybore.model.inventory import Preventer, RiserJoint
from bathybore.model.plan import Fluid
from bathybore.model.vessel import Tensioners
from bathybore.operations.columns import gravity_value
from bathybore.operations.riser_stack import StackUp, even_weight_value, stack_up
from bathybore.operations.sea_conditions import current_at, mean_density

_EXACT = Value("weight_tolerance", 1.0, "-", FromWalk("nominal weight"))


@dataclass(frozen=True, eq=False)
class RiserGear:
    """Riser, preventer and tensioners of a hole that has all three.

    Attributes
    ----------
    heaviest : of the muds that will stand in the riser; None where none will
    planned : sum of the tensioner settings while drilling; None where none is planned
    """

    setting: Setting
    joint: RiserJoint
    stack: Preventer
    tensioners: Tensioners
    heaviest: Fluid | None
    planned: Value | None

    @classmethod
    def of(cls, hole: Hole) -> RiserGear | None:
        """Return the gear, or None where a part of it is not described."""
        plan, tensioners = hole.plan, hole.vessel.tensioners
        joint, stack = hole.inventory.riser, hole.inventory.preventer
        if joint is None or stack is None or tensioners is None:
            return None
        muds = [plan.fluids[s.fluid] for s in plan.sections if s.returns == "riser"]
        if plan.coring is not None and muds:
            muds.append(plan.fluids[plan.coring.fluid])
        heaviest = max(muds, key=lambda fluid: fluid.density, default=None)
        planned = None
        if plan.riser_top_tension is not None:
            planned = plan.value("riser_top_tension", "top_tension")
        return same(cls(hole.setting, joint, stack, tensioners, heaviest, planned))

    @property
    def foot(self) -> BelowSeaLevel:
        """Where the riser ends: the lower flex joint, on top of the preventer."""
        return BelowSeaLevel(self.setting.sea_bed - self.stack.height)

    @cached_property
    def length(self) -> Value:
        origin = Solved(
            "drill floor to sea bed, less the height of the preventer",
            "definition",
            (
                self.setting.vessel.value("drill_floor_height"),
                self.setting.site.value("water_depth"),
                self.stack.value("height"),
            ),
        )
        return Value("riser_length", self.foot - self.setting.drill_floor, "m", origin)

    @cached_property
    def bore(self) -> Value:
        return work(
            inside_diameter_of,
            outside_diameter=self.joint.value("outside_diameter"),
            wall=self.joint.value("wall"),
        )

    # ---- weights --------------------------------------------------------------------------

    @cached_property
    def stack_up(self) -> StackUp | None:
        """The riser joint by joint; None where it is even."""
        return stack_up(self.joint, float(self.setting.drill_floor), float(self.foot))

    @cached_property
    def steel_weight(self) -> Value:
        """Weight in water of the riser's steel over the whole length."""
        per_length = self.joint.value("mass_in_air")
        mass = Value(
            "riser_mass",
            float(per_length) * float(self.length),
            "kg",
            Solved("mass per length times length", "definition", (per_length, self.length)),
        )
        if self.stack_up is not None:
            mass = self.stack_up.steel_mass
        return work(
            riser_submerged_weight,
            riser_mass=mass,
            steel_density=Value("steel_density", 7850.0, "kg/m3", FromWalk("steel")),
            sea_water_density=mean_density(self.setting),
            gravity=gravity_value(self.setting),
        )

    @cached_property
    def lift(self) -> Value:
        """Lift of all buoyancy modules in the water."""
        if self.stack_up is not None:
            return self.stack_up.lift
        joint = self.joint
        joints = self.foot / joint.joint_length
        origin = Solved(
            "lift per joint, times joints in the water, times the share of them with modules",
            "definition",
            (
                *(joint.value(f) for f in ("buoyancy_lift", "buoyant_share", "joint_length")),
                Value("height", float(self.foot), "m", FromWalk("sea level to the riser's foot")),
            ),
        )
        lift = joints * joint.buoyant_share * joint.buoyancy_lift
        return Value("buoyancy_lift", lift, "N", origin)

    @property
    def heaviest_mud(self) -> Fluid:
        """The heaviest mud that will stand in the riser."""
        if self.heaviest is None:
            raise LookupError("no section is drilled with the riser")
        return self.heaviest

    @cached_property
    def inside_area(self) -> Value:
        """Area of what stands in riser, choke, kill and booster line."""
        joint = self.joint
        none = Value("booster_inside_diameter", 0.0, "m", FromWalk("no booster line"))
        booster = (
            none
            if joint.booster_line_diameter is None
            else joint.value("booster_line_diameter", "booster_inside_diameter")
        )
        return work(
            riser_inside_area,
            inside_diameter=self.bore,
            line_inside_diameter=joint.value("choke_line_diameter", "line_inside_diameter"),
            number_of_lines=Value("number_of_lines", 2.0, "-", FromWalk("choke and kill line")),
            booster_inside_diameter=booster,
        )

    @cached_property
    def mud_weight(self) -> Value:
        """Weight of the mud in riser, choke, kill and booster line above what the sea carries."""
        setting = self.setting
        mud = self.foot - setting.flow_line
        return work(
            riser_mud_weight_in_water,
            riser_inside_area=self.inside_area,
            mud_density=self.heaviest_mud.value("density", "mud_density"),
            mud_column_height=Value(
                "mud_column_height", mud, "m", FromWalk("flow line to the riser's foot")
            ),
            sea_water_density=mean_density(setting),
            sea_water_column_height=Value(
                "sea_water_column_height",
                float(self.foot),
                "m",
                FromWalk("sea level to the riser's foot"),
            ),
            gravity=gravity_value(setting),
        )

    @cached_property
    def slip_ring_tension(self) -> Value:
        """Least tension at the slip ring in the heaviest mud (API RP 16Q), with tolerances."""
        return work(
            minimum_slip_ring_tension,
            riser_submerged_weight=self.steel_weight,
            buoyancy_lift=self.lift,
            riser_mud_weight_in_water=self.mud_weight,
        )

    @cached_property
    def nominal_weight(self) -> Value:
        """Weight of riser and mud in water without tolerances: where less of it is the danger."""
        return work(
            minimum_slip_ring_tension,
            riser_submerged_weight=self.steel_weight,
            buoyancy_lift=self.lift,
            riser_mud_weight_in_water=self.mud_weight,
            weight_tolerance=_EXACT,
            buoyancy_tolerance=_EXACT.named("buoyancy_tolerance"),
        )

    # ---- the planned pull -----------------------------------------------------------------

    @cached_property
    def greatest_setting(self) -> Value:
        """Share of all tensioners together that may be set."""
        tensioners, share = self.tensioners, self.setting.basis.value("tensioner_share")
        return Value(
            "top_tension",
            float(share) * tensioners.count * tensioners.capacity_each,
            "N",
            Solved(
                "share of all tensioners together",
                "common-practice",
                (share, tensioners.value("capacity_each"), self.count),
            ),
        )

    @cached_property
    def planned_setting(self) -> Value:
        """Sum of the tensioner settings while drilling, as planned."""
        return self.greatest_setting if self.planned is None else self.planned

    @property
    def setting_note(self) -> str:
        if self.planned is not None:
            return ""
        return "No riser_top_tension is planned: the setting is tensioner_share of all tensioners."

    @cached_property
    def count(self) -> Value:
        origin = self.tensioners.origin("count")
        return Value("number_of_tensioners", float(self.tensioners.count), "-", origin)

    @cached_property
    def lost(self) -> Value:
        origin = self.tensioners.origin("out_of_service")
        return Value("failing_tensioners", float(self.tensioners.out_of_service), "-", origin)

    def vertical_pull(self, *, after_loss: bool = False) -> Value:
        """Return the vertical part of the planned setting, with all tensioners or after a loss."""
        share = self.tensioners.value("vertical_share", "tension_reduction_factor")
        pull = float(self.planned_setting) * float(share)
        if not after_loss:
            origin = Solved(
                "planned setting, vertical part: $T_t = R_f T$",
                "api-rp-16q",
                (self.planned_setting, share),
            )
            return Value("top_tension", pull, "N", origin)
        origin = Solved(
            "planned setting, vertical part, of the tensioners left: "
            "$T_t = R_f T (N_t - n_f) / N_t$",
            "api-rp-16q",
            (self.planned_setting, share, self.count, self.lost),
        )
        left = 1.0 - float(self.lost) / float(self.count)
        return Value("top_tension", pull * left, "N", origin)

    def foot_tension(self, pull: Value) -> Value:
        """Return the effective tension left at the lower flex joint; not above zero is slack."""
        origin = Solved(
            "top tension less the weight of riser and mud in water: $T_b = T_t - T_(S R)$",
            "definition",
            (pull, self.slip_ring_tension),
        )
        left = float(pull) - float(self.slip_ring_tension)
        return Value("bottom_tension", left, "N", origin)

    @cached_property
    def weight_per_length(self) -> Value:
        weight = float(self.slip_ring_tension) / float(self.length)
        origin = Solved(
            "weight of riser and mud in water over the length",
            "definition",
            (self.slip_ring_tension, self.length),
        )
        return Value("effective_weight_per_length", weight, "N/m", origin)

    def weight_above(self, z: Array, *, nominal: bool = False, mud: bool = True) -> Array:
        """Return the weight in water of riser and mud between drill floor and depths [N].

        Without mud that of a riser with a stack-up alone.
        """
        whole = float(self.nominal_weight if nominal else self.slip_ring_tension)
        height = z - float(self.setting.drill_floor)
        stack = self.stack_up
        if stack is None:
            return whole / float(self.length) * height
        heavier, lighter = (1.0, 1.0) if nominal else (WEIGHT_TOLERANCE, BUOYANCY_TOLERANCE)
        in_water = float(self.steel_weight) / float(stack.steel_mass)
        steel = in_water * stack.above(stack.masses, z, float(self.setting.drill_floor))
        dry = heavier * steel - lighter * stack.above(stack.lifts, z, 0.0)
        return dry + float(self.mud_weight) / float(self.length) * height if mud else dry

    def even_weight(self, foot_tension: Value) -> Value:
        """Return the weight per length of the string that the quick questions take it for."""
        if self.stack_up is None:
            return self.weight_per_length
        return _even_weight(self, foot_tension)

    # ---- where the vessel may stand --------------------------------------------------------

    @cached_property
    def watch_offset(self) -> Value:
        """Offset at which drilling stops."""
        setting = self.setting
        share, depth = setting.basis.value("watch_offset_share"), setting.site.value("water_depth")
        origin = Solved(
            "share of water depth at which drilling stops", "common-practice", (share, depth)
        )
        return Value("vessel_offset", float(share) * float(depth), "m", origin)

    # ---- the current ----------------------------------------------------------------------

    def drag(self, z: float) -> Value:
        """Return the load of the current per length at a depth."""
        return _drag_at(self.setting, self.joint, self.stack_up, z)

    def current_loads(self, foot_tension: Value) -> tuple[Value, Value]:
        """Return a straight line of load, at top and foot, that bends no less than the current.

        The line carries the total force of the current. What the current adds to the angle
        of the lower joint is the integral of the load below each height over the tension
        there; where the current's is more than the line's (a current strong at depth), the
        line is raised in that ratio.
        """
        heights, below = _load_below(self.setting, self.joint, self.stack_up, float(self.foot))
        at_foot = self.drag(float(self.foot))
        at_top = max(2.0 * below[-1] / heights[-1] - float(at_foot), 0.0)
        rise = (at_top - float(at_foot)) / heights[-1]
        line = float(at_foot) * heights + 0.5 * rise * heights**2
        tension = float(foot_tension) + float(self.even_weight(foot_tension)) * heights
        there = tension
        if self.stack_up is not None:
            z = float(self.foot) - heights
            there = float(foot_tension) + self.weight_above(z[:1])[0] - self.weight_above(z)
        effect = np.trapezoid(below / there, heights), np.trapezoid(line / tension, heights)
        raised = max(1.0, float(effect[0] / effect[1])) if effect[1] > 0.0 else 1.0
        origin = Solved(
            "straight line with the total force of the current on the riser and its load at the "
            "foot, raised where the current would bend the lower joint more than the line",
            "definition",
            (at_foot, self.drag(0.0), self.length, foot_tension, self.weight_per_length),
        )
        return (
            Value("current_load_at_top", raised * at_top, "N/m", origin),
            Value("current_load_at_bottom", raised * float(at_foot), "N/m", origin),
        )


@kept(SOME)
def _drag(setting: Setting, joint: RiserJoint, z: float) -> Value:
    return work(
        current_load,
        drag_coefficient=setting.basis.value("riser_drag_coefficient", "drag_coefficient"),
        hydrodynamic_diameter=joint.value("hydrodynamic_diameter"),
        current_speed=current_at(setting, z),
        sea_water_density=mean_density(setting),
    )


@kept(SOME)
def _drag_there(setting: Setting, stack: StackUp, z: float) -> Value:
    """Return the load of the current on the joints at a depth."""
    run = stack.runs[int(stack.places(np.array([z]))[0])]
    usual = setting.basis.value("riser_drag_coefficient", "drag_coefficient")
    return work(
        current_load,
        drag_coefficient=usual if run.drag_coefficient is None else run.value("drag_coefficient"),
        hydrodynamic_diameter=run.value("hydrodynamic_diameter"),
        current_speed=current_at(setting, z),
        sea_water_density=mean_density(setting),
    )


def _drag_at(setting: Setting, joint: RiserJoint, stack: StackUp | None, z: float) -> Value:
    return _drag(setting, joint, z) if stack is None else _drag_there(setting, stack, z)


@kept(FEW)
def _load_below(
    setting: Setting, joint: RiserJoint, stack: StackUp | None, foot: float
) -> tuple[Array, Array]:
    """Return heights above the foot and the force of the current below each [N].

    Between the rows of the sea table the load is taken as linear, which is more than
    the square of a linear speed.
    """
    depths = setting.sea.depths
    nodes = np.append(depths[depths < foot], foot)
    if stack is not None:  # just above and below each change of the joints
        changes = stack.edges[1:-1]
        changes = changes[changes > 0.0]
        nodes = np.union1d(nodes, np.append(changes - 1e-6, changes))
    loads = np.array([float(_drag_at(setting, joint, stack, float(z))) for z in nodes])
    fine = np.union1d(nodes, np.linspace(0.0, foot, 401))[::-1]
    fine_loads, heights = np.interp(fine, nodes, loads), foot - fine
    steps = 0.5 * (fine_loads[1:] + fine_loads[:-1]) * np.diff(heights)
    return heights, np.concatenate([[0.0], np.cumsum(steps)])


@kept(SOME)
def _even_weight(gear: RiserGear, foot_tension: Value) -> Value:
    heights = np.linspace(0.0, float(gear.length), 2001)
    above = gear.weight_above(float(gear.foot) - heights)
    number = even_weight(heights, above[0] - above, float(foot_tension))
    return even_weight_value(number, (foot_tension, gear.slip_ring_tension, gear.length))
