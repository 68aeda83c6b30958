"""The document as a form, its tables, and data taken in from files."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Form, Path, Response, UploadFile
from pydantic import Json

from bathybore.usecases.forms import Form as DocumentForm
from bathybore.usecases.importing import ImportPreview, Mapping, preview
from bathybore.usecases.table_texts import TableText, Which
from bathybore.usecases.uncertain_form import UncertainForm
from bathybore.web.answers import CLASHES, ERRORS, json
from bathybore.web.asking import ChangingRoom, Editor, RoomHere
from bathybore.web.room import RowsAsked
from bathybore.web.shapes import ImportDone, InUnits, RevisionNumber, UniqueText

router = APIRouter(tags=["data"], responses=ERRORS)

Sheet = Annotated[str, Form(max_length=200, description="Of a workbook; empty: the first.")]


@router.get("/holes/{hole}/inputs", response_model=DocumentForm)
def read_inputs(room: RoomHere, units: InUnits = "metric") -> Response:
    """Show the newest document as a form, whatever its faults."""
    return json(room.form(units))


@router.get("/holes/{hole}/uncertainty", response_model=UncertainForm)
def read_uncertainty(room: RoomHere, units: InUnits = "metric") -> Response:
    """Show what is uncertain as a form: told in uncertainty.yaml, or taken as everywhere."""
    return json(room.uncertainty(units))


@router.get("/holes/{hole}/tables/{which}", response_model=TableText)
def read_table(room: RoomHere, which: Annotated[Which, Path()]) -> Response:
    """Show a table of the newest document as it is written."""
    return json(room.table(which))


@router.post("/import/preview", response_model=ImportPreview)
def preview_import(editor: Editor, file: UploadFile, sheet: Sheet = "") -> Response:
    """Read a file of rows and say what was found in it. Nothing is changed or kept."""
    return json(preview(file.filename or "file", file.file.read(), sheet))


@router.post("/holes/{hole}/import", response_model=ImportDone, responses=CLASHES)
def take_in(
    room: ChangingRoom,
    editor: Editor,
    file: UploadFile,
    mapping: Annotated[Json[Mapping], Form()],
    base: Annotated[RevisionNumber, Form()],
    client: Annotated[UniqueText, Form()],
    token: Annotated[UniqueText, Form()],
) -> Response:
    """Take rows of a file into a table of the hole; ``mapping`` says which column is what."""
    rows = RowsAsked(file.filename or "file", file.file.read(), mapping, base, client, token)
    return json(room.take_in(rows, editor.name))
