"""How a hole of any size is drilled here: taken from the plan's own section nearest in size.

A search leaves the plan's shoes, sizes and densities aside. How fast it pumps, what string it
drills with, how it cements is the plan's business, and stays as it is written there.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import log

import numpy as np
import numpy.typing as npt

from bathybore.base.arrays import Array
from bathybore.base.keeping import MANY, kept
from bathybore.kernels.cuttings import (
    cuttings_volume_fraction,
    density_with_cuttings,
    slip_velocity_in_moving_mud,
    transport_ratio,
)
from bathybore.kernels.pipe_flow import (
    annulus_friction_gradient,
    annulus_wall_shear_rate,
    mean_velocity_in_annulus,
)
from bathybore.kernels.segments import transport_ratio_with_sweeps
from bathybore.kernels.surge import surge_gradient_closed_end
from bathybore.model.hole import Hole
from bathybore.model.inventory import PipeStock
from bathybore.model.plan import Casing, Fluid, Section
from bathybore.operations.catalogue_pipes import StringPipe, string_pipe
from bathybore.operations.sea_fluid import sea_water
from bathybore.search.circulation import Circulation
from bathybore.search.flow_in_place import Stretch, at_rest_below_sea_bed, below_sea_bed, in_riser


@dataclass(frozen=True, eq=False)
class Practice:
    """How a hole is drilled and cased.

    Attributes
    ----------
    index : of the section it is taken from
    fluid : whose flow and compressibility count; its density only where sea water is pumped
    scale : of its flow rates, for a hole of another area
    """

    hole: Hole
    index: int
    hole_diameter: float
    fluid: Fluid
    scale: float

    @property
    def section(self) -> Section:
        return self.hole.plan.sections[self.index]

    @property
    def exact(self) -> bool:
        """Whether the plan has a section of this very size."""
        return abs(self.section.hole_diameter - self.hole_diameter) < 1e-4

    @property
    def flow_rate(self) -> float:
        return self.section.flow_rate * self.scale

    @property
    def riser_flow_rate(self) -> float:
        return self.flow_rate + self.section.booster_flow_rate

    @cached_property
    def collars(self) -> tuple[float, float]:
        """Outside diameter of the widest heavy part [m], and the length of all of them [m]."""
        parts = self.hole.plan.strings[self.section.string]
        heavy = [p for p in parts if self._stock(p.pipe).kind != "pipe"] or [parts[0]]
        widest = max(float(self._pipe(p.pipe).outside_diameter) for p in heavy)
        return widest, sum(p.length or 0.0 for p in heavy)

    @cached_property
    def pipes(self) -> tuple[float, float]:
        """Outside diameter [m] of the pipe in the hole and of that in the riser."""
        parts = self.hole.plan.strings[self.section.string]
        pipes = [p for p in parts if self._stock(p.pipe).kind == "pipe"] or list(parts)
        low, high = self._pipe(pipes[0].pipe), self._pipe(pipes[-1].pipe)
        return float(low.outside_diameter), float(high.outside_diameter)

    def _stock(self, name: str) -> PipeStock:
        return self.hole.inventory.pipe[name]

    def _pipe(self, name: str) -> StringPipe:
        return string_pipe(self.hole, name)

    @cached_property
    def way_below(self) -> Stretch:
        """The mud below the sea bed, in place."""
        return below_sea_bed(self.hole, self.index, self.fluid)

    @cached_property
    def way_in_riser(self) -> Stretch:
        """The mud in the riser, in place."""
        return in_riser(self.hole, self.index, self.fluid)

    @property
    def fits(self) -> bool:
        """Whether the string it is drilled with goes into the hole."""
        return max(self.collars[0], self.pipes[0]) < self.hole_diameter


def practice_for(hole: Hole, hole_diameter: float, circulation: Circulation) -> Practice:
    """Return how a hole of a diameter is drilled under a circulation.

    The section nearest in diameter is followed, one with the same returns before others.
    """
    wanted = circulation.returns or ("riser" if circulation.on_riser else "sea floor")

    def away(index: int) -> tuple[bool, float]:
        section = hole.plan.sections[index]
        return section.returns != wanted, abs(log(section.hole_diameter / hole_diameter))

    index = min(range(len(hole.plan.sections)), key=away)
    section = hole.plan.sections[index]
    name = section.fluid
    if not circulation.sea_water and section.returns == "sea floor":
        name = section.pad_fluid or name  # the only mud that such a section has
    fluid = hole.plan.fluids[name]
    if circulation.sea_water and section.returns == "riser":
        fluid = sea_water(hole)  # no section is drilled with sea water
    return Practice(hole, index, hole_diameter, fluid, (hole_diameter / section.hole_diameter) ** 2)


def circulating_allowance(
    practice: Practice,
    depth: Array,
    rate: Array,
    riser: tuple[float, float] | None,
    gravity: float,
    friction: Array | float = 1.0,
) -> Array:
    """Return what friction and cuttings add at nodes [Pa] while the bit drills below them.

    The annulus is taken as wide as the hole being drilled from the sea bed down, and the
    collars as just above the bit when it passes a node: both narrower than what is there
    later. The mud is as warm and pressed as in the plan's section. Infinite where cuttings
    do not rise.

    Parameters
    ----------
    depth : [m] below the sea bed, of the nodes
    rate : [m/s] of penetration in the rock, the greatest from each node down
    riser : bore and length [m] of the riser that mud returns through
    friction : share of the friction as the kernels give it
    """
    rate = practice.section.rate_of_penetration_factor * rate
    pipe, upper = practice.pipes
    collar, collars = practice.collars
    flow, bore, way = practice.flow_rate, practice.hole_diameter, practice.way_below
    hole = _friction(way, bore, pipe, flow)
    around = np.maximum(_friction(way, bore, collar, flow) - hole, 0.0)
    above = np.maximum(depth - collars, 0.0)
    rubbing = way.down_to(hole + around, depth) - way.down_to(around, above)
    laden = _cuttings(practice, way, rate, bore, pipe, flow, gravity) * depth
    if riser is not None:
        width, length = riser
        flow, way = practice.riser_flow_rate, practice.way_in_riser
        rubbing = rubbing + np.dot(_friction(way, width, upper, flow), way.length)
        laden = laden + _cuttings(practice, way, rate, width, upper, flow, gravity) * length
    return np.asarray(friction * rubbing + laden)


@kept(MANY)
def _friction(way: Stretch, outer: float, inner: float, flow: float) -> Array:
    """Return the friction in an annulus, cell by cell [Pa/m]."""
    return np.asarray(annulus_friction_gradient(flow, outer, inner, *way.law))


def _cuttings(
    practice: Practice,
    way: Stretch,
    rate: Array,
    outer: float,
    inner: float,
    flow: float,
    gravity: float,
) -> Array:
    """Return what cuttings add in an annulus [Pa/m], infinite where they do not rise.

    They count all along as where they rise slowest.
    """
    fluid, basis, section = practice.fluid, practice.hole.basis, practice.section
    rock = section.cuttings_density or basis.cuttings_density
    chip = section.cuttings_diameter or basis.cuttings_diameter
    ratio = float(np.min(_transport(way, chip, rock, outer, inner, flow)))
    if not ratio > 0.0:
        return np.full(rate.shape, np.inf)
    share = cuttings_volume_fraction(rate, practice.hole_diameter, flow, ratio)
    laden = density_with_cuttings(fluid.density, rock, share)
    return np.asarray((laden - fluid.density) * gravity)


@kept(MANY)
def _transport(
    way: Stretch, chip: float, rock: float, outer: Array | float, inner: float, flow: float
) -> Array:
    """Return the transport ratio of cuttings in annuli, sweeps left out; cells run first."""
    density, rest, thick, index = (one[:, None] for one in way.law)
    slip = slip_velocity_in_moving_mud(
        cuttings_diameter=chip,
        cuttings_density=rock,
        shear_rate=0.5 * annulus_wall_shear_rate(flow, outer, inner, index),
        fluid_density=density,
        yield_stress=rest,
        consistency_index=thick,
        flow_index=index,
    )
    return np.asarray(transport_ratio(mean_velocity_in_annulus(flow, outer, inner), slip))


def lifts_in(
    practice: Practice, bores: Array, rates: Array, on_riser: bool
) -> npt.NDArray[np.bool_]:
    """Return whether cuttings rise as the design basis asks in the bores above the hole.

    As in the walk: the mean of sweeps and what is pumped between them, and the share of
    cuttings between sweeps, round the slimmest pipe.

    Parameters
    ----------
    rates : [m/s] of penetration in the rock, a bore each
    """
    section, basis, hole = practice.section, practice.hole.basis, practice.hole
    inner = min(practice.pipes)
    wide = np.maximum(bores, 1.001 * inner)
    plain = ratio = _slowest(practice, practice.way_below, wide)
    if section.sweep_fluid is not None and not on_riser:
        sweep = hole.plan.fluids[section.sweep_fluid]
        swept = _slowest(practice, below_sea_bed(hole, practice.index, sweep), wide)
        ratio = np.asarray(transport_ratio_with_sweeps(ratio, swept, section.sweep_share))
    least = basis.transport_ratio if on_riser else basis.transport_ratio_riserless
    share = cuttings_volume_fraction(
        section.rate_of_penetration_factor * rates,
        practice.hole_diameter,
        practice.flow_rate,
        plain,
    )
    return np.asarray((ratio >= least) & (np.asarray(share) <= basis.cuttings_concentration))


def _slowest(practice: Practice, way: Stretch, outer: Array) -> Array:
    """Return the least transport ratio along the way below the sea bed, in each bore."""
    section, basis = practice.section, practice.hole.basis
    chip = section.cuttings_diameter or basis.cuttings_diameter
    rock = section.cuttings_density or basis.cuttings_density
    inner = min(practice.pipes)
    each = _transport(way, chip, rock, outer, inner, practice.flow_rate)
    return np.asarray(np.min(each, axis=0))


@kept(MANY)
def casing_surge(
    practice: Practice, outside_diameter: float, casing: Casing | None, depth: Array
) -> Array:
    """Return the pressure that a casing run with closed end adds at depths below the sea bed [Pa].

    Its annulus is that of the hole up to the sea bed; the mud is as warm as undisturbed.
    """
    speed = casing.running_speed if casing is not None else 0.15
    on_riser = practice.section.returns == "riser"
    way = at_rest_below_sea_bed(practice.hole, on_riser, practice.fluid)
    width = practice.hole_diameter
    gradient = surge_gradient_closed_end(speed, width, outside_diameter, *way.law)
    return way.down_to(np.asarray(gradient), depth)
