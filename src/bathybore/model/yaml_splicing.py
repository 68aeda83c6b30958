"""Changes of a YAML text in one place, every character elsewhere kept.

A scalar that stays on its line is exchanged without parsing again: the tree is
moved along. Every other change is parsed again and must give exactly the content
that was wanted, or it is refused: no layout can make an edit change another value.
"""

from __future__ import annotations

from typing import Any, NamedTuple

from bathybore.base.errors import InputErrors
from bathybore.model.schema_faults import where
from bathybore.model.yaml_tree import LONGEST_LINE, NOT_YAML, Path, Span, Tree, parse_tree
from bathybore.model.yaml_writing import (
    LONGEST_FLOW,
    AsTyped,
    block_entry,
    in_block,
    in_flow,
    scalar,
    value_of,
)

_BREAKS = "\n\r\x85\u2028\u2029"


class Written(NamedTuple):
    """A document's text together with what it says."""

    text: str
    tree: Tree

    def span(self, path: Path) -> Span:
        return self.tree.spans[path]

    def flow(self, path: Path) -> bool:
        """Return whether what stands at a path stands inside brackets."""
        return bool(path) and self.span(path[:-1]).style == "flow"

    def line_end(self, position: int) -> int:
        """Return where the line that holds a position ends, its break not included."""
        end = self.text.find("\n", position)
        end = len(self.text) if end < 0 else end
        return end - 1 if end > position and self.text[end - 1] == "\r" else end

    def line_start(self, position: int) -> int:
        return self.text.rfind("\n", 0, position) + 1

    def begins_line(self, position: int) -> bool:
        return not self.text[self.line_start(position) : position].strip(" \ufeff")

    def entry_start(self, path: Path) -> int:
        """Return where a key with its value, or an item with its dash, begins."""
        span = self.span(path)
        if span.key_start >= 0:
            return span.key_start
        return span.start if self.flow(path) else self._dash(path)

    def _dash(self, path: Path) -> int:
        index, owner = path[-1], self.span(path[:-1])
        if not isinstance(index, int) or index == 0:
            return owner.start
        at = self.span((*path[:-1], index - 1)).end
        while (at := self.text.find("\n", at) + 1) > 0:
            dash = at + owner.column
            if self.text[at:dash].strip() == "" and self.text[dash : dash + 1] == "-":
                return dash
        raise _unusual(self, path)

    def spliced(self, start: int, end: int, new: str) -> str:
        line_break = "\r\n" if "\r\n" in self.text else "\n"
        return self.text[:start] + new.replace("\n", line_break) + self.text[end:]

    def checked(self, text: str, wanted: dict[str, Any], path: Path) -> Written:
        """Return a changed text with its tree; refuse it if it says anything but what is wanted."""
        try:
            tree = parse_tree(text, self.tree.file)
        except InputErrors as error:
            if any(NOT_YAML in fault.found for fault in error.faults):
                raise _unusual(self, path) from error
            raise
        if not same(tree.content, wanted):
            raise _unusual(self, path)
        return Written(text, tree)


def _unusual(written: Written, path: Path) -> InputErrors:
    return InputErrors.one(
        where(written.tree, path),
        "a layout in which this edit cannot be made",
        "keys and list items that begin on lines of their own, or stand in brackets",
        "Edit the file itself.",
    )


def same(one: Any, other: Any) -> bool:
    """Return whether contents are equal with types: 1, 1.0 and true are three things."""
    if one is other:
        return True
    if type(one) is not type(other):
        return False
    if isinstance(one, dict):
        return one.keys() == other.keys() and all(same(one[key], other[key]) for key in one)
    if isinstance(one, tuple):
        return len(one) == len(other) and all(map(same, one, other))
    return bool(one == other)


def changed(content: Any, path: Path, value: Any) -> Any:
    """Return content with another value at a path, a new key included; the rest is shared."""
    if not path:
        return value
    part, rest = path[0], path[1:]
    if isinstance(content, tuple) and isinstance(part, int):
        return (*content[:part], changed(content[part], rest, value), *content[part + 1 :])
    content = content if isinstance(content, dict) else {}
    return {**content, part: changed(content.get(part), rest, value)}


def _without(content: Any, path: Path) -> Any:
    owner = content
    for part in path[:-1]:
        owner = owner[part]
    last = path[-1]
    left: Any = (
        (*owner[:last], *owner[last + 1 :])
        if isinstance(last, int)
        else {key: value for key, value in owner.items() if key != last}
    )
    return changed(content, path[:-1], left)


# setting a scalar


def set_scalar(written: Written, path: Path, typed: AsTyped) -> Written:
    """Exchange the scalar at a path."""
    span = written.span(path)
    old, new = written.text[span.start : span.end], scalar(typed, flow=written.flow(path))
    line = written.line_end(span.end) - written.line_start(span.start) + len(new) - len(old)
    if old and not any(mark in old for mark in _BREAKS) and line <= LONGEST_LINE:
        return _exchanged(written, path, typed, new)
    return put(written, path, typed)


def _exchanged(written: Written, path: Path, typed: AsTyped, new: str) -> Written:
    """Exchange a scalar within its line and move what stands behind it along."""
    tree, old = written.tree, written.span(path)
    text = written.text[: old.start] + new + written.text[old.end :]
    return Written(
        text,
        Tree(
            tree.file,
            changed(tree.content, path, typed.value),
            tree.lines,
            {**tree.written, path: typed.text},
            _moved(tree.spans, path, new, written.line_end(old.end)),
        ),
    )


def _moved(spans: dict[Path, Span], path: Path, new: str, line_end: int) -> dict[Path, Span]:
    old = spans[path]
    shift, at = len(new) - (old.end - old.start), old.end
    moved = spans
    if shift:
        moved = {}
        for key, span in spans.items():
            start, end, key_start, key_end, column, style = span
            if end < at:
                moved[key] = span
            elif start < at:  # around the value
                moved[key] = Span(start, end + shift, key_start, key_end, column, style)
            else:
                column += shift if start <= line_end else 0
                if key_start >= at:
                    key_start, key_end = key_start + shift, key_end + shift
                moved[key] = Span(start + shift, end + shift, key_start, key_end, column, style)
    style = '"' if new.startswith('"') else ""
    return {**moved, path: moved[path]._replace(style=style)}


# putting a block


def put(written: Written, path: Path, content: Any) -> Written:
    """Replace what stands at a path, or add it where its owner has no such key."""
    owner: Any = written.tree.content
    for depth, part in enumerate(path):
        if not isinstance(owner, dict | tuple):  # absent, or a key with nothing behind it
            return put(written, path[:depth], _nested(path[depth:], content))
        if isinstance(owner, dict) and part not in owner:
            if depth < len(path) - 1:
                return put(written, path[: depth + 1], _nested(path[depth + 1 :], content))
            break
        owner = written.tree.at(path[: depth + 1])
    wanted = changed(written.tree.content, path, value_of(content))
    text = (
        _replaced(written, path, content)
        if path in written.tree.spans
        else _added(written, path, content)
    )
    return written.checked(text, wanted, path)


def _nested(path: Path, content: Any) -> Any:
    for part in reversed(path):
        content = (content,) if isinstance(part, int) else {part: content}
    return content


def _block_wanted(content: Any, *, flow_before: bool) -> bool:
    """Return whether content is to stand on lines of its own."""
    if not isinstance(content, dict | tuple) or not content:
        return False
    return not flow_before or len(in_flow(content)) > LONGEST_FLOW


def _replaced(written: Written, path: Path, content: Any) -> str:
    text, span = written.text, written.span(path)
    empty = span.start == span.end
    if not path:
        return written.spliced(span.start, span.end, in_block(content, 0))
    if written.flow(path):
        return written.spliced(span.start, span.end, " " * empty + in_flow(content))
    block = _block_wanted(content, flow_before=span.style == "flow")
    if span.key_start < 0:  # an item behind its dash
        column = span.column + 2 * empty
        new = in_block(content, column) if block else in_flow(content, flow=False)
        return written.spliced(span.start, span.end, " " * empty + new)
    colon = text.index(":", span.key_end) + 1
    below = "\n" in text[colon : span.start]
    inner = written.span(path[:-1]).column + 2
    if not block:
        return _replaced_inline(written, span, colon, in_flow(content, flow=False), below=below)
    if below:
        if isinstance(content, dict) == isinstance(written.tree.at(path), dict):
            inner = span.column
        start = written.line_start(span.start)
        return written.spliced(start, span.end, " " * inner + in_block(content, inner))
    line_end = written.line_end(span.end)
    comment = text[span.end : line_end].rstrip()
    new = f"{comment}\n{' ' * inner}{in_block(content, inner)}"
    return written.spliced(colon, line_end, new)


def _replaced_inline(written: Written, span: Span, colon: int, new: str, *, below: bool) -> str:
    """Put a value of one line behind its key."""
    text = written.text
    if not below:
        start = max(colon, span.start)
        return written.spliced(start, span.end, new if start > colon else f" {new}")
    cut = written.line_start(span.start) - 1
    cut -= text[cut - 1 : cut] == "\r"
    return written.spliced(colon, span.end, f" {new}{text[colon:cut]}")


def _added(written: Written, path: Path, content: Any) -> str:
    """Add a key behind the last one of its mapping."""
    owner, key = path[:-1], str(path[-1])
    span = written.span(owner)
    siblings = [(*owner, part) for part in written.tree.at(owner)]
    if span.style == "flow":
        entry = in_flow({key: content})[1:-1]
        if not siblings:
            return written.spliced(span.start + 1, span.end - 1, entry)
        start, end = written.span(siblings[-1])[:2]
        return written.spliced(end, end, f"{' ' * (start == end)}, {entry}")
    blocks = [one for one in siblings if isinstance(written.tree.at(one), dict)]
    flow_before = bool(blocks) and written.span(blocks[-1]).style == "flow"
    flow = not _block_wanted(content, flow_before=flow_before)
    entry = block_entry(key, content, span.column, flow=flow)
    # a line of its own goes before the blocks at the end of a mapping, where it would be lost
    lines = [one for one in siblings if flow and written.span(one).style != "block"]
    end = written.line_end(written.span((lines or siblings)[-1]).end)
    return written.spliced(end, end, f"\n{' ' * span.column}{entry}")


# lists


def insert(written: Written, path: Path, content: Any) -> Written:
    """Insert an item into a list; what stands at its index and behind moves down."""
    owner, index = path[:-1], path[-1]
    assert isinstance(index, int)
    try:
        items = written.tree.at(owner)
    except KeyError:
        items = None
    if not items:
        return put(written, owner, (content,))
    wanted = changed(
        written.tree.content, owner, (*items[:index], value_of(content), *items[index:])
    )
    span = written.span(owner)
    beside = (*owner, min(index, len(items) - 1))
    if span.style == "flow":
        new = in_flow(content)
        at = written.span(beside).start if index < len(items) else written.span(beside).end
        new = f"{new}, " if index < len(items) else f", {new}"
        return written.checked(written.spliced(at, at, new), wanted, path)
    block = _block_wanted(content, flow_before=written.span(beside).style == "flow")
    column = span.column
    item = "- " + (in_block(content, column + 2) if block else in_flow(content, flow=False))
    if index == 0:
        text = written.spliced(span.start, span.start, f"{item}\n{' ' * column}")
    else:
        at = written.line_end(written.span((*owner, index - 1)).end)
        text = written.spliced(at, at, f"\n{' ' * column}{item}")
    return written.checked(text, wanted, path)


# removing


def remove(written: Written, path: Path) -> Written:
    """Take a key or an item out, with its lines."""
    owner = path[:-1]
    items = written.tree.at(owner)
    if len(items) == 1:
        return put(written, owner, type(items)())
    parts: list[Any] = list(range(len(items))) if isinstance(items, tuple) else list(items)
    place = parts.index(path[-1])
    before = (*owner, parts[place - 1]) if place else None
    behind = (*owner, parts[place + 1]) if place + 1 < len(parts) else None
    flow = written.span(owner).style == "flow"
    start, end = (_flow_cut if flow else _block_cut)(written, path, before, behind)
    text = written.spliced(start, end, "")
    return written.checked(text, _without(written.tree.content, path), path)


def _flow_cut(
    written: Written, path: Path, before: Path | None, behind: Path | None
) -> tuple[int, int]:
    """Return what to cut so that commas stand between what is left."""
    end = written.span(path).end
    if behind is None:
        return written.span(before).end if before else end, end
    comma = written.text.find(",", end, written.entry_start(behind))
    if comma < 0:
        raise _unusual(written, path)
    comma += 1
    while written.text[comma : comma + 1] == " ":
        comma += 1
    return written.entry_start(path), comma


def _block_cut(
    written: Written, path: Path, before: Path | None, behind: Path | None
) -> tuple[int, int]:
    start, end = written.entry_start(path), written.line_end(written.span(path).end)
    if not written.begins_line(start):  # the first key behind a dash
        if (
            behind
            and not written.text[written.span(path).end : written.entry_start(behind)].strip()
        ):
            return start, written.entry_start(behind)
        return start, end
    newline = written.text.find("\n", end)
    if newline >= 0:
        return written.line_start(start), newline + 1
    first = written.line_start(start) - 1  # the last line, without a break behind it
    return first - (written.text[first - 1 : first] == "\r"), end
