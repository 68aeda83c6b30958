"""A hole being edited: its texts, what they say, and one edit after another applied to them."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from bathybore.base.errors import Fault, InputErrors
from bathybore.model import csv_tables
from bathybore.model.csv_splicing import insert_row, line_number, remove_row, set_cell
from bathybore.model.document_editing import edited_document, edited_uncertainty
from bathybore.model.edits import Edit
from bathybore.model.fields import GateError
from bathybore.model.files import read_text, refuse_halves, refuse_unreadable, shown
from bathybore.model.hole import Hole, HoleDocument
from bathybore.model.hole_files import (
    HOLE_FILE,
    UNCERTAINTY_FILE,
    HoleFiles,
    stands_beside,
    write_files,
)
from bathybore.model.keys import path_of
from bathybore.model.loading import document_file, read_table_text
from bathybore.model.reading import TABLES, Reading, read_hole, table_file
from bathybore.model.schema_faults import error_path, schema_faults, where
from bathybore.model.yaml_splicing import Written
from bathybore.model.yaml_tree import MOST_BYTES, Tree, parse_tree
from bathybore.model.yaml_tree import Path as KeyPath

__all__ = ["Draft", "Edit", "HoleFiles", "read_draft", "write_files"]

_UNCERTAIN: Final = "an uncertainty document"


@dataclass(frozen=True)
class Draft:
    """The files of a hole as they are being edited; never changed, only followed by another.

    Attributes
    ----------
    faults : all that is wrong with the files, in the order in which they are read
    hole : None exactly when there are faults
    tree : the document as it is written; None where it is no YAML
    """

    files: HoleFiles
    faults: tuple[Fault, ...]
    hole: Hole | None
    tree: Tree | None = field(repr=False)
    _reading: Reading | None = field(repr=False, compare=False)
    _unread: Mapping[str, tuple[Fault, ...]] = field(repr=False, compare=False)

    @classmethod
    def of(cls, files: HoleFiles, near: Draft | None = None) -> Draft:
        """Return the draft of some texts.

        Parameters
        ----------
        near : a draft that differs little, of which whatever is the same is taken over
        """
        texts = dict(files.texts)
        tree: Tree | None = None
        try:
            if HOLE_FILE not in texts:
                raise InputErrors.one(HOLE_FILE, "no such file", "a hole document")
            refuse_unreadable(texts[HOLE_FILE], MOST_BYTES, "a hole document", HOLE_FILE)
            tree = parse_tree(texts[HOLE_FILE], HOLE_FILE)
        except InputErrors as error:
            return cls(files, error.faults, None, None, near._reading if near else None, {})
        return _draft(texts, tree, near, {})

    def edited(self, edits: Iterable[Edit]) -> Draft:
        """Return the draft after some edits, all of them or none.

        Raises
        ------
        InputErrors
            An edit cannot be applied: nothing stands at its key, or its text cannot be
            read there. A document that then has faults in whole is a draft with faults.
        """
        work = _Work(self)
        for edit in edits:
            work.apply(edit)
        if work.tree is None:
            return Draft.of(HoleFiles(work.texts), self)
        draft = _draft(work.texts, work.tree, self, work.unread)
        work.refuse_unread_values(draft)
        return draft


def read_draft(folder: Path) -> Draft:
    """Read the files of a hole's folder; a table that cannot be read is a fault of the draft.

    What uncertainty.yaml says is not judged here: the hole is whole without it.

    Raises
    ------
    InputErrors
        There is no document, or it is no text; or what is uncertain is told by no text.
    """
    texts = {HOLE_FILE: read_text(document_file(folder), MOST_BYTES, "a hole document", HOLE_FILE)}
    if os.path.lexists(folder / UNCERTAINTY_FILE):
        texts[UNCERTAINTY_FILE] = read_text(
            folder / UNCERTAINTY_FILE, MOST_BYTES, _UNCERTAIN, UNCERTAINTY_FILE
        )
    unread: dict[str, tuple[Fault, ...]] = {}
    faults: tuple[Fault, ...] = ()
    try:
        tree = parse_tree(texts[HOLE_FILE], HOLE_FILE)
    except InputErrors as error:
        tree, faults = Tree(HOLE_FILE), error.faults
    for name in TABLES:
        file = table_file(name, tree)
        if isinstance(file, str) and stands_beside(file):
            try:
                texts[file] = read_table_text(folder, file)
            except InputErrors as error:
                unread[file] = error.faults
    if faults:
        return Draft(HoleFiles(texts), faults, None, None, None, unread)
    return _draft(texts, tree, None, unread)


def _draft(
    texts: dict[str, str],
    tree: Tree,
    before: Draft | None,
    unread: Mapping[str, tuple[Fault, ...]],
) -> Draft:
    def text_of(file: str) -> str:
        if file in unread:
            raise InputErrors(unread[file])
        if file not in texts:
            raise InputErrors.one(file, "no such file", "a CSV table")
        if before is None or before.files.texts.get(file) is not texts[file]:
            refuse_unreadable(texts[file], csv_tables.MOST_BYTES, "a CSV table", file)
        return texts[file]

    reading = read_hole(tree, text_of, before._reading if before else None)
    return Draft(HoleFiles(texts), reading.faults, reading.hole, tree, reading, unread)


class _Work:
    """The texts of a draft while edits are applied one after another."""

    def __init__(self, draft: Draft) -> None:
        self.texts = dict(draft.files.texts)
        self.tree = draft.tree
        self.unread = dict(draft._unread)
        self.faults = draft.faults  # why there is no tree, when there is none
        self.typed: list[KeyPath] = []
        self.cells: list[Edit] = []

    def apply(self, edit: Edit) -> None:
        refuse_halves(edit.text, shown(edit.key) or shown(edit.file))
        if edit.op == "table":
            self._table(edit)
        elif edit.op == "cell":
            self._cell(edit)
        elif edit.op in ("insert-row", "remove-row"):
            self._row(edit)
        elif edit.file == UNCERTAINTY_FILE:
            text = edited_uncertainty(self.texts.get(UNCERTAINTY_FILE), edit)
            refuse_unreadable(text, MOST_BYTES, _UNCERTAIN, UNCERTAINTY_FILE)
            self.texts[UNCERTAINTY_FILE] = text
        elif edit.file not in ("", HOLE_FILE):
            documents = f"{HOLE_FILE} or {UNCERTAINTY_FILE}"
            raise InputErrors.one(shown(edit.file), "no document of the hole", documents)
        elif self.tree is None:
            raise InputErrors(self.faults)
        else:
            written = self._document(Written(self.texts[HOLE_FILE], self.tree), edit)
            refuse_unreadable(written.text, MOST_BYTES, "a hole document", HOLE_FILE)
            self.texts[HOLE_FILE], self.tree = written

    def _table(self, edit: Edit) -> None:
        named = [table_file(name, self.tree) for name in TABLES] if self.tree else []
        named.append(UNCERTAINTY_FILE)
        # what a document with faults names may be a path out of the folder
        named = [name for name in named if isinstance(name, str) and stands_beside(name)]
        if edit.file not in self.texts and edit.file not in named:
            files = ", ".join([*self.texts, *(n for n in named if n not in self.texts)])
            raise InputErrors.one(shown(edit.file), "a file that the hole does not have", files)
        if edit.file == UNCERTAINTY_FILE:
            refuse_unreadable(edit.text, MOST_BYTES, _UNCERTAIN, UNCERTAINTY_FILE)
        self.texts[edit.file] = edit.text
        self.unread.pop(edit.file, None)
        if edit.file == HOLE_FILE:
            self.tree = None
            try:
                refuse_unreadable(edit.text, MOST_BYTES, "a hole document", HOLE_FILE)
                self.tree = parse_tree(edit.text, HOLE_FILE)
            except InputErrors as error:
                self.faults = error.faults

    def _cell(self, edit: Edit) -> None:
        text = set_cell(self._text_of(edit), edit.file, edit.row, edit.column, edit.text)
        self.texts[edit.file] = text
        self.cells.append(edit)

    def _row(self, edit: Edit) -> None:
        change = insert_row if edit.op == "insert-row" else remove_row
        self.texts[edit.file] = change(self._text_of(edit), edit.file, edit.row)

    def _text_of(self, edit: Edit) -> str:
        documents = (HOLE_FILE, UNCERTAINTY_FILE)
        if edit.file in documents or edit.file not in self.texts:
            tables = ", ".join(name for name in self.texts if name not in documents)
            raise InputErrors.one(shown(edit.file), "no such table", tables or "a table")
        return self.texts[edit.file]

    def _document(self, written: Written, edit: Edit) -> Written:
        if edit.op == "set":
            self.typed.append(path_of(edit.key, written.tree))
        return edited_document(written, edit, HoleDocument)

    def refuse_unread_values(self, draft: Draft) -> None:
        """Refuse texts that the gate of their field or column cannot read."""
        told = draft._reading.told if draft._reading else None
        if told is not None and draft.tree is not None and self.typed:
            refused = {
                error_path(draft.tree, details)
                for details in told.errors(include_url=False)
                if isinstance(details.get("ctx", {}).get("error"), GateError)
            }
            places = {where(draft.tree, path) for path in self.typed if path in refused}
            faults = [f for f in schema_faults(told, draft.tree) if f.where in places]
            if faults:
                raise InputErrors(faults)
        for edit in self.cells:
            text = self.texts[edit.file]
            at = f"{edit.file}, line {line_number(text, edit.row)}, column {edit.column}"
            faults = [fault for fault in draft.faults if fault.where == at]
            if faults and not csv_tables.is_number(edit.text.strip()) and edit.text.strip():
                raise InputErrors(faults)
