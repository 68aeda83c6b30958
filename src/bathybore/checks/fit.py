"""Does what must pass fit through what stands there, with room for what follows?"""

from __future__ import annotations

from collections.abc import Iterator

from bathybore.base.keeping import FEW, SOME, kept
from bathybore.base.working import FromWalk, Solved, Value
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.model.hole import Setting
from bathybore.operations.diameter_budget import diameter_budget
from bathybore.operations.geometry import Bore, bores
from bathybore.operations.state import CasingInPlace, HoleState, Riser, StringInHole

CLEARANCE = Question(
    "casing-clearance",
    Discipline.FIT,
    "Is there room between hole and coupling for the casing and its cement?",
    "A wider hole (underream), a slimmer coupling, or the next smaller casing.",
)
CASING_PASSES = Question(
    "casing-passes",
    Discipline.FIT,
    "Do the couplings of the casing pass everything above its hole?",
    "A smaller casing, or a wider one above.",
)
BIT_PASSES = Question(
    "bit-passes",
    Discipline.FIT,
    "Does the bit pass everything above the hole it is to drill?",
    "A smaller bit, a special-drift casing above, or a bit that opens below the shoe.",
)


def passage(state: HoleState, casings: tuple[CasingInPlace, ...]) -> tuple[Value, str]:
    """Return the narrowest diameter on the way down, and what it is."""
    return _passage(state.hole.setting, state.riser, casings)


@kept(SOME)
def _passage(
    hole: Setting, riser: Riser | None, casings: tuple[CasingInPlace, ...]
) -> tuple[Value, str]:
    ways: list[tuple[Value, str]] = []
    if riser is not None:
        ways.append((riser.inside_diameter, "the riser"))
        if hole.inventory.preventer is not None:
            ways.append(
                (hole.inventory.preventer.value("bore", "inside_diameter"), "the preventer")
            )
        ways.append(
            (hole.inventory.wellhead.value("housing_bore", "inside_diameter"), "the wellhead")
        )
    ways.extend((casing.pipe.drift_diameter, casing.name) for casing in casings)
    if not ways:
        origin = FromWalk("open water")
        return Value("inside_diameter", hole.vessel.hoist.rotary_opening, "m", origin), "the rotary"
    return min(ways, key=lambda way: float(way[0]))


def casing_fit_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge a casing about to be run: through what is above, and in its hole."""
    casing = state.hanging_casing
    if casing is None:
        return
    step, setting = state.step.name, state.hole.setting
    yield _clearance(step, setting, casing)
    coupling = casing.pipe.coupling_outside_diameter
    yield _passes(step, CASING_PASSES, coupling, *passage(state, state.casings), 0.002)


@kept(SOME)
def _clearance(step: str, setting: Setting, casing: CasingInPlace) -> CheckRecord:
    coupling = casing.pipe.coupling_outside_diameter
    room = Value(
        "clearance",
        float(casing.hole_diameter) - float(coupling),
        "m",
        Solved("hole less coupling, on diameter", "definition", (casing.hole_diameter, coupling)),
    )
    return judge(
        step,
        CLEARANCE,
        setting.basis.value("casing_clearance", "clearance"),
        room,
        setting.basis.tight_band,
        setting.depth(casing.shoe),
    )


@kept(SOME)
def _passes(
    step: str, question: Question, width: Value, way: Value, what: str, band: float
) -> CheckRecord:
    """Judge whether something passes the narrowest place on its way down."""
    return judge(
        step,
        question,
        width.named("inside_diameter"),
        way.named("inside_diameter"),
        band,
        note=f"Narrowest on the way: {what}.",
    )


def bit_fit_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the bit of a drilling or coring step on its way down."""
    section, step = state.activity.section, state.step.name
    if section is None:
        yield unjudged(step, BIT_PASSES, "the step has no section")
        return
    bit = section.value("pilot_bit" if section.pilot_bit is not None else "hole_diameter")
    # a bit may fill its drift exactly: that is what a drift is for
    yield _passes(step, BIT_PASSES, bit, *passage(state, state.casings), 0.0)


CONTINGENCY = Question(
    "contingency-strings",
    Discipline.FIT,
    "Is there a casing size in hand for what the prognosis did not tell?",
    "Carry another size that fits between two planned ones, or start wider.",
)


def contingency_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Count the strings on board that the plan does not use and that fit between two it does."""
    spares = diameter_budget(state.hole).spares
    names = ", ".join(f"{spare.name} below {spare.below}" for spare in spares) or "none"
    yield _in_hand(state.step.name, state.hole.setting, len(spares), names)


@kept(FEW)
def _in_hand(step: str, setting: Setting, count: int, names: str) -> CheckRecord:
    basis = setting.basis
    needed = Value(
        "strings",
        float(basis.least_contingency_strings),
        "-",
        basis.origin("least_contingency_strings"),
    )
    have = Value("strings", float(count), "-", FromWalk(f"in hand: {names}"))
    return judge(step, CONTINGENCY, needed, have, 0.0, note=f"In hand: {names}.")


STRING_FITS = Question(
    "string-fits",
    Discipline.FIT,
    "Does every part of the string, tool joints included, fit inside what surrounds it?",
    "A slimmer pipe where the hole is narrow: move the taper up.",
)


def string_fit_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge every length of the string against the wall around it, at the deepest point."""
    string = state.activity.string
    if string is None:
        return
    closest = _closest(state.step.name, state.hole.setting, bores(state), string)
    if closest is not None:
        yield closest


@kept(SOME)
def _closest(
    step: str, setting: Setting, bores: tuple[Bore, ...], string: StringInHole
) -> CheckRecord | None:
    rooms = [
        (wall.diameter - float(part.pipe.tool_joint_outside_diameter), part, wall)
        for wall in bores
        for part in string.parts
        if min(wall.bottom, part.bottom) - max(wall.top, part.top) > 1e-6
    ]
    if not rooms:
        return None
    _, part, wall = min(rooms, key=lambda room: room[0])
    inside = Value(
        "inside_diameter",
        wall.diameter,
        "m",
        FromWalk(f"bore of {wall.name} around {part.pipe.name}"),
    )
    return judge(
        step,
        STRING_FITS,
        part.pipe.tool_joint_outside_diameter.named("inside_diameter"),
        inside,
        setting.basis.tight_band,
        setting.depth(float(max(wall.top, part.top))),
        note=f"Closest: {part.pipe.name} in {wall.name}.",
    )
