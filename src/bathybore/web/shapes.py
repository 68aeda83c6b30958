"""What goes over the wire and belongs to no use case: questions, answers, errors, ledger rows.

Plain dataclasses. The description of the interface, and with it the front end's types, is made
from them; numbers are SI, texts are in the units the reader asked for.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal, TypeAlias

from fastapi import Query
from pydantic import Field

from bathybore.base.errors import Fault
from bathybore.base.frozen import quickly_made
from bathybore.model.editing import Edit
from bathybore.storage.records import Role
from bathybore.usecases.ledger import Caution
from bathybore.usecases.scene import Scene
from bathybore.usecases.signing import Signature

Units: TypeAlias = Literal["metric", "oilfield"]
DatumName: TypeAlias = Literal["drill floor", "sea level", "sea bed"]
StatusName: TypeAlias = Literal["holds", "tight", "fails", "not judged", "outside validity"]


InUnits = Annotated[Units, Query(description="In which units texts are.")]
ToDatum = Annotated[DatumName, Query(description="Which datum densities and texts refer to.")]
UniqueText = Annotated[str, Field(min_length=1, max_length=100)]
RevisionNumber = Annotated[int, Field(ge=0, le=2**53)]  # as far as JSON's readers count exactly


# -- errors ---------------------------------------------------------------------------


@dataclass(frozen=True)
class Refusal:
    """Why a request was not done; every error is answered with this."""

    faults: tuple[Fault, ...]


@dataclass(frozen=True)
class Clash:
    """Somebody else changed the same keys since the revision that the request was based on."""

    keys: tuple[str, ...]
    by: str
    revision: int


@dataclass(frozen=True)
class ClashRefusal:
    faults: tuple[Fault, ...]
    conflict: Clash


# -- who is there ---------------------------------------------------------------------


@dataclass(frozen=True)
class SessionTold:
    """Who the reader is here.

    Attributes
    ----------
    role : empty until logged in
    csrf : to be sent as X-Bathybore-Token with every request that changes something
    """

    user: str
    role: Role | Literal[""]
    login_needed: bool
    csrf: str
    version: str
    folder: str


@dataclass(frozen=True)
class Login:
    name: Annotated[str, Field(max_length=100)]
    password: Annotated[str, Field(max_length=1000)]


# -- holes ----------------------------------------------------------------------------


@dataclass(frozen=True)
class NewHole:
    name: Annotated[str, Field(max_length=200)]


@dataclass(frozen=True)
class SceneAnswer:
    """The picture of the newest revision that could be walked.

    Attributes
    ----------
    scene : null while no revision could be walked
    faults : of the newest revision; the scene is then of an older one
    """

    revision: int
    scene: Scene | None
    faults: tuple[Fault, ...]
    can_undo: bool
    can_redo: bool


@quickly_made
@quickly_made
@dataclass(frozen=True)
class LedgerRow:
    """One verdict. ``z`` is metres below mean sea level, null where it has no place."""

    id: str
    step: str
    check: str
    discipline: str
    status: StatusName
    margin: float | None
    margin_text: str
    demand: str
    capacity: str
    z: float | None
    depth: str
    section: str
    question: str
    remedy: str
    reason: str
    caution: str
    note: str


@dataclass(frozen=True)
class LedgerHead:
    """The whole hole's verdict and what goes with it; ids name rows.

    Attributes
    ----------
    studied : the longer questions were asked too; until then the verdict is not the last
    """

    verdict: str
    passes: bool
    counts: dict[str, int]
    cautions: tuple[Caution, ...]
    fails_first: str | None
    fails_most: str | None
    tightest: str | None
    studied: bool


@dataclass(frozen=True)
class LedgerPage(LedgerHead):
    revision: int
    rows: tuple[LedgerRow, ...]


# -- edits and revisions --------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class Once:
    """A change that may be sent again when the answer was lost, and is then not made twice.

    Attributes
    ----------
    token : unique text of this change
    """

    token: UniqueText


@dataclass(frozen=True, kw_only=True)
class EditsMade(Once):
    """Edits made together. ``base`` is the revision their author saw."""

    base: RevisionNumber
    edits: Annotated[list[Edit], Field(min_length=1, max_length=1000)]
    gesture: Annotated[str, Field(max_length=100)] = ""
    label: Annotated[str, Field(max_length=200)] = ""


@dataclass(frozen=True, kw_only=True)
class HandleMoved(Once):
    """A handle dragged to an SI ``value``, or set to a ``text`` with unit: one of the two."""

    base: RevisionNumber
    handle: Annotated[str, Field(max_length=200)]
    value: Annotated[float, Field(allow_inf_nan=False)] | None = None
    text: Annotated[str, Field(max_length=200)] | None = None
    gesture: Annotated[str, Field(max_length=100)] = ""
    label: Annotated[str, Field(max_length=200)] = ""


@dataclass(frozen=True, kw_only=True)
class FromClient:
    """``client`` is a unique text of the browser page: it tells two pages of one reader apart."""

    client: UniqueText


@dataclass(frozen=True, kw_only=True)
class EditsAsked(EditsMade, FromClient):
    pass


@dataclass(frozen=True, kw_only=True)
class HandleAsked(HandleMoved, FromClient):
    pass


@dataclass(frozen=True, kw_only=True)
class TravelMade(Once):
    """``base`` is the revision that the reader saw: what another did since is not taken back."""

    base: RevisionNumber


@dataclass(frozen=True, kw_only=True)
class UndoAsked(TravelMade, FromClient):
    pass


@dataclass(frozen=True, kw_only=True)
class RestoreAsked(TravelMade, FromClient):
    """``number`` is the revision whose files are to count again."""

    number: RevisionNumber


@dataclass(frozen=True)
class ImportDone:
    """The revision that came of it, how many rows were taken, and what to know about them."""

    revision: int
    rows: int
    notes: tuple[str, ...]


@dataclass(frozen=True)
class EditsTried:
    edits: Annotated[list[Edit], Field(min_length=1, max_length=1000)]


@dataclass(frozen=True)
class Revised:
    """The revision that came of it."""

    revision: int


@dataclass(frozen=True)
class RevisionTold:
    number: int
    author: str
    at: str
    label: str
    gesture: str
    signed_by: tuple[str, ...]


@dataclass(frozen=True)
class SignAsked:
    """A signature wanted.

    Attributes
    ----------
    revision : that the signer saw; refused when it is no longer the newest
    name : who signs; where people log in, the account's name counts instead
    """

    revision: RevisionNumber
    note: Annotated[str, Field(max_length=2000)]
    name: Annotated[str, Field(max_length=100)] = ""


@dataclass(frozen=True)
class Signed:
    revision: int
    signature: Signature


@dataclass(frozen=True)
class SteelPart:
    """A length of one pipe of the stock; ``z`` are metres below mean sea level."""

    pipe: str
    designation: str
    top: str
    bottom: str
    z_top: float
    z_bottom: float
    mass: str


@dataclass(frozen=True)
class SteelString:
    """The lightest string for a casing of the plan.

    Attributes
    ----------
    planned : designation of the pipe that the plan names
    parts : top down; none where no string bears all, and ``why_none`` says why
    left_out : pipes of this size on board that could not be taken, and why
    rows : every question it was chosen by
    picture : what the picture shows, in words
    """

    casing: str
    section: str
    planned: str
    passes: bool
    parts: tuple[SteelPart, ...]
    mass: str
    planned_mass: str
    offered: tuple[str, ...]
    left_out: tuple[str, ...]
    why_none: str
    rows: tuple[LedgerRow, ...]
    picture: str


@dataclass(frozen=True)
class SteelAnswer:
    """The choice of steel for the newest revision that could be walked."""

    revision: int
    strings: tuple[SteelString, ...]
    caution: str
