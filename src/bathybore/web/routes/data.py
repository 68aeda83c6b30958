"""The document as a form, its tables, and data taken in from files."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Form, Path, Response, UploadFile

from bathybore.usecases.forms import Form as DocumentForm
from bathybore.usecases.importing import preview
from bathybore.usecases.table_texts import TableText
from bathybore.web.answers import CLASHES, ERRORS, json, missing
from bathybore.web.asking import Editor, HouseHere, RoomHere
from bathybore.web.shapes import ImportAsked, ImportDone, ImportOffered, InUnits
from bathybore.web.uploads import Upload

router = APIRouter(tags=["data"], responses=ERRORS)

Sheet = Annotated[str, Form(max_length=200, description="Of a workbook; empty: the first.")]


@router.get("/holes/{hole}/inputs", response_model=DocumentForm)
def read_inputs(room: RoomHere, units: InUnits = "metric") -> Response:
    """Show the newest document as a form, whatever its faults."""
    return json(room.form(units))


@router.get("/holes/{hole}/tables/{which}", response_model=TableText)
def read_table(room: RoomHere, which: Annotated[Literal["earth", "sea"], Path()]) -> Response:
    """Show a table of the newest document as it is written."""
    return json(room.table(which))


@router.post("/import/preview", response_model=ImportOffered)
def preview_import(
    house: HouseHere, editor: Editor, file: UploadFile, sheet: Sheet = ""
) -> Response:
    """Read a file of rows and say what was found in it. Nothing is changed yet."""
    name, data = file.filename or "file", file.file.read()
    found = preview(name, data, sheet)
    return json(ImportOffered(house.uploads.keep(Upload(name, data, editor.token)), found))


@router.post("/holes/{hole}/import", response_model=ImportDone, responses=CLASHES)
def take_in(asked: ImportAsked, room: RoomHere, house: HouseHere, editor: Editor) -> Response:
    """Take rows of a previewed file into a table of the hole."""
    upload = house.uploads.find(asked.upload, editor.token)
    if upload is None:
        raise missing("upload", asked.upload, "Choose the file again.")
    return json(room.take_in(asked, upload, editor.name, asked.client))
