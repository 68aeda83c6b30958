"""A YAML document as plain values and line numbers: a strict, small part of YAML 1.2.

The document is built straight from the parser's events, so nothing can refer to
anything (no anchors), nothing is constructed (no tags), every key keeps the
line it stands on and every value the characters it is written with. Plain scalars
follow the core schema of YAML 1.2, section 10.3.2: ``no`` is a word and ``12:30`` is
no number.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Final, NamedTuple, TypeAlias

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, StringMark
from ruamel.yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    Event,
    MappingEndEvent,
    MappingStartEvent,
    NodeEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)

from bathybore.base.errors import Fault, InputErrors
from bathybore.base.keeping import FEW, kept
from bathybore.model.files import shown

MOST_BYTES: Final = 2_000_000
_DEEPEST: Final = 40
_MOST_NODES: Final = 20_000
_MOST_LINES: Final = 20_000
LONGEST_LINE: Final = 10_000
NOT_YAML: Final = "text that is not YAML"
_LONGEST_KEY: Final = 100
_LONGEST_NUMBER: Final = 40
MOST_FAULTS: Final = 50  # of one file that are told at once

_INTEGER = re.compile(r"^[-+]?[0-9]+$|^0o[0-7]+$|^0x[0-9a-fA-F]+$")
_FLOAT = re.compile(r"^[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?$")
_NOT_FINITE = re.compile(r"^(?:[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN))$")
_NULLS = frozenset({"", "~", "null", "Null", "NULL"})
_TRUE = frozenset({"true", "True", "TRUE"})
_FALSE = frozenset({"false", "False", "FALSE"})

Path: TypeAlias = tuple[str | int, ...]


class Span(NamedTuple):
    """Where a value stands in the text, in characters.

    Attributes
    ----------
    start, end : of the value without the comment and blank lines behind it
    key_start, key_end : of the key before it; both -1 in a list
    column : that the value begins in
    style : 'block' or 'flow' of mappings and lists; of scalars the quote, '|', '>' or ''
    """

    start: int
    end: int
    key_start: int
    key_end: int
    column: int
    style: str


@dataclass(frozen=True)
class Tree:
    """A document's content with the places it was written at.

    Attributes
    ----------
    file : name of the file, for origins and errors
    content : dictionaries, tuples, text, numbers, booleans and None
    lines : line number of each key and list item, by path
    written : the text of each scalar as it stands in the file, by path
    spans : where each value stands in the text, by path
    """

    file: str
    content: dict[str, Any] = field(default_factory=dict)
    lines: dict[Path, int] = field(default_factory=dict)
    written: dict[Path, str] = field(default_factory=dict)
    spans: dict[Path, Span] = field(default_factory=dict)

    def at(self, path: Path) -> Any:
        """Return what stands at a path; a KeyError when nothing does."""
        node: Any = self.content
        for part in path:
            items = dict(enumerate(node)) if isinstance(node, tuple) else node
            if not isinstance(items, dict):
                raise KeyError(path)
            node = items[part]
        return node

    def line(self, path: Path) -> int:
        """Return the line of a path, or of the nearest part of the document around it."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path, 1)


def path_text(path: Path) -> str:
    """Write a path the way origins do when nothing is known of the schema: a.b[2].c."""
    text = ""
    for part in path:
        text += f"[{part}]" if isinstance(part, int) else f".{part}" if text else str(part)
    return shown(text)


@kept(FEW)
def parse_tree(text: str, file: str) -> Tree:
    """Return a YAML text as plain values with line numbers; the same text is parsed once.

    Raises
    ------
    InputErrors
        Not YAML, or a feature of YAML that a hole document does not use.
    """
    _refuse_at_sight(text, file)
    builder = _Builder(Tree(file), text)
    try:
        for event in YAML(typ="safe", pure=True).parse(text):
            builder.take(event)
    except MarkedYAMLError as error:
        raise InputErrors([*builder.faults, _syntax_fault(error, file)]) from error
    except InputErrors:
        raise
    except Exception as error:  # the parser meets broken text with many unrelated classes
        found = f"{NOT_YAML} ({shown(str(error).splitlines()[0] if str(error) else '')})"
        where = f"{file}, line {_line_of(error, text, builder.line)}"
        builder.faults.append(Fault(where, found, "keys, values and lists"))
    if builder.faults:
        raise InputErrors(builder.faults)
    if not builder.finished:
        raise InputErrors.one(file, "a file without content", "the keys of a hole document")
    return builder.tree


def _refuse_at_sight(text: str, file: str) -> None:
    """Refuse what needs no parser to see, so that the parser's time is bounded."""
    lines = text.splitlines()
    if len(lines) > _MOST_LINES:
        raise InputErrors.one(file, f"{len(lines)} lines", f"at most {_MOST_LINES} lines")
    for number, line in enumerate(lines, start=1):
        where = f"{file}, line {number}"
        if len(line) > LONGEST_LINE:
            limit = f"at most {LONGEST_LINE} characters"
            raise InputErrors.one(where, f"a line of {len(line)} characters", limit)
        if "\t" in line:
            fix = "Replace every tab of the file by spaces."
            raise InputErrors.one(where, "a tab", "spaces", fix)


def _line_of(error: Exception, text: str, otherwise: int) -> int:
    position = getattr(error, "position", None)
    return text.count("\n", 0, position) + 1 if isinstance(position, int) else otherwise


# what the parser says -> what to do about it
_FIXES: Final = {
    "mapping values are not allowed": "Check the indentation; put a value with ': ' in quotes.",
    "cannot start any token": "Put a value that begins with such a character in quotes.",
    "end of stream": "Close the quote or bracket.",
    "could not find expected ':'": "Write 'key: value'; a colon is missing.",
    "<block end>": "Check that the keys of one block begin in the same column.",
    "expected ',' or": "Close the bracket, or put a comma between the items.",
}


def _syntax_fault(error: MarkedYAMLError, file: str) -> Fault:
    problem = str(error.problem or error.context or "broken text")
    mark, context = error.problem_mark or error.context_mark, error.context_mark
    if context and "end of stream" in problem:
        mark = context  # the end of the file is never where the quote was forgotten
    line = mark.line + 1 if mark else 1
    began = ""
    if context and context.line + 1 != line:
        began = f" (in what begins on line {context.line + 1})"
    return Fault(
        f"{file}, line {line}",
        f"{NOT_YAML}: {shown(problem)}{began}",
        "keys, values and lists, indented evenly",
        next((fix for words, fix in _FIXES.items() if words in problem), ""),
    )


@dataclass
class _Open:
    """A mapping or list that has begun and not ended."""

    path: Path
    line: int
    content: dict[str, Any] | list[Any]
    start: StringMark
    flow: bool
    own_key: tuple[int, int]
    key: str | None = None  # of a mapping, when the key has been read and the value has not
    key_span: tuple[int, int] = (-1, -1)

    def next_path(self) -> Path:
        if isinstance(self.content, list):
            return (*self.path, len(self.content))
        return (*self.path, self.key or "")


class _Builder:
    """Takes the parser's events one by one; stops at what must not be read further."""

    def __init__(self, tree: Tree, text: str) -> None:
        self.tree = tree
        self.text = text
        self.faults: list[Fault] = []
        self.stack: list[_Open] = []
        self.finished = False
        self.line = 1
        self.nodes = 0
        self.end = 0  # of the value read last

    def take(self, event: Event) -> None:
        self.line = event.start_mark.line + 1 if event.start_mark else self.line
        if isinstance(event, NodeEvent):
            self._refuse_references(event)
        if isinstance(event, ScalarEvent):
            self._scalar(event)
        elif isinstance(event, MappingStartEvent | SequenceStartEvent):
            self._begin({} if isinstance(event, MappingStartEvent) else [], event)
        elif isinstance(event, MappingEndEvent | SequenceEndEvent):
            self._end(event)
        elif isinstance(event, DocumentStartEvent):
            self._document(event)

    def _stop(self, found: str, expected: str, fix: str = "") -> InputErrors:
        where = f"{self.tree.file}, line {self.line}"
        here = path_text(self.stack[-1].next_path()) if self.stack else ""
        self.faults.append(Fault(f"{where}, {here}" if here else where, found, expected, fix))
        return InputErrors(self.faults)

    def _refuse_references(self, event: NodeEvent) -> None:
        self.nodes += 1
        if self.nodes > _MOST_NODES:
            raise self._stop(f"more than {_MOST_NODES} values", "a hole document of usual size")
        if isinstance(event, AliasEvent):
            raise self._stop(
                f"the reference '*{shown(event.anchor)}'", "the value itself", "Write it out."
            )
        if event.anchor is not None:
            raise self._stop(
                f"the anchor '&{shown(event.anchor)}'", "a value without an anchor", "Leave it out."
            )
        tag = getattr(event, "tag", None)
        if tag is not None:
            raise self._stop(f"the tag '{shown(str(tag))}'", "a value without a tag")

    def _document(self, event: DocumentStartEvent) -> None:
        if self.finished:
            raise self._stop("a second document (---)", "one document in the file")
        if event.version or event.tags:
            raise self._stop("a directive (% …)", "a document without directives")

    def _begin(
        self, content: dict[str, Any] | list[Any], event: MappingStartEvent | SequenceStartEvent
    ) -> None:
        if len(self.stack) >= _DEEPEST:
            raise self._stop(f"more than {_DEEPEST} levels of nesting", "a hole document")
        if not self.stack:
            if isinstance(content, list):
                raise self._stop("a list", "keys such as name, site, vessel, plan")
            path: Path = ()
        else:
            if isinstance(self.stack[-1].content, dict) and self.stack[-1].key is None:
                raise self._stop("a list or block as a key", "a word as a key")
            path = self.stack[-1].next_path()
        self.tree.lines.setdefault(path, self.line)
        own_key = self.stack[-1].key_span if self.stack else (-1, -1)
        flow = bool(event.flow_style)
        self.stack.append(_Open(path, self.line, content, event.start_mark, flow, own_key))

    def _end(self, event: MappingEndEvent | SequenceEndEvent) -> None:
        ended = self.stack.pop()
        if ended.flow:  # a block ends with its last value: the parser's mark is the next token's
            self.end = event.end_mark.index
        start, style = ended.start, "flow" if ended.flow else "block"
        span = Span(start.index, self.end, *ended.own_key, start.column, style)
        self.tree.spans[ended.path] = span
        content = tuple(ended.content) if isinstance(ended.content, list) else ended.content
        if self.stack:
            self._put(content)
        else:
            self.finished = True
            if isinstance(ended.content, dict):
                self.tree.content.update(ended.content)

    def _put(self, value: Any) -> None:
        top = self.stack[-1]
        if isinstance(top.content, list):
            top.content.append(value)
        elif top.key is not None:
            top.content[top.key] = value
            top.key = None

    def _scalar(self, event: ScalarEvent) -> None:
        if not self.stack:
            raise self._stop(f"'{shown(event.value)}' alone", "keys such as name, site, vessel")
        top = self.stack[-1]
        if isinstance(top.content, dict) and top.key is None:
            self._key(top, event)
            return
        path = top.next_path()
        self.tree.lines.setdefault(path, self.line)
        self.tree.written[path] = event.value
        self._span(path, top, event)
        self._put(event.value if event.style else resolved(event.value, self._note_number))

    def _span(self, path: Path, top: _Open, event: ScalarEvent) -> None:
        start, end, style = event.start_mark.index, event.end_mark.index, event.style or ""
        if start == end:  # nothing is written: the parser's mark is the next token's
            start = end = self._slot(top, start)
        elif style in ("|", ">"):  # the parser counts the blank lines behind it in
            end = start + len(self.text[start:end].rstrip())
        self.end = end
        span = Span(start, end, *top.key_span, event.start_mark.column, style)
        self.tree.spans[path] = span

    def _slot(self, top: _Open, mark: int) -> int:
        """Return where a value that was left out would begin: behind its colon or dash."""
        if isinstance(top.content, list):
            return len(self.text[:mark].rstrip())
        colon = self.text.find(":", top.key_span[1], mark)
        return colon + 1 if colon >= 0 else top.key_span[1]

    def _key(self, top: _Open, event: ScalarEvent) -> None:
        key = str(event.value)
        path = (*top.path, key)
        if len(key) > _LONGEST_KEY or not key:
            raise self._stop(f"the key '{shown(key)}'", f"a key of 1 to {_LONGEST_KEY} characters")
        if isinstance(top.content, dict) and key in top.content:
            self.faults.append(
                Fault(
                    f"{self.tree.file}, line {self.line}, {path_text(path)}",
                    f"the key '{shown(key)}' a second time",
                    "each key once",
                    f"It stands on line {self.tree.lines[path]} already.",
                )
            )
            if len(self.faults) > MOST_FAULTS:
                raise InputErrors(self.faults)
        self.tree.lines[path] = self.line
        top.key = key
        top.key_span = (event.start_mark.index, event.end_mark.index)

    def _note_number(self, text: str) -> None:
        where = f"{self.tree.file}, line {self.line}, {path_text(self.stack[-1].next_path())}"
        self.faults.append(Fault(where, f"'{shown(text)}'", "a finite number of usual length"))


def resolved(text: str, refuse: Callable[[str], None]) -> Any:
    """Resolve an unquoted scalar by the core schema, YAML 1.2, section 10.3.2.

    Parameters
    ----------
    refuse : is called with a number that is not finite or endlessly long
    """
    if text in _NULLS:
        return None
    if text in _TRUE or text in _FALSE:
        return text in _TRUE
    if _NOT_FINITE.match(text):
        refuse(text)
    elif _INTEGER.match(text) or _FLOAT.match(text):
        if len(text) > _LONGEST_NUMBER:
            refuse(text)
        elif _INTEGER.match(text):
            return int(text, 0) if text[:2] in ("0o", "0x") else int(text)
        else:
            return float(text)
    return text
