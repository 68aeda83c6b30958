"""Plain loops that make one hole after another, number by number: the reference of a benchmark.

The same rule of the crew and the same equations as in the ensembles, with Python's own floats:
down the hole node by node, and at every node over all weak points of the open hole. What does not
hang on a member (friction of a planned flow, transport of cuttings, surge of a planned casing) is
worked out once a hole.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.working import FromWalk, Value
from bathybore.ensembles.shapes import Drawn, Frame, Limit, Policy
from bathybore.ensembles.window_of_members import planned_practice, surge_of
from bathybore.kernels.gas import (
    AIR_MOLAR_MASS,
    GAS_CONSTANT,
    METHANE_CRITICAL_PRESSURE,
    METHANE_CRITICAL_TEMPERATURE,
)
from bathybore.model.hole import Hole
from bathybore.model.plan import Fluid
from bathybore.operations.barriers import GASES
from bathybore.operations.catalogue_pipes import casing_pipe
from bathybore.operations.columns import (
    column_top,
    gravity,
    mean_temperature,
    pressure_under,
    sea_bed_pressure,
    warmth_of_parts,
)
from bathybore.operations.influx import kick_is_gas
from bathybore.operations.sea_fluid import formation_water_density
from bathybore.search.bounds import hole_water, usual_terms
from bathybore.search.practice import _transport as transport
from bathybore.search.practice import circulating_allowance
from bathybore.search.problems import LAP

DAK = (0.3265, -1.07, -0.5339, 0.01569, -0.05165, 0.5475, -0.7361, 0.1844, 0.1056, 0.6134, 0.721)
MOST_FOR_GAS = 1.4e8


@dataclass(frozen=True)
class Way:
    """How a section is drilled: all that no member changes."""

    on_riser: bool
    fixed: bool  # one density, that of the fluid
    closed: bool
    fluid: float
    compressibility: float
    expansion: float
    reference: float
    top: float
    top_pressure: float
    heat_above: float
    shift: tuple[float, ...]
    datum: float
    rubbing: tuple[float, ...]  # friction of the planned flow down to each node
    laden_hole: tuple[float, float]  # flow and transport ratio
    laden_riser: tuple[float, float, float]  # the same, and the length
    diameter: float
    rock: float
    rate_factor: float
    flow: float
    area: float
    lightest: float
    heaviest: float
    pad: tuple[float, ...] | None


@dataclass(frozen=True)
class PlainHole:
    """A hole as plain numbers."""

    frame: Frame
    depth: tuple[float, ...]
    gravity: float
    gas: tuple[bool, ...]
    gas_gravity: float
    kicks_with_gas: bool
    critical: tuple[float, float]
    sea_bed: float
    target: int
    bottoms: tuple[int, ...]
    ways: dict[tuple[int, bool], Way]
    surges: dict[tuple[int, bool], tuple[float, ...]]
    reaches: dict[int, tuple[float, bool, bool]]
    mud: float
    adding: float  # time with the pumps running while stands are added [s/m]
    terms: tuple[float, float, float, float, float]


def shift_of_parts(
    hole: Hole, fluid: Fluid, pressure: Value, top: float, z: Array
) -> tuple[float, ...]:
    """Return by how much warmer the closed column has to be taken for a mud known by its parts."""
    nothing = Value("temperature", np.zeros(len(z)), "K", FromWalk("no warmth of its own"), -1)
    found = warmth_of_parts(hole, fluid, pressure, top, z, nothing)
    return tuple(map(float, np.asarray(found.si)))


def plain_hole(frame: Frame, policy: Policy) -> PlainHole:
    """Return a hole as plain numbers."""
    hole, terms = frame.hole, usual_terms(frame.hole)
    ways: dict[tuple[int, bool], Way] = {}
    surges: dict[tuple[int, bool], tuple[float, ...]] = {}
    reaches: dict[int, tuple[float, bool, bool]] = {}
    left = iter(policy.bottoms)
    bottoms = []
    for index, string in enumerate(frame.strings):
        bottom = -1 if string.spare else int(np.argmin(abs(frame.depth - next(left))))
        bottoms.append(bottom)
        if string.section < 0:
            continue
        planned = hole.plan.sections[string.section]
        both = planned.returns != "riser" and planned.pad_fluid is not None
        for dumped in (False, True) if both else (False,):
            ways[string.section, dumped] = _way(frame, string.section, dumped)
            pipe = string.name if string.spare else planned.casing and planned.casing.pipe
            if pipe:
                stock = casing_pipe(hole, pipe)
                practice = planned_practice(hole, string.section, dumped)
                added = surge_of(practice, stock, frame.depth)
                surges[index, dumped] = tuple(map(float, added))
                hung = planned.casing is None or isinstance(planned.casing.hung_at, str)
                reaches[index] = (stock.stock.length, string.spare, hung)
    stores = hole.vessel.stores
    return PlainHole(
        frame=frame,
        depth=tuple(map(float, frame.depth)),
        gravity=gravity(hole),
        gas=tuple(hole.earth.word_at("formation_fluid", d) in GASES for d in frame.depth),
        gas_gravity=hole.basis.gas_gravity,
        kicks_with_gas=kick_is_gas(
            hole.setting, hole.z(hole.plan.conductor.shoe), hole.z(hole.plan.target)
        ),
        critical=(METHANE_CRITICAL_TEMPERATURE, METHANE_CRITICAL_PRESSURE),
        sea_bed=float(hole.sea_bed),
        target=frame.target,
        bottoms=tuple(bottoms),
        ways=ways,
        surges=surges,
        reaches=reaches,
        mud=stores.mud_volume * (1 + stores.resupplies),
        adding=hole.vessel.handling.connection_time / hole.vessel.handling.stand_length,
        terms=tuple(
            float(one)
            for one in (
                terms.trip_margin,
                terms.fracture_margin,
                terms.kick_intensity,
                terms.kick_volume,
                terms.room,
            )
        ),  # type: ignore[arg-type]
    )


def _way(frame: Frame, section: int, dumped: bool) -> Way:
    hole = frame.hole
    one = planned_practice(hole, section, dumped)
    planned, fluid, basis = one.section, one.fluid, hole.basis
    on_riser = planned.returns == "riser"
    top, pressure = column_top(hole, on_riser)
    pipe, upper = one.pipes
    collar, _ = one.collars
    bore, flow = one.hole_diameter, one.flow_rate
    rock = planned.cuttings_density or basis.cuttings_density
    chip = planned.cuttings_diameter or basis.cuttings_diameter
    riser, laden = None, (1.0, 1.0, 0.0)
    joint = hole.inventory.riser
    if on_riser and joint is not None:
        riser = joint.outside_diameter - 2.0 * joint.wall, float(hole.sea_bed - top)
        flow_there = one.riser_flow_rate
        ratio = transport(one.way_in_riser, chip, rock, riser[0], upper, flow_there).min()
        laden = (flow_there, float(ratio), riser[1])
    # without rock that is drilled, what a flow adds is its friction
    still = np.zeros(len(frame.depth))
    rubbing = circulating_allowance(one, frame.depth, still, riser, gravity(hole))
    pad = None
    if planned.pad_fluid is not None and not on_riser:
        start = Value("pressure_at_top", float(pressure), "Pa", FromWalk("sea bed"))
        column = pressure_under(
            hole, hole.plan.fluids[planned.pad_fluid], start, hole.sea_bed, frame.z
        )
        pad = tuple(map(float, np.asarray(column.si)))
    water = float(hole_water(hole))
    return Way(
        on_riser=on_riser,
        fixed=not on_riser and not dumped,
        closed=on_riser,
        fluid=fluid.density,
        compressibility=fluid.compressibility,
        expansion=fluid.thermal_expansion,
        reference=fluid.reference_temperature,
        top=float(top),
        top_pressure=float(pressure) if on_riser else float(sea_bed_pressure(hole)),
        heat_above=float(mean_temperature(hole, float(top), float(hole.sea_bed)).si)
        * (float(hole.sea_bed) - float(top)),
        shift=shift_of_parts(hole, fluid, pressure, float(top), frame.z),
        datum=float(hole.drill_floor if on_riser else hole.sea_bed),
        rubbing=tuple(map(float, rubbing)),
        laden_hole=(flow, float(transport(one.way_below, chip, rock, bore, pipe, flow).min())),
        laden_riser=laden,
        diameter=bore,
        rock=rock,
        rate_factor=planned.rate_of_penetration_factor,
        flow=flow,
        area=math.pi / 4.0 * (bore**2 - min(collar, 0.95 * bore) ** 2),
        lightest=water if dumped else -math.inf,
        heaviest=fluid.density if dumped else float(usual_terms(hole).heaviest_mud),
        pad=pad,
    )


@dataclass(frozen=True)
class Rock:
    """The curves and numbers of one member."""

    pore: list[float]
    fracture: list[float]
    collapse: list[float]
    heat: list[float]
    rate: list[float]
    gas: list[float]
    friction: float
    trip: float
    margin: float
    intensity: float
    volume: float
    room: float
    handling: float


def plain_rock(hole: PlainHole, drawn: Drawn, member: int) -> Rock:
    """Return the curves and numbers of one member."""

    def curve(name: str) -> list[float]:
        rows = drawn.curves[name]
        numbers: list[float] = rows[member if len(rows) > 1 else 0].tolist()
        return numbers

    def number(name: str, planned: float) -> float:
        return float(drawn.numbers[name][member]) if name in drawn.numbers else planned

    warmth, depth = curve("temperature"), hole.depth
    heat = [0.0]
    for i in range(1, len(depth)):
        heat.append(heat[-1] + 0.5 * (warmth[i] + warmth[i - 1]) * (depth[i] - depth[i - 1]))
    warmest, fracture = max(warmth[: hole.target + 1]), curve("fracture_pressure")
    if hole.kicks_with_gas:
        gas = [plain_gas(min(p, MOST_FOR_GAS), warmest, hole) for p in fracture]
    else:
        water = formation_water_density(hole.frame.hole, np.array(fracture), warmest)
        gas = [float(one) for one in water]
    trip, margin, intensity, volume, room = hole.terms
    none = [math.nan] * len(depth)
    return Rock(
        pore=curve("pore_pressure"),
        fracture=fracture,
        collapse=curve("collapse_pressure") if "collapse_pressure" in drawn.curves else none,
        heat=heat,
        rate=curve("rate_of_penetration"),
        gas=gas,
        friction=number("friction_pressure", 1.0),
        trip=number("design_basis.trip_margin", trip),
        margin=number("design_basis.fracture_margin", margin),
        intensity=number("design_basis.kick_intensity", intensity),
        volume=number("design_basis.kick_volume", volume),
        room=room,
        handling=number("handling_time", 1.0),
    )


def plain_isotherm(t: float) -> tuple[float, float, float, float]:
    """Return the coefficients of the equation of state at a reduced temperature."""
    a1, a2, a3, a4, a5, a6, a7, a8, a9, a10, _ = DAK
    attraction = a7 / t + a8 / (t * t)
    c1 = a1 + a2 / t + a3 / t**3 + a4 / t**4 + a5 / t**5
    return c1, a6 + attraction, a9 * attraction, a10 / t**3


def plain_z_and_slope(x: float, c1: float, c2: float, c3: float, c4: float) -> tuple[float, float]:
    """Return z at a reduced density, and its slope."""
    square = x * x
    fifth, damped = c3 * square * square, DAK[10] * square
    tail = c4 * math.exp(-damped)
    z = 1.0 + x * (c1 + c2 * x - fifth) + tail * (1.0 + damped) * square
    slope = c1 + 2.0 * c2 * x - 5.0 * fifth
    return z, slope + 2.0 * x * tail * (1.0 + damped - damped * damped)


def plain_z(t: float, p: float) -> float:
    """Return z of a gas at a reduced temperature and pressure."""
    c = plain_isotherm(t)
    light = 0.27 * p / t
    x = min(light / (1.0 + 0.2 * light), 3.0)
    while True:
        z, slope = plain_z_and_slope(x, *c)
        step = (x * z - light) / (z + x * slope)
        x -= step
        if abs(step) <= 1e-10 * x:
            return plain_z_and_slope(x, *c)[0]


def plain_gas(pressure: float, warmth: float, hole: PlainHole) -> float:
    z = plain_z(warmth / hole.critical[0], pressure / hole.critical[1])
    return pressure * hole.gas_gravity * AIR_MOLAR_MASS / (z * GAS_CONSTANT * warmth)


class PlainBounds:
    """What one member needs and bears where one section is drilled in one way."""

    def __init__(self, hole: PlainHole, rock: Rock, section: int, dumped: bool, last: int) -> None:
        self.hole, self.rock, self.way = hole, rock, hole.ways[section, dumped]
        self.room = 0.0 if self.way.fixed else rock.room
        self.last = last
        self.greatest = self._greatest_rates()
        self.known: dict[int, tuple[float, float, float]] = {}
        self.ratios: dict[int, float] = {}

    def _greatest_rates(self) -> list[float]:
        rate, most = self.rock.rate, [0.0] * (self.last + 1)
        run = 0.0
        for i in range(self.last, -1, -1):
            if i == self.hole.target:
                run = 0.0
            run = max(run, rate[i])
            most[i] = run
        return most

    def density(self, pressure: float, node: int) -> float:
        """Return the density, as weighed, whose column gives a pressure at a node."""
        way = self.way
        height = self.hole.depth[node] + self.hole.sea_bed - way.top
        warmth = (way.heat_above + self.rock.heat[node]) / height + way.shift[node]
        c = max(way.compressibility, 1e-16)
        rise = -math.exp(-c * way.top_pressure) * math.expm1(-c * (pressure - way.top_pressure))
        warm = math.exp(way.expansion * (warmth - way.reference))
        return rise / (c * self.hole.gravity * height) * warm

    def _laden(self, node: int, flow: float, ratio: float) -> float:
        way = self.way
        if not ratio > 0.0:
            return math.inf
        made = way.rate_factor * self.greatest[node] * math.pi / 4.0 * way.diameter**2
        share = made / (made + ratio * flow)
        return (way.rock - way.fluid) * share * self.hole.gravity

    def at(self, node: int) -> tuple[float, float, float]:
        """Return what pores and wall need, room included, and what is borne."""
        if node in self.known:
            return self.known[node]
        hole, rock, way = self.hole, self.rock, self.way
        depth, g = hole.depth[node], hole.gravity
        lever = depth + hole.sea_bed - way.datum
        pore = rock.pore[node] + (rock.trip * g * lever if way.closed else 0.0)
        needed = max(self.density(pore, node), way.lightest)
        wall = rock.collapse[node]
        caving = self.density(wall, node) if math.isfinite(wall) else -math.inf
        added = rock.friction * way.rubbing[node] + self._laden(node, *way.laden_hole) * depth
        if way.on_riser:
            flow, ratio, length = way.laden_riser
            added += self._laden(node, flow, ratio) * length
        strong = rock.fracture[node] - rock.margin * g * lever
        borne = self.density(strong - added, node)
        if not way.on_riser and hole.gas[node]:
            needed = math.inf
        if way.pad is not None and way.pad[node] > strong:
            borne = -math.inf
        if way.fixed:
            needed, borne = max(needed, way.fluid), min(borne, way.fluid)
        else:
            borne = min(borne, way.heaviest)
        self.known[node] = needed + self.room, caving + self.room, borne
        return self.known[node]

    def surge(self, node: int, added: tuple[float, ...]) -> float:
        return self.density(self.rock.fracture[node] - added[node], node)

    def kick(self, weak: int, bottom: int) -> float:
        """Return the greatest density with which a weak point bears a kick from a bottom."""
        hole, rock, way = self.hole, self.rock, self.way
        g, strong, gas = hole.gravity, rock.fracture[weak], rock.gas[weak]
        to_weak = hole.depth[weak] + hole.sea_bed - way.top
        to_bottom = hole.depth[bottom] + hole.sea_bed - way.top
        lever = hole.depth[bottom] + hole.sea_bed - way.datum
        pressed = way.top_pressure + rock.intensity * g * lever
        share = g * rock.volume / (way.area * strong)
        a = share * g * to_bottom
        b = g * to_weak + share * pressed - gas * a
        c = strong - pressed * (1.0 - share * gas)
        short = 2.0 * c / (b + math.sqrt(max(b * b + 4.0 * a * c, 0.0)))
        full = (strong - pressed + gas * g * (to_bottom - to_weak)) / (g * to_bottom)
        if weak not in self.ratios:
            weighed = self.density(strong, weak)
            self.ratios[weak] = weighed * g * to_weak / (strong - way.top_pressure)
        return max(short, full) * self.ratios[weak]

    def closed(self, node: int) -> Limit | None:
        """Return what closes a node alone."""
        needed, caving, borne = self.at(node)
        if self.way.on_riser:
            borne = min(borne, self.kick(node, node))
        if needed > borne:
            return Limit.WINDOW
        return Limit.CAVING if caving > borne else None


class PlainMember:
    """One member on its way down, node by node."""

    def __init__(self, hole: PlainHole, rock: Rock) -> None:
        self.hole, self.rock = hole, rock
        self.ends: dict[int, Limit | None] = {}
        self.gone = 0.0  # mud dumped so far
        count = len(hole.depth)
        self.density, self.string = [math.nan] * count, [-1] * count
        self.shoes = [math.nan] * len(hole.bottoms)
        self.bounds: dict[tuple[int, bool], PlainBounds] = {}

    def of(self, section: int, dumped: bool) -> PlainBounds:
        if (section, dumped) not in self.bounds:
            last = max(
                b for b, s in zip(self.hole.bottoms, self.hole.frame.strings, strict=True)
                if s.section == section
            )  # fmt: skip
            if last == self.hole.bottoms[-1]:
                last = len(self.hole.depth) - 1
            self.bounds[section, dumped] = PlainBounds(self.hole, self.rock, section, dumped, last)
        return self.bounds[section, dumped]

    def closed(self, node: int) -> Limit | None:
        """Return what closes a node whatever the strings, in the section planned there."""
        strings = self.hole.frame.strings
        kept = [i for i, one in enumerate(strings) if not one.spare]
        index = next((i for i in kept if node <= self.hole.bottoms[i]), kept[-1])
        section = strings[index].section
        why = self.of(section, False).closed(node)
        if why is not None and (section, True) in self.hole.ways:
            why = why if self.of(section, True).closed(node) is not None else None
        if why is not None and not self.of(section, False).way.on_riser:
            risers = sorted(s for (s, _), way in self.hole.ways.items() if way.on_riser)
            if risers:
                # its own fastest rock counts from the node down to the bottom of this section
                last = self.of(section, False).last
                with_riser = PlainBounds(self.hole, self.rock, risers[0], False, last)
                why = why if with_riser.closed(node) is not None else None
        return why

    def down(
        self, index: int, top: int, last: int, dumped: bool, limit: int
    ) -> tuple[int, list[float]]:
        """March down while one density serves; return the last node and the mud on the way."""
        strings = self.hole.frame.strings
        bounds = self.of(strings[index].section, dumped)
        added = self.hole.surges.get((index, dumped))
        start = bounds.way.fluid if not dumped else bounds.way.lightest
        low, high, muds, node = -math.inf, math.inf, list[float](), top
        while node <= last:
            if node > top and self.ended(node):
                break
            needed, caving, borne = bounds.at(node)
            low = max(low, needed, caving)
            high = min(high, borne)
            if added is not None:
                high = min(high, bounds.surge(node, added))
            if bounds.way.on_riser:
                for weak in range(top, node + 1):
                    high = min(high, bounds.kick(weak, node))
            if low > high or node > limit:
                break
            muds.append(min(max(start, low - bounds.room), high))
            node += 1
        return max(node - 1, top), muds

    def ended(self, node: int) -> bool:
        if node not in self.ends:
            self.ends[node] = self.closed(node)
        return self.ends[node] is not None

    def made(self) -> tuple[list[float], list[float], list[int], float, Limit | None]:
        """Return shoes, densities, strings, the end and what ends it."""
        hole, strings = self.hole, self.hole.frame.strings
        top = hole.bottoms[0]
        self.shoes[0] = hole.depth[top]
        self.density[: top + 1] = [float(hole_water(hole.frame.hole))] * (top + 1)
        self.string[: top + 1] = [0] * (top + 1)
        cased, waiting = False, list[int]()
        deepest, target = len(hole.depth) - 1, hole.target
        risers = any(not way.on_riser for way in hole.ways.values()) and any(
            s.casing is not None and s.returns != "riser" for s in hole.frame.hole.plan.sections
        )
        out_of_mud = False
        for index, string in enumerate(strings):
            if index == 0:
                continue
            if string.spare:
                waiting.append(index)
                continue
            final = index == len(strings) - 1
            last = deepest if final else hole.bottoms[index]
            goal = target if final else last
            for one in (
                *self._needed_spares(waiting, index, top, last, goal, risers and not cased),
                index,
            ):
                bottom, muds, out_of_mud = self._hole(one, top, last, goal, risers and not cased)
                self.gone += self._dumped(one, top, bottom, muds)
                if bottom > top:
                    if top < target:
                        self.shoes[one] = hole.depth[min(bottom, target)]
                    for node in range(top + 1, bottom + 1):
                        self.density[node], self.string[node] = muds[node - top], one
                    cased = cased or one in hole.reaches
                top = bottom
            waiting = []
        if top == deepest:
            return self.shoes, self.density, self.string, math.inf, None
        why = self.closed(top + 1) or (Limit.STOCK if out_of_mud else Limit.DIAMETER)
        return self.shoes, self.density, self.string, hole.depth[top], why

    def _needed_spares(
        self, spares: list[int], index: int, top: int, last: int, goal: int, blocked: bool
    ) -> list[int]:
        used: list[int] = []
        gone = self.gone
        for spare in spares:
            if self._hole(index, top, last, goal, blocked)[0] >= goal:
                break
            used.append(spare)
            bottom, muds, _ = self._hole(spare, top, last, goal, blocked)
            self.gone += self._dumped(spare, top, bottom, muds)
            top = bottom
        self.gone = gone
        return used

    def _hole(
        self, index: int, top: int, last: int, goal: int, blocked: bool
    ) -> tuple[int, list[float], bool]:
        """Return how far a string's hole comes, its mud, and whether mud to be dumped ran out."""
        hole, section = self.hole, self.hole.frame.strings[index].section
        limit = last
        if index in hole.reaches:
            length, spare, hung = hole.reaches[index]
            liner = hole.depth[top] - LAP + length
            reach = max(liner, length) if spare else length if hung else liner
            while limit > top and hole.depth[limit] > reach + 1e-6:
                limit -= 1
        way = hole.ways[section, False]
        if way.on_riser and blocked:
            return top, [], False
        bottom, muds = self.down(index, top, last, False, last)
        out = False
        if bottom < goal and (section, True) in hole.ways:
            more, heavy = self.down(index, top, last, True, last)
            lasts = self._mud_lasts(section, bottom, last)
            out = lasts < more
            further = min(more, lasts)
            if further > bottom:
                muds = (muds or heavy)[: bottom - top + 1] + heavy[
                    bottom - top + 1 : further - top + 1
                ]
                bottom = further
        return max(min(bottom, limit), top), muds, out

    def _mud_lasts(self, section: int, since: int, last: int) -> int:
        pumped, node = self.gone, since
        while node < last:
            pumped += self._pumped(section, node)
            if pumped > self.hole.mud + 1e-9:
                break
            node += 1
        return node

    def _pumped(self, section: int, node: int) -> float:
        """Return what is pumped from a node to the next."""
        way, rate, depth = self.hole.ways[section, True], self.rock.rate, self.hole.depth
        slow = 0.5 / way.rate_factor * (1.0 / rate[node] + 1.0 / rate[node + 1])
        slow += self.hole.adding * self.rock.handling
        return way.flow * slow * (depth[node + 1] - depth[node])

    def _dumped(self, index: int, top: int, bottom: int, muds: list[float]) -> float:
        section = self.hole.frame.strings[index].section
        if (section, True) not in self.hole.ways:
            return 0.0
        fluid = self.hole.ways[section, False].fluid
        return sum(
            self._pumped(section, node - 1)
            for node in range(top + 1, bottom + 1)
            if muds[node - top] != fluid
        )


def plain_made(
    hole: PlainHole, drawn: Drawn, member: int
) -> tuple[list[float], list[float], list[int], float, Limit | None]:
    """Return one member's shoes, densities, strings, end, and what ends it."""
    return PlainMember(hole, plain_rock(hole, drawn, member)).made()
