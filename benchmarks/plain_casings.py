"""Plain loops that ask the casings of one hole after another: the reference of a benchmark.

The equations of the ensembles with Python's own floats. The planned casing and its sizes are
worked out once a hole; all that hangs on a member is worked out node by node.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from plain_holes import PlainHole, Rock, plain_isotherm, plain_z_and_slope, shift_of_parts

from bathybore.checks.pipe_body import joint_of
from bathybore.ensembles.casings import planned_casings
from bathybore.ensembles.shapes import Drawn, Frame
from bathybore.kernels.gas import AIR_MOLAR_MASS, GAS_CONSTANT
from bathybore.kernels.tubular_collapse import ELASTIC, PSI
from bathybore.kernels.tubular_strength import ROOM_TEMPERATURE, YIELD_DERATING_PER_KELVIN
from bathybore.operations.casing_loads import bending, sea_column, wall_left
from bathybore.operations.influx import kick_intensity


@dataclass(frozen=True)
class PlainCasing:
    """A casing of the plan as plain numbers."""

    string: int
    first: int
    last: int
    top: float
    wide: float
    bore: float
    wall: float
    strength: float
    weight: float
    inside: tuple[float, ...]
    outside: tuple[float, ...]
    sea: tuple[float, ...]
    burst_share: float
    collapse_share: float
    bent: float
    factors: tuple[float, float, float]
    on_riser: bool
    mud: tuple[float, float, float, float]
    column: tuple[float, float]
    shift: tuple[float, ...]


def plain_casings(frame: Frame) -> tuple[PlainCasing, ...]:
    """Return the casings that a hole with a riser is drilled below."""
    found, basis, setting = [], frame.hole.basis, frame.hole.setting
    for one in planned_casings(frame):
        casing, pipe = one.job.casing, one.job.casing.pipe
        joint, bent = joint_of(pipe), bending(setting, pipe.outside_diameter)
        fluid, (start, top) = one.job.fluid_outside, one.job.column_top
        found.append(
            PlainCasing(
                string=one.string,
                first=one.first,
                last=one.last,
                top=float(casing.top),
                wide=float(pipe.outside_diameter),
                bore=float(pipe.inside_diameter),
                wall=float(wall_left(setting, pipe.wall, True)),
                strength=float(pipe.yield_strength),
                weight=one.weight,
                inside=tuple(map(float, one.inside)),
                outside=tuple(map(float, one.outside)),
                sea=tuple(map(float, np.asarray(sea_column(setting, frame.z[one.nodes]).si))),
                burst_share=min(float(joint.burst_efficiency), 1.0),
                collapse_share=min(float(joint.collapse_efficiency), 1.0),
                bent=0.0 if bent is None else float(bent),
                factors=(basis.burst_factor, basis.collapse_factor, basis.triaxial_factor),
                on_riser=one.job.on_riser,
                mud=(
                    fluid.density,
                    fluid.compressibility,
                    fluid.thermal_expansion,
                    fluid.reference_temperature,
                ),
                column=(float(start), float(top)),
                shift=shift_of_parts(frame.hole, fluid, top, float(start), frame.z),
            )
        )
    return tuple(found)


def plain_gas_top(pressure: float, height: float, warmth: float, hole: PlainHole) -> float:
    """Return the pressure at the top of a column of gas, its z that of the mean pressure."""
    weight = hole.gas_gravity * AIR_MOLAR_MASS * hole.gravity * height / (GAS_CONSTANT * warmth)
    t, bottom = warmth / hole.critical[0], pressure / hole.critical[1]
    c1, c2, c3, c4 = plain_isotherm(t)
    ideal = t / 0.27
    light = bottom / ideal
    x = min(light / (1.0 + 0.2 * light), 3.0)
    while True:
        z, slope = plain_z_and_slope(x, c1, c2, c3, c4)
        thinner = math.exp(-weight / z)
        wanted = 0.5 * bottom * (1.0 + thinner)
        wanted_slope = 0.5 * bottom * thinner * weight * slope / (z * z)
        step = (x * z * ideal - wanted) / ((z + x * slope) * ideal - wanted_slope)
        x -= step
        if abs(step) <= 1e-10 * x:
            z, _ = plain_z_and_slope(x, c1, c2, c3, c4)
            return pressure * math.exp(-weight / z)


def plain_collapse(wide: float, wall: float, strength: float) -> float:
    if strength <= 0.0:
        return 0.0
    s, y = wide / wall, strength / PSI
    a = 2.8762 + 0.10679e-5 * y + 0.21301e-10 * y**2 - 0.53132e-16 * y**3
    b = 0.026233 + 0.50609e-6 * y
    c = PSI * (-465.93 + 0.030867 * y - 0.10483e-7 * y**2 + 0.36989e-13 * y**3)
    ratio = b / a
    touch = 3.0 * ratio / (2.0 + ratio)
    f = ELASTIC * touch**3 / (strength * (touch - ratio) * (1.0 - touch) ** 2)
    g = f * ratio
    by_yield = 2.0 * strength * (s - 1.0) / s**2
    elastic = ELASTIC / (s * (s - 1.0) ** 2)
    slope = max(b + c / strength, 1e-6)
    fall = c + strength * (b - g)
    if s <= (math.sqrt((a - 2.0) ** 2 + 8.0 * slope) + (a - 2.0)) / (2.0 * slope):
        regime = by_yield
    elif s <= strength * (a - f) / (1.0 if abs(fall) < 1.0 else fall):
        regime = strength * (a / s - b) - c
    elif s <= (2.0 + ratio) / (3.0 * ratio):
        regime = strength * (f / s - g)
    else:
        regime = elastic
    return max(min(regime, by_yield, elastic), 0.0)


class PlainStrength:
    """The casings of one member."""

    def __init__(
        self, hole: PlainHole, rock: Rock, drawn: Drawn, member: int, density: list[float]
    ) -> None:
        self.hole, self.rock, self.density = hole, rock, density
        frame = hole.frame
        self.sea = np.asarray(sea_column(frame.hole.setting, frame.z).si).tolist()
        self.above = {way.top: way.heat_above for way in hole.ways.values()}
        warmth = drawn.curves["temperature"]
        self.warmth: list[float] = warmth[member if len(warmth) > 1 else 0].tolist()
        numbers = drawn.numbers
        share = numbers.get("casing_strength")
        self.share = 1.0 if share is None else float(share[member])
        self.drawn_kick = "design_basis.kick_intensity" in numbers

    def force(self, one: PlainCasing, shoe: int, i: int, inside: float, outside: float) -> float:
        before, without = one.inside[i], one.outside[i]
        depth = self.hole.depth
        hanging = one.weight * max(depth[shoe] - depth[one.first + i], 0.0)
        bore, wide = 0.25 * math.pi * one.bore**2, 0.25 * math.pi * one.wide**2
        placed = hanging + before * bore - without * wide
        return placed + 0.6 * ((inside - before) * bore - (outside - without) * wide)

    def fails(self, one: PlainCasing, shoe: int, insides: list[float], lost: bool) -> bool:
        """Return whether any node fails: pressure, or all stresses together."""
        for i, inside in enumerate(insides):
            if one.first + i > shoe:
                break
            outside = self.backup(one, shoe, i) if lost else one.sea[i]
            force = self.force(one, shoe, i, inside, outside)
            if self.body_fails(one, i, inside, outside, force, lost):
                return True
        return False

    def body_fails(
        self, one: PlainCasing, i: int, inside: float, outside: float, force: float, lost: bool
    ) -> bool:
        hotter = max(self.warmth[one.first + i] - ROOM_TEMPERATURE, 0.0)
        strength = one.strength * (1.0 - YIELD_DERATING_PER_KELVIN * hotter)
        area = math.pi * (one.wide - one.wall) * one.wall
        if lost:
            demand = one.factors[1] * max(outside - inside, 0.0)
            used = min(max((force / area + inside) / strength, 0.0), 1.0)
            left = strength * (math.sqrt(1.0 - 0.75 * used**2) - 0.5 * used)
            bears = one.collapse_share * plain_collapse(one.wide, one.wall, left)
        else:
            demand = one.factors[0] * max(inside - outside, 0.0)
            bears = one.burst_share * 0.875 * 2.0 * strength * one.wall / one.wide
        bears *= self.share
        if demand - bears > 1e-9 * bears:
            return True
        bore = one.wide - 2.0 * one.wall
        without, within = one.wide**2, bore**2
        mean = (inside * within - outside * without) / (without - within)
        part = (inside - outside) * within * without / (without - within)
        worst, axial = 0.0, force / area
        for width in (bore, one.wide):
            hoop, radial = mean + part / width**2, mean - part / width**2
            for sign in (1.0, -1.0) if one.bent else (1.0,):
                pulled = axial + sign * one.bent * width / one.wide
                squares = (pulled - hoop) ** 2 + (hoop - radial) ** 2 + (radial - pulled) ** 2
                worst = max(worst, math.sqrt(0.5 * squares))
        bears = strength * self.share
        return one.factors[2] * worst - bears > 1e-9 * bears

    def backup(self, one: PlainCasing, shoe: int, i: int) -> float:
        mud, c, beta, reference = one.mud
        if one.on_riser:
            mud = self.density[shoe]
        start, top = one.column
        node = one.first + i
        height = self.hole.depth[node] + self.hole.sea_bed - start
        warmth = (self.above[start] + self.rock.heat[node]) / max(height, 1e-9)
        warmth += one.shift[node]
        weight = mud * math.exp(-beta * (warmth - reference)) * self.hole.gravity * height
        return top - math.log1p(-c * weight * math.exp(c * top)) / c

    def full_of_kick(self, one: PlainCasing, at_shoe: float, open_shoe: int) -> list[float]:
        nodes = range(one.first, one.last + 1)
        return [self.gas_at(at_shoe, open_shoe, min(node, open_shoe)) for node in nodes]

    def gas_at(self, pressure: float, foot: int, node: int) -> float:
        height = self.hole.depth[foot] - self.hole.depth[node]
        heat = self.rock.heat
        mean = (heat[foot] - heat[node]) / height if height > 1e-9 else self.warmth[foot]
        return plain_gas_top(pressure, height, mean, self.hole)

    def bites(
        self, casings: tuple[PlainCasing, ...], shoes: list[float], string: list[int]
    ) -> list[float]:
        """Return the deepest bottom that each casing bears of a kick, and of lost returns."""
        found: list[float] = []
        for one in casings:
            kick = lost = math.inf
            for below in self.below(one, shoes, string):
                kick = min(kick, self.kick(one, shoes, *below))
                lost = min(lost, self.lost(one, shoes, *below[2:]))
            found += [kick, lost]
        return found

    def below(
        self, one: PlainCasing, shoes: list[float], string: list[int]
    ) -> list[tuple[int, int, int, int]]:
        """Return the holes below a casing: section, open shoe, first and last bottom."""
        frame, hole, found = self.hole.frame, self.hole.frame.hole, []
        if math.isnan(shoes[one.string]):
            return []
        for index in range(one.string + 1, len(shoes)):
            planned = frame.strings[index]
            section = hole.plan.sections[planned.section]
            nodes = [node for node, which in enumerate(string) if which == index]
            if section.returns == "riser" and nodes:
                above = max(s for s in shoes[:index] if not math.isnan(s))
                found.append((planned.section, self.node(above), nodes[0], nodes[-1]))
            if math.isnan(shoes[index]):
                continue
            if planned.spare:
                if shoes[index] <= hole.inventory.casing[planned.name].length:
                    break
            elif section.casing is not None:
                hung = section.casing.hung_at
                top = float(hole.sea_bed if isinstance(hung, str) else hole.z(hung))
                if top <= one.top + 1.0:
                    break
        return found

    def node(self, depth: float) -> int:
        return int(np.searchsorted(self.hole.frame.depth, depth - 1e-6))

    def kick(
        self, one: PlainCasing, shoes: list[float], section: int, shoe: int, first: int, last: int
    ) -> float:
        hole, rock = self.hole, self.rock
        planned = hole.frame.hole.plan.sections[section]
        intensity = rock.intensity
        if planned.kick_intensity is not None or not self.drawn_kick:
            intensity = float(kick_intensity(hole.frame.hole, planned))
        floor = float(hole.frame.hole.drill_floor)
        brought: list[float] = []
        for node in range(first, last + 1):
            lever = hole.depth[node] + hole.sea_bed - floor
            source = rock.pore[node] + intensity * hole.gravity * lever
            brought.append(min(self.gas_at(source, node, shoe), rock.fracture[shoe]))
        own = self.node(shoes[one.string])

        def fails(node: int) -> bool:
            so_far = brought[: node - first + 1]
            return any(
                self.fails(one, own, self.full_of_kick(one, pressure, shoe), False)
                for pressure in {max(so_far), min(so_far)}
            )

        return self.first_that_fails(fails, first, last)

    def lost(self, one: PlainCasing, shoes: list[float], first: int, last: int) -> float:
        hole, own = self.hole, self.node(shoes[one.string])
        sea = self.sea

        def fails(node: int) -> bool:
            g, mud = hole.gravity, self.density[node]
            insides = [
                max(sea[node] - mud * g * (hole.depth[node] - hole.depth[i]), 0.0)
                for i in range(one.first, one.last + 1)
            ]
            return self.fails(one, own, insides, True)

        return self.first_that_fails(fails, first, last)

    def first_that_fails(self, fails: Callable[[int], bool], first: int, last: int) -> float:
        if not fails(last):
            return math.inf
        return self.hole.depth[next(n for n in range(first, last + 1) if fails(n)) - 1]
