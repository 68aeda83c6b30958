"""Where each limit first bites the members of an ensemble, read from the ledger's tables.

Demand and capacity go straight between the depths and the densities of a table, and on beyond
the outermost densities. Drawn factors multiply them; drawn curves stand in for the planned
ones where a number follows a curve. What the rock needs or bears is asked at every open node,
what is left there in the planned rock and what the drawn rock has more. Where a hole ends early
its last mud and bit go on, so that every limit is asked alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property, partial
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import kept
from bathybore.checks.record import ROUNDING
from bathybore.ensembles.asked_numbers import UNMOVED, Mover, mover_of
from bathybore.ensembles.casings import INTENSITY
from bathybore.ensembles.ledger_depths import LedgerDepths, Moment, Table, top_of
from bathybore.ensembles.limits_of_checks import ROCK, SOIL, belongs
from bathybore.ensembles.shapes import LIMITS, Drawn, Flags, Frame, Indices, Made
from bathybore.operations.columns import gravity_value, temperature
from bathybore.operations.influx import kick_intensity

_PASCALS: Final = 1e-2  # Pa that arithmetic alone can use of pressures in a hole
_NEAR: Final = 0.98  # use of a capacity below which a table is not looked at closer
# The crew drills slower where cuttings fill the annulus; below this share of the rate it gives up.
SLOWEST: Final = 0.25
_CUTTINGS: Final = "cuttings"
_STRENGTH: Final = "undrained_shear_strength"
ALONG: Final = (Moment.MAKING, Moment.BELOW, Moment.RISER)


def bites(ledger: LedgerDepths, frame: Frame, made: Made, drawn: Drawn) -> tuple[Array, Indices]:
    """Return where each limit first bites each member, and which question bites first.

    Returns
    -------
    depth : (member, limit) [m below sea bed]; infinite where it does not within the frame
    asked_first : (member, limit) number of the question in ``ledger.checks``; -1: none
    """
    depth = np.full((drawn.count, len(LIMITS)), np.inf)
    first = np.full((drawn.count, len(LIMITS)), -1, dtype=np.intp)
    every = each_bite(ledger, frame, made, drawn)
    for number, (table, found) in enumerate(zip(ledger.tables, every, strict=True)):
        column = LIMITS.index(table.limit)
        earlier = found < depth[:, column]
        depth[earlier, column] = found[earlier]
        first[earlier, column] = number
    return depth, first


def each_bite(
    ledger: LedgerDepths, frame: Frame, made: Made, drawn: Drawn, slowest: float = SLOWEST
) -> Iterator[Array]:
    """Yield where each question of the ledger bites each member (member) [m below sea bed].

    Parameters
    ----------
    slowest : share of the rate of penetration to which the crew slows down before cuttings
        bite; 1 for a crew that drills as planned
    """
    members = _Members(frame, made, drawn, slowest)
    for number, table in enumerate(ledger.tables):
        yield _first(_of_members(ledger, frame, number, table, drawn), members)


def slowing(ledger: LedgerDepths, frame: Frame, made: Made, drawn: Drawn) -> Array:
    """Return what the crew slows the rate of penetration to, section by section (member, node).

    A share of the drawn rate, `SLOWEST` to 1: what lets the fullest annulus of a section stay
    as clear of cuttings as it must.
    """
    members = _Members(frame, made, drawn)
    share = np.ones((drawn.count, len(frame.depth)))
    for number, table in enumerate(ledger.tables):
        if table.check != _CUTTINGS:
            continue
        at = _of_members(ledger, frame, number, table, drawn)
        nodes = _near(at, members, 1.0)
        if nodes is None:
            continue
        demand, capacity = _asked_of(at, members, nodes)
        used = demand / capacity
        here = (members.section[:, nodes] == table.section) & at.asked[nodes] & np.isfinite(used)
        used = np.max(np.where(here, used, 0.0), axis=1, keepdims=True)
        slower = 1.0 / np.clip(used, 1.0, 1.0 / SLOWEST)
        share = np.where(members.section == table.section, np.minimum(share, slower), share)
    return share


@dataclass(frozen=True, eq=False)
class _Members:
    """Members as they drill on: what stands in for their own below their ends.

    Attributes
    ----------
    slowest : share of the rate of penetration to which the crew slows down
    """

    frame: Frame
    made: Made
    drawn: Drawn
    slowest: float = SLOWEST

    @cached_property
    def density(self) -> Array:
        """(member, node) of the mud [kg/m3]; below the end the last one."""
        return _carried(self.made.density)

    @cached_property
    def section(self) -> Indices:
        """(member, node) of the section that is drilled; -1 in the conductor."""
        of = np.array([one.section for one in self.frame.strings])
        string = np.where(self.made.string >= 0, self.made.string, np.nan)
        there = _carried(string)
        return np.where(np.isfinite(there), of[np.nan_to_num(there).astype(np.intp)], -1)

    @cached_property
    def span(self) -> dict[int, tuple[int, int]]:
        """The nodes in which any member drills a section: the one above the first, and the end."""
        found = {}
        for index in np.unique(self.section[self.section >= 0]):
            nodes = np.flatnonzero((self.section == index).any(axis=0))
            found[int(index)] = (max(int(nodes[0]) - 1, 0), int(nodes[-1]) + 1)
        return found

    @cached_property
    def soil(self) -> Array:
        """(member) mean strength of the soil along the conductor, as a share of the planned."""
        shoe, depth = self.frame.strings[0].bottom, self.frame.depth
        along = depth <= shoe + 1e-6
        drawn = self.drawn.curves.get(_STRENGTH)
        if drawn is None:
            return np.ones(self.drawn.count)
        planned = self.frame.hole.earth.at(_STRENGTH, depth[along])
        share = np.trapezoid(drawn[:, along], depth[along]) / np.trapezoid(planned, depth[along])
        return np.array(np.broadcast_to(share, (self.drawn.count,)))

    def stray(self, check: str) -> Array:
        """(member or 1, node) by how much the drawn rock has more than the planned [Pa]."""
        column, way = ROCK[check]
        drawn, depth = self.drawn.curves.get(column), self.frame.depth
        if drawn is None:
            return np.zeros((1, len(depth)))
        return way * (drawn - self.frame.hole.earth.at(column, depth))

    def factor(self, key: str) -> Array:
        return self.drawn.number(key) if key else np.ones((1, 1))

    @cached_property
    def _most(self) -> dict[tuple[str, str], float]:
        return {}

    def most_moved(self, check: str) -> float:
        """Return the most that drawn factors make of the share of a capacity that is used."""
        moved = belongs(check)
        key = moved.demand, moved.capacity
        if key not in self._most:
            shares = self.factor(moved.demand) / self.factor(moved.capacity)
            self._most[key] = float(np.max(shares))
        return self._most[key]

    @cached_property
    def mud_at_shoes(self) -> Array:
        """(member, string) of the mud while the bit was at each shoe [kg/m3]."""
        nodes = self.frame.nodes_at(np.nan_to_num(self.made.shoes))
        return np.take_along_axis(self.density, nodes, axis=1)

    @cached_property
    def muds(self) -> dict[int, tuple[float, float]]:
        """Lightest and heaviest mud in the nodes of `span`; both NaN where one is not known."""
        muds = {index: self.density[:, slice(*span)] for index, span in self.span.items()}
        return {index: (float(mud.min()), float(mud.max())) for index, mud in muds.items()}

    def curve(self, table: Table) -> Array:
        """Return what the demand of a table is proportional to: (member or 1, node)."""
        key = table.check, table.section
        if key not in self._curves:
            self._curves[key] = self._drawn_curve(table)
        return self._curves[key]

    @cached_property
    def _curves(self) -> dict[tuple[str, int], Array]:
        return {}

    def _drawn_curve(self, table: Table) -> Array:
        own = self.drawn.curves.get(_FOLLOWS[table.check])
        if own is None:
            planned = _planned_curve(self.frame, table, self.frame.depth)
            assert planned is not None
            return planned[None, :]
        if _FOLLOWS[table.check] == "pore_pressure":
            return own + _kick(self.frame, table.section, self.frame.depth, self.drawn)
        if table.check == "cuttings":
            return _fastest(own, self.frame.depth, top_of(self.frame, table.section))
        return own


def _carried(values: Array) -> Array:
    """Return values with gaps filled by the last value above them."""
    nodes = np.where(np.isfinite(values), np.arange(values.shape[1]), 0)
    last = np.maximum.accumulate(nodes, axis=1)
    return np.take_along_axis(values, last, axis=1)


@dataclass(frozen=True, eq=False)
class AtNodes:
    """A table brought to the nodes of a frame.

    Attributes
    ----------
    demand, capacity : (node, density)
    asked : (node) where it is asked at all
    follows : demand is per unit of a curve: see `_curve`
    mover : what the members' own numbers of the hole make of it
    """

    table: Table
    demand: Array
    capacity: Array
    asked: Flags
    follows: bool
    mover: Mover = UNMOVED

    @cached_property
    def used(self) -> Array:
        """(node) The greatest share of the capacity used in any mud that the table knows."""
        return np.asarray(_share(self.demand, self.capacity).max(axis=-1))

    @cached_property
    def used_anywhere(self) -> float:
        """The greatest share of the capacity used at any depth in any mud of the table."""
        return float(_share(self.table.demand, self.table.capacity).max())

    def knows(self, least: float, most: float) -> bool:
        """Return whether muds lie between those of the table, or it is the same in all."""
        known = self.table.density
        return len(known) == 1 or bool(known[0] <= least and most <= known[-1])

    def most_used(self, nodes: slice, least: float, most: float) -> Array:
        """Return the greatest share of the capacity used at nodes, by any mud between two.

        Straight between known densities, so nothing uses more than at them and at both ends.
        """
        known = self.table.density
        muds = np.array([least, *known[(known > least) & (known < most)], most])
        demand, capacity = (
            between(values[nodes][:, None], known, muds) for values in (self.demand, self.capacity)
        )
        return np.asarray(_share(demand, capacity).max(axis=-1))

    def values_of(self, members: Indices, nodes: Indices, mud: Array) -> tuple[Array, Array]:
        """Return demand and capacity of some members, at one node in one mud each."""
        return replace(self, mover=self.mover.of(members)).values(nodes, mud)

    def values(self, nodes: slice | Indices, density: Array) -> tuple[Array, Array]:
        """Return demand and capacity at nodes in muds: (member, node), or both one a member."""
        demand, capacity = self.demand[nodes], self.capacity[nodes]
        if self.mover:
            demand = self.mover.demand(demand, nodes)
            capacity = self.mover.capacity(capacity, nodes)
        known = self.table.density
        return between(demand, known, density), between(capacity, known, density)


def _share(demand: Array, capacity: Array) -> Array:
    """Return the share of capacities that demands use.

    Infinite where that says nothing: a number is missing, or a capacity is not above zero.
    """
    sure = np.isfinite(demand) & (capacity > 0.0)
    return np.where(sure, demand / np.where(sure, capacity, 1.0), np.inf)


def between(values: Array, known: Array, density: Array) -> Array:
    """Interpolate over the last axis, straight on beyond its ends."""
    shape = np.broadcast_shapes(values.shape[:-1], density.shape)
    answer = np.array(np.broadcast_to(values[..., 0], shape))
    for i in range(len(known) - 1):
        slope = (values[..., i + 1] - values[..., i]) / (known[i + 1] - known[i])
        low = -np.inf if i == 0 else known[i]
        high = np.inf if i == len(known) - 2 else known[i + 1]
        answer += slope * (np.clip(density, low, high) - known[i])
    return answer


def _of_members(
    ledger: LedgerDepths, frame: Frame, number: int, table: Table, drawn: Drawn
) -> AtNodes:
    """Return a table at the nodes, with what the numbers of the members make of it."""
    at, mover = at_nodes(frame, table), mover_of(ledger.numbers, number, drawn)
    return replace(at, mover=mover) if mover else at


@kept(1024)
def at_nodes(frame: Frame, table: Table) -> AtNodes:
    """Bring a table to the nodes; above its first depth its first numbers stand."""
    demand, follows = table.demand, False
    if table.moment in ALONG:
        own = _planned_curve(frame, table, table.depth)
        if own is not None:
            demand, follows = demand / own[:, None], True
    at = [at_depths(table.depth, values, frame.depth) for values in (demand, table.capacity)]
    return AtNodes(table, at[0], at[1], _asked(frame, table), follows)


def _asked(frame: Frame, table: Table) -> Flags:
    """Where a section is partly cored, drilling is asked above that and coring below."""
    coring = frame.hole.plan.coring
    last = len(frame.hole.plan.sections) - 1
    if table.moment is not Moment.MAKING or coring is None or table.section != last:
        return np.ones(len(frame.depth), dtype=np.bool_)
    begins = frame.hole.frame.below_sea_bed(coring.top)
    cored = table.depth[0] > begins
    return frame.depth > begins if cored else frame.depth <= begins


# ---- numbers that follow a curve ---------------------------------------------------------

# check: column of the earth table that its demand is proportional to
_FOLLOWS: Final = {
    "temperature": "temperature",
    "cuttings": "rate_of_penetration",
    "preventer-rating": "pore_pressure",
    "axial-cooled": "pore_pressure",  # cold mud pumped down on the worst kick
    "triaxial-cooled": "pore_pressure",
}


def _planned_curve(frame: Frame, table: Table, depth: Array) -> Array | None:
    """Return what a demand is proportional to, as planned, at depths; None: it follows none."""
    hole, column = frame.hole, _FOLLOWS.get(table.check)
    if column is None or (table.check == "preventer-rating" and _is_told(frame)):
        return None
    if column == "temperature":
        return np.asarray(temperature(hole, depth + float(hole.sea_bed)))
    if column == "pore_pressure":
        return hole.earth.at(column, depth) + _kick(frame, table.section, depth)
    coring = hole.plan.coring
    if coring is not None and table.depth[0] > hole.frame.below_sea_bed(coring.top):
        return None  # a core is cut at its own rate
    nodes = np.unique([*frame.depth, *depth])
    rate = _fastest(hole.earth.at(column, nodes), nodes, top_of(frame, table.section))
    return np.asarray(rate[np.searchsorted(nodes, depth)])


def _fastest(rate: Array, depth: Array, top: float) -> Array:
    """Return the greatest rate since the top of a section (…, node); above it the rate itself."""
    drilled = depth >= top
    return np.where(drilled, np.fmax.accumulate(np.where(drilled, rate, -np.inf), axis=-1), rate)


def _is_told(frame: Frame) -> bool:
    return frame.hole.site.greatest_wellhead_pressure is not None


def _kick(frame: Frame, section: int, depth: Array, drawn: Drawn | None = None) -> Array:
    """Return by how much a kick exceeds the pore pressure, as the rating is judged [Pa]."""
    hole = frame.hole
    intensity: Array | float = float(kick_intensity(hole, hole.plan.sections[section]))
    if drawn is not None and hole.plan.sections[section].kick_intensity is None:
        intensity = drawn.numbers.get(INTENSITY, np.full(1, intensity))[:, None]
    height = depth + float(hole.sea_bed - hole.drill_floor)
    return np.asarray(intensity * float(gravity_value(hole)) * height)


# ---- the first bite ----------------------------------------------------------------------


def _first(at: AtNodes, members: _Members) -> Array:
    """Return the depth at which one question first bites each member."""
    table = at.table
    if table.moment is Moment.ONCE:
        return _once(at, members)
    if table.moment is Moment.TESTED:
        return _when_tested(at, members)
    if table.moment is Moment.SET:
        return _when_placed(at, members) if table.left is not None else _when_set(at, members)
    return _along(at, members) if table.left is None else _along_rock(at, members)


def fails(demand: Array, capacity: Array) -> Flags:
    """Return where more is asked than there is.

    Where both numbers are missing nothing is asked; where one of them is, that is no pass.
    """
    over = demand - capacity > ROUNDING * np.abs(capacity)
    return np.asarray(over | (np.isnan(demand) != np.isnan(capacity)))


def _far(at: AtNodes, members: _Members, along: Array) -> bool:
    """Return whether no member comes near a limit in muds or soils (member), at whatever depth.

    Straight between rows and between densities, nothing uses more than at one of them.
    """
    if at.mover or not at.knows(float(along.min()), float(along.max())):
        return False
    return at.used_anywhere * members.most_moved(at.table.check) < _NEAR


def _once(at: AtNodes, members: _Members) -> Array:
    table, soil = at.table, members.soil
    if _far(at, members, soil):
        return np.full(soil.shape, np.inf)
    moved = belongs(table.check)
    demand, capacity = _at_shoe(at, np.full(soil.shape, table.depth[0]), soil)
    demand = demand * members.factor(moved.demand)[:, 0]
    capacity = capacity * members.factor(moved.capacity)[:, 0]
    return np.where(fails(demand, capacity), table.depth[0], np.inf)


def _strings(table: Table, members: _Members, spares: bool = False) -> Iterator[tuple[int, Array]]:
    """Yield the strings that a table of casings is about, and their shoes (member)."""
    for string, planned in enumerate(members.frame.strings):
        if planned.section == table.section and (spares or not planned.spare):
            yield string, members.made.shoes[:, string]


def _at_shoe(at: AtNodes, shoe: Array, along: Array) -> tuple[Array, Array]:
    """Return demand and capacity (member) of casings at shoes, in muds or soils (member)."""
    table, every = at.table, slice(None)
    demand, capacity = (
        _at_depth(table.depth, of_all, shoe)
        for of_all in (
            at.mover.demand(table.demand, every),
            at.mover.capacity(table.capacity, every),
        )
    )
    return between(demand, table.density, along), between(capacity, table.density, along)


def _at_depth(known: Array, values: Array, depth: Array) -> Array:
    """Interpolate values (member or 1, row, density) to a depth of each member; flat beyond."""
    if len(values) == 1:
        return at_depths(known, values[0], depth)
    row, below, part = _beside(known, depth)
    members, share = np.arange(len(values)), part[:, None]
    upper, lower = values[members, row], values[members, below]
    found: Array = np.where(share > 0.0, upper + share * (lower - upper), upper)
    return found


def at_depths(known: Array, values: Array, depth: Array) -> Array:
    """Interpolate values (row, density) to other depths; flat beyond."""
    columns = range(values.shape[-1])
    return np.stack([np.interp(depth, known, values[:, i]) for i in columns], axis=-1)


def _beside(known: Array, depth: Array) -> tuple[Indices, Indices, Array]:
    """Return the rows above and below each depth, and what share of the way down it lies."""
    row = np.clip(np.searchsorted(known, depth, side="right") - 1, 0, max(len(known) - 2, 0))
    below = np.minimum(row + 1, len(known) - 1)
    apart = np.where(below > row, known[below] - known[row], 1.0)
    return row, below, np.clip((depth - known[row]) / apart, 0.0, 1.0)


def _when_set(at: AtNodes, members: _Members) -> Array:
    """Judge a casing at the depth at which each member sets it."""
    table = at.table
    moved, answer = belongs(table.check), np.full(members.drawn.count, np.inf)
    for string, shoe in _strings(table, members):
        along = members.soil if table.check in SOIL else members.mud_at_shoes[:, string]
        if _far(at, members, along):
            continue
        demand, capacity = _at_shoe(at, shoe, along)
        demand = demand * members.factor(moved.demand)[:, 0]
        capacity = capacity * members.factor(moved.capacity)[:, 0]
        answer = np.where(fails(demand, capacity) & np.isfinite(shoe), shoe, answer)
    return answer


def _when_placed(at: AtNodes, members: _Members) -> Array:
    """Judge a casing, or a spare after its pattern, against the rock that each member leaves open.

    Nodes that only deeper shoes leave open were asked with these alone: they stand for it.
    """
    table, answer = at.table, np.full(members.drawn.count, np.inf)
    nodes, left = members.frame.depth, _left_at_nodes(members.frame, table)
    stray = members.stray(table.check)
    for string, shoe in _strings(table, members, spares=True):
        place = members.frame.nodes_at(np.nan_to_num(shoe))
        over = members.made.shoe_above[:, string][:, None]
        more = at.mover.left(partial(_left_at_shoes, members.frame, table, place), "mv,vmdn->mdn")
        mine = np.moveaxis(left[place] + more, 1, -1)
        there = between(mine, table.density, members.mud_at_shoes[:, string, None]) + stray
        asked = (nodes >= over - 1e-6) & (nodes <= shoe[:, None] + 1e-6) & np.isfinite(there)
        broken = (np.where(asked, there, np.inf) < -_PASCALS).any(axis=1)
        answer = np.where(broken, np.minimum(answer, shoe), answer)
    return answer


@kept(64)
def _left_at_nodes(frame: Frame, table: Table) -> Array:
    """Bring what is left to shoes at the nodes of a frame (shoe, density, node)."""
    assert table.left is not None
    return _between_shoes(frame, table, table.left)


def _left_at_shoes(frame: Frame, table: Table, place: Indices, left: Array) -> Array:
    """Bring what is left to nodes of the frame at which shoes stand (member, density, node)."""
    return np.asarray(_between_shoes(frame, table, left)[place])


def _between_shoes(frame: Frame, table: Table, left: Array) -> Array:
    row, below, part = _beside(table.depth, frame.depth)
    upper, lower, share = left[row], left[below], part[:, None, None]
    within = upper + share * (lower - upper)
    alone = np.where(np.isfinite(lower), lower, upper)
    return np.where(np.isfinite(within), within, alone)


def _when_tested(at: AtNodes, members: _Members) -> Array:
    """Judge the test of the planned shoe above a section, in the heaviest mud on it.

    Where no test is planned, what the drawn rock bears at the member's own shoe is proved.
    """
    answer = np.full(members.drawn.count, np.inf)
    table, frame, made = at.table, members.frame, members.made
    column, _ = ROCK[table.check]
    above = frame.hole.plan.sections[table.section - 1]
    assumed = above.casing is not None and above.casing.expected_test_at_shoe is None
    planned = frame.hole.earth.at(column, table.depth)
    for string, one in enumerate(frame.strings):
        if one.section != table.section - 1 or one.spare:
            continue
        shoe, mud = made.shoes[:, string], _heaviest_below(members, string)
        demand, capacity = _at_shoe(at, shoe, mud)
        if assumed:
            more = np.interp(shoe, table.depth, planned)
            node = frame.nodes_at(np.nan_to_num(shoe))
            curve = members.drawn.curves.get(column)
            own = frame.hole.earth.at(column, frame.depth)[None] if curve is None else curve
            own = np.broadcast_to(own, (len(shoe), own.shape[1]))
            capacity = capacity - more + own[np.arange(len(shoe)), node]
        failed = fails(demand, capacity) & np.isfinite(shoe) & np.isfinite(mud)
        answer = np.where(failed, shoe, answer)
    return answer


def _heaviest_below(members: _Members, string: int) -> Array:
    """Return the heaviest mud (member) of the hole next below a string; NaN where there is none."""
    below = np.where(members.made.string > string, members.made.string, len(members.frame.strings))
    following = below.min(axis=1, keepdims=True)
    here = (members.made.string == following) & np.isfinite(members.made.density)
    heaviest = np.where(here, members.made.density, -np.inf).max(axis=1)
    return np.where(np.isfinite(heaviest), heaviest, np.nan)


def _along_rock(at: AtNodes, members: _Members) -> Array:
    """Find the first node of a section that is open, and needs more than its column gives."""
    table, frame = at.table, members.frame
    assert table.left is not None
    more = at.mover.left(lambda left: left[-1].T, "mv,vnd->mnd")
    left = between(table.left[-1].T + more, table.density, members.density)
    left = left + members.stray(table.check)
    asked = (members.section == table.section) & at.asked & np.isfinite(left)
    broken = asked & (left < -_PASCALS)
    return np.where(broken.any(axis=1), frame.depth[np.argmax(broken, axis=1)], np.inf)


def _along(at: AtNodes, members: _Members) -> Array:
    """Find the first node of a question's section that bites, and the place before it."""
    never = np.full(members.drawn.count, np.inf)
    slowest = _slowest(at.table, members)
    nodes = _near(at, members, slowest)
    if nodes is None:
        return never
    demand, capacity = _asked_of(at, members, nodes)
    demand = demand * slowest
    asked = (members.section[:, nodes] == at.table.section) & at.asked[nodes]
    bitten = fails(demand, capacity) & asked
    if not bitten.any():
        return never
    return _crossing(at, members, nodes, bitten, capacity - demand)


def _slowest(table: Table, members: _Members) -> float:
    """Return the share of a demand that is left when the crew has done what it can about it."""
    return members.slowest if table.check == _CUTTINGS else 1.0


def _asked_of(at: AtNodes, members: _Members, nodes: slice) -> tuple[Array, Array]:
    """Return demand and capacity of members at nodes, drawn curves and factors counted."""
    moved = belongs(at.table.check)
    demand, capacity = at.values(nodes, members.density[:, nodes])
    if at.follows:
        demand *= members.curve(at.table)[:, nodes]
    return demand * members.factor(moved.demand), capacity * members.factor(moved.capacity)


def _near(at: AtNodes, members: _Members, slowest: float) -> slice | None:
    """Return the nodes in which any member can come near a limit, and one above them.

    Parameters
    ----------
    slowest : share of the demand that counts
    """
    span = members.span.get(at.table.section)
    if span is None:
        return None
    nodes, muds = slice(*span), members.muds[at.table.section]
    if at.mover:  # where it is used most hangs on numbers of the members' own
        return nodes if at.asked[nodes].any() else None
    moves: Array | float = slowest * members.most_moved(at.table.check)
    if at.follows:
        moves = moves * members.curve(at.table)[:, nodes].max(axis=0)

    def near_at(used: Array) -> Indices:
        return np.flatnonzero(~(used * moves < _NEAR) & at.asked[nodes])

    if at.knows(*muds) and not near_at(at.used[nodes]).size:  # most tables: looked at no closer
        return None
    near = near_at(at.most_used(nodes, *muds))
    if not near.size:
        return None
    return slice(max(span[0] + int(near[0]) - 1, 0), span[0] + int(near[-1]) + 1)


def _crossing(at: AtNodes, members: _Members, nodes: slice, bitten: Flags, left: Array) -> Array:
    """Return where what is left of a capacity comes to nothing, straight between two nodes.

    Where the node above belongs to another section, or another step, the question is asked of
    this one there, with the mud of the node below.
    """
    answer = np.full(members.drawn.count, np.inf)
    who = np.flatnonzero(bitten.any(axis=1))
    node = np.argmax(bitten[who], axis=1)
    above = np.maximum(node - 1, 0)
    here = left[who, node]
    begins = members.section[who, nodes.start + above] != at.table.section
    mud = members.density[who, nodes.start + np.where(begins, node, above)]
    moved = belongs(at.table.check)
    demand, capacity = at.values_of(who, nodes.start + above, mud)
    count = bitten.shape
    if at.follows:
        curve = np.broadcast_to(members.curve(at.table)[:, nodes], count)
        demand = demand * curve[who, above]
    demand = demand * np.broadcast_to(members.factor(moved.demand), count)[who, 0]
    demand = demand * _slowest(at.table, members)
    capacity = capacity * np.broadcast_to(members.factor(moved.capacity), count)[who, 0]
    before = capacity - demand
    deep = members.frame.depth[nodes]
    share = np.where(before > 0.0, before / np.where(before > here, before - here, 1.0), 0.0)
    answer[who] = deep[above] + share * (deep[node] - deep[above])
    return answer
