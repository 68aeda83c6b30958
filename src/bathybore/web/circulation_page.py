"""Circulations and fluids of a walk for the page."""

from __future__ import annotations

from dataclasses import dataclass

from bathybore.base.units import UnitSystem
from bathybore.drawings import circulation, flow_window, heat
from bathybore.model.hole import Hole
from bathybore.usecases import fluid_measured
from bathybore.usecases.circulating import CAUTION, StepCirculation
from bathybore.usecases.circulating_told import (
    ANNULUS_TITLES,
    NOZZLE_TITLES,
    PIPE_TITLES,
    annulus_rows,
    facts,
    heat_told,
    nozzle_rows,
    nozzles_told,
    pipe_rows,
    window_told,
)
from bathybore.usecases.fluid_measured import FluidReport
from bathybore.usecases.fluid_told import (
    DENSITY_TITLES,
    FIT_TITLES,
    READING_TITLES,
    between_told,
    composition_told,
    constants_told,
    density_rows,
    fit_heading,
    fit_rows,
    reading_rows,
)
from bathybore.web.ledger_page import ledger_rows
from bathybore.web.shapes import LedgerRow
from bathybore.web.topic_page import Told


@dataclass(frozen=True)
class Rows:
    """A table as texts."""

    titles: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class CirculationPictures:
    """What the pictures show, in words."""

    circulation: str
    flow_window: str
    heat: str


@dataclass(frozen=True)
class CirculationAnswer:
    """One circulation in full.

    Attributes
    ----------
    steps : all that circulate, in order
    note : what the choice of nozzles keeps to
    rows : of the ledger
    """

    revision: int
    step: str
    title: str
    steps: tuple[str, ...]
    passes: bool
    facts: tuple[Told, ...]
    window: tuple[Told, ...]
    heat: tuple[Told, ...]
    note: str
    nozzles: Rows
    annulus: Rows
    pipe: Rows
    rows: tuple[LedgerRow, ...]
    pictures: CirculationPictures
    caution: str


@dataclass(frozen=True)
class FitTold:
    """Readings of one condition with the laws fitted to them."""

    heading: str
    fits: Rows
    readings: Rows


@dataclass(frozen=True)
class FluidTold:
    """One fluid of the plan as measured."""

    name: str
    constants: tuple[Told, ...]
    between: str
    fits: tuple[FitTold, ...]
    density: Rows
    composition: str


@dataclass(frozen=True)
class FluidsAnswer:
    """The fluids of the plan as measured."""

    revision: int
    fluids: tuple[FluidTold, ...]
    caution: str


def circulation_answer(
    hole: Hole,
    one: StepCirculation,
    steps: tuple[str, ...],
    revision: int,
    units: UnitSystem,
) -> CirculationAnswer:
    """Return a circulation, texts in ``units``."""
    return CirculationAnswer(
        revision=revision,
        step=one.step,
        title=one.title,
        steps=steps,
        passes=one.passes,
        facts=_told(facts(one, units)),
        window=_told(window_told(one, units)),
        heat=_told(heat_told(one, units)),
        note=nozzles_told(one, units),
        nozzles=Rows(NOZZLE_TITLES, nozzle_rows(one, units)),
        annulus=Rows(ANNULUS_TITLES, annulus_rows(one, units)),
        pipe=Rows(PIPE_TITLES, pipe_rows(one, units)),
        rows=ledger_rows(one.records, hole.frame, units),
        pictures=CirculationPictures(
            circulation.in_words(one, units),
            flow_window.in_words(one, units),
            heat.in_words(one, units),
        ),
        caution=CAUTION,
    )


def fluids_answer(
    hole: Hole, reports: tuple[FluidReport, ...], revision: int, units: UnitSystem
) -> FluidsAnswer:
    """Return the fluids, texts in ``units``."""
    told = tuple(_fluid(hole, report, units) for report in reports)
    return FluidsAnswer(revision, told, fluid_measured.CAUTION)


def _fluid(hole: Hole, report: FluidReport, units: UnitSystem) -> FluidTold:
    return FluidTold(
        name=report.name,
        constants=_told(constants_told(report, units)),
        between=between_told(report, units),
        fits=tuple(
            FitTold(
                fit_heading(one, units),
                Rows(FIT_TITLES, fit_rows(one, units)),
                Rows(READING_TITLES, reading_rows(one, units)),
            )
            for one in report.conditions
        ),
        density=Rows(DENSITY_TITLES, density_rows(report, hole, units)),
        composition=composition_told(report, units),
    )


def _told(rows: list[tuple[str, str]]) -> tuple[Told, ...]:
    return tuple(Told(*row) for row in rows)
