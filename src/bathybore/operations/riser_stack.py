"""The riser joint by joint: where each kind of joint stands, what it weighs and what it meets.

The joints are counted up from the lower flex joint; the uppermost of them, the telescopic joint,
slides and takes up what is left to the drill floor.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from bathybore.base.arrays import Array
from bathybore.base.keeping import FEW, kept
from bathybore.base.working import Solved, Value
from bathybore.model.inventory import RiserJoint, RiserRun


@dataclass(frozen=True, eq=False)
class StackUp:
    """The joints from the drill floor to the lower flex joint.

    Attributes
    ----------
    joint : what all joints have in common
    runs : of joints of a kind, from the top down
    edges : between them, below sea level, drill floor first [m]
    """

    joint: RiserJoint
    runs: tuple[RiserRun, ...]
    edges: Array

    # ---- numbers of each run ----------------------------------------------------------------

    @cached_property
    def lengths(self) -> Array:
        """Standing lengths; the uppermost as far as it is drawn out."""
        return np.diff(self.edges)

    @cached_property
    def masses(self) -> Array:
        """Steel with lines per length, without modules [kg/m]."""
        found = np.array([float(self.mass_of(one)) for one in self.runs])
        # the uppermost weighs the same however far it is drawn out
        found[0] *= self.runs[0].joints * self.joint.length_of(self.runs[0]) / self.lengths[0]
        return found

    @cached_property
    def lifts(self) -> Array:
        """Lift of modules per length in the water [N/m]."""
        return np.array(
            [one.buoyancy_lift / self.joint.length_of(one) for one in self.runs], dtype=float
        )

    @cached_property
    def diameters(self) -> Array:
        return np.array([one.hydrodynamic_diameter for one in self.runs])

    def coefficients(self, usual: float) -> Array:
        """Return drag coefficients; that of the design basis where a run tells none."""
        told = [one.drag_coefficient for one in self.runs]
        return np.array([usual if one is None else one for one in told])

    @property
    def told_coefficients(self) -> tuple[Value, ...]:
        """Drag coefficients of the runs that tell one."""
        told = (one for one in self.runs if one.drag_coefficient is not None)
        return tuple(one.value("drag_coefficient") for one in told)

    def mass_of(self, one: RiserRun) -> Value:
        """Return the mass per length of a run's joints, drawn out."""
        if one.mass_in_air is None:
            return self.joint.value("mass_in_air")
        return one.value("mass_in_air")

    # ---- over the depth ---------------------------------------------------------------------

    def above(self, per_length: Array, z: Array, top: float) -> Array:
        """Return how much of something per length stands between a top and depths."""
        whole = np.append(0.0, np.cumsum(per_length * self.lengths))
        found = np.interp(z, self.edges, whole) - np.interp(top, self.edges, whole)
        return np.asarray(np.maximum(found, 0.0))

    def over(self, per_length: Array, nodes: Array) -> Array:
        """Return means of something per length over the elements between nodes."""
        found = self.above(per_length, nodes, float(self.edges[0]))
        return np.asarray(np.diff(found) / np.diff(nodes))

    def places(self, z: Array) -> NDArray[np.int64]:
        """Return which run stands at each depth."""
        place = np.searchsorted(self.edges, z, side="right") - 1
        return np.asarray(np.clip(place, 0, len(self.runs) - 1))

    # ---- in all -----------------------------------------------------------------------------

    @property
    def drawn_out_left(self) -> Value:
        """How far the uppermost joint can still be drawn out."""
        whole, told = self._uppermost
        origin = Solved("length of the telescopic joint drawn out, less the height from the joint "
                        "below it to the drill floor", "definition", (told,))  # fmt: skip
        return Value("length", whole - float(self.lengths[0]), "m", origin)

    @property
    def slid_in_left(self) -> Value:
        """How far the uppermost joint can still slide in, at the most."""
        whole, told = self._uppermost
        origin = Solved("height from the joint below the telescopic one to the drill floor, less "
                        "half its length drawn out, into which it closes at the most",
                        "definition", (told,))  # fmt: skip
        return Value("length", float(self.lengths[0]) - 0.5 * whole, "m", origin)

    @property
    def _uppermost(self) -> tuple[float, Value]:
        first = self.runs[0]
        told = self.joint if first.joint_length is None else first
        return first.joints * self.joint.length_of(first), told.value("joint_length")

    @cached_property
    def steel_mass(self) -> Value:
        """Mass of all joints without their modules."""
        origin = Solved("mass per length of each run of joints times its length", "definition",
                        tuple(self.mass_of(one) for one in self.runs))  # fmt: skip
        return Value("riser_mass", float(self.masses @ self.lengths), "kg", origin)

    @cached_property
    def lift(self) -> Value:
        """Lift of all modules that are in the water."""
        wet = float(self.above(self.lifts, self.edges[-1:], 0.0)[0])
        inputs = tuple(one.value("buoyancy_lift") for one in self.runs)
        origin = Solved("lift of each run of joints per length, times its length in the water",
                        "definition", inputs)  # fmt: skip
        return Value("buoyancy_lift", wet, "N", origin)

    def mean(self, per_length: Array) -> float:
        """Return the mean of something per length over the whole riser."""
        return float(per_length @ self.lengths / self.lengths.sum())

    @property
    def mean_diameter(self) -> Value:
        """Mean of the diameters that the water meets, by length."""
        inputs = tuple(one.value("hydrodynamic_diameter") for one in self.runs)
        origin = Solved("mean of the runs of joints by length", "definition", inputs)
        return Value("hydrodynamic_diameter", self.mean(self.diameters), "m", origin)


@kept(FEW)
def stack_up(joint: RiserJoint, top: float, foot: float) -> StackUp | None:
    """Return the joints between drill floor and flex joint; None where the riser is even."""
    if not joint.stack_up:
        return None
    lengths = np.array([one.joints * joint.length_of(one) for one in joint.stack_up])
    edges = foot - np.append(np.cumsum(lengths[::-1])[::-1], 0.0)
    edges[0] = top  # the gate has seen that the uppermost joint reaches to it
    edges.setflags(write=False)
    return StackUp(joint, joint.stack_up, edges)


def even_weight_value(number: float, inputs: tuple[Value, ...]) -> Value:
    """Return such a weight as a value that can be opened."""
    origin = Solved(
        "weight per length of the even string with the same tension at the foot that leans as the "
        "joints do: $ln(1 + w L_r/T_b)/w = integral (dif h)/T$",
        "definition",
        inputs,
    )
    return Value("effective_weight_per_length", number, "N/m", origin)
