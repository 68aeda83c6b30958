"""What flows: fluids as measured, circulations in full, and their pictures."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Path, Query, Response

from bathybore.web.answers import ERRORS, json
from bathybore.web.asking import RoomHere
from bathybore.web.circulation_page import CirculationAnswer, FluidsAnswer
from bathybore.web.drawn import SVG, drawn
from bathybore.web.shapes import InUnits

router = APIRouter(prefix="/holes/{hole}", tags=["fluids"], responses=ERRORS)

Step = Annotated[
    str, Query(max_length=200, description="A section or a drilling step; the deepest when empty.")
]
Which = Annotated[Literal["circulation", "flow-window", "heat"], Path()]


@router.get("/fluids", response_model=FluidsAnswer)
def show_fluids(room: RoomHere, units: InUnits = "metric") -> Response:
    """Show the fluids of the newest revision as measured: fits, residuals, density by depth."""
    return json(room.fluids(units))


@router.get("/circulation", response_model=CirculationAnswer)
def show_circulation(room: RoomHere, step: Step = "", units: InUnits = "metric") -> Response:
    """Show one circulation in full: by depth, nozzles, window of flows, heat."""
    return json(room.circulation(step, units))


@router.get("/circulation/{which}.svg", response_class=Response, responses=SVG)
def draw_circulation(
    room: RoomHere, which: Which, step: Step = "", units: InUnits = "metric"
) -> Response:
    """Draw a circulation by depth, its window of flows, or its heat."""
    return drawn(room.circulation_picture(which, step, units))
