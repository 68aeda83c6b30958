"""Reading a user's file whole: of bounded size, as UTF-8 text, or a fault that says why not."""

from __future__ import annotations

import stat
from pathlib import Path

from bathybore.base.errors import Fault, InputErrors

MARK = "\ufeff"  # some editors begin a file of UTF-8 with it
_BYTE_ORDER_MARKS = {
    b"\xff\xfe\x00\x00": "UTF-32",
    b"\x00\x00\xfe\xff": "UTF-32",
    b"\xff\xfe": "UTF-16",
    b"\xfe\xff": "UTF-16",
}
_SPACES = "\u00a0\u202f"
_SHOWN = 60  # characters of a user's text that an error repeats
_LONGEST_PATH = 1000
_RESAVE = "Save the file again with the encoding UTF-8."


def shown(text: str, most: int = _SHOWN) -> str:
    """Return a user's text fit for one line of an error: short, no control characters."""
    clean = printable(text[: most + 1])
    return clean[:most] + "…" if len(clean) > most else clean


def printable(text: str) -> str:
    """Spell out what could move the cursor or turn the writing round."""
    if text.isprintable():
        return text
    return "".join(
        c if c.isprintable() or c in _SPACES else c.encode("unicode_escape").decode() for c in text
    )


def shown_path(path: Path) -> str:
    return shown(str(path), _LONGEST_PATH)


def read_text(path: Path, most_bytes: int, what: str, where: str = "") -> str:
    """Return the text of a file to the last character, the mark of its encoding included.

    Parameters
    ----------
    most_bytes : a larger file is refused before it is read
    what : the file in words, for the error: 'the hole document'
    where : how errors name the file; its path when left out

    Raises
    ------
    InputErrors
        Missing, not a regular file, not readable, too large, empty, or not UTF-8.
    """
    where = where or shown_path(path)
    return _decoded(read_bytes(path, most_bytes, what, where), what, where)


def refuse_halves(text: str, where: str) -> str:
    """Return a text, unless it holds half of a character, which no file can."""
    try:
        text.encode("utf-8")
    except UnicodeEncodeError as error:
        raise InputErrors.one(where, "half of a character", "Unicode text") from error
    return text


def refuse_unreadable(text: str, most_bytes: int, what: str, where: str) -> None:
    """Raise what reading a text back from a file would raise."""
    data = refuse_halves(text, where).encode("utf-8")
    if len(data) > most_bytes:
        raise _too_large(where, len(data), most_bytes)
    _decoded(data, what, where)


def _decoded(data: bytes, what: str, where: str) -> str:
    for mark, encoding in _BYTE_ORDER_MARKS.items():
        if data.startswith(mark):
            raise InputErrors.one(where, f"the encoding {encoding}", "UTF-8", _RESAVE)
    if b"\x00" in data:
        guess = "UTF-16 without a mark, or no text at all"
        line = data[: data.index(b"\x00")].count(b"\n") + 1
        raise InputErrors.one(f"{where}, line {line}", f"a zero byte ({guess})", "UTF-8", _RESAVE)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        found = f"the byte 0x{data[error.start]:02x}, which is not UTF-8 (Latin-1, Windows-1252?)"
        raise InputErrors.one(f"{where}, line {line}", found, "UTF-8", _RESAVE) from error
    if not text.removeprefix(MARK).strip():
        raise InputErrors.one(where, "an empty file", what)
    return text


def read_bytes(path: Path, most_bytes: int, what: str, where: str) -> bytes:
    """Return a file's bytes; faults as of `read_text`."""
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise InputErrors.one(where, "a folder", what)
        if not stat.S_ISREG(status.st_mode):  # a pipe or device could be read for ever
            raise InputErrors.one(where, "neither a file nor a folder", what)
        if status.st_size <= most_bytes:
            with path.open("rb") as stream:
                data = stream.read(most_bytes + 1)
            if len(data) <= most_bytes:
                return data
    except FileNotFoundError as error:
        raise InputErrors.one(where, "no such file", what) from error
    except (OSError, ValueError) as error:  # ValueError: a zero character in the path
        raise InputErrors([unreadable(where, what, error)]) from error
    raise _too_large(where, max(status.st_size, most_bytes + 1), most_bytes)


def _too_large(where: str, size: int, most_bytes: int) -> InputErrors:
    return InputErrors.one(where, f"{size / 1e6:.1f} MB", f"at most {most_bytes / 1e6:g} MB")


def unreadable(where: str, what: str, error: Exception) -> Fault:
    """Return the fault for a path the operating system refuses: permission, a loop of links."""
    reason = getattr(error, "strerror", None) or str(error)
    return Fault(where, f"a path that cannot be opened ({reason})", what)


def folder_exists(path: Path) -> bool:
    """Return whether a path is a folder; a path that cannot be looked at is none."""
    try:
        return path.is_dir()
    except (OSError, ValueError, RuntimeError):  # RuntimeError: a loop of links, Python 3.11
        return False
