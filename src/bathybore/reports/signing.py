"""The sign-off of a programme: signatures given in the tool, lines for those given in ink."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Final

from bathybore.reports.blocks import Block, Chapter, Column, Table, Text
from bathybore.reports.words import WHO_DECIDES
from bathybore.usecases.signing import WHAT_A_SIGNATURE_IS, Signature

FAILS: Final = "FAILS"


def on_the_front(
    passes: bool, signatures: tuple[Signature, ...], revision: int | None
) -> tuple[Block, ...]:
    """Return what the first page says of signatures; nothing where there is none."""
    theirs = [one for one in signatures if one.revision == revision or revision is None]
    if not theirs:
        return ()
    names = ", ".join(f"{one.name} ({_time(one.at)})" for one in theirs)
    said = f"Signed in this tool by {names}: see the sign-off."
    if passes:
        return (Text(said),)
    return (
        Text(f"{FAILS}: the hole does not pass as planned, and is signed so. {said}", "warning"),
    )


def sign_off(signatures: tuple[Signature, ...] = (), revision: int | None = None) -> Chapter:
    """Return the last chapter but the appendix; without signatures, lines for ink."""
    blocks: list[Block] = [
        Text("Signed for this document as a whole, its cautions and open verdicts included."),
        Text(WHO_DECIDES, "warning"),
    ]
    if signatures:
        blocks += [_signed(signatures), Text(WHAT_A_SIGNATURE_IS, "note")]
    if revision is not None:
        blocks.append(Text(f"This document is of revision {revision} of the hole.", "note"))
        others = sorted({one.revision for one in signatures} - {revision})
        if others:
            listed = ", ".join(str(number) for number in others)
            said = f"Signatures under revision {listed} do not hold for this one."
            blocks.append(Text(said, "warning"))
    return Chapter("Sign-off", (*blocks, _lines_for_ink()))


def _signed(signatures: tuple[Signature, ...]) -> Table:
    columns = (
        Column("signed by", 2.0),
        Column("may", 1.6),
        Column("time (UTC)", 1.5),
        Column("revision", 0.9, "number"),
        Column("verdict when signed", 3.0),
        Column("note", 2.4),
    )
    rows = tuple(
        (
            one.name,
            one.role,
            _time(one.at),
            str(one.revision),
            one.verdict if one.passes else f"{FAILS}: {one.verdict}",
            one.note or "–",
        )
        for one in signatures
    )
    return Table("Signed in this tool", columns, rows)


def _time(at: str) -> str:
    """Return a time in UTC to the minute; a text that is no time is shown as it is."""
    try:
        time = datetime.fromisoformat(at)
    except ValueError:
        return at
    return (time if time.tzinfo is None else time.astimezone(UTC)).strftime("%Y-%m-%d %H:%M")


def _lines_for_ink() -> Table:
    columns = (
        Column("part", 1.2),
        Column("name", 2.4),
        Column("role", 2.0),
        Column("date", 1.2),
        Column("signature", 2.4),
    )
    rows = tuple((who, "", "", "", "") for who in ("prepared", "checked", "approved"))
    return Table("Prepared, checked, approved", columns, rows, tall=True)
