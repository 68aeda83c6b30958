"""One open hole: its desk, and what is shown of its newest revision.

Every method may take its time and is called from worker threads, never in the event loop.
"""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from bathybore.base.errors import BathyboreError, Fault, InputErrors
from bathybore.base.units import UnitSystem
from bathybore.drawings.circulation import circulation_picture
from bathybore.drawings.flow_window import flow_window_picture
from bathybore.drawings.heat import heat_picture
from bathybore.drawings.hydrates import hydrate_picture
from bathybore.drawings.kick import kick_picture
from bathybore.drawings.kick_tolerance import tolerance_picture
from bathybore.drawings.mud_account import mud_picture
from bathybore.drawings.prognosis import prognosis_picture
from bathybore.drawings.riser import riser_picture
from bathybore.drawings.station import part_picture
from bathybore.drawings.steel import steel_picture
from bathybore.drawings.string_loads import string_picture
from bathybore.model.editing import Draft, Edit
from bathybore.model.hole import Hole
from bathybore.model.hole_files import UNCERTAINTY_FILE
from bathybore.model.reading import table_file
from bathybore.model.uncertainty import uncertainty_of
from bathybore.model.yaml_tree import Tree
from bathybore.storage.desk import Desk
from bathybore.usecases.circulating import circulating_steps
from bathybore.usecases.comparing import (
    Comparison,
    InputsCompared,
    compare,
    compare_inputs,
)
from bathybore.usecases.explaining import Explanation, explain
from bathybore.usecases.fluid_measured import fluid_reports
from bathybore.usecases.forms import Form, form
from bathybore.usecases.handles import handle_edits, type_edits
from bathybore.usecases.import_apply import apply_import
from bathybore.usecases.importing import Mapping
from bathybore.usecases.kicking import kick_of
from bathybore.usecases.odds import ODDS
from bathybore.usecases.prognosis import WorkedPrognosis, open_node, prognosis
from bathybore.usecases.reach import REACH
from bathybore.usecases.searching import SearchOrder, find_architectures
from bathybore.usecases.steel_choice import STEEL, chosen
from bathybore.usecases.string_reach import REACH as STRING_REACH
from bathybore.usecases.table_texts import TableText, Which, no_survey, table_text
from bathybore.usecases.uncertain_form import UncertainForm, uncertain_form
from bathybore.web.architecture_page import ArchitectureAnswer, architecture_answer
from bathybore.web.circulation_page import (
    CirculationAnswer,
    FluidsAnswer,
    circulation_answer,
    fluids_answer,
)
from bathybore.web.kick_page import KickAnswer, MudAnswer, kick_answer, mud_answer
from bathybore.web.odds_desk import OddsDesk
from bathybore.web.odds_page import OddsPart
from bathybore.web.papers import Papers
from bathybore.web.pictured import Pictured, Snapshot
from bathybore.web.placing_page import (
    PlacingAnswer,
    PlacingKind,
    chosen_of,
    placing_answer,
    placing_picture,
)
from bathybore.web.prognosis_page import (
    NodeAnswer,
    PrognosisAnswer,
    node_answer,
    prognosis_answer,
)
from bathybore.web.riser_page import RiserPartName, riser_answer
from bathybore.web.shapes import (
    EditsMade,
    HandleMoved,
    ImportDone,
    LedgerPage,
    RestoreAsked,
    RevisionTold,
    SceneAnswer,
    SignAsked,
    Signed,
    SteelAnswer,
    TravelMade,
)
from bathybore.web.station_page import StationPart, station_answer
from bathybore.web.steel_page import steel_answer
from bathybore.web.string_page import ReachAnswer, reach_answer
from bathybore.web.topic_page import TopicAnswer
from bathybore.web.view import View
from bathybore.web.visitors import Visitor

CIRCULATION_PICTURES: Final = {
    "circulation": circulation_picture,
    "flow-window": flow_window_picture,
    "heat": heat_picture,
}
SIGNED_AS: Final = "may read, edit and sign"
SIGNED_WITHOUT_LOGIN: Final = "name as typed, without a login"
_log = logging.getLogger(__name__)


@dataclass(frozen=True)
class RowsAsked:
    """Rows of a file for a table; the rest as of any edit."""

    name: str
    data: bytes
    mapping: Mapping
    base: int
    client: str
    token: str


class Room:
    """A hole that is open.

    Walking is done by one thread at a time, always of the newest revision: whoever waited
    for a walk finds it done, and revisions in between are never walked.
    """

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.id = desk.hole
        self.papers = Papers(desk)
        self._walking = threading.Lock()
        self._newest: Snapshot | None = None
        self._listeners: list[Callable[[], None]] = []
        self.odds = OddsDesk(desk, self.newest)

    def listen(self, told: Callable[[], None]) -> None:
        """Have a function called, in any thread, when there may be a new revision."""
        self._listeners.append(told)

    def leave(self) -> None:
        """Give up long work, so that the server can end."""
        self.odds.leave()

    def changed(self) -> None:
        """Tell whoever listens; called by who made a change, once its answer is on the way."""
        for told in self._listeners:
            told()

    # -- what is shown --------------------------------------------------------------------

    def newest(self) -> Snapshot:
        """Return the newest revision, walked."""
        with self._walking:
            before = self._newest
            if before is None or before.revision.number != self.desk.head.number:
                self._newest = self._walked(before)
            assert self._newest is not None
            return self._newest

    def study(self, now: Snapshot) -> Snapshot:
        """Ask the longer questions of what is shown, unless a newer revision comes meanwhile."""
        if now.pictured is None or not now.pictured.study(lambda: self._is_head(now)):
            return now
        return replace(now, studied=True)

    def _is_head(self, now: Snapshot) -> bool:
        return self.desk.head.number == now.revision.number

    def _walked(self, before: Snapshot | None) -> Snapshot:
        head, draft = self.desk.now
        pictured = before.pictured if before else None
        try:
            walked = self.desk.walk_newest()
        except BathyboreError as error:
            return Snapshot(head, draft.faults or _faults_of(error), pictured)
        except Exception as error:
            _log.exception("walking %s, revision %d", self.id, head.number)
            return Snapshot(head, (_defect(error),), pictured)
        if walked is None:
            return Snapshot(head, draft.faults, None)
        if pictured is None or pictured.quick is not walked.walk:
            pictured = Pictured(walked.walk, walked.revision.number)
        if walked.revision.number >= head.number:
            return Snapshot(walked.revision, (), pictured)
        return Snapshot(head, draft.faults, pictured)

    def _picture(self) -> Pictured:
        now = self.newest()
        if now.pictured is None:
            raise InputErrors(now.faults)
        return now.pictured

    def _studied(self) -> Pictured:
        """Return what is shown, with the longer questions asked."""
        pictured = self._picture()
        pictured.study()
        return pictured

    def scene_answer(self, view: View) -> SceneAnswer:
        now = self.newest()
        return SceneAnswer(
            revision=now.revision.number,
            scene=now.pictured.scene(view) if now.pictured else None,
            faults=now.faults,
            can_undo=now.can_undo,
            can_redo=now.can_redo,
        )

    def ledger_page(self, units: UnitSystem) -> LedgerPage:
        """Return the ledger of the newest revision that could be walked; it says which."""
        pictured = self._studied()
        return pictured.judged(units).page(pictured.revision)

    def explanation(self, check: str, units: UnitSystem) -> Explanation | None:
        """Return a check opened up; None when the hole has no such check."""
        pictured = self._picture()
        records = pictured.walk.records
        if check.startswith(STEEL):
            records = tuple(one for choice in pictured.steel() for one in choice.records)
        elif check.startswith(f"{STRING_REACH}/"):
            records = pictured.string().records
        elif check.startswith((f"{ODDS}/", f"{REACH}/")):
            records = self.odds.records(check, units)
        elif not any(one.id == check for one in records):
            pictured.study()
            records = pictured.walk.records
        return next((explain(one, units) for one in records if one.id == check), None)

    def architectures(self, order: SearchOrder, units: UnitSystem) -> ArchitectureAnswer:
        """Search architectures for the newest revision; InputErrors while it has faults."""
        head, draft = self.desk.now
        found = find_architectures(draft, order)
        assert draft.hole is not None  # or the search had refused it
        return architecture_answer(draft.hole, found, head.number, units)

    def prognosis(self, units: UnitSystem) -> PrognosisAnswer:
        """Work out the prognosis of the files in the folder.

        Raises
        ------
        InputErrors
            There is no prognosis.yaml, or what it names cannot be used.
        """
        return prognosis_answer(self._prognosis(), units)

    def prognosis_picture(self, units: UnitSystem) -> str:
        worked = self._prognosis()
        return self.papers.drawn(lambda: prognosis_picture(worked, units)).svg

    def prognosis_node(self, curve: str, at: str, units: UnitSystem) -> NodeAnswer:
        worked = self._prognosis()
        return node_answer(worked, open_node(worked, curve, at, units), units)

    def _prognosis(self) -> WorkedPrognosis:
        self.desk.write()  # it reads the folder: the newest revision first
        return prognosis(self.desk.folder)

    def steel(self, units: UnitSystem) -> SteelAnswer:
        """Return the lightest strings for the newest revision that could be walked."""
        pictured = self._picture()
        return steel_answer(pictured.walk.hole, pictured.steel(), pictured.revision, units)

    def string_reach(self, units: UnitSystem) -> ReachAnswer:
        """Return the string from the stock that reaches deepest in the newest walked revision."""
        pictured = self._picture()
        return reach_answer(pictured.walk.hole, pictured.string(), pictured.revision, units)

    def string_picture(self, units: UnitSystem) -> str:
        reach = self._picture().string()
        return self.papers.drawn(lambda: string_picture(reach, units)).svg

    def circulation(self, step: str, units: UnitSystem) -> CirculationAnswer:
        """Return one circulation; InputErrors when no step or section of that name circulates."""
        pictured = self._picture()
        steps, one = circulating_steps(pictured.walk), pictured.circulation(step)
        return circulation_answer(pictured.walk.hole, one, steps, pictured.revision, units)

    def circulation_picture(self, which: str, step: str, units: UnitSystem) -> str:
        one = self._picture().circulation(step)
        return self.papers.drawn(lambda: CIRCULATION_PICTURES[which](one, units)).svg

    def placing(self, kind: PlacingKind, name: str, units: UnitSystem) -> PlacingAnswer:
        """Return a cement job, trip or section of cuttings; InputErrors where there is none so."""
        pictured = self._picture()
        found, revision = pictured.placing(kind), pictured.revision
        one = chosen_of(kind, found, name)
        return placing_answer(pictured.walk.hole, found, one, revision, units)

    def placing_picture(self, kind: PlacingKind, name: str, units: UnitSystem) -> str:
        one = chosen_of(kind, self._picture().placing(kind), name)
        if one is None:
            raise InputErrors.one(kind, "none in the plan", "one to draw")
        return self.papers.drawn(lambda: placing_picture(one, units)).svg

    def station(self, part: StationPart, units: UnitSystem) -> TopicAnswer:
        """Return a part of station keeping of the newest walked revision."""
        pictured = self._picture()
        one = pictured.station(part)
        return station_answer(pictured.walk.hole, one, pictured.revision, units)

    def station_picture(self, part: StationPart, units: UnitSystem) -> str:
        one = self._picture().station(part)
        if one is None:
            raise InputErrors.one(part, "no riser", "a hole that is drilled with one, to draw")
        return self.papers.drawn(lambda: part_picture(one, units)).svg

    def riser(self, part: RiserPartName, units: UnitSystem) -> TopicAnswer:
        """Return a part of the riser in the sea of the newest walked revision."""
        pictured = self._picture()
        one = pictured.riser(part)
        return riser_answer(pictured.walk.hole, part, one, pictured.revision, units)

    def riser_picture(self, part: RiserPartName, units: UnitSystem) -> str:
        one = self._picture().riser(part)
        if one is None:
            raise InputErrors.one(part, "no such part", "a hole that has it, to draw")
        return self.papers.drawn(lambda: riser_picture(one, units)).svg

    def odds_picture(self, part: OddsPart, units: UnitSystem) -> str:
        return self.papers.drawn(lambda: self.odds.picture(part, units)).svg

    def fluids(self, units: UnitSystem) -> FluidsAnswer:
        """Return the fluids of the newest walked revision as measured."""
        pictured = self._picture()
        hole = pictured.walk.hole
        return fluids_answer(hole, fluid_reports(hole), pictured.revision, units)

    def kick(self, section: str, units: UnitSystem) -> KickAnswer:
        """Return the kick of a section; InputErrors when there is none of that name."""
        pictured = self._picture()
        found = pictured.kicks()
        one = kick_of(found, section) if found or section else None
        return kick_answer(pictured.walk.hole, found, one, pictured.revision, units)

    def kick_picture(self, which: str, section: str, units: UnitSystem) -> str:
        found = self._picture().kicks()
        one = kick_of(found, section)
        if which == "tolerance":
            return self.papers.drawn(lambda: tolerance_picture(found, units)).svg
        draw = kick_picture if which == "story" else hydrate_picture
        return self.papers.drawn(lambda: draw(one, units)).svg

    def mud(self, units: UnitSystem) -> MudAnswer:
        pictured = self._picture()
        currency = pictured.walk.hole.prices.currency
        return mud_answer(pictured.mud(), currency, pictured.revision, units)

    def mud_picture(self, units: UnitSystem) -> str:
        account = self._picture().mud()
        return self.papers.drawn(lambda: mud_picture(account, units)).svg

    def steel_picture(self, casing: str, units: UnitSystem) -> str:
        """Return the picture of one string as SVG; InputErrors when there is no such casing."""
        pictured = self._picture()
        (choice,) = chosen(pictured.steel(), casing)
        return self.papers.drawn(lambda: steel_picture(pictured.walk.hole, choice, units)).svg

    # -- changing -------------------------------------------------------------------------

    def edit(self, asked: EditsMade, author: str, client: str) -> int:
        return self._apply(asked.edits, asked, author, client, asked.label)

    def move(self, asked: HandleMoved, author: str, client: str) -> int:
        """Move a handle of the newest document, or of the last that had no faults."""
        return self._apply(self._handle_edits(asked), asked, author, client, asked.label)

    def _apply(
        self,
        edits: Sequence[Edit],
        asked: EditsMade | HandleMoved,
        author: str,
        client: str,
        label: str = "",
    ) -> int:
        revision = self.desk.apply(
            edits, author, asked.base, asked.gesture, label, client=client, token=asked.token
        )
        return revision.number

    def _handle_edits(self, asked: HandleMoved) -> Sequence[Edit]:
        if (asked.value is None) == (asked.text is None):
            found = "neither" if asked.value is None else "both"
            raise InputErrors.one("handle", found, "either a value in SI or a text with unit")
        hole = self._newest_hole()
        if asked.text is not None:
            return type_edits(hole, asked.handle, asked.text)
        assert asked.value is not None
        return handle_edits(hole, asked.handle, asked.value)

    def _newest_hole(self) -> Hole:
        """Return the newest document without faults."""
        hole = self.desk.draft.hole
        if hole is not None:
            return hole
        walked = self.desk.walk_newest()
        if walked is None:
            raise InputErrors(self.desk.draft.faults)
        return walked.walk.hole

    def undo(self, asked: TravelMade, author: str, client: str) -> int:
        return self.desk.undo(author, asked.base, client, asked.token).number

    def redo(self, asked: TravelMade, author: str, client: str) -> int:
        return self.desk.redo(author, asked.base, client, asked.token).number

    def restore(self, asked: RestoreAsked, author: str, client: str) -> int:
        return self.desk.restore(asked.number, author, asked.base, client, asked.token).number

    def notice(self) -> None:
        """Look whether files were changed outside the workspace."""
        if self.desk.notice() is not None:
            self.changed()

    def take_in(self, rows: RowsAsked, author: str) -> ImportDone:
        """Put rows of a file into a table, as one edit."""
        file = self._table_file(rows.mapping.table)
        existing = self.desk.draft.files.texts.get(file, "")
        frame = self._newest_hole().frame
        imported = apply_import(rows.name, rows.data, rows.mapping, existing, frame)
        revision = self.desk.apply(
            [Edit(op="table", file=file, text=imported.text)],
            author,
            rows.base,
            label=f"{imported.rows} rows of {rows.name}",
            client=rows.client,
            token=rows.token,
        )
        return ImportDone(revision.number, imported.rows, imported.notes)

    def tried(self, edits: Sequence[Edit]) -> tuple[Fault, ...]:
        """Return what would be wrong after these edits; nothing is kept."""
        draft = self.desk.draft.edited(edits)
        if draft.hole is None or all(edit.file != UNCERTAINTY_FILE for edit in edits):
            return draft.faults
        try:
            uncertainty_of(draft.files.texts[UNCERTAINTY_FILE], self.desk.folder, draft.hole)
        except InputErrors as error:
            return error.faults
        return ()

    # -- revisions ------------------------------------------------------------------------

    def revisions(self, limit: int, before: int | None) -> tuple[RevisionTold, ...]:
        signed: dict[int, list[str]] = {}
        for signature in self.desk.signatures():
            signed.setdefault(signature.revision, []).append(signature.name)
        return tuple(
            RevisionTold(
                one.number,
                one.author,
                one.at,
                one.label,
                one.gesture,
                tuple(signed.get(one.number, ())),
            )
            for one in self.desk.revisions(limit, before)
        )

    def comparison(self, then: int, now: int, view: View) -> Comparison:
        return compare(
            self.desk.walk_at(then),
            self.desk.walk_at(now),
            self.desk.files_at(then),
            self.desk.files_at(now),
            view.step,
            view.units,
            view.datum,
        )

    def inputs_compared(self, then: int, now: int) -> InputsCompared:
        return compare_inputs(self.desk.draft_at(then), self.desk.draft_at(now))

    def sign(self, asked: SignAsked, visitor: Visitor, login: bool) -> Signed:
        """Sign the newest revision.

        Raises
        ------
        Conflict
            The revision that the signer saw is not the newest any more.
        InputErrors
            The plan has faults or stops, or nobody says who signs.
        """
        name = visitor.name if login else asked.name.strip()
        if not name:
            raise InputErrors.one("name", "none", "the name of whoever signs")
        now = self.newest()
        if now.faults or now.pictured is None:
            raise InputErrors(now.faults)
        if now.pictured.walk.stopped:
            found = f"a plan that stops: {now.pictured.walk.stopped}"
            raise InputErrors.one("plan", found, "one that comes to its end")
        now.pictured.study()
        head = now.pictured.judged("metric").head
        signature = self.desk.sign(
            name,
            asked.note,
            base=asked.revision,
            role=SIGNED_AS if login else SIGNED_WITHOUT_LOGIN,
            passes=head.passes,
            verdict=head.verdict,
        )
        return Signed(signature.revision, signature)

    # -- documents ------------------------------------------------------------------------

    def form(self, units: UnitSystem) -> Form:
        draft = self.desk.draft
        return form(_tree_of(draft), draft.faults, draft.hole, units)

    def uncertainty(self, units: UnitSystem) -> UncertainForm:
        """Return what is uncertain of the newest hole without faults as a form."""
        text = self.desk.draft.files.texts.get(UNCERTAINTY_FILE)
        return uncertain_form(text, self.desk.folder, self._newest_hole(), units)

    def table(self, which: Which) -> TableText:
        file = self._table_file(which)
        if which == "survey" and not file:
            return no_survey(self.desk.draft.hole)
        texts = self.desk.draft.files.texts
        if file not in texts:
            raise InputErrors.one(
                f"site.{which}", f"'{file}'", "a table beside the hole's document"
            )
        return table_text(texts[file], file, which)

    def _table_file(self, which: str) -> str:
        """Return the name of a table's file, of a document that may have faults."""
        name = table_file(which, _tree_of(self.desk.draft))
        return name if isinstance(name, str) else ""


def _tree_of(draft: Draft) -> Tree:
    if draft.tree is None:
        raise InputErrors(draft.faults)
    return draft.tree


def _faults_of(error: BathyboreError) -> tuple[Fault, ...]:
    if isinstance(error, InputErrors):
        return error.faults
    return (Fault("plan", str(error), "steps that can follow one another"),)


def _defect(error: Exception) -> Fault:
    return Fault(
        "walk",
        f"a defect in Bathybore ({type(error).__name__}: {error})",
        "a walk of this plan",
        "Undo the last change, and report it with the lines the server printed.",
    )
