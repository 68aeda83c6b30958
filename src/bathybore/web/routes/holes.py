"""The holes of the folder."""

from __future__ import annotations

from fastapi import APIRouter, Response

from bathybore.web.answers import ERRORS, json
from bathybore.web.asking import Editor, HouseHere, Reader
from bathybore.web.shapes import HoleTold, NewHole

router = APIRouter(prefix="/holes", tags=["holes"], responses=ERRORS)


@router.get("", response_model=tuple[HoleTold, ...])
def list_holes(house: HouseHere, reader: Reader) -> Response:
    """List the holes of the folder, those that cannot be used too."""
    return json(house.holes())


@router.post("", response_model=HoleTold)
def create_hole(asked: NewHole, house: HouseHere, editor: Editor) -> Response:
    """Begin a hole: a folder with commented files to fill in."""
    return json(house.create(asked.name))


@router.post("/demonstration", response_model=tuple[HoleTold, ...])
def add_demonstration(house: HouseHere, editor: Editor) -> Response:
    """Copy the invented demonstration holes into the folder, those that are missing."""
    return json(house.add_demonstration())
