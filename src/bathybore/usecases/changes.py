"""What differs between two versions of a hole's inputs, in words a reader can check."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Any, Final, TypeAlias

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.units import UnitSystem, show
from bathybore.model.hole import HoleDocument
from bathybore.model.schema_faults import key_of, step_down
from bathybore.model.tables import ProfileTable
from bathybore.model.yaml_tree import Path, Tree
from bathybore.usecases.showing import in_words

MOST_CELLS: Final = 50  # of a table that are told one by one
_SAME: Final = 1e-9  # relative: a number written in another unit

# what stands below a block or list: by what makes it the same, its key or place and its content
_Items: TypeAlias = dict[str, tuple[str | int, Any]]


@dataclass(frozen=True)
class Change:
    """One input that is not the same.

    Attributes
    ----------
    key : as the document spells it, of the newer version where it is there; of a table
        'earth.csv[12].pore_pressure', rows counted from 0
    label : in words
    then, now : as written, numbers of tables in the reader's units; empty where there is none
    """

    key: str
    label: str
    then: str
    now: str


def document_changes(then: Tree, now: Tree) -> tuple[Change, ...]:
    """Return what was written otherwise, in the order of the newer document.

    Items of a list that have a name are followed by it: a section put in between changes
    nothing of the others. A block that came or went is one change.
    """
    return tuple(_Compared(then, now).changes((), (), ()))


@dataclass(frozen=True)
class _Compared:
    """Two documents on the way down both of them."""

    then: Tree
    now: Tree

    def changes(
        self, old: Path | None, new: Path | None, words: tuple[str, ...]
    ) -> Iterator[Change]:
        """Yield the changes at a path of each document; None where it is not there."""
        before, after = _content(self.then, old), _content(self.now, new)
        if old is not None and new is not None and type(before) is type(after):
            if isinstance(after, dict):
                yield from self._below(old, new, words, _by_key(before), _by_key(after))
                return
            if isinstance(after, tuple):
                yield from self._below(old, new, words, *_paired(before, after))
                return
        texts = _text(self.then, old, before), _text(self.now, new, after)
        if texts[0] != texts[1]:
            yield Change(key_of(new if new is not None else old or ()), _label(words), *texts)

    def _below(
        self,
        old: Path,
        new: Path,
        words: tuple[str, ...],
        before: _Items,
        after: _Items,
    ) -> Iterator[Change]:
        for name in dict.fromkeys((*after, *before)):
            was, here = before.get(name), after.get(name)
            part, content = here or was or ("", None)
            yield from self.changes(
                (*old, was[0]) if was else None,
                (*new, here[0]) if here else None,
                _named(words, (*(new if here else old), part), content),
            )


def _content(tree: Tree, path: Path | None) -> Any:
    return None if path is None else tree.at(path)


def _by_key(block: dict[str, Any]) -> _Items:
    return {key: (key, value) for key, value in block.items()}


def _paired(then: tuple[Any, ...], now: tuple[Any, ...]) -> tuple[_Items, _Items]:
    """Return both lists by what makes an item the same: its name, else its place in the list.

    What is left over on both sides is paired in order: an item that only got a new name.
    """
    before, after = _by_name(then), _by_name(now)
    gone, new = [k for k in before if k not in after], [k for k in after if k not in before]
    renamed = dict(zip(gone, new, strict=False))
    return {renamed.get(name, name): item for name, item in before.items()}, after


def _by_name(items: tuple[Any, ...]) -> _Items:
    """Return items by their name, or by their place where they have none."""
    named: _Items = {}
    for place, item in enumerate(items):
        name = item.get("name") if isinstance(item, dict) else None
        named[name if isinstance(name, str) else f"{place + 1}"] = (place, item)
    return named


def _named(words: tuple[str, ...], path: Path, content: Any) -> tuple[str, ...]:
    """Return the words on a path one part further down; a proper name stands for all above it."""
    name = content.get("name") if isinstance(content, dict) else None
    if isinstance(name, str):
        return (name,)
    annotation: Any = HoleDocument
    is_field = True
    for part in path:
        annotation, is_field = step_down(annotation, part)
    if is_field:
        return (*words, in_words(str(path[-1])))
    if isinstance(path[-1], int):
        return (*words[:-1], f"{words[-1]} {path[-1] + 1}")
    return (str(path[-1]),)


def _label(words: tuple[str, ...]) -> str:
    *owners, last = words or ("document",)
    return f"{', '.join(owners)}: {last}" if owners else last


def _text(tree: Tree, path: Path | None, content: Any) -> str:
    """Return a value as it is written; of a block how much is in it."""
    if path is None:
        return ""
    if not isinstance(content, dict | tuple):
        return tree.written.get(path, "")
    count = sum(1 for one in tree.written if one[: len(path)] == path)
    return f"{count} values" if count != 1 else "1 value"


def text_change(file: str, label: str, then: str, now: str) -> tuple[Change, ...]:
    """Return a file that is not the same as one change, by lines; an empty text is no file."""
    if then == now:
        return ()
    old, new = then.splitlines(), now.splitlines()
    same = sum(block.size for block in SequenceMatcher(None, old, new, False).get_matching_blocks())
    told = f"{_lines(new)}, {len(new) - same} of them new or other" if new else ""
    return (Change(file, label, _lines(old) if old else "", told),)


def _lines(text: list[str]) -> str:
    return "1 line" if len(text) == 1 else f"{len(text)} lines"


def table_changes(then: ProfileTable, now: ProfileTable, system: UnitSystem) -> tuple[Change, ...]:
    """Return the cells of a table that differ, rows matched by depth; many are told as one."""
    rows = _matched(then.depths, now.depths)
    changes = [
        change
        for old, new in rows
        for change in (
            _cells(then, now, old, new, system)
            if old is not None and new is not None
            else [_row(then, now, old, new, system)]
        )
    ]
    if len(changes) <= MOST_CELLS:
        return tuple(changes)
    size = f"{len(then.depths)} rows"
    told = f"{len(now.depths)} rows, {len(changes)} differences"
    return (Change(now.file, f"{now.file}, the table", size, told),)


def _matched(then: Array, now: Array) -> list[tuple[int | None, int | None]]:
    """Return pairs of row numbers of the same depth, top down; None where there is no such row."""
    old = {round(depth, 6): row for row, depth in enumerate(then.tolist())}
    new = {round(depth, 6): row for row, depth in enumerate(now.tolist())}
    return [(old.get(depth), new.get(depth)) for depth in sorted({*old, *new})]


def _place(table: ProfileTable, row: int, system: UnitSystem) -> str:
    depth = show(float(table.depths[row]), "m", system, significant=6)
    return f"{table.file}, {depth} {in_words(table.depth_name).removeprefix('depth ')}"


def _row(
    then: ProfileTable, now: ProfileTable, old: int | None, new: int | None, system: UnitSystem
) -> Change:
    """Return a row that came or went."""
    table, row = (now, new) if new is not None else (then, old)
    assert row is not None
    told = ("", "a row") if new is not None else ("a row", "")
    return Change(f"{table.file}[{row}]", _place(table, row, system), *told)


def _cells(
    then: ProfileTable, now: ProfileTable, old: int, new: int, system: UnitSystem
) -> list[Change]:
    place = _place(now, new, system)
    columns = dict.fromkeys((*now.numbers, *now.words, *then.numbers, *then.words))
    changes = []
    for column in columns:
        before, after = _cell(then, old, column), _cell(now, new, column)
        if not _same(before, after):
            key, label = f"{now.file}[{new}].{column}", f"{place}: {in_words(column)}"
            texts = _shown(then, before, column, system), _shown(now, after, column, system)
            changes.append(Change(key, label, *texts))
    return changes


def _same(before: str | float, after: str | float) -> bool:
    if isinstance(before, str) or isinstance(after, str):
        return before == after
    return bool(np.isclose(before, after, rtol=_SAME, atol=0.0, equal_nan=True))


def _cell(table: ProfileTable, row: int, column: str) -> str | float:
    """Return what stands in a cell: words, or a number, not a number where there is none."""
    if column in table.words:
        return table.words[column][row]
    return float(table.numbers[column][row]) if column in table.numbers else math.nan


def _shown(table: ProfileTable, cell: str | float, column: str, system: UnitSystem) -> str:
    if isinstance(cell, str):
        return cell
    return show(cell, table.units[column], system, significant=6) if math.isfinite(cell) else ""
