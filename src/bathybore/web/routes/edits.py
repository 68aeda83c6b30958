"""Changing the hole. The live connection does the same and is quicker."""

from __future__ import annotations

from fastapi import APIRouter, Response

from bathybore.web.answers import CLASHES, ERRORS, json
from bathybore.web.asking import ChangingRoom, Editor, RoomHere
from bathybore.web.shapes import (
    EditsAsked,
    EditsTried,
    HandleAsked,
    Refusal,
    RestoreAsked,
    Revised,
    UndoAsked,
)

router = APIRouter(prefix="/holes/{hole}", tags=["edits"], responses={**ERRORS, **CLASHES})


@router.post("/edits", response_model=Revised)
def make_edits(asked: EditsAsked, room: ChangingRoom, editor: Editor) -> Response:
    """Make edits together, or none of them. What breaks the plan is kept, and shown."""
    return json(Revised(room.edit(asked, editor.name, asked.client)))


@router.post("/handle", response_model=Revised)
def move_handle(asked: HandleAsked, room: ChangingRoom, editor: Editor) -> Response:
    """Move a handle to an SI value, or set it to a text with unit."""
    return json(Revised(room.move(asked, editor.name, asked.client)))


@router.post("/undo", response_model=Revised)
def undo(asked: UndoAsked, room: ChangingRoom, editor: Editor) -> Response:
    """Take back the newest gesture of the hole, unless another made it unseen."""
    return json(Revised(room.undo(asked, editor.name, asked.client)))


@router.post("/redo", response_model=Revised)
def redo(asked: UndoAsked, room: ChangingRoom, editor: Editor) -> Response:
    """Make the gesture again that was taken back last."""
    return json(Revised(room.redo(asked, editor.name, asked.client)))


@router.post("/restore", response_model=Revised)
def restore(asked: RestoreAsked, room: ChangingRoom, editor: Editor) -> Response:
    """Go back to an earlier revision: a new one is made with its files."""
    return json(Revised(room.restore(asked, editor.name, asked.client)))


@router.post("/validate", response_model=Refusal)
def try_edits(asked: EditsTried, room: RoomHere, editor: Editor) -> Response:
    """Say what would be wrong after these edits. Nothing is kept."""
    return json(Refusal(room.tried(asked.edits)))
