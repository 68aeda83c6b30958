"""Pressure, equivalent density and velocity against depth while the pumps run."""

from __future__ import annotations

from typing import Final

import numpy as np
from matplotlib.axes import Axes

from bathybore.base.arrays import Array
from bathybore.base.units import UnitSystem, conversion, from_si, shown_unit
from bathybore.drawings import palette
from bathybore.drawings.flow_sheet import (
    TOP,
    WIDTH,
    density_unit,
    depth_label,
    depth_panel,
    down,
    handles_of,
    unit_label,
)
from bathybore.drawings.palette import Stroke
from bathybore.drawings.picture import (
    NORMAL,
    SMALL,
    Picture,
    Sheet,
    foot_legend,
    paper_axes,
    settings,
    sheet_of_paper,
)
from bathybore.operations.circulation_profile import Channel
from bathybore.operations.columns import gravity, sea_bed_pressure
from bathybore.usecases.circulating import StepCirculation
from bathybore.usecases.circulating_told import density, pressure

HEIGHT: Final = 138.0
_TALL: Final = 96.0
_DOWN: Final = Stroke("down the string", palette.BLUE, 1.8, (6.0, 2.0))
_UP: Final = Stroke("up the annulus", palette.BLUISH_GREEN, 2.0)
_BORNE: Final = Stroke("what the rock bears, margin taken off", palette.VERMILION, 1.4, (2.0, 1.5))


def circulation_picture(one: StepCirculation, units: UnitSystem = "metric") -> Picture:
    """Return pressure, density and velocity against depth as a picture."""
    with settings():
        return draw_circulation(one, units).finished()


def draw_circulation(one: StepCirculation, units: UnitSystem = "metric") -> Sheet:
    figure = sheet_of_paper(WIDTH, HEIGHT)
    paper = paper_axes(figure)
    places = ((18.0, 56.0, _TALL), (82.0, 40.0, _TALL), (130.0, 34.0, _TALL))
    pressures, densities, velocities = (
        depth_panel(figure, one, units, place, labelled=index == 0)
        for index, place in enumerate(places)
    )
    _pressures(pressures, one, units)
    _densities(densities, one, units)
    _velocities(velocities, one, units)
    depth_label(paper, units, _TALL)
    headings = (
        (18.0, f"pressure, {one.step}"),
        (82.0, "circulating density"),
        (130.0, "velocity"),
    )
    for x, words in headings:
        paper.text(x, 6.0, words, fontsize=NORMAL, va="center")
    foot_legend(paper, handles_of((_DOWN, _UP, _BORNE)), TOP + _TALL + 14.0, 3, handlelength=3.6)
    return Sheet(figure, f"Circulation in {one.step}", in_words(one, units))


def in_words(one: StepCirculation, units: UnitSystem) -> str:
    """Say what the picture shows."""
    profile = one.profile
    dense = float(np.asarray(profile.equivalent.si)[-1])
    datum = "drill floor" if one.flow.on_riser else "sea bed"
    return (
        f"Pressure, equivalent circulating density and velocity against depth in {one.step}: "
        f"{pressure(profile.standpipe, units)} at the standpipe, "
        f"{pressure(profile.bottom_pressure, units)} at the bottom, which is "
        f"{density(dense, units)} to the {datum}."
    )


def _pressure_line(axes: Axes, channel: Channel, across: float, stroke: Stroke, y: Array) -> None:
    numbers = np.asarray(channel.pressure.si) / across
    axes.plot(numbers, y, color=stroke.colour, lw=stroke.width, ls=stroke.style)


def _pressures(axes: Axes, one: StepCirculation, units: UnitSystem) -> None:
    unit = shown_unit("Pa", units)
    across, floor, metre = conversion(unit).factor, float(one.flow.setting.drill_floor), down(units)
    profile = one.profile
    for channel, stroke in ((profile.pipe, _DOWN), (profile.annulus, _UP)):
        _pressure_line(axes, channel, across, stroke, (channel.cells.bottom - floor) / metre)
    bears = np.asarray(one.bears.si)
    axes.plot(
        bears / across, (one.z - floor) / metre,
        color=_BORNE.colour, lw=_BORNE.width, ls=_BORNE.style,
    )  # fmt: skip
    axes.set_xlim(left=0.0)
    axes.set_xlabel(unit_label("pressure", unit), fontsize=SMALL, labelpad=1.5)


def _densities(axes: Axes, one: StepCirculation, units: UnitSystem) -> None:
    unit, profile = density_unit(units), one.profile
    setting, metre = one.flow.setting, down(units)
    floor, bed = float(setting.drill_floor), float(setting.sea_bed)
    cells = profile.annulus.cells
    # close under its datum an equivalent density means nothing: a short height divides friction
    begin = floor if one.flow.on_riser else bed
    told = cells.bottom - begin > 0.05 * (cells.bottom[-1] - begin)
    dense = np.asarray(profile.equivalent.si)
    shown = np.array([from_si(float(v), "kg/m3", unit) for v in dense])
    y = (cells.bottom - floor) / metre
    axes.plot(shown[told], y[told], color=_UP.colour, lw=_UP.width)
    top = 0.0 if one.flow.on_riser else float(sea_bed_pressure(setting))
    height = one.z - begin
    high = height > 0.05 * (cells.bottom[-1] - begin)
    bears = (np.asarray(one.bears.si) - top) / (gravity(setting) * np.maximum(height, 1.0))
    borne = np.array([from_si(float(v), "kg/m3", unit) for v in bears])
    axes.plot(
        borne[high], (one.z[high] - floor) / metre,
        color=_BORNE.colour, lw=_BORNE.width, ls=_BORNE.style,
    )  # fmt: skip
    datum = "drill floor" if one.flow.on_riser else "sea bed"
    axes.set_xlabel(unit_label(f"to the {datum}", unit), fontsize=SMALL, labelpad=1.5)


def _velocities(axes: Axes, one: StepCirculation, units: UnitSystem) -> None:
    unit = shown_unit("m/s", units)
    across, floor, metre = conversion(unit).factor, float(one.flow.setting.drill_floor), down(units)
    for channel, stroke in ((one.profile.pipe, _DOWN), (one.profile.annulus, _UP)):
        cells = channel.cells
        numbers = np.broadcast_to(np.asarray(channel.velocity.si), cells.bottom.shape) / across
        y = np.column_stack([cells.top, cells.bottom]).ravel() - floor
        axes.plot(
            np.repeat(numbers, 2), y / metre, color=stroke.colour, lw=stroke.width, ls=stroke.style
        )
    axes.set_xlim(left=0.0)
    axes.set_xlabel(unit_label("velocity", unit), fontsize=SMALL, labelpad=1.5)
