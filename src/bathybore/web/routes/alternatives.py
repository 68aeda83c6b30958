"""What could be done instead: the choice of steel from the stock."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Response

from bathybore.web.answers import ERRORS, json
from bathybore.web.asking import RoomHere
from bathybore.web.guard import DOCUMENT_POLICY
from bathybore.web.shapes import InUnits, SteelAnswer

router = APIRouter(prefix="/holes/{hole}", tags=["alternatives"], responses=ERRORS)

CasingName = Annotated[str, Path(max_length=200)]


@router.get("/steel", response_model=SteelAnswer)
def choose_steel(room: RoomHere, units: InUnits = "metric") -> Response:
    """Choose the lightest string from the stock for every casing of the newest revision."""
    return json(room.steel(units))


@router.get(
    "/steel/{casing}/picture.svg",
    response_class=Response,
    responses={200: {"content": {"image/svg+xml": {"schema": {"type": "string"}}}}},
)
def draw_steel(room: RoomHere, casing: CasingName, units: InUnits = "metric") -> Response:
    """Draw loads against resistance over depth, and the design envelope, of one string."""
    headers = {"Content-Security-Policy": DOCUMENT_POLICY}
    return Response(room.steel_picture(casing, units), media_type="image/svg+xml", headers=headers)
