"""What must hold between the parts of a hole document before any step of it can be walked.

Here stands only what would make a walk meaningless. Whether a sound plan is a
good one is for the checks to say.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from bathybore.base.depth import Datum, Depth, DepthFrame
from bathybore.base.errors import Fault
from bathybore.base.units import show
from bathybore.model.chart import position_faults, written_at
from bathybore.model.fields import Node
from bathybore.model.files import shown
from bathybore.model.hole import HoleDocument
from bathybore.model.inventory import RiserJoint
from bathybore.model.plan import Casing, Section
from bathybore.model.tables import SAME_DEPTH, ProfileTable
from bathybore.model.wash_faults import wash_faults

_STRAIGHT_ON = 1.0471975511965976  # rad; 60 degrees: twice as long as it is deep
_LONGEST_HOLE = 50_000.0  # m; far more than any pipe reaches


@dataclass(frozen=True)
class _Place:
    """A depth of the document with a name for it."""

    name: str
    depth: Depth


class _Checker:
    """The document with its depth frame, and the one comparison that all checks are made of."""

    def __init__(self, document: HoleDocument) -> None:
        self.document = document
        self.plan = document.plan
        self.frame = DepthFrame(document.vessel.drill_floor_height, document.site.water_depth)
        self.sea_bed = _Place("the sea bed", Depth(0.0, Datum.SEA_BED))

    def z(self, depth: Depth) -> float:
        return self.frame.below_sea_level(depth)

    def below(
        self, node: Node, field: str, depth: Depth, other: _Place, *, or_at: bool = False
    ) -> Iterator[Fault]:
        """Yield a fault unless a depth lies below another place (or at it)."""
        slack = -SAME_DEPTH if or_at else SAME_DEPTH
        if self.z(depth) - self.z(other.depth) < slack:
            relation = "at or below" if or_at else "below"
            yield self._fault(node, field, depth, relation, other)

    def above(
        self, node: Node, field: str, depth: Depth, other: _Place, *, or_at: bool = False
    ) -> Iterator[Fault]:
        """Yield a fault unless a depth lies above another place (or at it)."""
        slack = -SAME_DEPTH if or_at else SAME_DEPTH
        if self.z(other.depth) - self.z(depth) < slack:
            relation = "at or above" if or_at else "above"
            yield self._fault(node, field, depth, relation, other)

    def _fault(self, node: Node, field: str, depth: Depth, relation: str, other: _Place) -> Fault:
        there = _exact(self.frame.to(other.depth, depth.datum))
        return Fault(
            written_at(node, field), _exact(depth), f"a depth {relation} {other.name}, {there}"
        )


def _exact(depth: Depth) -> str:
    """Show a depth to the micrometre: two that are compared must not look alike and differ."""
    side = "below" if depth.metres >= 0 else "above"
    return f"{show(abs(depth.metres), 'm', unit='m', significant=10)} {side} {depth.datum}"


def document_faults(document: HoleDocument) -> Iterator[Fault]:
    """Yield what does not fit together inside a document."""
    checker = _Checker(document)
    yield from position_faults(document.site.position)
    yield from _vessel(document)
    yield from wash_faults(document)
    yield from _strings(document)
    yield from _cemented_through(document)
    yield from _names(document)
    yield from _sections(checker)
    yield from _diameters(checker)
    yield from _riser(document)
    yield from _coring(checker)
    yield from _leaving(checker)
    yield from checker.above(
        document.plan, "target", document.plan.target, _last_bottom(checker), or_at=True
    )
    yield from checker.below(document.plan, "target", document.plan.target, checker.sea_bed)


def _vessel(document: HoleDocument) -> Iterator[Fault]:
    vessel = document.vessel
    if vessel.flow_line_height > vessel.drill_floor_height:
        floor = show(vessel.drill_floor_height, "m")
        yield Fault(
            written_at(vessel, "flow_line_height"),
            show(vessel.flow_line_height, "m"),
            f"a height not above the drill floor, {floor}",
        )


def _names(document: HoleDocument) -> Iterator[Fault]:
    """Names that steps and answers are called by must be one thing's each."""
    plan, vessel = document.plan, document.vessel
    casings = [section.casing for section in plan.sections if section.casing]
    groups: tuple[tuple[str, list[Node]], ...] = (
        ("section", list(plan.sections)),
        ("casing", [plan.conductor, *casings]),
        ("thruster", list(vessel.thrusters)),
        ("pump liner", list(vessel.pumps.liners)),
    )
    for kind, nodes in groups:
        seen: Counter[str] = Counter()
        for node in nodes:
            name = str(getattr(node, "name"))  # noqa: B009 - the four kinds share this field only
            seen[name] += 1
            if seen[name] > 1:
                found = f"'{shown(name)}' a second time"
                yield Fault(written_at(node, "name"), found, f"another name for each {kind}")


def _strings(document: HoleDocument) -> Iterator[Fault]:
    for parts in document.plan.strings.values():
        for part in parts[:-1]:
            if part.length is None:
                yield Fault(
                    written_at(part, "pipe"),
                    f"no length for '{shown(part.pipe)}'",
                    "a length; parts run from the bit upwards and only the last may go without",
                )


def _cemented_through(document: HoleDocument) -> Iterator[Fault]:
    """Cement goes through no motor or measuring tool: what they lose is not in its jobs."""
    plan = document.plan
    casings = [one.casing for one in plan.sections if one.casing is not None]
    used: list[tuple[Node, str, str]] = [(plan.leaving, "string", plan.leaving.string)]
    used += [(one, "run_on", one.run_on) for one in casings]
    for node, field, name in used:
        if any(part.tool is not None for part in plan.strings.get(name, ())):
            yield Fault(
                written_at(node, field),
                f"'{shown(name)}', a string with a motor or measuring tool",
                "a string without tools: cement is pumped through it",
            )


def _last_bottom(checker: _Checker) -> _Place:
    last = checker.plan.sections[-1]
    return _Place(f"the bottom of section {last.name}", last.bottom)


def _sections(checker: _Checker) -> Iterator[Fault]:
    conductor = checker.plan.conductor
    yield from checker.below(conductor, "shoe", conductor.shoe, checker.sea_bed)
    shoe = bottom = _Place("the conductor's shoe", conductor.shoe)
    for section in checker.plan.sections:
        yield from checker.below(section, "bottom", section.bottom, bottom)
        bottom = _Place(f"the bottom of section {section.name}", section.bottom)
        casing = section.casing
        if casing is None:
            continue
        yield from checker.above(casing, "shoe", casing.shoe, bottom, or_at=True)
        yield from checker.below(casing, "shoe", casing.shoe, shoe)
        if isinstance(casing.hung_at, Depth):
            yield from checker.above(casing, "hung_at", casing.hung_at, shoe)
            yield from checker.below(casing, "hung_at", casing.hung_at, checker.sea_bed)
        shoe = _Place(f"the shoe of {casing.name}", casing.shoe)
        yield from _cement(checker, casing, shoe)


def _cement(checker: _Checker, casing: Casing, shoe: _Place) -> Iterator[Fault]:
    cement = casing.cement
    yield from checker.above(cement, "top", cement.top, shoe)
    yield from checker.below(cement, "top", cement.top, checker.sea_bed, or_at=True)
    if cement.tail_top is not None:
        yield from checker.above(cement, "tail_top", cement.tail_top, shoe)
        top = _Place("the top of the cement", cement.top)
        yield from checker.below(cement, "tail_top", cement.tail_top, top)
    if (cement.tail_slurry is None) != (cement.tail_top is None):
        given, missing = "tail_slurry", "tail_top"
        if cement.tail_slurry is None:
            given, missing = missing, given
        yield Fault(written_at(cement, given), f"{given} without {missing}", "both or neither")
    if (cement.spacer is None) != (cement.spacer_volume == 0.0):
        field = "spacer_volume" if cement.spacer is None else "spacer"
        found = "a spacer without its fluid" if cement.spacer is None else "a spacer of no volume"
        yield Fault(written_at(cement, field), found, "both spacer and spacer_volume, or neither")


def _diameters(checker: _Checker) -> Iterator[Fault]:
    for section in checker.plan.sections:
        if section.pilot_bit is not None and section.pilot_bit >= section.hole_diameter:
            yield Fault(
                written_at(section, "pilot_bit"),
                _inches(section.pilot_bit),
                f"less than the hole diameter, {_inches(section.hole_diameter)}",
                "Leave pilot_bit out when the hole is not opened wider than its bit.",
            )
    for above, section in pairwise(checker.plan.sections):
        wider = section.hole_diameter > above.hole_diameter
        if wider and section.pilot_bit is None and above.casing is None:  # else the bore tells
            yield _grows(above, section)


def _grows(above: Section, section: Section) -> Fault:
    return Fault(
        written_at(section, "hole_diameter"),
        f"{_inches(section.hole_diameter)}, wider than the section above",
        f"at most {_inches(above.hole_diameter)}, the hole of section {above.name}",
        "A hole opened wider below needs pilot_bit, the bit that passes what is above.",
    )


def _inches(diameter: float) -> str:
    return show(diameter, "m", unit="in", significant=5)


def _riser(document: HoleDocument) -> Iterator[Fault]:
    sections = document.plan.sections
    for above, section in pairwise(sections):
        if above.returns == "riser" and section.returns == "sea floor":
            yield Fault(
                written_at(section, "returns"),
                "'sea floor' below a section with riser",
                "'riser': once it stands, it stays until the hole is left",
            )
    for section in sections:
        if section.returns == "sea floor" and section.booster_flow_rate > 0:
            found = "a booster flow without a riser"
            yield Fault(written_at(section, "booster_flow_rate"), found, "returns: riser")
    first = next((section for section in sections if section.returns == "riser"), None)
    if first is None:
        return
    inventory, vessel = document.inventory, document.vessel
    if inventory.preventer and inventory.preventer.height >= document.site.water_depth:
        yield Fault(
            written_at(inventory.preventer, "height"),
            show(inventory.preventer.height, "m"),
            f"less than the depth of the water, {show(document.site.water_depth, 'm')}",
        )
    needed = (
        ("inventory.riser", inventory.riser),
        ("inventory.preventer", inventory.preventer),
        ("vessel.tensioners", vessel.tensioners),
    )
    for key, thing in needed:
        if thing is None:
            yield Fault(
                written_at(first, "returns"),
                f"'riser', but no {key}",
                f"the key {key} in the document, or returns: sea floor",
            )
    if inventory.riser and inventory.riser.stack_up:
        yield from _stack_up(document, inventory.riser)
    if inventory.riser and inventory.riser.booster_line_diameter is None:
        for section in sections:
            if section.booster_flow_rate > 0:
                yield Fault(
                    written_at(section, "booster_flow_rate"),
                    "a booster flow, but no booster line",
                    "the key inventory.riser.booster_line_diameter",
                )


def _stack_up(document: HoleDocument, riser: RiserJoint) -> Iterator[Fault]:
    """Find a stack-up of joints that does not reach, or that the telescopic joint cannot take."""
    where = written_at(riser, "stack_up")
    preventer, first = document.inventory.preventer, riser.stack_up[0]
    if riser.buoyancy_lift > 0.0:
        fix, here = "Tell that of each run of joints.", written_at(riser, "buoyancy_lift")
        yield Fault(here, "a lift of an even riser beside a stack_up", "one of them", fix)
    # one barrel slides into the other: closed it is half as long, at the least
    slide = 0.5 * first.joints * riser.length_of(first)
    total = sum(one.joints * riser.length_of(one) for one in riser.stack_up)
    joints = sum(one.joints for one in riser.stack_up[1:])
    if joints > riser.joints:
        yield Fault(where, f"{joints} joints below the telescopic one", f"{riser.joints} aboard")
    if preventer is None:
        return
    way = document.site.water_depth + document.vessel.drill_floor_height - preventer.height
    words = "from drill floor to lower flex joint"
    if total < way:
        fix = "More joints, a pup joint or a longer telescopic joint."
        yield Fault(where, f"{show(total, 'm')} of riser", f"{show(way, 'm')} {words}", fix)
    elif total - way > slide:
        found = f"{show(total, 'm')} of riser, of which {show(slide, 'm')} can slide"
        yield Fault(where, found, f"{show(way, 'm')} {words}", "Leave out joints.")


def _coring(checker: _Checker) -> Iterator[Fault]:
    coring = checker.plan.coring
    if coring is None:
        return
    if checker.document.inventory.core_barrel is None:
        where = written_at(checker.plan, "coring")
        yield Fault(where, "coring, but no inventory.core_barrel", "a core barrel aboard")
    yield from checker.below(coring, "bottom", coring.bottom, _Place("its own top", coring.top))
    last = _last_bottom(checker)
    yield from checker.above(coring, "bottom", coring.bottom, last, or_at=True)
    casings = [section.casing for section in checker.plan.sections if section.casing]
    shoe = _Place("the conductor's shoe", checker.plan.conductor.shoe)
    if casings:
        shoe = _Place(f"the shoe of {casings[-1].name}", casings[-1].shoe)
    yield from checker.below(coring, "top", coring.top, shoe, or_at=True)
    if len(checker.plan.sections) > 1:
        above = checker.plan.sections[-2]
        place = _Place(f"the bottom of section {above.name}", above.bottom)
        yield from checker.below(coring, "top", coring.top, place, or_at=True)


def _leaving(checker: _Checker) -> Iterator[Fault]:
    plugs = checker.plan.leaving.plugs
    for plug in plugs:
        yield from checker.below(plug, "bottom", plug.bottom, _Place("its own top", plug.top))
        yield from checker.below(plug, "top", plug.top, checker.sea_bed, or_at=True)
        last = _last_bottom(checker)
        yield from checker.above(plug, "bottom", plug.bottom, last, or_at=True)
    for deeper, plug in pairwise(plugs):
        place = _Place("the top of the plug listed before it (deepest first)", deeper.top)
        yield from checker.above(plug, "bottom", plug.bottom, place, or_at=True)


def table_faults(document: HoleDocument, earth: ProfileTable, sea: ProfileTable) -> Iterator[Fault]:
    """Yield where the tables do not cover what the document needs of them."""
    checker = _Checker(document)
    plan, water_depth = document.plan, document.site.water_depth
    needs: list[tuple[Node, str, Depth]] = [(plan, "target", plan.target)]
    needs += [(section, "bottom", section.bottom) for section in plan.sections]
    node, field, deepest = max(needs, key=lambda need: checker.z(need[2]))
    needed = checker.frame.below_sea_bed(deepest)
    if earth.deepest < needed - SAME_DEPTH:
        yield Fault(
            f"{earth.file}, line {earth.lines[-1]}, column {earth.depth_name}",
            f"the last row at {_exact(Depth(earth.deepest, Datum.SEA_BED))}",
            f"rows down to {_exact(Depth(needed, Datum.SEA_BED))} ({written_at(node, field)})",
        )
    if sea.deepest < water_depth - SAME_DEPTH:
        yield Fault(
            f"{sea.file}, line {sea.lines[-1]}, column {sea.depth_name}",
            f"the last row at {_exact(Depth(sea.deepest, Datum.SEA_LEVEL))}",
            f"rows down to the sea bed, {show(water_depth, 'm', significant=10)} "
            f"({written_at(document.site, 'water_depth')})",
        )
    yield from _current_at_surface(document, sea)
    yield from _pressure_at_sea_bed(document, earth)


def survey_faults(survey: ProfileTable) -> Iterator[Fault]:
    """Yield what makes a path that cannot be followed down to the target.

    Below the last station the hole is taken as straight on: that must lead down.
    """
    steepest = float(survey.numbers["inclination"][-1])
    where = f"{survey.file}, line {survey.lines[-1]}, column"
    if steepest > _STRAIGHT_ON:
        yield Fault(
            f"{where} inclination",
            f"{show(steepest, 'rad')} at the last station",
            f"at most {show(_STRAIGHT_ON, 'rad')} there, for the hole is taken as straight below",
            "Add stations down to the target.",
        )
    if survey.deepest > _LONGEST_HOLE:
        yield Fault(
            f"{where} {survey.depth_name}",
            show(survey.deepest, "m", significant=6),
            f"at most {show(_LONGEST_HOLE, 'm')} along the hole",
        )


def _current_at_surface(document: HoleDocument, sea: ProfileTable) -> Iterator[Fault]:
    """Catch a still sea under a planned current: there is no profile to raise to it."""
    planned = document.site.environment.surface_current
    if planned > 0.0 and float(sea.at("current_speed", 0.0)) == 0.0:
        yield Fault(
            f"{sea.file}, line {sea.lines[0]}, column current_speed",
            "no current at the surface",
            f"a current like that of {written_at(document.site.environment, 'surface_current')}, "
            f"{show(planned, 'm/s')}",
        )


# kg/m3, mean of a water column: brackish and warm to the compressed brine of the deepest trench
_LIGHTEST_SEA, _HEAVIEST_SEA = 1000.0, 1065.0
_GRAVITY = 9.80665
_ROUNDED = 0.01e6  # Pa; the tables of shallow water are written to two digits


def _pressure_at_sea_bed(document: HoleDocument, earth: ProfileTable) -> Iterator[Fault]:
    """Catch tables that count pressure from another datum or with the atmosphere's ratio wrong."""
    water_depth = document.site.water_depth
    low = _LIGHTEST_SEA * _GRAVITY * water_depth - _ROUNDED
    high = _HEAVIEST_SEA * _GRAVITY * water_depth + _ROUNDED
    fracture = float(earth.numbers["fracture_pressure"][0])
    if not low <= fracture <= high:
        yield Fault(
            f"{earth.file}, line {earth.lines[0]}, column fracture_pressure",
            f"{show(fracture, 'Pa')} at the sea bed",
            f"the pressure of {show(water_depth, 'm', significant=5)} of sea, "
            f"{show(low, 'Pa')} to {show(high, 'Pa')}",
            "Pressures are counted from the sea surface, where the atmosphere is zero.",
        )
