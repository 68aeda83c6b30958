"""The messages of the live connection.

They are described as webhooks of the OpenAPI document, which has no word for a WebSocket: so
the front end's types of them come from the same place as all others.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, Literal, Required, TypeAlias, get_type_hints

from fastapi import FastAPI
from pydantic import Field
from typing_extensions import TypedDict

from bathybore.base.errors import Fault
from bathybore.usecases.scene import Scene
from bathybore.web.shapes import (
    DatumName,
    EditsMade,
    HandleMoved,
    LedgerHead,
    LedgerRow,
    TravelMade,
    Units,
)

# -- from the browser -----------------------------------------------------------------

MessageId = Annotated[int, Field(ge=0, le=2**53)]


@dataclass(frozen=True, kw_only=True)
class ViewMessage:
    """What this page shows now; what is left out stays as it was. Empty step: the last."""

    type: Literal["view"]
    step: Annotated[str, Field(max_length=200)] | None = None
    string: Annotated[str, Field(max_length=200)] | None = None
    datum: DatumName | None = None
    units: Units | None = None


@dataclass(frozen=True, kw_only=True)
class HandleMessage(HandleMoved):
    type: Literal["handle"]
    id: MessageId


@dataclass(frozen=True, kw_only=True)
class EditsMessage(EditsMade):
    type: Literal["edits"]
    id: MessageId


@dataclass(frozen=True, kw_only=True)
class UndoMessage(TravelMade):
    type: Literal["undo"]
    id: MessageId


@dataclass(frozen=True, kw_only=True)
class RedoMessage(TravelMade):
    type: Literal["redo"]
    id: MessageId


ClientMessage: TypeAlias = Annotated[
    ViewMessage | HandleMessage | EditsMessage | UndoMessage | RedoMessage,
    Field(discriminator="type"),
]

# -- from the server ------------------------------------------------------------------

# The top-level parts of a Scene, each there or not.
SceneParts = TypedDict("SceneParts", get_type_hints(Scene), total=False)  # type: ignore[misc]


# A row of the ledger that the page was never told of, or what differs from what it was told.
RowParts = TypedDict(  # type: ignore[misc]
    "RowParts", get_type_hints(LedgerRow) | {"id": Required[str]}, total=False
)


class LedgerParts(TypedDict, total=False):
    """What changed of the ledger; ``gone`` are ids.

    A page remembers what it was told of a row that is gone: of one that comes back, only what
    differs is told again.
    """

    head: LedgerHead
    rows: list[RowParts]
    gone: list[str]


@dataclass(frozen=True)
class StateMessage:
    """The newest walked revision: what differs from the last state sent on this connection.

    Attributes
    ----------
    scene : null only while no revision could ever be walked
    faults : of ``revision``; the scene is then of an older one
    author : of ``revision``
    """

    type: Literal["state"]
    revision: int
    author: str
    scene: SceneParts | None
    faults: tuple[Fault, ...]
    can_undo: bool
    can_redo: bool


@dataclass(frozen=True)
class LedgerMessage:
    """What the newest walked revision was judged to be: what differs from what was sent before.

    It follows the state of the same revision, so that no picture waits for its verdicts; the
    parts of the scene that show verdicts come with it.
    """

    type: Literal["ledger"]
    revision: int
    ledger: LedgerParts
    scene: SceneParts


@dataclass(frozen=True)
class AcceptedMessage:
    type: Literal["accepted"]
    id: int
    revision: int


@dataclass(frozen=True)
class RefusedMessage:
    """``id`` is null when the message could not be read."""

    type: Literal["refused"]
    id: int | None
    faults: tuple[Fault, ...]


@dataclass(frozen=True)
class ConflictMessage:
    type: Literal["conflict"]
    id: int
    keys: tuple[str, ...]
    by: str
    revision: int


@dataclass(frozen=True)
class PeopleMessage:
    """Who else has the hole open."""

    type: Literal["people"]
    names: tuple[str, ...]


@dataclass(frozen=True)
class NoticeMessage:
    """Something that happened to the hole's files and that everybody there should know."""

    type: Literal["notice"]
    text: str


ServerMessage: TypeAlias = Annotated[
    StateMessage
    | LedgerMessage
    | AcceptedMessage
    | RefusedMessage
    | ConflictMessage
    | PeopleMessage
    | NoticeMessage,
    Field(discriminator="type"),
]


def describe_messages(app: FastAPI) -> None:
    """Put the messages into the description of the interface."""

    unread: dict[int | str, dict[str, Any]] = {422: {"model": RefusedMessage}}

    @app.webhooks.post("live", response_model=ServerMessage, responses=unread)
    def live(message: ClientMessage) -> None:
        """WS /api/holes/{hole}/live: the body goes to the server, the answers come from it."""
