"""Changing the hole. The live connection does the same and is quicker."""

from __future__ import annotations

from fastapi import APIRouter, Response

from bathybore.web.answers import CLASHES, ERRORS, json
from bathybore.web.asking import Editor, RoomHere
from bathybore.web.shapes import EditsAsked, EditsTried, HandleMoved, Refusal, Revised

router = APIRouter(prefix="/holes/{hole}", tags=["edits"], responses={**ERRORS, **CLASHES})


@router.post("/edits", response_model=Revised)
def make_edits(asked: EditsAsked, room: RoomHere, editor: Editor) -> Response:
    """Make edits together, or none of them. What breaks the plan is kept, and shown."""
    return json(Revised(room.edit(asked, editor.name)))


@router.post("/handle", response_model=Revised)
def move_handle(asked: HandleMoved, room: RoomHere, editor: Editor) -> Response:
    """Move a handle to an SI value, or set it to a text with unit."""
    return json(Revised(room.move(asked, editor.name)))


@router.post("/undo", response_model=Revised)
def undo(room: RoomHere, editor: Editor) -> Response:
    """Take back the reader's own last gesture."""
    return json(Revised(room.undo(editor.name)))


@router.post("/redo", response_model=Revised)
def redo(room: RoomHere, editor: Editor) -> Response:
    """Make the gesture again that was taken back last."""
    return json(Revised(room.redo(editor.name)))


@router.post("/validate", response_model=Refusal)
def try_edits(asked: EditsTried, room: RoomHere, editor: Editor) -> Response:
    """Say what would be wrong after these edits. Nothing is kept."""
    return json(Refusal(room.tried(asked.edits)))
