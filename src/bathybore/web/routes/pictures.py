"""What the Column, the Ribbon and the Ledger show."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Query, Response

from bathybore.base.depth import Datum
from bathybore.reports.formulas import formula_svg
from bathybore.usecases.explaining import Explanation
from bathybore.web.answers import ERRORS, json, missing
from bathybore.web.asking import Reader, RoomHere
from bathybore.web.drawn import SVG, drawn
from bathybore.web.shapes import InUnits, LedgerPage, SceneAnswer, ToDatum
from bathybore.web.view import View

router = APIRouter(tags=["pictures"], responses=ERRORS)

StepName = Annotated[str, Query(max_length=200, description="Empty: the last step.")]
StringName = Annotated[str, Query(max_length=200, description="Whose strength used is shown.")]


@router.get("/holes/{hole}/scene", response_model=SceneAnswer)
def read_scene(
    room: RoomHere,
    step: StepName = "",
    string: StringName = "",
    datum: ToDatum = "drill floor",
    units: InUnits = "metric",
) -> Response:
    """Draw the newest revision that could be walked, after one step."""
    return json(room.scene_answer(View(step, string, Datum(datum), units)))


@router.get("/holes/{hole}/ledger", response_model=LedgerPage)
def read_ledger(room: RoomHere, units: InUnits = "metric") -> Response:
    """Judge the newest revision that could be walked: every verdict."""
    return json(room.ledger_page(units))


@router.get("/holes/{hole}/checks/{step}/{check}", response_model=Explanation)
def read_check(
    room: RoomHere,
    step: Annotated[str, Path(max_length=200)],
    check: Annotated[str, Path(max_length=200)],
    units: InUnits = "metric",
) -> Response:
    """Open one verdict: every equation, source and number behind it."""
    name = f"{step}/{check}"
    found = room.explanation(name, units)
    if found is None:
        raise missing("check", name, "It may be of a step that an edit took away.")
    return json(found)


@router.get("/formula/{equation}", response_class=Response, responses=SVG)
def read_formula(equation: Annotated[str, Path(max_length=200)], reader: Reader) -> Response:
    """Set the formula of a published equation; its colour is that of the text around it."""
    return drawn(formula_svg(equation), Cache_Control="private, max-age=86400")
