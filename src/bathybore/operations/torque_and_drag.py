"""A string in its hole, joint by joint from the bit up: weight, drag and torque on the way.

Soft string along the surveyed path, or straight down where there is none. Above the sea
bed the string hangs upright. Lengths count from the bit up, as pipe is counted.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.depth import BelowSeaLevel
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromTable, FromWalk, Solved, Value, work
from bathybore.kernels.string_march import Marched, bit_torque, march
from bathybore.model.hole import Setting
from bathybore.model.plan import Fluid
from bathybore.operations.loads import part_weights
from bathybore.operations.state import PartInHole, StringInHole
from bathybore.operations.survey_path import SurveyPath, survey_path

JOINT: Final = 30.0  # m; tension is told at every stand of about this length
# ways of moving, the rows of what is worked out
OUT, IN, TURNING, DRILLING = range(4)
_SLIDING: Final = np.array([1.0, -1.0, 0.0, 0.0])
_WAYS: Final = ("pulled out", "run in", "turning off the bottom", "drilling")


@dataclass(frozen=True, eq=False)
class StringRun:
    """A string at the bottom of its hole.

    Attributes
    ----------
    shoe : deepest shoe; below it the string rubs on rock
    fluid : inside and outside
    weight_on_bit, bit_diameter : of the drilling; None where nothing is drilled
    """

    setting: Setting
    string: StringInHole
    shoe: BelowSeaLevel
    fluid: Fluid
    weight_on_bit: Value | None
    bit_diameter: Value | None

    @property
    def path(self) -> SurveyPath | None:
        return survey_path(self.setting)

    @cached_property
    def _along(self) -> float:
        """Length along the hole from the sea bed to the bit [m]; negative above the sea bed."""
        below = float(self.string.bottom - self.setting.sea_bed)
        if self.path is None or below <= 0.0:
            return below
        return float(self.path.along(below))

    @cached_property
    def ends(self) -> Array:
        """Length above the bit of the foot of each part, and of the drill floor [m]."""
        lengths = [part.length for part in self.string.parts]
        whole = self._along + float(self.setting.sea_bed - self.setting.drill_floor)
        # a crooked hole takes more pipe, of the uppermost part
        lengths[-1] = whole - sum(lengths[:-1])
        return np.concatenate([[0.0], np.cumsum(lengths)])

    @cached_property
    def above_bit(self) -> Array:
        """Lengths above the bit of the nodes [m]: stands, ends of parts, sea bed and shoe."""
        ends = self.ends
        places = np.concatenate([np.arange(0.0, ends[-1], JOINT), ends, self._special()])
        return np.unique(np.round(places[(places >= 0.0) & (places <= ends[-1])], 6))

    def _special(self) -> Array:
        shoe = float(self.shoe - self.setting.sea_bed)
        at = shoe if self.path is None or shoe <= 0.0 else float(self.path.along(shoe))
        stations = np.zeros(0) if self.path is None else self.path.measured
        return self._along - np.concatenate([[0.0, at], stations])

    @cached_property
    def _measured(self) -> Array:
        """Lengths along the hole from the sea bed of the nodes; negative above it."""
        return np.round(self._along - self.above_bit, 5)

    @cached_property
    def z(self) -> Array:
        """True vertical depth of the nodes, metres below mean sea level."""
        sea_bed, below = float(self.setting.sea_bed), self._measured
        if self.path is None:
            return sea_bed + below
        deep = self.path.position(np.maximum(below, 0.0))[..., 2]
        return np.asarray(sea_bed + np.where(below > 0.0, deep, below))

    @cached_property
    def direction(self) -> Array:
        """Unit vectors down the hole at the nodes."""
        upright = np.broadcast_to([0.0, 0.0, 1.0], (len(self.above_bit), 3))
        if self.path is None:
            return upright
        below = self._measured
        ahead = self.path.direction(np.maximum(below, 0.0))
        return np.where((below > 0.0)[:, None], ahead, upright)

    @cached_property
    def _elements(self) -> np.ndarray:
        """Index of the part that each element between two nodes belongs to."""
        middle = 0.5 * (self.above_bit[1:] + self.above_bit[:-1])
        found = np.searchsorted(self.ends, middle, side="right") - 1
        return np.clip(found, 0, len(self.string.parts) - 1)

    def part_above(self, node: int) -> PartInHole:
        """Return the part that a node is the foot of; at the top the uppermost."""
        return self.string.parts[int(self.parts[node])]

    @cached_property
    def parts(self) -> np.ndarray:
        """Index of the weaker part of the two that meet at each node."""
        below = np.concatenate([self._elements[:1], self._elements])
        above = np.concatenate([self._elements, self._elements[-1:]])
        strength = np.array([float(p.pipe.tensile_capacity) for p in self.string.parts])
        return np.where(strength[below] < strength[above], below, above)

    @cached_property
    def friction(self) -> Array:
        """Friction coefficient of each element: on rock below the shoe, on steel above."""
        basis = self.setting.basis
        z = 0.5 * (self.z[1:] + self.z[:-1])
        return np.where(z > self.shoe, basis.friction_open, basis.friction_cased)

    @cached_property
    def marched(self) -> Marched:
        """Tension at the nodes for each way of moving."""
        weights = np.atleast_1d(np.asarray(part_weights(self.string, self.fluid, self.fluid).si))
        on_bit = 0.0 if self.weight_on_bit is None else float(self.weight_on_bit)
        return march(
            np.diff(self.above_bit),
            -np.diff(self.z),
            self.direction,
            weights[self._elements],
            self.friction,
            np.array([0.0, 0.0, 0.0, -on_bit]),
            _SLIDING,
        )

    @cached_property
    def friction_torque(self) -> Array:
        """Torque of friction below each node while drilling [N m]."""
        radius = np.array(
            [0.5 * float(p.pipe.tool_joint_outside_diameter) for p in self.string.parts]
        )
        force = self.marched.side_force[DRILLING] * self.friction * np.diff(self.above_bit)
        return np.concatenate([[0.0], np.cumsum(force * radius[self._elements])])

    @cached_property
    def rubbing(self) -> bool:
        """Whether the string touches the wall anywhere: never in a hole taken as vertical."""
        return self.path is not None

    # ---- as values ------------------------------------------------------------------------

    @cached_property
    def _inputs(self) -> tuple[Value, ...]:
        basis = self.setting.basis
        weights = part_weights(self.string, self.fluid, self.fluid)
        behind: list[Value] = [weights, basis.value("friction_cased", "friction_coefficient")]
        behind.append(basis.value("friction_open", "friction_coefficient"))
        if self.path is not None:
            stations = FromTable(self.path.table.file, "last station", "given")
            last = float(self.path.measured[-1])
            behind.append(Value("measured_depth_below_sea_bed", last, "m", stations))
        return tuple(behind)

    def tension(self, way: int) -> Value:
        """Return the effective tension at the nodes for a way of moving."""
        origin = Solved(
            f"soft string, {_WAYS[way]}, element by element from the bit: "
            "$T' = w_e cos theta plus.minus mu n_s$",
            "johancsik-1984",
            self._inputs if way != DRILLING else (*self._inputs, self._on_bit()),
        )
        return Value("tension", self.marched.tension[way], "N", origin, -1)

    def _on_bit(self) -> Value:
        if self.weight_on_bit is None:
            return Value("weight_on_bit", 0.0, "N", FromWalk("nothing is drilled"))
        return self.weight_on_bit.named("weight_on_bit")

    def top_tension(self, way: int) -> Value:
        """Return the tension at the drill floor for a way of moving."""
        whole = self.tension(way)
        return whole.at_node(len(self.above_bit) - 1)

    @cached_property
    def bit_torque(self) -> Value:
        if self.weight_on_bit is None or self.bit_diameter is None:
            return Value("bit_torque", 0.0, "N m", FromWalk("nothing is drilled"))
        return work(
            bit_torque,
            weight_on_bit=self._on_bit(),
            bit_diameter=self.bit_diameter.named("bit_diameter"),
            bit_friction=self.setting.basis.value("bit_friction"),
        )

    @cached_property
    def torque(self) -> Value:
        """Torque at the nodes while drilling: the bit's, and that of friction below."""
        origin = Solved(
            "torque of the bit and of friction below, tool joints on the wall: "
            "$M_s = M_b + sum mu n_s L D_c / 2$",
            "johancsik-1984",
            (self.bit_torque, *self._inputs),
        )
        numbers = float(self.bit_torque) + self.friction_torque
        return Value("torque", numbers, "N m", origin, -1)

    @cached_property
    def inclination(self) -> Array:
        """Inclination of the hole at the nodes [rad]."""
        ahead = self.direction
        return np.asarray(np.arctan2(np.hypot(ahead[:, 0], ahead[:, 1]), ahead[:, 2]))

    @cached_property
    def bend(self) -> Value:
        """Dogleg severity of the hole at the nodes; none above the sea bed."""
        numbers = np.zeros(len(self.above_bit))
        file = "no survey"
        if self.path is not None:
            here = self.path.severity(np.maximum(self._measured, 0.0))
            numbers, file = np.where(self._measured > 0.0, here, 0.0), self.path.table.file
        origin = FromTable(file, "dogleg severity of the arc at the place", "taylor-mason-1972")
        return Value("dogleg_severity", numbers, "rad/m", origin, -1)

    # ---- of the parts, node by node -------------------------------------------------------

    def of_parts(self, name: str, unit: str, values: list[Value]) -> Value:
        """Return a quantity of the parts at the nodes, the weaker part where two meet."""
        names = "; ".join(part.pipe.name for part in self.string.parts)
        origin = FromWalk(f"of the part at the place, lowest first: {names}")
        numbers = np.array([float(value) for value in values])[self.parts]
        return Value(name, numbers, unit, origin, -1)


@kept(SOME)
def string_run(
    setting: Setting,
    string: StringInHole,
    shoe: BelowSeaLevel,
    fluid: Fluid,
    weight_on_bit: Value | None,
    bit_diameter: Value | None,
) -> StringRun:
    """Return a string at the bottom of its hole."""
    return StringRun(setting, string, shoe, fluid, weight_on_bit, bit_diameter)
