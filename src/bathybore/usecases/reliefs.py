"""What an engineer would change where a limit bites: real changes of the hole, in steps.

Each ladder is one kind of change, its least amount first. Nothing is judged here: whoever
asks makes the hole anew and asks the ledger again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from enum import IntEnum
from typing import Any, Final, TypeAlias

from bathybore.base.depth import Datum, Depth
from bathybore.base.units import UnitSystem, show
from bathybore.data import catalogues
from bathybore.ensembles.members import with_values, written
from bathybore.ensembles.shapes import Limit
from bathybore.model.fields import Node
from bathybore.model.hole import Hole, HoleDocument
from bathybore.model.inventory import RiserRun
from bathybore.model.plan import Casing
from bathybore.operations.catalogue_pipes import casing_pipe, string_pipe
from bathybore.operations.state import HoleState
from bathybore.usecases.ledger import DAY

KSI: Final = 6.894757293168361e6  # Pa
_SAME_SIZE: Final = 1e-4  # m
_NEAREST: Final = 0.005  # of the water depth: nearer no vessel is kept in a sea (common practice)


class Effort(IntEnum):
    """How much a change asks for where no price is told; the least first."""

    DECISION = 0
    STOCK = 1
    BOUGHT = 2
    RENTED = 3
    REBUILT = 4

    def __str__(self) -> str:
        return _EFFORTS[self]


_EFFORTS: Final = {
    Effort.DECISION: "a decision",
    Effort.STOCK: "from what is on board",
    Effort.BOUGHT: "more to be bought",
    Effort.RENTED: "gear to be hired or bought",
    Effort.REBUILT: "the vessel to be altered",
}


@dataclass(frozen=True, eq=False)
class Change:
    """One change of a hole, in words and done; ``later`` is time by which it begins later [s]."""

    what: str
    effort: Effort
    hole: Hole
    later: float = 0.0


Ladder: TypeAlias = tuple[Change, ...]


@dataclass(frozen=True, eq=False)
class Bitten:
    """What a relief is sought for.

    Attributes
    ----------
    check : name of the question that bites first; empty where no question is asked by name
    state : of the plan's walk, of the step that it is asked of; None where there is none
    """

    hole: Hole
    limit: Limit
    check: str
    state: HoleState | None
    units: UnitSystem = "metric"

    @property
    def section(self) -> int | None:
        return None if self.state is None else self.state.step.section

    def shown(self, number: float, unit: str) -> str:
        if unit == "s" and number > DAY:
            return f"{number / DAY:.4g} days"
        if unit == "s":
            return show(number, unit, unit="h", significant=4)
        return show(number, unit, self.units, significant=4)


def ladders(bitten: Bitten) -> Iterator[Ladder]:
    """Yield the changes that are worth trying against a limit, each kind's least amount first."""
    for ladder in _LADDERS.get(bitten.limit, _nothing)(bitten):
        if ladder:
            yield ladder


def _nothing(bitten: Bitten) -> Iterator[Ladder]:
    return iter(())


# ---- making a change ---------------------------------------------------------------------


def changed(hole: Hole, path: str, value: Any) -> Hole:
    """Return a hole with one thing of its document replaced, and of what was written too.

    Members with numbers of their own are built from what was written.

    Parameters
    ----------
    path : keys and places in lists, from the top of the document, with slashes between
    """
    keys = _keys(hole.document, path)
    document = _replaced(hole.document, keys, value)
    key = ".".join(f"[{one}]" if one.isdigit() else one for one in keys).replace(".[", "[")
    texts = dict(_texts(document, key, value))
    return replace(hole, document=document, tree=with_values(hole.tree, texts))


def _texts(document: HoleDocument, key: str, value: Any) -> Iterator[tuple[str, str]]:
    """Yield keys and what a user would write there."""
    if isinstance(value, Node):
        for name in sorted(value.model_fields_set):
            yield from _texts(document, f"{key}.{name}", getattr(value, name))
    elif isinstance(value, Depth):
        yield key, f"{value.metres!r} m below {value.datum}"
    elif value is not None:
        yield key, value if isinstance(value, str) else written(document, key, value)


def _replaced(node: Any, keys: list[str], value: Any) -> Any:
    if not keys:
        return value
    key, rest = keys[0], keys[1:]
    if isinstance(node, tuple):
        at = int(key)
        return (*node[:at], _replaced(node[at], rest, value), *node[at + 1 :])
    if isinstance(node, dict):
        return {**node, key: _replaced(node.get(key), rest, value)}
    assert isinstance(node, Node)
    return node.model_copy(update={key: _replaced(getattr(node, key), rest, value)})


def read(hole: Hole, path: str) -> Any:
    """Return what stands at a path of the document."""
    node: Any = hole.document
    for key in _keys(node, path):
        node = _below(node, key)
    return node


def _keys(node: Any, path: str) -> list[str]:
    """Split a path at its slashes; a name of the document, as of a 9 5/8 in, may hold some."""
    if not path:
        return []
    names = (
        [one for one in node if f"{path}/".startswith(f"{one}/")] if isinstance(node, dict) else []
    )
    key: str = max(names, key=len, default=path.partition("/")[0])
    return [key, *_keys(_below(node, key), path[len(key) + 1 :])]


def _below(node: Any, key: str) -> Any:
    if isinstance(node, tuple):
        return node[int(key)]
    return node.get(key) if isinstance(node, dict) else getattr(node, key)


def _scaled(
    bitten: Bitten,
    path: str,
    unit: str,
    factors: tuple[float, ...],
    words: str,
    effort: Effort,
    most: float | None = None,
) -> Ladder:
    """Return a number of the document by rising factors; ``words`` has places for new and old."""
    now = read(bitten.hole, path)
    if now is None or now == 0.0:
        return ()
    new = [now * factor for factor in factors if most is None or now * factor <= most]
    old = bitten.shown(now, unit)
    return tuple(
        Change(words.format(bitten.shown(one, unit), old), effort, changed(bitten.hole, path, one))
        for one in new
    )


def _counted(
    bitten: Bitten, path: str, more: tuple[int, ...], one: str, many: str, effort: Effort
) -> Ladder:
    """Return a count of the document raised; ``one`` and ``many`` name a thing and things."""
    now = read(bitten.hole, path)
    return tuple(
        Change(
            f"{new} {one if new == 1 else many} instead of {now or 'none'}",
            effort,
            changed(bitten.hole, path, new),
        )
        for new in (now + extra for extra in more)
    )


# ---- by limit ----------------------------------------------------------------------------


def _hoist(bitten: Bitten) -> Iterator[Ladder]:
    if bitten.check == "riser-hang":
        yield from _buoyancy(bitten)
    else:
        yield from _overpull(bitten)
    words = "a hoist that bears {} instead of {}"
    path = "vessel/hoist/hook_capacity"
    yield _scaled(bitten, path, "N", (1.1, 1.25, 1.5, 2.0), words, Effort.REBUILT)


def _overpull(bitten: Bitten) -> Iterator[Ladder]:
    for path, what in (("string_overpull", "the string"), ("casing_overpull", "the casing")):
        words = f"an overpull of {what} of {{}} instead of {{}}"
        key = f"design_basis/{path}"
        yield _scaled(bitten, key, "N", (0.75, 0.5), words, Effort.DECISION)


def _buoyancy_of(bitten: Bitten, runs: tuple[RiserRun, ...]) -> Iterator[Ladder]:
    """Relieve by more lift of the run of joints that lifts most."""
    most = max(range(len(runs)), key=lambda n: runs[n].joints * runs[n].buoyancy_lift)
    words = f"modules of the {runs[most].kind} joints that lift {{}} a joint instead of {{}}"
    path = f"inventory/riser/stack_up/{most}/buoyancy_lift"
    yield _scaled(bitten, path, "N", (1.05, 1.1, 1.2, 1.3, 1.4, 1.5), words, Effort.RENTED)


def _buoyancy(bitten: Bitten) -> Iterator[Ladder]:
    if bitten.hole.inventory.riser is None:
        return
    runs = bitten.hole.inventory.riser.stack_up
    if runs:
        yield from _buoyancy_of(bitten, runs)
        return
    path = "inventory/riser/buoyancy_lift"
    words = "buoyancy modules that lift {} a joint instead of {}"
    factors = (1.05, 1.1, 1.2, 1.3, 1.4, 1.5)
    yield _scaled(bitten, path, "N", factors, words, Effort.RENTED)
    path = "inventory/riser/buoyant_share"
    now = bitten.hole.inventory.riser.buoyant_share
    shares = [one for one in (0.9, 0.95, 1.0) if one > now]
    yield tuple(
        Change(
            f"buoyancy on {one:.0%} of the joints instead of {now:.0%}",
            Effort.RENTED,
            changed(bitten.hole, path, one),
        )
        for one in shares
    )


def _pipe(bitten: Bitten) -> Iterator[Ladder]:
    yield from _bit_weight(bitten)
    yield from _overpull(bitten)
    name = _string_of(bitten)
    if name is not None:
        yield from _other_pipes(bitten, name)
        yield from _newer_pipe(bitten, name)
        yield from _longer_stock(bitten, name)
    if bitten.check == "slips":
        path, words = "vessel/hoist/slip_length", "slips of {} instead of {}"
        yield _scaled(bitten, path, "m", (1.1, 1.25, 1.5), words, Effort.RENTED)


def _bit_weight(bitten: Bitten) -> Iterator[Ladder]:
    if bitten.section is None or bitten.check != "weight-on-bit":
        return
    path = f"plan/sections/{bitten.section}/weight_on_bit"
    words = "a weight on bit of {} instead of {}"
    yield _scaled(bitten, path, "N", (0.9, 0.8, 0.6), words, Effort.DECISION)


def _string_of(bitten: Bitten) -> str | None:
    state = bitten.state
    if state is None or state.activity.string is None:
        return None
    return state.activity.string.name


def _other_pipes(bitten: Bitten, name: str) -> Iterator[Ladder]:
    """Yield the string with one of its drill pipes replaced by a stronger one on board."""
    hole, found = bitten.hole, []
    stock = hole.inventory.pipe
    parts = hole.plan.strings[name]
    for at, part in enumerate(parts):
        if stock[part.pipe].kind != "pipe":
            continue
        bears = float(string_pipe(hole, part.pipe).tensile_capacity)
        for other, one in stock.items():
            if one.kind == "pipe" and float(string_pipe(hole, other).tensile_capacity) > bears:
                what = f"{other} instead of {part.pipe} in the string {name}"
                path = f"plan/strings/{name}/{at}/pipe"
                found.append(Change(what, Effort.STOCK, changed(hole, path, other)))
    yield from ((one,) for one in found)


def _newer_pipe(bitten: Bitten, name: str) -> Iterator[Ladder]:
    hole = bitten.hole
    for pipe in _pipes_of(hole, name):
        now = hole.inventory.pipe[pipe].remaining_wall
        yield tuple(
            Change(
                f"{'new pipe' if left == 1.0 else 'pipe'} {pipe}, {left:.0%} of its wall left "
                f"instead of {now:.0%}",
                Effort.RENTED,
                changed(hole, f"inventory/pipe/{pipe}/remaining_wall", left),
            )
            for left in (0.9, 1.0)
            if left > now
        )


def _longer_stock(bitten: Bitten, name: str) -> Iterator[Ladder]:
    if bitten.check != "pipe-stock":
        return
    for pipe in dict.fromkeys(part.pipe for part in bitten.hole.plan.strings[name]):
        path = f"inventory/pipe/{pipe}/length"
        words = f"{{}} of the pipe {pipe} instead of {{}}"
        yield _scaled(bitten, path, "m", (1.1, 1.25, 1.5, 2.0), words, Effort.RENTED)


def _pipes_of(hole: Hole, name: str) -> tuple[str, ...]:
    stock = hole.inventory.pipe
    pipes = (part.pipe for part in reversed(hole.plan.strings[name]))
    return tuple(dict.fromkeys(one for one in pipes if stock[one].kind == "pipe"))


def _casing(bitten: Bitten) -> Iterator[Ladder]:
    hole, section = bitten.hole, bitten.section
    if section is None or hole.plan.sections[section].casing is None:
        return
    casing = hole.plan.sections[section].casing
    assert casing is not None
    path = f"plan/sections/{section}/casing/test_pressure"
    words = f"a test of {casing.name} at {{}} instead of {{}}"
    factors: tuple[float, ...] = ()
    if bitten.check == "test-covers-kick":
        factors = (1.02, 1.05, 1.1, 1.2, 1.3)
    elif bitten.check.endswith("-pressure-test"):
        factors = (0.98, 0.95, 0.9, 0.8)
    yield _scaled(bitten, path, "Pa", factors, words, Effort.DECISION)
    yield from _stronger_casing(bitten, casing.pipe)
    if bitten.check == "test-covers-kick" and casing.test_pressure is not None:
        yield tuple(_stronger_and_tested(bitten, casing.pipe, path, casing.test_pressure))


def _stronger_and_tested(bitten: Bitten, key: str, path: str, pressure: float) -> Iterator[Change]:
    """Yield the next grades, each with the higher test that it is wanted for."""
    for ladder in _stronger_casing(bitten, key):
        for change in ladder:
            for factor in (1.05, 1.1, 1.2):
                test = pressure * factor
                what = f"{change.what}, tested at {bitten.shown(test, 'Pa')}"
                yield Change(what, change.effort, changed(change.hole, path, test))


def _stronger_casing(bitten: Bitten, key: str) -> Iterator[Ladder]:
    """Yield other pipes of the size on board, then the next grades and weights of the catalogue."""
    hole, now = bitten.hole, casing_pipe(bitten.hole, key)
    outside, path = float(now.outside_diameter), f"plan/sections/{bitten.section}/casing/pipe"
    for other in hole.inventory.casing:
        pipe = casing_pipe(hole, other)
        if other != key and abs(float(pipe.outside_diameter) - outside) < _SAME_SIZE:
            what = f"{other} ({pipe.designation}) instead of {key} ({now.designation})"
            yield (Change(what, Effort.STOCK, changed(hole, path, other)),)
    grades = sorted(
        (one.yield_strength, one.designation)
        for one in catalogues.grades()
        if one.use == "casing" and one.yield_strength > float(now.yield_strength) * 1.001
    )
    sizes = sorted(
        (row.linear_mass, row.designation)
        for row in catalogues.casings()
        if abs(row.outside_diameter - outside) < _SAME_SIZE
        and row.linear_mass > float(now.linear_mass) * 1.001
    )
    for field, words, rising in (("grade", "grade ", grades), ("size", "", sizes)):
        path = f"inventory/casing/{key}/{field}"
        yield tuple(
            Change(
                f"{key} of {words}{one} instead of {getattr(now.stock, field)}",
                Effort.RENTED,
                changed(hole, path, one),
            )
            for _, one in rising
        )


def _flow(
    bitten: Bitten, factors: tuple[float, ...], field: str, what: str, effort: Effort
) -> Ladder:
    """Return other flows of the section that is drilled, or of its core."""
    state = bitten.state
    if bitten.section is None or state is None:
        return ()
    path = f"plan/sections/{bitten.section}/{field}"
    if state.step.name == "core" and field == "flow_rate":
        path = "plan/coring/flow_rate"
    words = f"{what} of {{}} instead of {{}} in {state.step.name}"
    return _scaled(bitten, path, "m3/s", factors, words, effort)


def _pumps(bitten: Bitten) -> Iterator[Ladder]:
    if bitten.section is not None:
        path = f"plan/sections/{bitten.section}/nozzle_area"
        words = "nozzles of {} instead of {}"
        yield _scaled(bitten, path, "m2", (1.25, 1.5, 2.0), words, Effort.DECISION)
    yield _flow(bitten, (0.95, 0.9, 0.8), "flow_rate", "a flow", Effort.DECISION)
    yield _flow(bitten, (0.8, 0.6, 0.4), "booster_flow_rate", "a booster flow", Effort.DECISION)
    yield _counted(bitten, "vessel/pumps/count", (1, 2), "pump", "pumps", Effort.REBUILT)


def _cleaning(bitten: Bitten) -> Iterator[Ladder]:
    yield _flow(bitten, (1.05, 1.1, 1.2, 1.3), "flow_rate", "a flow", Effort.DECISION)
    booster = (1.1, 1.25, 1.5, 2.0)
    yield _flow(bitten, booster, "booster_flow_rate", "a booster flow", Effort.DECISION)
    if bitten.section is None:
        return
    path = f"plan/sections/{bitten.section}/rate_of_penetration_factor"
    now = read(bitten.hole, path)
    yield tuple(
        Change(
            f"the rate of penetration held at {share:.0%} of what it is planned to be",
            Effort.DECISION,
            changed(bitten.hole, path, now * share),
        )
        for share in (0.9, 0.8, 0.6, 0.4)
    )


def _riser(bitten: Bitten) -> Iterator[Ladder]:
    tension = "plan/riser_top_tension"
    for factors, which in (((1.03, 1.06, 1.1, 1.2), "more"), ((0.97, 0.94, 0.9, 0.8), "less")):
        words = f"{which} tension on the riser: {{}} instead of {{}}"
        yield _scaled(bitten, tension, "N", factors, words, Effort.DECISION)
    path = "design_basis/watch_offset_share"
    now, water = read(bitten.hole, path), bitten.hole.site.water_depth
    yield tuple(
        Change(
            f"the vessel kept within {bitten.shown(now * share * water, 'm')} of the wellhead "
            f"instead of {bitten.shown(now * water, 'm')}",
            Effort.DECISION,
            changed(bitten.hole, path, now * share),
        )
        for share in (0.8, 0.6, 0.4, 0.2)
        if now * share >= _NEAREST
    )
    yield from _buoyancy(bitten)
    if bitten.hole.vessel.tensioners is not None:
        words = "tensioners of {} each instead of {}"
        path = "vessel/tensioners/capacity_each"
        yield _scaled(bitten, path, "N", (1.1, 1.25, 1.5), words, Effort.REBUILT)
    if bitten.hole.inventory.riser is not None:
        words = "a riser of a yield strength of {} instead of {}"
        path = "inventory/riser/yield_strength"
        yield _scaled(bitten, path, "Pa", (1.1875, 1.375, 1.5625), words, Effort.RENTED)


def _preventer(bitten: Bitten) -> Iterator[Ladder]:
    words = "a pore pressure known better: kicks of {} instead of {}"
    path = "design_basis/kick_intensity"
    yield _scaled(bitten, path, "kg/m3", (0.75, 0.5, 0.25), words, Effort.DECISION)
    hole = bitten.hole
    if hole.inventory.preventer is None:
        return
    now = min(hole.inventory.preventer.pressure_rating, hole.inventory.wellhead.pressure_rating)
    ratings = [one * KSI for one in (5.0, 10.0, 15.0, 20.0, 25.0) if one * KSI > now * 1.001]
    rungs = []
    for rating in ratings:
        new = hole
        for path in ("inventory/preventer/pressure_rating", "inventory/wellhead/pressure_rating"):
            new = changed(new, path, max(rating, read(hole, path)))
        what = f"preventer and wellhead rated for {bitten.shown(rating, 'Pa')}"
        rungs.append(Change(what, Effort.RENTED, new))
    yield tuple(rungs)


def _heat(bitten: Bitten) -> Iterator[Ladder]:
    hole, path = bitten.hole, "inventory/core_barrel/temperature_limit"
    barrel = hole.inventory.core_barrel
    tools = hole.vessel.tool_temperature_limit
    rungs = []
    for celsius in (175.0, 200.0, 225.0, 250.0, 275.0, 300.0):
        rating = celsius + 273.15
        if rating <= tools + 0.5:
            continue
        new = changed(hole, "vessel/tool_temperature_limit", rating)
        if barrel is not None and barrel.temperature_limit is not None:
            new = changed(new, path, max(rating, barrel.temperature_limit))
        what = f"tools that bear {bitten.shown(rating, 'K')} instead of {bitten.shown(tools, 'K')}"
        rungs.append(Change(what, Effort.RENTED, new))
    yield tuple(rungs)


def _window(bitten: Bitten) -> Iterator[Ladder]:
    for field, unit, words in (
        ("trip_margin", "kg/m3", "a trip margin of {} instead of {}"),
        ("kick_volume", "m3", "kicks seen at {} instead of {}"),
        ("kick_intensity", "kg/m3", "a pore pressure known better: kicks of {} instead of {}"),
    ):
        path = f"design_basis/{field}"
        yield _scaled(bitten, path, unit, (0.75, 0.5, 0.25), words, Effort.DECISION)
    yield from _one_more_string(bitten)


def _one_more_string(bitten: Bitten) -> Iterator[Ladder]:
    """Yield the hole with one casing size more on board, the narrowest of each diameter first."""
    hole = bitten.hole
    there = {float(casing_pipe(hole, name).outside_diameter) for name in hole.inventory.casing}
    sizes: dict[float, catalogues.CasingRow] = {}
    for row in catalogues.casings():
        if not any(abs(row.outside_diameter - one) < _SAME_SIZE for one in there):
            sizes.setdefault(row.outside_diameter, row)
    stock = next(iter(hole.inventory.casing.values()))
    for row in sizes.values():
        new = stock.model_copy(
            update={"size": row.designation, "grade": "P-110", "drift": "api", "length": 3000.0}
        )
        what = f"one more string on board: {row.designation}, P-110"
        yield (Change(what, Effort.RENTED, changed(hole, "inventory/casing/one-more", new)),)


def _stores(bitten: Bitten) -> Iterator[Ladder]:
    path = "vessel/stores/resupplies"
    yield _counted(bitten, path, (1, 2, 4), "resupply", "resupplies", Effort.BOUGHT)
    if bitten.check == "bit-stock":
        yield from _more_bits(bitten)
    if (name := _string_of(bitten)) is not None:
        yield from _longer_stock(bitten, name)
    if bitten.check == "casing-stock" and bitten.section is not None:
        casing = bitten.hole.plan.sections[bitten.section].casing
        if casing is not None:
            path = f"inventory/casing/{casing.pipe}/length"
            words = f"{{}} of {casing.pipe} instead of {{}}"
            yield _scaled(bitten, path, "m", (1.05, 1.1, 1.25, 1.5), words, Effort.BOUGHT)


def _more_bits(bitten: Bitten) -> Iterator[Ladder]:
    if bitten.state is not None and bitten.state.step.name == "core":
        if bitten.hole.inventory.core_barrel is not None:
            path = "inventory/core_barrel/bits"
            yield _counted(bitten, path, (1, 2, 4, 8), "core bit", "core bits", Effort.BOUGHT)
        return
    if bitten.section is None:
        return
    diameter = bitten.hole.plan.sections[bitten.section].hole_diameter
    for at, bit in enumerate(bitten.hole.inventory.bits):
        if abs(bit.diameter - diameter) < _SAME_SIZE:
            of, path = bitten.shown(diameter, "m"), f"inventory/bits/{at}/count"
            names = f"bit of {of}", f"bits of {of}"
            yield _counted(bitten, path, (1, 2, 4, 8), *names, Effort.BOUGHT)
            path = f"inventory/bits/{at}/life"
            words = "bits that last {} instead of {}"
            yield _scaled(bitten, path, "s", (1.25, 1.5, 2.0), words, Effort.BOUGHT)


_MONTH: Final = 365.25 / 12.0 * 86400.0


def _later(bitten: Bitten) -> Iterator[Ladder]:
    if bitten.hole.weather is None:
        return
    yield tuple(
        Change(
            f"begun {count} month{'s' if count > 1 else ''} later",
            Effort.DECISION,
            bitten.hole,
            count * _MONTH,
        )
        for count in range(1, 12)
    )


def _days(bitten: Bitten) -> Iterator[Ladder]:
    yield from _later(bitten)
    words = "{} of the vessel's time instead of {}"
    path = "design_basis/days_available"
    if bitten.hole.basis.days_available is None:
        path = "vessel/endurance"
    yield _scaled(bitten, path, "s", (1.05, 1.1, 1.25, 1.5, 2.0), words, Effort.BOUGHT)


# ---- other questions of the ledger -------------------------------------------------------


def _others(bitten: Bitten) -> Iterator[Ladder]:
    """Yield what is done about the questions that stand with no other limit, where anything is."""
    ask = _OTHERS.get(bitten.check)
    if ask is not None:
        yield from ask(bitten)


def _placing(bitten: Bitten) -> Iterator[Ladder]:
    """Yield slower placing, less cement over the shoe, and lighter slurry."""
    if (casing := _casing_of(bitten)) is None:
        return
    cement, below = casing.cement, bitten.hole.frame.below_sea_bed
    path = f"plan/sections/{bitten.section}/casing/cement"
    words = f"cement of {casing.name} placed at {{}} instead of {{}}"
    yield _scaled(bitten, f"{path}/rate", "m3/s", (0.8, 0.6, 0.4), words, Effort.DECISION)
    now, lowest = below(cement.top), below(cement.tail_top or casing.shoe)
    tops = [now + share * (lowest - now) for share in (0.25, 0.5, 0.75)] if lowest > now else []
    yield tuple(
        Change(
            f"cement of {casing.name} up to {bitten.shown(top, 'm')} below the sea bed instead of "
            f"{bitten.shown(now, 'm')}",
            Effort.DECISION,
            changed(bitten.hole, f"{path}/top", Depth(top, Datum.SEA_BED)),
        )
        for top in tops
    )
    path, made = f"plan/slurries/{cement.slurry}", bitten.hole.plan.slurries[cement.slurry]
    old = bitten.shown(made.density, "kg/m3")
    yield tuple(
        Change(
            f"a slurry {cement.slurry} of {bitten.shown(made.density * share, 'kg/m3')} instead of "
            f"{old}, with light filler",
            Effort.BOUGHT,
            changed(  # a kg of cement with its water weighs what it did, in more room
                changed(bitten.hole, f"{path}/density", made.density * share),
                f"{path}/slurry_yield",
                made.slurry_yield / share,
            ),
        )
        for share in (0.97, 0.94, 0.9)
    )


def _waiting(bitten: Bitten) -> Iterator[Ladder]:
    if (casing := _casing_of(bitten)) is not None:
        path = f"plan/sections/{bitten.section}/casing/cement/wait"
        words = f"a wait on the cement of {casing.name} of {{}} instead of {{}}"
        yield _scaled(bitten, path, "s", (1.25, 1.5, 2.0), words, Effort.DECISION)


def _casing_of(bitten: Bitten) -> Casing | None:
    return None if bitten.section is None else bitten.hole.plan.sections[bitten.section].casing


def _shoe_test(bitten: Bitten) -> Iterator[Ladder]:
    """Yield higher tests, where one is told, of the shoe over the section."""
    if not bitten.section:
        return
    path = f"plan/sections/{bitten.section - 1}/casing/expected_test_at_shoe"
    casing = bitten.hole.plan.sections[bitten.section - 1].casing
    if casing is not None and casing.expected_test_at_shoe is not None:
        words = f"the shoe of {casing.name} tested to {{}} instead of {{}}"
        yield _scaled(bitten, path, "Pa", (1.01, 1.02, 1.05), words, Effort.DECISION)


def _tanks(bitten: Bitten) -> Iterator[Ladder]:
    path, words = "vessel/stores/mud_volume", "tanks for {} of mud instead of {}"
    yield _scaled(bitten, path, "m3", (1.1, 1.25, 1.5, 2.0), words, Effort.RENTED)
    path, words = "design_basis/pit_reserve", "a reserve in the pits of {} instead of {}"
    yield _scaled(bitten, path, "m3", (0.75, 0.5), words, Effort.DECISION)


def _heavy_mud(bitten: Bitten) -> Iterator[Ladder]:
    path = "vessel/stores/resupplies"
    yield _counted(bitten, path, (1, 2), "resupply", "resupplies", Effort.BOUGHT)
    path, words = "vessel/stores/mud_volume", "tanks for {} of mud instead of {}"
    yield _scaled(bitten, path, "m3", (1.1, 1.25, 1.5, 2.0), words, Effort.RENTED)
    if bitten.section is not None:
        path = f"plan/sections/{bitten.section}/sweep_share"
        words = "a share of sweeps of {} instead of {}"
        yield _scaled(bitten, path, "-", (0.5, 0.25), words, Effort.DECISION)


def _conductor(bitten: Bitten) -> Iterator[Ladder]:
    """Yield a longer soak, and a deeper conductor."""
    path = "plan/conductor/set_up_wait"
    words = "a soak of the conductor of {} instead of {}"
    yield _scaled(bitten, path, "s", (1.5, 2.0, 4.0), words, Effort.DECISION)
    shoe = bitten.hole.frame.below_sea_bed(bitten.hole.plan.conductor.shoe)
    yield tuple(
        Change(
            f"a conductor to {bitten.shown(shoe + more, 'm')} below the sea bed instead of "
            f"{bitten.shown(shoe, 'm')}",
            Effort.BOUGHT,
            changed(bitten.hole, "plan/conductor/shoe", Depth(shoe + more, Datum.SEA_BED)),
        )
        for more in (6.0, 12.0, 24.0)
    )


def _storm(bitten: Bitten) -> Iterator[Ladder]:
    """Yield an earlier warning, a hole secured sooner, and a riser pulled faster."""
    words = "a forecast believed {} before the storm instead of {}"
    path = "design_basis/storm_warning_time"
    yield _scaled(bitten, path, "s", (4 / 3, 5 / 3, 2.0), words, Effort.BOUGHT)
    words = "the hole secured in {} instead of {}"
    yield _scaled(bitten, "design_basis/securing_time", "s", (0.75, 0.5), words, Effort.DECISION)
    path = "vessel/handling/riser_joints_per_hour"
    now = read(bitten.hole, path)
    yield tuple(
        Change(
            f"{now * factor * 3600.0:.3g} joints of riser an hour instead of {now * 3600.0:.3g}",
            Effort.RENTED,
            changed(bitten.hole, path, now * factor),
        )
        for factor in (1.15, 1.3, 1.5)
    )


_OTHERS: Final[dict[str, Callable[[Bitten], Iterator[Ladder]]]] = {
    "placing-high": _placing,
    "waiting": _waiting,
    "shoe-test": _shoe_test,
    "mud-tanks": _tanks,
    "kill-mud": _heavy_mud,
    "bears-itself": _conductor,
    "conductor-bears-casing": _conductor,
    "storm-warning": _storm,
}


_LADDERS: Final[dict[Limit, Callable[[Bitten], Iterator[Ladder]]]] = {
    Limit.WINDOW: _window,
    Limit.CAVING: _window,
    Limit.DIAMETER: _one_more_string,
    Limit.PIPE: _pipe,
    Limit.CASING: _casing,
    Limit.HOIST: _hoist,
    Limit.PUMPS: _pumps,
    Limit.CLEANING: _cleaning,
    Limit.RISER: _riser,
    Limit.PREVENTER: _preventer,
    Limit.HEAT: _heat,
    Limit.STOCK: _stores,
    Limit.WEATHER: _later,
    Limit.DAYS: _days,
    Limit.OTHER: _others,
}
