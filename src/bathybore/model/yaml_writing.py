"""Values as YAML text: plain where that is safe beyond doubt, in double quotes otherwise."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Any, Final

from bathybore.base.errors import InputErrors
from bathybore.model.files import refuse_halves, shown
from bathybore.model.yaml_tree import resolved

LONGEST_FLOW: Final = 100  # characters of a block that is still written on one line
_DEEPEST: Final = 40
_MOST_VALUES: Final = 20_000

# narrower than YAML allows: what begins and holds nothing that could be taken for a sign
_PLAIN = re.compile(r"(?:[^\W_]|[.+/(°]|-(?=[\w.]))(?:[^:#\"'\\,\[\]{}]*[^:#\"'\\,\[\]{}\s])?")
_PLAIN_IN_BLOCK = re.compile(r"(?:[^\W_]|[.+/(°]|-(?=[\w.]))(?:[^:#\"'\\]*[^:#\"'\\\s])?")
_ESCAPES: Final = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\r": "\\r", "\t": "\\t"}


@dataclass(frozen=True)
class AsTyped:
    """A scalar as a user types it: a number or word of YAML where the text is one.

    Attributes
    ----------
    is_text : the field holds text, so that 1234 and true are to be words
    """

    text: str
    is_text: bool = False

    @property
    def value(self) -> Any:
        return _resolved(self.text) if _may_be_plain(self, flow=True) else self.text


def scalar(typed: AsTyped, *, flow: bool) -> str:
    """Return one line of YAML that reads back as exactly what was typed."""
    return typed.text if _may_be_plain(typed, flow=flow) else quoted(typed.text)


def quoted(text: str) -> str:
    return '"' + "".join(_escaped(c) for c in text) + '"'


def _escaped(character: str) -> str:
    if character in _ESCAPES:
        return _ESCAPES[character]
    if character.isprintable():
        return character
    code = ord(character)
    return (
        f"\\x{code:02x}"
        if code < 0x100
        else f"\\u{code:04x}"
        if code < 0x10000
        else (f"\\U{code:08x}")
    )


def _may_be_plain(typed: AsTyped, *, flow: bool) -> bool:
    pattern = _PLAIN if flow else _PLAIN_IN_BLOCK
    if not typed.text.isprintable() or not pattern.fullmatch(typed.text):
        return False
    value = _resolved(typed.text)
    return value is not ... and not (typed.is_text and not isinstance(value, str))


def _resolved(text: str) -> Any:
    """Return what an unquoted text means; an ellipsis where it would be refused."""
    refused: list[str] = []
    value = resolved(text, refused.append)
    return ... if refused else value


def plain_content(content: Any, where: str) -> Any:
    """Return JSON content as a document holds it, lists as tuples, or refuse it."""
    left = _MOST_VALUES

    def take(one: Any, depth: int) -> Any:
        nonlocal left
        left -= 1
        if depth > _DEEPEST or left < 0:
            raise InputErrors.one(where, "too many values or levels", "a block of a hole document")
        if isinstance(one, dict):
            for key in one:
                if not isinstance(key, str):
                    raise InputErrors.one(where, f"the key {shown(repr(key))}", "a word as a key")
            return {refuse_halves(k, where): take(v, depth + 1) for k, v in one.items()}
        if isinstance(one, list | tuple):
            return tuple(take(item, depth + 1) for item in one)
        if isinstance(one, str):
            return refuse_halves(one, where)
        if one is None or isinstance(one, bool | int | AsTyped):
            return one
        if isinstance(one, float) and math.isfinite(one):
            return one
        raise InputErrors.one(where, shown(repr(one)), "text, a number, true, false, a list, keys")

    return take(content, 0)


def value_of(content: Any) -> Any:
    """Return plain content with what was typed resolved: what reading it back has to give."""
    if isinstance(content, AsTyped):
        return content.value
    if isinstance(content, dict):
        return {key: value_of(value) for key, value in content.items()}
    if isinstance(content, tuple):
        return tuple(value_of(item) for item in content)
    return content


def in_flow(content: Any, *, flow: bool = True) -> str:
    """Return content on one line; ``flow`` is False for a scalar of a block."""
    if isinstance(content, AsTyped):
        return scalar(content, flow=flow)
    if isinstance(content, dict):
        return (
            "{" + ", ".join(f"{_key(k, flow=True)}: {in_flow(v)}" for k, v in content.items()) + "}"
        )
    if isinstance(content, tuple):
        return "[" + ", ".join(in_flow(item) for item in content) + "]"
    if isinstance(content, str):
        return scalar(AsTyped(content, is_text=True), flow=flow)
    if content is None or isinstance(content, bool):
        return {None: "null", True: "true", False: "false"}[content]
    return repr(content)


def in_block(content: Any, column: int) -> str:
    """Return a mapping or list on lines of its own; the first line is not indented."""
    lines = []
    if isinstance(content, tuple):
        lines = [f"- {in_block(item, column + 2)}" for item in content]
    elif isinstance(content, dict) and content:
        lines = [block_entry(key, value, column) for key, value in content.items()]
    else:
        return in_flow(content, flow=False)
    return ("\n" + " " * column).join(lines) if lines else "[]"


def block_entry(key: str, content: Any, column: int, *, flow: bool = False) -> str:
    """Return 'key: value', a block on the lines below its key unless ``flow`` is asked for."""
    name = _key(key, flow=False)
    nested = isinstance(content, dict) or (
        isinstance(content, tuple) and any(isinstance(item, dict | tuple) for item in content)
    )
    if flow or not nested or not content:
        return f"{name}: {in_flow(content, flow=False)}"
    inner = column + 2
    return f"{name}:\n{' ' * inner}{in_block(content, inner)}"


def _key(key: str, *, flow: bool) -> str:
    pattern = _PLAIN if flow else _PLAIN_IN_BLOCK
    return key if key.isprintable() and pattern.fullmatch(key) else quoted(key)
