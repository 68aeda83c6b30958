"""The prognosis from a neighbour's files beside the hole."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Query, Response

from bathybore.web.answers import ERRORS, json
from bathybore.web.asking import RoomHere
from bathybore.web.drawn import SVG, drawn
from bathybore.web.prognosis_page import NodeAnswer, PrognosisAnswer
from bathybore.web.shapes import InUnits

router = APIRouter(prefix="/holes/{hole}/prognosis", tags=["prognosis"], responses=ERRORS)


@router.get("", response_model=PrognosisAnswer)
def work_out(room: RoomHere, units: InUnits = "metric") -> Response:
    """Work out the prognosis of the files in the hole's folder; nothing is written."""
    return json(room.prognosis(units))


@router.get("/picture.svg", response_class=Response, responses=SVG)
def draw(room: RoomHere, units: InUnits = "metric") -> Response:
    """Draw the curves of the prognosis with their spread."""
    return drawn(room.prognosis_picture(units))


@router.get("/curves/{curve}", response_model=NodeAnswer)
def open_curve(
    room: RoomHere,
    curve: Annotated[str, Path(max_length=100)],
    at: Annotated[str, Query(max_length=100, description="A depth with its datum.")],
    units: InUnits = "metric",
) -> Response:
    """Open one curve at one depth: every equation, source and number behind it."""
    return json(room.prognosis_node(curve, at, units))
