"""Revisions: the list, the comparison of two, signatures."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Response

from bathybore.base.depth import Datum
from bathybore.usecases.comparing import Comparison, InputsCompared
from bathybore.usecases.signing import Signature
from bathybore.web.answers import CLASHES, ERRORS, json
from bathybore.web.asking import HouseHere, RoomHere, Signer
from bathybore.web.shapes import (
    InUnits,
    RevisionNumber,
    RevisionTold,
    SignAsked,
    Signed,
    ToDatum,
)
from bathybore.web.view import View

router = APIRouter(prefix="/holes/{hole}", tags=["revisions"], responses=ERRORS)

Before = Annotated[RevisionNumber | None, Query(description="Only revisions before this one.")]
Limit = Annotated[int, Query(ge=1, le=500)]


@router.get("/revisions", response_model=tuple[RevisionTold, ...])
def list_revisions(room: RoomHere, before: Before = None, limit: Limit = 100) -> Response:
    """List revisions, the newest first."""
    return json(room.revisions(limit, before))


@router.get("/compare", response_model=Comparison)
def compare_revisions(
    room: RoomHere,
    then: RevisionNumber,
    now: RevisionNumber,
    step: Annotated[str, Query(max_length=200)] = "",
    datum: ToDatum = "drill floor",
    units: InUnits = "metric",
) -> Response:
    """Compare two revisions: inputs, verdicts, pictures."""
    return json(room.comparison(then, now, View(step, "", Datum(datum), units)))


@router.get("/compare/inputs", response_model=InputsCompared)
def compare_inputs_alone(room: RoomHere, then: RevisionNumber, now: RevisionNumber) -> Response:
    """Compare the inputs alone of two revisions, of those too that cannot be walked."""
    return json(room.inputs_compared(then, now))


@router.post("/sign", response_model=Signed, responses=CLASHES)
def sign(asked: SignAsked, room: RoomHere, house: HouseHere, signer: Signer) -> Response:
    """Sign the newest revision. A later edit leaves the signature on the revision signed."""
    return json(room.sign(asked, signer, house.visitors.login_needed))


@router.get("/signatures", response_model=tuple[Signature, ...])
def list_signatures(room: RoomHere) -> Response:
    """List the signatures."""
    return json(room.desk.signatures())
