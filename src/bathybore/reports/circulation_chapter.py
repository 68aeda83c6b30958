"""The chapter on circulation: what flows, how clean and whole the hole is, how warm it gets."""

from __future__ import annotations

from bathybore.drawings.circulation import circulation_picture
from bathybore.drawings.flow_window import flow_window_picture
from bathybore.drawings.heat import heat_picture
from bathybore.reports.blocks import Block, Chapter, Column, Drawing, Facts, Table, Text
from bathybore.reports.chapters import Writer
from bathybore.usecases.circulating import CAUTION, StepCirculation, circulating_steps, circulation
from bathybore.usecases.circulating_told import (
    NOZZLE_TITLES,
    facts,
    heat_told,
    nozzle_rows,
    nozzles_told,
    window_told,
)
from bathybore.usecases.fluid_measured import fluid_reports
from bathybore.usecases.fluid_told import FIT_TITLES, between_told, fit_heading, fit_rows


def circulations(writer: Writer) -> Chapter:
    """Return the chapter: every step that circulates, the deepest one with its pictures."""
    steps = circulating_steps(writer.walk)
    blocks: list[Block] = [
        Text("Every step that drills, with its pumps on: pressures, nozzles, window, heat.")
    ]
    blocks += _measured(writer)
    for name in steps:
        one = circulation(writer.walk, name)
        blocks += _of_step(one, writer)
    if steps:
        deepest = circulation(writer.walk)
        blocks += [
            Drawing(circulation_picture(deepest, writer.units)),
            Drawing(flow_window_picture(deepest, writer.units)),
            Drawing(heat_picture(deepest, writer.units)),
        ]
    else:
        blocks.append(Text("No step drills with a string that fits its hole.", "note"))
    blocks.append(Text(CAUTION, "warning"))
    return Chapter("Circulation and heat", tuple(blocks))


def _of_step(one: StepCirculation, writer: Writer) -> list[Block]:
    units = writer.units
    rows = (*facts(one, units), *window_told(one, units), *heat_told(one, units))
    shares = (2.6, 1.4, 1.1, 1.3, 1.2, 1.2, 1.3, 1.2, 1.3)
    return [
        Facts(tuple(rows), f"{one.title} ({one.step})"),
        Table(
            f"Nozzles of {one.step}",
            tuple(
                Column(title, share, "number" if index else "words")
                for index, (title, share) in enumerate(zip(NOZZLE_TITLES, shares, strict=True))
            ),
            nozzle_rows(one, units),
        ),
        Text(nozzles_told(one, units), "note"),
    ]


def _measured(writer: Writer) -> list[Block]:
    """Return the fits of every fluid whose readings were given."""
    blocks: list[Block] = []
    for report in fluid_reports(writer.walk.hole):
        for one in report.conditions:
            blocks.append(
                Table(
                    f"{report.name}. {fit_heading(one, writer.units)}",
                    tuple(
                        Column(title, 1.6 if index == 0 else 1.0, "number" if index else "words")
                        for index, title in enumerate(FIT_TITLES)
                    ),
                    fit_rows(one, writer.units),
                )
            )
        if report.conditions:
            blocks.append(Text(f"{report.name}. {between_told(report, writer.units)}", "note"))
    return blocks
