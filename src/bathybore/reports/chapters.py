"""The chapters of a programme, from a walk: plain data, nothing judged here."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import degrees
from typing import TYPE_CHECKING, Final

from bathybore.base.nomenclature import nomenclature
from bathybore.base.units import UnitSystem, pretty_number, show
from bathybore.checks.record import Status
from bathybore.drawings.diameters import diameter_picture
from bathybore.drawings.hole import hole_picture
from bathybore.drawings.timing import time_picture
from bathybore.drawings.window import window_picture
from bathybore.drawings.words import below_drill_floor, below_sea_bed, inches
from bathybore.model.fields import Node
from bathybore.model.plan import Casing, Fluid, Section
from bathybore.operations.position import chart_point
from bathybore.operations.state import Consumed
from bathybore.reports.blocks import (
    Block,
    Chapter,
    Column,
    Drawing,
    Facts,
    Items,
    Table,
    Text,
    Verdict,
)
from bathybore.reports.vessel_limits import vessel_limits
from bathybore.reports.words import STANDING_CAUTIONS, WHO_DECIDES
from bathybore.usecases.ledger import PASSES, Ledger, Row, verdict
from bathybore.usecases.showing import in_words, unique

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk

_DAY: Final = 86400.0
_FIRST_ROWS: Final = 9
_CLOSE_ROWS: Final = 5


@dataclass(frozen=True)
class Writer:
    """A walk, its ledger and the units it is written in: what every chapter reads."""

    walk: Walk
    ledger: Ledger
    units: UnitSystem

    def show(self, value: float, unit: str, significant: int = 4) -> str:
        return show(value, unit, self.units, significant=significant)

    def field(self, node: Node, name: str) -> str:
        value = node.value(name)
        term = nomenclature().get(name)
        shown = term.shown_in(self.units) if term else None
        return show(float(value), value.unit, self.units, unit=shown)

    def below_bed(self, z: float) -> str:
        return below_sea_bed(self.walk.hole, z, self.units)

    def below_floor(self, z: float) -> str:
        return below_drill_floor(self.walk.hole, z, self.units)


def days(seconds: float) -> str:
    """Return a duration in days to the hundredth, for a column of days."""
    return f"{seconds / _DAY:.2f}"


# -- the first page ----------------------------------------------------------------------------


def front(writer: Writer) -> tuple[Block, ...]:
    """Return the first page: the verdict, what stops the hole first, what is closest."""
    ledger = writer.ledger
    stops = [row for row in ledger.rows if not row.passes]
    order = {row.id: index for index, row in enumerate(_as_done(ledger))}
    serious = {str(Status.FAILS): 0, str(Status.NOT_JUDGED): 1, str(Status.OUTSIDE_VALIDITY): 2}
    stops.sort(key=lambda row: (serious[row.status], order[row.id]))
    blocks: list[Block] = [_verdict(writer)]
    if stops:
        blocks.append(_rows_table("What stops the hole, in the order of the operation", stops))
        if len(stops) > _FIRST_ROWS:
            blocks.append(
                Text(f"And {len(stops) - _FIRST_ROWS} more: see the ledger of checks.", "note")
            )
    judged = [(row.margin, row) for row in ledger.rows if row.passes and row.margin is not None]
    judged.sort(key=lambda pair: pair[0])
    short = [row for margin, row in judged if margin < 0.0]
    if short:
        caption = "What falls short of its limit, and passes only with the caution beside it"
        blocks.append(_rows_table(caption, short))
        blocks += [Text(said, "note") for said in unique(row.caution for row in short)]
    # counts and exact fits hold with nothing over: they are no news
    close = [row for margin, row in judged if margin > 1e-9][:_CLOSE_ROWS]
    if close:
        blocks.append(_rows_table("What is closest to its limit among the checks that hold", close))
    blocks += [Text(WHO_DECIDES, "warning"), _brief(writer)]
    return tuple(blocks)


def _brief(writer: Writer) -> Facts:
    """Return what a reader wants to know before anything else."""
    hole, states = writer.walk.hole, writer.walk.states
    point, casings = chart_point(hole), states[-1].casings
    riser = next((s.step.name for s in states if s.riser is not None), None)
    return Facts(
        (
            (
                "position (WGS 84)",
                f"{_sexagesimal(point.latitude, 'N', 'S')}, "
                f"{_sexagesimal(point.longitude, 'E', 'W')}",
            ),
            *_datums(writer)[2:],
            (
                "strings, outside diameter",
                ", ".join(f"{c.name} {inches(float(c.pipe.outside_diameter))}" for c in casings),
            ),
            ("riser and preventer", f"from {riser} on" if riser else "none: riserless throughout"),
        ),
        "In brief",
    )


def _as_done(ledger: Ledger) -> Iterable[Row]:
    return (row for step in ledger.steps for row in step.rows)


def _verdict(writer: Writer) -> Verdict:
    ledger = writer.ledger
    rows = {row.id: row for row in ledger.rows}
    more = []
    if ledger.fails_first:
        row = rows[ledger.fails_first]
        more.append(f"First to fail in the order of the operation: {row.id}. {row.question}")
    if ledger.fails_most and ledger.fails_most != ledger.fails_first:
        row = rows[ledger.fails_most]
        more.append(f"Fails by most: {row.id}, margin {row.margin_text}.")
    if ledger.tightest:
        row = rows[ledger.tightest]
        more.append(f"Tightest among what holds: {row.id}, margin {row.margin_text}.")
    short = sum(1 for row in ledger.rows if row.passes and (row.margin or 0.0) < 0.0)
    if short:
        more.append(
            f"{short} fall short of their limit and pass only with the caution beside them."
        )
    more.append(f"Planned time on site: {pretty_number(ledger.elapsed / _DAY, 3)} days.")
    words = "holds" if ledger.passes else "does not hold as planned"
    if not ledger.passes and not ledger.fails_first:
        words = "is not shown to hold"
    return Verdict(ledger.passes, f"The hole {words}. {verdict(ledger)}", tuple(more))


def _rows_table(caption: str, rows: list[Row]) -> Table:
    return Table(
        caption,
        (
            Column("check", 2.9, "check"),
            Column("asked", 1.6, "number"),
            Column("there is", 1.6, "number"),
            Column("margin", 1.1, "number"),
            Column("where it is closest", 2.5),
            Column("verdict", 1.5, "verdict"),
        ),
        tuple(
            (
                row.id,
                row.demand.text if row.demand else "–",
                row.capacity.text if row.capacity else "–",
                row.margin_text or "–",
                row.depth_text,
                row.status,
            )
            for row in rows[:_FIRST_ROWS]
        ),
    )


# -- site --------------------------------------------------------------------------------------


def _sexagesimal(angle: float, positive: str, negative: str) -> str:
    value = abs(degrees(angle))
    whole = int(value)
    minutes = round((value - whole) * 60.0, 3)
    if minutes >= 60.0:
        whole, minutes = whole + 1, 0.0
    return f"{whole}° {minutes:06.3f}′ {positive if angle >= 0.0 else negative}"


def site(writer: Writer) -> Chapter:
    hole, place = writer.walk.hole, writer.walk.hole.site
    point, position = chart_point(hole), place.position
    written = [f"{position.crs}"]
    if position.easting is not None and position.northing is not None:
        written += [f"{position.easting:,.1f} m east", f"{position.northing:,.1f} m north"]
    weather = place.environment
    where = (
        ("position, as given", ", ".join(text.replace(",", "\u202f") for text in written)),
        (
            "latitude, longitude (WGS 84)",
            f"{_sexagesimal(point.latitude, 'N', 'S')}, {_sexagesimal(point.longitude, 'E', 'W')}",
        ),
        ("the hole may start off the point by", writer.field(place, "target_radius")),
        ("spread of a satellite fix (1 σ)", writer.field(place, "fix_tolerance")),
        ("spread against sea-bed beacons (1 σ)", writer.field(place, "acoustic_tolerance")),
    )
    sea = (
        ("wind, mean over 10 minutes", writer.field(weather, "wind_speed")),
        ("significant wave height", writer.field(weather, "significant_wave_height")),
        ("peak period", f"{pretty_number(weather.peak_period)} s"),
        ("surface current", writer.field(weather, "surface_current")),
        ("share of time exceeded", f"{pretty_number(100.0 * weather.share_of_time_exceeded)} %"),
    )
    return Chapter(
        "Site, environment and datums",
        (
            Facts(where, "Position"),
            Facts(_datums(writer), "Datums: every depth in this document names its own"),
            Facts(sea, "Environment the operation is planned for"),
            *([Text(hole.document.note.strip())] if hole.document.note.strip() else []),
        ),
    )


def _datums(writer: Writer) -> tuple[tuple[str, str], ...]:
    hole = writer.walk.hole
    target = hole.z(hole.plan.target)
    return (
        ("drill floor", f"{writer.below_floor(0.0)} above mean sea level"),
        (
            "flow line",
            f"{writer.show(hole.vessel.flow_line_height, 'm')} above mean sea level",
        ),
        (
            "sea bed (water depth)",
            f"{writer.show(hole.site.water_depth, 'm', 6)} below mean sea level, "
            f"{writer.below_floor(hole.sea_bed)} below the drill floor",
        ),
        (
            "target",
            f"{writer.below_bed(target)} below the sea bed, "
            f"{writer.below_floor(target)} below the drill floor",
        ),
    )


# -- the plan ----------------------------------------------------------------------------------


def pictures(writer: Writer) -> tuple[Chapter, ...]:
    walk, units = writer.walk, writer.units
    return (
        Chapter("Window", (Drawing(window_picture(walk, units)),)),
        Chapter("The hole", (Drawing(hole_picture(walk, units)),)),
    )


def sections(writer: Writer) -> Chapter:
    core = _core_block(writer, writer.walk.hole.plan.coring)
    return Chapter("Sections", (sections_table(writer), casings_table(writer), *core))


def sections_table(writer: Writer) -> Table:
    plan = writer.walk.hole.plan
    rows = [_conductor_row(writer)]
    rows += [_section_row(writer, section) for section in plan.sections]
    return Table(
        "Sections: hole, mud and flow",
        (
            Column("section", 1.7),
            Column("hole", 1.1, "number"),
            Column("bottom below sea bed", 1.2, "number"),
            Column("bottom below drill floor", 1.2, "number"),
            Column("returns", 1.0),
            Column("fluid and density", 1.9),
            Column("flow", 1.3, "number"),
            Column("booster", 1.3, "number"),
        ),
        tuple(rows),
    )


def _fluid(writer: Writer, name: str) -> str:
    fluid: Fluid = writer.walk.hole.plan.fluids[name]
    return f"{name}\n{writer.show(fluid.density, 'kg/m3')}"


def _conductor_row(writer: Writer) -> tuple[str, ...]:
    hole, plan = writer.walk.hole, writer.walk.hole.plan.conductor
    shoe = hole.z(plan.shoe)
    return (
        f"{plan.name} ({plan.method})",
        "–",
        writer.below_bed(shoe),
        writer.below_floor(shoe),
        "sea floor",
        _fluid(writer, plan.fluid),
        writer.show(plan.flow_rate, "m3/s"),
        "–",
    )


def _section_row(writer: Writer, section: Section) -> tuple[str, ...]:
    bottom = writer.walk.hole.z(section.bottom)
    fluid = _fluid(writer, section.fluid)
    if section.sweep_fluid:
        share = pretty_number(100.0 * section.sweep_share, 2)
        fluid += f"\nsweeps {section.sweep_fluid}, {share} % of time"
    if section.pad_fluid:
        fluid += f"\nleft: {section.pad_fluid}"
    booster = section.booster_flow_rate
    return (
        section.name,
        inches(section.hole_diameter),
        writer.below_bed(bottom),
        writer.below_floor(bottom),
        section.returns,
        fluid,
        writer.show(section.flow_rate, "m3/s"),
        writer.show(booster, "m3/s") if booster else "–",
    )


def casings_table(writer: Writer) -> Table:
    hole = writer.walk.hole
    rows = []
    for placed in writer.walk.states[-1].casings:
        plan = placed.plan
        top = "sea bed" if placed.top <= hole.sea_bed else writer.below_bed(placed.top)
        cement = f"none: {plan.method}" if not isinstance(plan, Casing) else _cement(writer, plan)
        rows.append(
            (
                placed.name,
                placed.pipe.designation,
                top,
                writer.below_bed(placed.shoe),
                writer.below_floor(placed.shoe),
                cement,
            )
        )
    return Table(
        "Casings and cement",
        (
            Column("string", 1.5),
            Column("pipe", 2.2),
            Column("top below sea bed", 1.2, "number"),
            Column("shoe below sea bed", 1.2, "number"),
            Column("shoe below drill floor", 1.2, "number"),
            Column("cement", 3.6),
        ),
        tuple(rows),
    )


def _cement(writer: Writer, casing: Casing) -> str:
    hole, job = writer.walk.hole, casing.cement

    def slurry(name: str) -> str:
        return f"{name} {writer.show(hole.plan.slurries[name].density, 'kg/m3')}"

    text = f"{slurry(job.slurry)} from {writer.below_bed(hole.z(job.top))}"
    if job.tail_slurry and job.tail_top is not None:
        text += f", {slurry(job.tail_slurry)} from {writer.below_bed(hole.z(job.tail_top))}"
    excess = pretty_number(100.0 * job.excess, 2)
    wait = pretty_number(job.wait / 3600.0, 3)
    return (
        f"{text} below the sea bed, {excess} % excess in open hole, "
        f"{writer.show(job.rate, 'm3/s')}, wait {wait} h"
    )


def _core_block(writer: Writer, coring: object) -> tuple[Block, ...]:
    hole = writer.walk.hole
    core, leaving = hole.plan.coring, hole.plan.leaving
    rows: list[tuple[str, str]] = []
    if core is not None and coring is not None:
        top, bottom = hole.z(core.top), hole.z(core.bottom)
        rows += [
            (
                "core",
                f"{writer.below_bed(top)} to {writer.below_bed(bottom)} below the sea bed, "
                f"{inches(core.least_core_diameter)} at least",
            ),
            ("coring fluid and flow", f"{core.fluid}, {writer.show(core.flow_rate, 'm3/s')}"),
            ("expected recovery", f"{pretty_number(100.0 * core.expected_recovery, 3)} %"),
        ]
    for number, plug in enumerate(leaving.plugs, start=1):
        top, bottom = hole.z(plug.top), hole.z(plug.bottom)
        rows.append(
            (
                f"plug {number}",
                f"{writer.below_bed(top)} to {writer.below_bed(bottom)} below the sea bed, "
                f"{plug.slurry}",
            )
        )
    return (Facts(tuple(rows), "Core and plugs"),)


def diameters(writer: Writer) -> Chapter:
    return Chapter("Diameter budget", (Drawing(diameter_picture(writer.walk, writer.units)),))


# -- the operation -----------------------------------------------------------------------------


def steps(writer: Writer) -> Chapter:
    drawing = Drawing(time_picture(writer.walk, writer.units))
    return Chapter("Steps and times", (drawing, steps_table(writer)))


def steps_table(writer: Writer) -> Table:
    walk = writer.walk
    rows = []
    for number, state in enumerate(walk.states, start=1):
        parts = ", ".join(f"{in_words(p.name)} {_hours(float(p))}" for p in state.times)
        if state.step.fixed_duration is not None:
            parts = f"set in the plan: {state.step.why}"
        rows.append(
            (
                f"{number}  {state.step.name}",
                state.step.title,
                days(float(state.duration)) if state.duration is not None else "–",
                days(state.elapsed),
                writer.below_bed(state.bottom),
                parts,
            )
        )
    return Table(
        "Steps. Days include trouble and weather; the parts, in hours, do not",
        (
            Column("step", 2.0),
            Column("what is done", 2.4),
            Column("days", 0.7, "number"),
            Column("days since arrival", 0.9, "number"),
            Column("hole below sea bed", 1.0, "number"),
            Column("parts", 3.2),
        ),
        tuple(rows),
    )


def _hours(seconds: float) -> str:
    return f"{seconds / 3600.0:.1f} h"


_CONSUMED: Final = (
    ("mud_built", "mud built", "m3"),
    ("mud_to_sea_floor", "mud to the sea floor", "m3"),
    ("mud_discarded", "mud discarded", "m3"),
    ("sea_water_pumped", "sea water pumped", "m3"),
    ("barite", "barite", "kg"),
    ("cement", "cement", "kg"),
    ("cement_water", "mix water", "m3"),
)


def consumables(writer: Writer) -> Chapter:
    states, stores = writer.walk.states, writer.walk.hole.vessel.stores
    rows, before = [], Consumed()
    for state in states:
        used = {name: getattr(state.consumed, name) - getattr(before, name) for name in _NAMES}
        if any(abs(amount) > 1e-9 for amount in used.values()):
            cells = (
                writer.show(used[name], unit) if abs(used[name]) > 1e-9 else "–"
                for name, _, unit in _CONSUMED
            )
            rows.append((state.step.name, *cells))
        before = state.consumed
    total = states[-1].consumed
    rows.append(
        (
            "in all",
            *(writer.show(getattr(total, name), unit) for name, _, unit in _CONSUMED),
        )
    )
    held = {
        "mud_built": (stores.mud_volume, "m3"),
        "barite": (stores.barite, "kg"),
        "cement": (stores.cement, "kg"),
        "cement_water": (stores.drill_water, "m3"),
    }
    rows.append(
        (
            "the vessel holds",
            *(
                writer.show(held[name][0], held[name][1]) if name in held else "–"
                for name, _, _ in _CONSUMED
            ),
        )
    )
    columns = (Column("step", 2.0), *(Column(label, 1.2, "number") for _, label, _ in _CONSUMED))
    table = Table("Consumables by step", columns, tuple(rows))
    note = (
        f"The vessel's stores are for one voyage; {stores.resupplies} resupplies are planned. "
        "Under mix water stands what the vessel holds of drill water."
    )
    return Chapter("Consumables", (table, Text(note, "note")))


_NAMES: Final = tuple(name for name, _, _ in _CONSUMED)


def barriers(writer: Writer) -> Chapter:
    rows = []
    for state in writer.walk.states:
        standing = "; ".join(
            f"{b.name} ({b.kind}, {'tested' if b.tested else 'not tested'})" for b in state.barriers
        )
        needed = "yes" if state.barriers_needed else "no"
        rows.append((state.step.name, needed, str(len(state.barriers)), standing or "–"))
    wanted = writer.walk.hole.basis.least_barriers
    table = Table(
        "Barriers after each step",
        (
            Column("step", 1.7),
            Column("can flow", 0.7),
            Column("barriers", 0.7, "number"),
            Column("which", 5.0),
        ),
        tuple(rows),
    )
    note = (
        f"Where formation fluid can flow to the sea bed by itself, at least {wanted} independent "
        "barriers are asked for."
    )
    return Chapter("Barriers", (Text(note), table))


# -- verdicts ----------------------------------------------------------------------------------


def checks(writer: Writer) -> Chapter:
    blocks: list[Block] = [
        Text(
            "Every check of every step, the most urgent of each step first. Margin: the share of "
            "what there is that is left. The appendix opens questions, workings and sources; what "
            "stands there is linked."
        )
    ]
    for step in writer.ledger.steps:
        if not step.rows:
            continue
        took = "" if step.duration is None else f", {days(step.duration)} days"
        blocks.append(_step_table(f"{step.title} ({step.name}{took})", step.rows))
    silent = [step.name for step in writer.ledger.steps if not step.rows]
    if silent:
        blocks.append(Text(f"No checks are asked of: {', '.join(silent)}.", "note"))
    return Chapter("Ledger of checks", tuple(blocks))


def _step_table(caption: str, rows: Iterable[Row]) -> Table:
    return Table(
        caption,
        (
            Column("check", 2.6, "check"),
            Column("asked", 1.4, "number"),
            Column("there is", 1.4, "number"),
            Column("margin", 0.9, "number"),
            Column("where it is closest", 1.8),
            Column("verdict", 1.4, "verdict"),
            Column("what to do, or why not judged", 3.2),
        ),
        tuple(
            (
                row.id,
                row.demand.text if row.demand else "–",
                row.capacity.text if row.capacity else "–",
                row.margin_text or "–",
                row.depth_text or "–",
                row.status,
                _said(row),
            )
            for row in rows
        ),
    )


def _said(row: Row) -> str:
    if Status(row.status) in PASSES and Status(row.status) is not Status.TIGHT:
        return "–"
    return " ".join(filter(None, (f"{row.reason}." if row.reason else "", row.remedy))) or "–"


def limits(writer: Writer) -> Chapter:
    rows = vessel_limits(writer.walk, writer.units)
    table = Table(
        "Limits of the vessel, and the check that comes closest to each",
        (
            Column("limit", 2.4),
            Column("value", 1.6, "number"),
            Column("written in", 2.4),
            Column("closest check that uses it", 3.0, "check"),
            Column("margin", 0.9, "number"),
            Column("verdict", 1.4, "verdict"),
        ),
        rows,
    )
    return Chapter("Limits of the vessel", (table,))


def basis(writer: Writer) -> Chapter:
    node = writer.walk.hole.basis
    rows = []
    for name in type(node).model_fields:
        written = getattr(node, name)
        if written is None:
            continue
        value = writer.field(node, name) if isinstance(written, float) else str(written)
        rows.append((in_words(name), value, str(node.origin(name))))
    table = Table(
        "Margins, factors and thresholds the checks compare with",
        (Column("margin or factor", 2.4), Column("value", 1.2, "number"), Column("from", 5.0)),
        tuple(rows),
    )
    return Chapter("Design basis", (table,))


_MOST_CHECKS_NAMED: Final = 4


def cautions(writer: Writer) -> Chapter:
    ledger = writer.ledger
    rows = []
    for caution in (*ledger.cautions, *ledger.equation_cautions):
        named = list(caution.checks[:_MOST_CHECKS_NAMED])
        more = len(caution.checks) - len(named)
        if more > 0:
            named.append(f"and {more} more")
        rows.append((caution.text, ", ".join(named)))
    collected: tuple[Block, ...] = (Text("The checks of this hole carry no cautions."),)
    if rows:
        columns = (Column("caution", 3.4), Column("goes with", 2.6))
        collected = (Table("Cautions that go with the numbers", columns, tuple(rows)),)
    return Chapter(
        "Cautions",
        (
            Text(WHO_DECIDES, "warning"),
            Text("Standing cautions of the trade, whatever the checks say:"),
            Items(STANDING_CAUTIONS),
            *collected,
        ),
    )
