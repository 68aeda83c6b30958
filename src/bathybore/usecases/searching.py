"""Search an architecture for a hole: proposals, what closes the way, circulation systems compared.

The plan's conductor, target, coring and practice stay; its sections are searched anew.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final, Literal, TypeAlias, get_args

import numpy as np

from bathybore.base.depth import Depth
from bathybore.base.errors import InputErrors, nearest
from bathybore.base.working import FromWalk, Solved, Value
from bathybore.model.editing import Draft, Edit
from bathybore.model.hole import Hole
from bathybore.model.prices import Prices
from bathybore.search.blocked import Blocker, blockers, openings
from bathybore.search.bounds import ONLY_SEA_WATER, Bounds, Terms, usual_terms
from bathybore.search.circulation import SYSTEMS, System, system, usual_system
from bathybore.search.intervals import Interval, Window, interval
from bathybore.search.paths import (
    DEEPEST_SHOES,
    FEWEST_DAYS,
    FEWEST_STRINGS,
    LEAST_STEEL,
    MOST_STRINGS,
    Architecture,
    Goal,
    Leg,
    Problem,
    search,
    string_length,
)
from bathybore.search.problems import LAP, LEAST_LEG, Prepared, prepare
from bathybore.search.sizes import in_hand
from bathybore.usecases.adopting import (
    Finding,
    ProposedCasing,
    ProposedSection,
    Verdict,
    edits_to_adopt,
    judged,
)
from bathybore.usecases.ledger import DAY

Best: TypeAlias = Literal["strings", "days", "steel", "money"]
BESTS: Final = get_args(Best)
# Architectures whose shoes all lie nearer than this are one and the same to a reader.
SAME_SHOE: Final = 150.0
_TONNE: Final = 1000.0  # kg
_MOST_ROOM: Final = 300.0  # kg/m3
_HALVINGS: Final = 7
MOST_ALTERNATIVES: Final = 12


@dataclass(frozen=True)
class SearchOrder:
    """What a user asks of a search.

    Attributes
    ----------
    circulation : name of a system; empty for the one of the vessel
    best : what the best has least of
    alternatives : how many besides the best at most
    spacing : [m] of the depth grid
    heaviest_mud, room : [kg/m3]; None for the usual
    price_of_day, price_of_steel : money a day and a tonne, of whatever currency; None for
        those of the hole's own prices, where it has them
    walk : walk every proposal and judge it with the whole ledger
    """

    circulation: str = ""
    best: Best = "strings"
    alternatives: int = 3
    spacing: float = 10.0
    heaviest_mud: float | None = None
    room: float | None = None
    price_of_day: float | None = None
    price_of_steel: float | None = None
    walk: bool = True


@dataclass(frozen=True, eq=False)
class Proposal:
    """One architecture.

    Attributes
    ----------
    number : 1 is the best
    why : what sets it apart
    system : name of the circulation system
    strings : casings and liners below the conductor
    days : [s] estimate of drilling and casing these sections, the riser's trips included, the
        coring left out; trouble and weather counted
    steel : [kg]
    money : in the currency of the prices; None where none are given
    mud_dumped : [m3] left on the sea floor
    in_hand : strings on board that fit between two of it
    core_diameter : [m] at the target; None where nothing is cored
    verdict : of the whole walk; None where a plan cannot say it or a walk was not asked for
    not_walked : why
    edits : that make it the plan; none where a plan cannot say it or a walk was not asked for
    """

    number: int
    why: str
    system: str
    sections: tuple[ProposedSection, ...]
    strings: int
    days: Value
    steel: Value
    money: float | None
    mud_dumped: Value
    in_hand: tuple[str, ...]
    core_diameter: float | None
    verdict: Verdict | None
    not_walked: str = ""
    edits: tuple[Edit, ...] = ()

    @property
    def room(self) -> float:
        """Return the least width of a density interval where mud is weighed [kg/m3]."""
        rooms = [
            float(s.greatest_density) - float(s.least_density)
            for s in self.sections
            if not s.only_sea_water
        ]
        return min(rooms, default=float("inf"))


@dataclass(frozen=True, eq=False)
class ClosedWay:
    """How far the hole goes below one string, and what closes it.

    Attributes
    ----------
    string : that stands; ``shoe`` its deepest place
    deepest : to which the hole can be drilled below it
    needed_by, needed_at, least_density : the bound that asks for the heaviest mud one node on
    borne_by, borne_at, greatest_density : the bound that allows the least
    reason : in words, where no density closes it
    next_strings : that could follow below
    room_wanted : [kg/m3] between the two densities
    """

    string: str
    shoe: Depth
    hole_diameter: float | None
    circulation: str
    deepest: Depth
    needed_by: str
    needed_at: Depth | None
    least_density: Value | None
    borne_by: str
    borne_at: Depth | None
    greatest_density: Value | None
    reason: str
    next_strings: tuple[str, ...]
    room_wanted: float = 0.0


@dataclass(frozen=True, eq=False)
class OpenedWay:
    """A smallest change that opens a way.

    Attributes
    ----------
    amount : how much; None where it is a thing to have
    strings : of the way that it opens
    """

    what: str
    amount: Value | None
    strings: int


@dataclass(frozen=True, eq=False)
class SystemRow:
    """One circulation system on the same earth.

    Attributes
    ----------
    strings, days [s], steel [kg], mud_dumped [m3] : of its best; None where nothing reaches
    reach : deepest place that can be drilled to
    closed_by : what closes the way there, in words
    not_available : why it cannot be had, in words
    """

    name: str
    title: str
    strings: int | None
    days: float | None
    steel: float | None
    mud_dumped: float | None
    reach: Depth | None
    closed_by: str = ""
    not_available: str = ""


@dataclass(frozen=True, eq=False)
class Found:
    """The answer of a search.

    Attributes
    ----------
    proposals : the best first; empty where nothing reaches the target
    closed : what closes every way, the deepest first; empty where something reaches it
    opened : smallest changes that open a way
    systems : compared, where that was asked
    against_all : what does not hold in the walk of any proposal, where it is mildest
    assumptions, cautions : to be said beside the proposals
    currency : of the money; 'money' where none is named
    """

    hole: str
    currency: str
    invented: bool
    order: SearchOrder
    system: str
    target: Depth
    proposals: tuple[Proposal, ...]
    closed: tuple[ClosedWay, ...]
    opened: tuple[OpenedWay, ...]
    systems: tuple[SystemRow, ...]
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]
    against_all: tuple[Finding, ...] = ()


def strings_in_words(count: int) -> str:
    return "1 string" if count == 1 else f"{count} strings"


def find_architectures(draft: Draft, order: SearchOrder) -> Found:
    """Return proposals for a hole, or what closes every way to its target.

    Raises
    ------
    InputErrors
        The hole cannot be used, or the order cannot be met as it is written.
    """
    if draft.hole is None:
        raise InputErrors(draft.faults)
    hole = draft.hole
    order = _priced(order, hole.prices)
    goal = _goal(order)
    every = order.circulation == "all"
    asked = system(order.circulation) if order.circulation and not every else usual_system(hole)
    finder = Finder(draft, hole, order, goal, usual_terms(hole, order.heaviest_mud, order.room))
    prepared = prepare(hole, asked, order.spacing)
    problem = prepared.problem(finder.terms)
    proposals = finder.proposals(prepared, problem)
    closed: tuple[ClosedWay, ...] = ()
    opened: tuple[OpenedWay, ...] = ()
    if not proposals:
        blocked = blockers(problem)
        closed = tuple(_closed_way(prepared, problem, one) for one in blocked)
        opened = tuple(_opened_ways(prepared, finder, blocked))
    return Found(
        hole=hole.name,
        currency=hole.prices.currency,
        invented=hole.document.invented,
        order=order,
        system=asked.title,
        target=hole.plan.target,
        proposals=proposals,
        closed=closed,
        opened=opened,
        systems=tuple(finder.compared()) if every else (),
        assumptions=_assumptions(hole, finder.terms),
        cautions=(*_of_this_earth(prepared), *CAUTIONS),
        against_all=_against_all(proposals),
    )


def _against_all(proposals: tuple[Proposal, ...]) -> tuple[Finding, ...]:
    """Return the questions that no walked proposal passes, each where it is mildest."""
    walked = [one.verdict.findings for one in proposals if one.verdict is not None]
    if len(walked) < 2:
        return ()  # of one proposal they are its own
    mildest: list[dict[str, Finding]] = []
    for findings in walked:
        worst: dict[str, Finding] = {}
        for finding in findings:
            held = worst.get(finding.check)
            if held is None or finding.severity > held.severity:
                worst[finding.check] = finding
        mildest.append(worst)
    shared = [check for check in mildest[0] if all(check in worst for worst in mildest)]
    return tuple(
        min((worst[check] for worst in mildest), key=lambda one: one.severity) for check in shared
    )


def _priced(order: SearchOrder, prices: Prices) -> SearchOrder:
    """Return an order with the prices of the hole where it has none of its own."""
    day, steel = order.price_of_day, order.price_of_steel
    if day is None and prices.day_rate is not None:
        day = prices.day_rate * DAY
    if steel is None and prices.steel_per_mass is not None:
        steel = prices.steel_per_mass * _TONNE
    return replace(order, price_of_day=day, price_of_steel=steel)


def _goal(order: SearchOrder) -> Goal:
    if not 0 <= order.alternatives <= MOST_ALTERNATIVES:
        expected = f"0 to {MOST_ALTERNATIVES}"
        raise InputErrors.one("alternatives", str(order.alternatives), expected)
    for name in ("heaviest_mud", "room", "price_of_day", "price_of_steel"):
        number = getattr(order, name)
        if number is not None and not (np.isfinite(number) and number >= 0.0):
            raise InputErrors.one(name, f"{number:g}", "a number, zero or more")
    if order.best == "money":
        day, tonne = order.price_of_day, order.price_of_steel
        if day is None and tonne is None:
            expected = "the price of a day or of a tonne of steel, or both: in prices or as options"
            raise InputErrors.one("best", "'money' without a price", expected)
        return Goal(0.0, day or 0.0, tonne or 0.0)
    goals = {"strings": FEWEST_STRINGS, "days": FEWEST_DAYS, "steel": LEAST_STEEL}
    if order.best not in goals:
        fix = nearest(order.best, BESTS)
        raise InputErrors.one("best", f"'{order.best}'", f"one of {', '.join(BESTS)}", fix)
    return goals[order.best]


@dataclass(frozen=True, eq=False)
class Finder:
    """One search as it was asked for."""

    draft: Draft
    hole: Hole
    order: SearchOrder
    goal: Goal
    terms: Terms

    def proposals(self, prepared: Prepared, problem: Problem) -> tuple[Proposal, ...]:
        """Return the best architecture and those that differ from it, cheapest first."""
        best = search(problem, self.goal)
        if best is None:
            return ()
        told = {"strings": "fewest strings", "days": "fewest days", "steel": "least steel"}
        chosen = [(told.get(self.order.best, "least money"), best)]
        others = sorted(self._others(problem, best), key=lambda pair: pair[1].price(self.goal))
        for why, one in others:
            if len(chosen) > self.order.alternatives:
                break
            if all(_differ(problem, one, other) for _, other in chosen):
                chosen.append((why, one))
        return tuple(
            self._proposal(prepared, problem, number, why, one)
            for number, (why, one) in enumerate(chosen, 1)
        )

    def _others(self, problem: Problem, best: Architecture) -> Iterator[tuple[str, Architecture]]:
        """Yield further architectures, each the exact best of another question."""
        for why, goal in (
            ("fewest strings", FEWEST_STRINGS),
            ("fewest days", FEWEST_DAYS),
            ("least steel", LEAST_STEEL),
            ("fewest strings, their shoes as deep as they go", DEEPEST_SHOES),
            ("as many strings as fit", MOST_STRINGS),
        ):
            found = search(problem, goal)
            if found is not None:
                yield why, found
        hung = search(replace(problem, lap=np.inf), self.goal)
        if hung is not None:
            yield "every string hung in the wellhead", hung
        for strings in (best.strings, best.strings + 1):
            roomiest = _roomiest(problem, strings)
            if roomiest is not None:
                yield f"widest density windows with {strings_in_words(strings)}", roomiest
        for leg in best.legs:
            if leg.run is not None:
                name = problem.strings[problem.runs[leg.run].string].name
                found = search(problem, self.goal, frozenset({name}))
                if found is not None:
                    yield f"best without {name}, which stays in hand", found

    def _proposal(
        self, prepared: Prepared, problem: Problem, number: int, why: str, path: Architecture
    ) -> Proposal:
        sections = tuple(_sections(prepared, problem, path))
        hole, barrel = self.hole, self.hole.inventory.core_barrel
        verdict, reason, edits = None, "", tuple[Edit, ...]()
        if not prepared.system.walked and any(s.returns is None for s in sections):
            reason = "a plan cannot say these returns yet, so the walk cannot judge them"
        elif self.order.walk:
            try:
                edits = edits_to_adopt(self.draft, sections)
                verdict = judged(self.draft, edits)
            except InputErrors as error:
                reason = f"it cannot be written as a plan: {error.faults[0]}"
        return Proposal(
            number=number,
            why=why,
            system=prepared.system.name,
            sections=sections,
            strings=path.strings,
            days=_estimate(path.days),
            steel=_steel(sections),
            money=self._money(path),
            mud_dumped=_sum_of("mud_volume", "m3", [s.mud_dumped for s in sections]),
            in_hand=_in_hand(problem, path),
            core_diameter=barrel.core_diameter
            if barrel is not None and hole.plan.coring is not None
            else None,
            verdict=verdict,
            not_walked=reason,
            edits=edits,
        )

    def _money(self, path: Architecture) -> float | None:
        day, tonne = self.order.price_of_day, self.order.price_of_steel
        if day is None and tonne is None:
            return None
        return (day or 0.0) * path.days + (tonne or 0.0) * path.steel

    def compared(self) -> Iterator[SystemRow]:
        """Yield what each circulation system makes of the same earth."""
        for one in SYSTEMS:
            try:
                prepared = prepare(self.hole, one, self.order.spacing)
            except InputErrors as error:
                told = error.faults[0].found
                yield SystemRow(one.name, one.title, None, None, None, None, None, "", told)
                continue
            yield self._row(one, prepared)

    def _row(self, one: System, prepared: Prepared) -> SystemRow:
        problem = prepared.problem(self.terms)
        best = search(problem, self.goal)
        if best is not None:
            sections = tuple(_sections(prepared, problem, best))
            dumped = sum(float(section.mud_dumped) for section in sections)
            return SystemRow(
                one.name,
                one.title,
                best.strings,
                best.days * DAY,
                best.steel * _TONNE,
                dumped,
                self.hole.plan.target,
            )
        first = _closed_way(prepared, problem, blockers(problem)[0])
        told = first.reason or f"{first.needed_by} against {first.borne_by}"
        return SystemRow(one.name, one.title, None, None, None, None, first.deepest, told)


def _roomiest(problem: Problem, strings: int) -> Architecture | None:
    """Return the architecture of at most so many strings whose windows are widest."""
    found, little, most = None, 0.0, _MOST_ROOM
    for _ in range(_HALVINGS):
        middle = 0.5 * (little + most)
        tried = search(_with_room(problem, middle), FEWEST_STRINGS)
        if tried is None or tried.strings > strings:
            most = middle
        else:
            found, little = tried, middle
    return found


def _with_room(problem: Problem, more: float) -> Problem:
    """Return the problem with more room wanted in every window that may have any."""

    return replace(
        problem,
        drillings=tuple(
            replace(one, window=replace(one.window, room=one.window.room + more))
            if one.weighed
            else one
            for one in problem.drillings
        ),
    )


def _differ(problem: Problem, one: Architecture, other: Architecture) -> bool:
    """Return whether two architectures differ in what a reader would call material."""
    if one.strings != other.strings or _chain(problem, one) != _chain(problem, other):
        return True
    return any(
        abs(problem.depth[a.bottom] - problem.depth[b.bottom]) > SAME_SHOE
        for a, b in zip(one.legs, other.legs, strict=True)
    )


def _chain(problem: Problem, path: Architecture) -> tuple[tuple[float, str, str], ...]:
    return tuple(
        (
            problem.drillings[leg.drilling].bit,
            problem.drillings[leg.drilling].circulation,
            "" if leg.run is None else problem.strings[problem.runs[leg.run].string].name,
        )
        for leg in path.legs
    )


def _sections(
    prepared: Prepared, problem: Problem, path: Architecture
) -> Iterator[ProposedSection]:
    for leg in path.legs:
        bounds = prepared.bounds[leg.drilling]
        window = _of_the_rock(problem.drillings[leg.drilling].window)
        ends = interval(window, leg.top, leg.bottom)
        yield ProposedSection(
            like=bounds.practice.index,
            hole_diameter=bounds.practice.hole_diameter,
            flow_scale=bounds.practice.scale,
            top=_place(prepared, leg.top),
            bottom=_place(prepared, leg.bottom),
            circulation=bounds.circulation.name,
            returns=bounds.circulation.returns,
            only_sea_water=bounds.circulation.sea_water,
            density=_density(bounds, ends),
            least_density=ends.needed.opened(),
            greatest_density=ends.borne.opened(),
            needed_by=ends.needed.name,
            needed_at=_place(prepared, ends.needed.node),
            borne_by=ends.borne.name,
            borne_at=_place(prepared, ends.borne.node),
            mud_dumped=_dumped(prepared, bounds, leg),
            casing=_casing(prepared, problem, leg),
        )


def _of_the_rock(window: Window) -> Window:
    """Return a window without the bound that only sea water is pumped: what sea water meets."""
    return replace(
        window,
        needed=tuple(bound for bound in window.needed if bound.name != ONLY_SEA_WATER),
        borne=tuple(bound for bound in window.borne if bound.name != ONLY_SEA_WATER),
    )


def _place(prepared: Prepared, node: int) -> Depth:
    return prepared.hole.depth(float(prepared.grid.z[node]))


def _density(bounds: Bounds, ends: Interval) -> Value:
    """Return the density to plan: in the upper half of a narrow window, for pulling swabs."""
    if bounds.circulation.sea_water:
        return bounds.practice.fluid.value("density")
    needed, borne = ends.needed.opened(), ends.borne.opened()
    above = min(0.7 * ends.room, 25.0)
    origin = Solved(
        "least density and 70 % of the room above it, 25 kg/m3 at most: pulling swabs",
        "assumed",
        (needed, borne),
    )
    return Value("density", float(needed) + above, "kg/m3", origin)


def _dumped(prepared: Prepared, bounds: Bounds, leg: Leg) -> Value:
    """Return the mud left on the sea floor: all that is pumped, or sweeps; and the pad mud."""
    one, section = bounds.circulation, bounds.practice.section
    volume, how = 0.0, "all returns come back on board"
    if not one.closed:
        pumped = prepared.pumped(bounds)
        volume, how = float(pumped[leg.bottom] - pumped[leg.top]), "all that is pumped"
        if one.sea_water:
            volume *= section.sweep_share if section.sweep_fluid is not None else 0.0
            how = "sweeps"
        if section.pad_fluid is not None:
            area = 0.25 * np.pi * bounds.practice.hole_diameter**2
            depth = float(prepared.grid.depth[leg.bottom])
            volume += prepared.hole.basis.pad_volumes * area * depth
            how += " and heavy mud left for the casing"
    return Value("mud_volume", volume, "m3", FromWalk(f"{how}, estimated from {section.name}"))


def _casing(prepared: Prepared, problem: Problem, leg: Leg) -> ProposedCasing | None:
    if leg.run is None:
        return None
    string = problem.strings[problem.runs[leg.run].string]
    length = string_length(problem, leg)
    hung = prepared.hole.depth(float(prepared.grid.z[leg.bottom]) - length) if leg.liner else None
    return ProposedCasing(
        pipe=string.name,
        designation=string.designation,
        outside_diameter=string.outside_diameter,
        hung_at=hung,
        shoe=_place(prepared, leg.bottom),
        length=length,
        mass=length * string.linear_mass,
    )


def _estimate(days: float) -> Value:
    how = "estimate: drilling, trips, bits, casings, cement, riser; no coring; trouble, weather in"
    return Value("duration", days * DAY, "s", FromWalk(how))


def _steel(sections: tuple[ProposedSection, ...]) -> Value:
    parts = [
        Value("mass", one.casing.mass, "kg", FromWalk(f"{one.casing.pipe}: length times mass"))
        for one in sections
        if one.casing is not None
    ]
    return _sum_of("mass", "kg", parts)


def _sum_of(name: str, unit: str, parts: list[Value]) -> Value:
    whole = sum(float(part) for part in parts)
    return Value(name, whole, unit, Solved("sum of the sections", "definition", tuple(parts)))


def _in_hand(problem: Problem, path: Architecture) -> tuple[str, ...]:
    strings = [problem.strings[0]]
    strings += [
        problem.strings[problem.runs[leg.run].string] for leg in path.legs if leg.run is not None
    ]
    riser = tuple(problem.drillings[leg.drilling].on_riser for leg in path.legs)
    last = problem.drillings[path.legs[-1].drilling].bit
    return in_hand(problem.strings[1:], tuple(strings), last, riser, problem.chain)


def _closed_way(prepared: Prepared, problem: Problem, one: Blocker) -> ClosedWay:
    bounds = prepared.bounds[one.drilling] if one.drilling >= 0 else None
    ends = one.closed_by
    return ClosedWay(
        string=problem.strings[one.state.string].name,
        shoe=_place(prepared, one.shoe),
        hole_diameter=bounds.practice.hole_diameter if bounds is not None else None,
        circulation=bounds.circulation.name if bounds is not None else "",
        deepest=_place(prepared, one.deepest),
        needed_by=ends.needed.name if ends is not None else "",
        needed_at=_place(prepared, ends.needed.node) if ends is not None else None,
        least_density=ends.needed.opened() if ends is not None else None,
        borne_by=ends.borne.name if ends is not None else "",
        borne_at=_place(prepared, ends.borne.node) if ends is not None else None,
        greatest_density=ends.borne.opened() if ends is not None else None,
        reason=one.reason,
        next_strings=one.next_strings,
        room_wanted=problem.drillings[one.drilling].window.room if bounds is not None else 0.0,
    )


def _opened_ways(
    prepared: Prepared, finder: Finder, closed: tuple[Blocker, ...]
) -> Iterator[OpenedWay]:
    for one in openings(prepared, finder.terms, closed):
        way = search(one.problem, FEWEST_STRINGS)
        assert way is not None  # it was searched before it was called an opening
        yield OpenedWay(one.what, one.amount, way.strings)
    for other in SYSTEMS:
        if other.name == prepared.system.name:
            continue
        try:
            there = prepare(finder.hole, other, finder.order.spacing)
        except InputErrors:
            continue  # not on board
        way = search(there.problem(finder.terms), FEWEST_STRINGS)
        if way is not None:
            yield OpenedWay(f"another circulation: {other.title}", None, way.strings)


CAUTIONS: Final = (
    "A search knows pressures, diameters and stock. Loads on steel, cement, hoist, riser, station "
    "and time are judged by the walk of each proposal: read its verdicts.",
    "Rock is judged at the nodes of the grid and the rows of the earth table, between them "
    "linearly, and only as far as the prognosis is right: carry a string in hand.",
    "The licensed engineer, the vessel's procedures and the coastal state's rules decide.",
)


def _of_this_earth(prepared: Prepared) -> Iterator[str]:
    """Yield what the earth table does not tell the search, or tells and the search leaves aside."""
    earth, depth = prepared.hole.earth, prepared.grid.depth
    if not earth.has("collapse_pressure"):
        yield f"{earth.file} has no collapse_pressure column: caving was not asked anywhere."
    else:
        missing = depth[~np.isfinite(earth.at("collapse_pressure", depth))]
        if len(missing):
            yield (
                f"{earth.file} gives no collapse pressure from {missing[0]:.0f} to "
                f"{missing[-1]:.0f} m below sea bed: caving was not asked there."
            )
    for top, bottom, word in earth.intervals("hazard"):
        if word not in ("", "none") and top < depth[-1]:
            yield (
                f"{word.capitalize()} is told from {top:.0f} to {bottom:.0f} m below sea bed: the "
                "search does not weigh it; read the walk before a shoe is set below it."
            )


def _assumptions(hole: Hole, terms: Terms) -> tuple[str, ...]:
    basis = hole.basis
    return (
        "Flow, string, rheology, cuttings and cement of each size are those of the plan's section "
        "nearest in diameter, flow in proportion to the area of the hole.",
        "While circulating the annulus is taken as wide as the hole from the sea bed down, the "
        "collars as next to every node, the rate of penetration as the greatest from there down: "
        "friction errs to the safe side, most in the narrowest hole. What cuttings weigh in a "
        "wider string above is left to the walk.",
        "Cuttings rise as the design basis asks in the bore of the string above a hole: below the "
        "conductor in the fastest rock, below a casing at least in the slowest.",
        f"Kick: {basis.kick_volume:g} m³ at bottom, {basis.kick_intensity:g} kg/m³ above the mud, "
        "at every depth on the riser; expands as an ideal gas, as light as in the hottest rock; "
        "choke-line friction is left to the walk.",
        "Without a riser the column begins at the sea bed under the sea, no trip margin can be "
        "kept, and rock with gas or oil is not drilled.",
        f"Room between what is needed and what is borne: {float(terms.room):g} kg/m³ at least; "
        f"heaviest mud {float(terms.heaviest_mud):g} kg/m³ (assumed unless asked for).",
        f"A string is hung in the wellhead while its stock reaches, else as a liner {LAP:.0f} m "
        f"inside the string above; a leg is {LEAST_LEG:.0f} m of new hole at least (assumed); a "
        "shoe stands at the bottom of its hole, without rat hole.",
        "The riser lands on a wellhead whose first casing is at least as wide as its bore "
        "(common practice).",
        "Mud compresses and warms as the column of the walk does, exactly, in every bound but "
        "the height of a kick, which takes its mean density.",
    )
