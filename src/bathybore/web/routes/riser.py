"""The riser in the sea part by part, and pipe in open water, with their pictures."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Response

from bathybore.web.answers import ERRORS, json
from bathybore.web.asking import RoomHere
from bathybore.web.drawn import SVG, drawn
from bathybore.web.riser_page import RiserPartName
from bathybore.web.shapes import InUnits
from bathybore.web.topic_page import TopicAnswer

router = APIRouter(prefix="/holes/{hole}/riser", tags=["sea"], responses=ERRORS)

Part = Annotated[
    RiserPartName, Path(description="Shape, modes, waves, vibration, hung off, or open water.")
]


@router.get("/{part}", response_model=TopicAnswer)
def show_riser(room: RoomHere, part: Part, units: InUnits = "metric") -> Response:
    """Show one part of the riser in the sea, or pipe that hangs in open water."""
    return json(room.riser(part, units))


@router.get("/{part}/picture.svg", response_class=Response, responses=SVG)
def draw_riser(room: RoomHere, part: Part, units: InUnits = "metric") -> Response:
    """Draw it over depth."""
    return drawn(room.riser_picture(part, units))
