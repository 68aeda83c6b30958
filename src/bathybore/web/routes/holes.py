"""The holes of the folder."""

from __future__ import annotations

from fastapi import APIRouter, Response

from bathybore.storage.workspace import HoleEntry
from bathybore.web.answers import ERRORS, json
from bathybore.web.asking import Editor, HouseHere, Reader
from bathybore.web.shapes import NewHole

router = APIRouter(prefix="/holes", tags=["holes"], responses=ERRORS)


@router.get("", response_model=tuple[HoleEntry, ...])
def list_holes(house: HouseHere, reader: Reader) -> Response:
    """List the holes of the folder, those that cannot be used too."""
    return json(house.workspace.holes())


@router.post("", response_model=HoleEntry)
def create_hole(asked: NewHole, house: HouseHere, editor: Editor) -> Response:
    """Begin a hole: a folder with commented files to fill in."""
    return json(house.create(asked.name))


@router.post("/demonstration", response_model=tuple[HoleEntry, ...])
def add_demonstration(house: HouseHere, editor: Editor) -> Response:
    """Copy the invented demonstration holes into the folder, over nothing; list all holes."""
    house.workspace.add_demonstration()
    return json(house.workspace.holes())
