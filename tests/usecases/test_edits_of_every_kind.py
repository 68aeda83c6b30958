"""A long way of edits of every kind leaves nothing old in what is shown, to the last byte."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final, TypeAlias

import pytest
from pydantic_core import to_json

from bathybore.base.errors import InputErrors
from bathybore.base.keeping import forget, stores
from bathybore.model.editing import Draft, Edit, HoleFiles, read_draft
from bathybore.model.hole import Hole
from bathybore.model.hole_files import HOLE_FILE
from bathybore.usecases.explaining import explain
from bathybore.usecases.handles import handle_edits, handles
from bathybore.usecases.ledger import ledger
from bathybore.usecases.picturing import scene
from bathybore.usecases.walking import study, walk_as_far

EXAMPLES: Final = Path(__file__).parents[2] / "examples"
Way: TypeAlias = Callable[[Draft, random.Random], list[Edit]]
At: TypeAlias = tuple[str | int, ...]

# whose items have names of their own
NAMED: Final[set[At]] = {
    ("vessel", "switchboards"),
    *(("inventory", block) for block in ("pipe", "casing")),
    *(("plan", block) for block in ("fluids", "slurries", "strings")),
}
# keys that name something: another name of the same key is taken
WORDS: Final = {
    "fluid",
    "slurry",
    "tail_slurry",
    "pipe",
    "string",
    "run_on",
    "grade",
    "switchboard",
}
UNITS: Final = {
    "m": ("ft", 1.0 / 0.3048),
    "mm": ("m", 1e-3),
    "MPa": ("kPa", 1e3),
    "sg": ("kg/m3", 1e3),
    "h": ("min", 60.0),
    "L/min": ("m3/h", 0.06),
}
SHIFT: Final = "# one line more\n"


def shown(hole: Hole) -> dict[str, bytes]:
    """Return all that faces show of a hole, by what it is."""
    walk = study(walk_as_far(hole))
    told = {f"{n} {r.id}": to_json(explain(r)) for n, r in enumerate(walk.records)}
    said = {"ledger": repr(ledger(walk)), "stopped": walk.stopped}
    return told | {"scene": to_json(scene(walk))} | {k: v.encode() for k, v in said.items()}


def loaded_anew(draft: Draft) -> dict[str, bytes]:
    """Return the same of the same files, with nothing kept; what was kept is there afterwards."""
    with nothing_kept():
        hole = Draft.of(HoleFiles(dict(draft.files.texts))).hole
        assert hole is not None
        return shown(hole)


@contextmanager
def nothing_kept() -> Iterator[None]:
    held = [(store, store.newer, store.older) for store in stores()]
    forget()
    try:
        yield
    finally:
        for store, newer, older in held:
            store.newer, store.older = newer, older


def key_of(path: At) -> str:
    parts = (
        f"[{part}]" if isinstance(part, int) or path[:n] in NAMED else f".{part}"
        for n, part in enumerate(path)
    )
    return "".join(parts).removeprefix(".")


def written(draft: Draft, fits: Callable[[At, str], bool]) -> list[tuple[At, str]]:
    assert draft.tree is not None
    return sorted((one for one in draft.tree.written.items() if fits(*one)), key=str)


def number_of(text: str) -> float | None:
    try:
        return float(text.partition(" ")[0])
    except ValueError:
        return None


def a_number(draft: Draft, chance: random.Random) -> list[Edit]:
    path, text = chance.choice(written(draft, lambda _, text: number_of(text) is not None))
    first, _, rest = text.partition(" ")
    new = float(first) * chance.choice((0.95, 0.99, 1.01, 1.03))
    if "." not in first and not rest:
        new = round(float(first)) + chance.choice((-1, 1))
    return [Edit("set", key_of(path), f"{new:.6g} {rest}".strip())]


def another_unit(draft: Draft, chance: random.Random) -> list[Edit]:
    path, text = chance.choice(
        written(draft, lambda _, t: number_of(t) is not None and t.split(" ")[1:2] != [])
    )
    first, unit, *rest = text.split(" ")
    now, factor = UNITS.get(unit, (unit, 1.0))
    return [Edit("set", key_of(path), " ".join((f"{float(first) * factor:.9g}", now, *rest)))]


def another_name(draft: Draft, chance: random.Random) -> list[Edit]:
    found = written(draft, lambda path, _: path[-1] in WORDS)
    path, _ = chance.choice(found)
    names = sorted({text for other, text in found if other[-1] == path[-1]})
    return [Edit("set", key_of(path), chance.choice(names))]


def a_key_left_out(draft: Draft, chance: random.Random) -> list[Edit]:
    path, _ = chance.choice(written(draft, lambda path, _: isinstance(path[-1], str)))
    return [Edit("remove", key_of(path))]


def a_handle(draft: Draft, chance: random.Random) -> list[Edit]:
    assert draft.hole is not None
    one = chance.choice(handles(draft.hole))
    moved = one.value + chance.uniform(-0.1, 0.1) * (one.most - one.least)
    return list(handle_edits(draft.hole, one.id, moved))


def table_of(draft: Draft, chance: random.Random) -> tuple[str, list[str], list[list[str]]]:
    file = chance.choice([name for name in draft.files.texts if name.endswith(".csv")])
    lines = draft.files.texts[file].splitlines()
    head, *rows = [line.split(",") for line in lines if line and not line.startswith("#")]
    return file, [title.partition(" [")[0] for title in head], rows


def a_cell(draft: Draft, chance: random.Random) -> list[Edit]:
    file, head, rows = table_of(draft, chance)
    row, column = chance.randrange(len(rows)), chance.randrange(len(head))
    number = number_of(rows[row][column])
    new = chance.choice(rows)[column] if number is None else f"{1.01 * number:.5g}"
    return [Edit("cell", file=file, row=row, column=head[column], text=new)]


def a_row_less(draft: Draft, chance: random.Random) -> list[Edit]:
    file, _, rows = table_of(draft, chance)
    return [Edit("remove-row", file=file, row=chance.randrange(1, len(rows) - 1))]


def a_change_of_steps(draft: Draft, chance: random.Random) -> list[Edit]:
    assert draft.hole is not None
    changes = draft.hole.plan.step_edits
    if changes and chance.random() < 0.4:
        return [Edit("remove", f"plan.step_edits[{chance.randrange(len(changes))}]")]
    name = chance.choice([state.step.name for state in walk_as_far(draft.hole).states])
    by_hand = {"insert_after": name, "name": f"by hand {len(changes)}"}
    told: list[dict[str, Any]] = [
        {"step": name, "duration": f"{chance.randrange(1, 40)} h"},
        by_hand | {"insert": "wait", "duration": f"{chance.randrange(1, 40)} h"},
        by_hand | {"insert": "circulate"},
        by_hand | {"insert": "wiper trip"},
    ]
    new = chance.choice(told) | {"why": "to see"}
    if changes:
        return [Edit("insert", f"plan.step_edits[{len(changes)}]", content=new)]
    return [Edit("put", "plan.step_edits", content=[new])]


def another_line(draft: Draft, _: random.Random) -> list[Edit]:
    """Everything stands a line lower, or where it stood: origins tell the line."""
    text = draft.files.texts[HOLE_FILE]
    text = text.removeprefix(SHIFT) if text.startswith(SHIFT) else SHIFT + text
    return [Edit("table", file=HOLE_FILE, text=text)]


WAYS: Final[tuple[Way, ...]] = (
    *(a_number, a_number, a_number, another_unit, another_name, a_key_left_out, a_handle),
    *(a_handle, a_cell, a_row_less, a_change_of_steps, another_line),
)


@pytest.mark.soak
@pytest.mark.parametrize(("name", "edits"), [("riserless", 160), ("main", 60), ("frontier", 40)])
def test_nothing_old_stays_in_what_is_shown(name: str, edits: int) -> None:
    chance = random.Random(20261127)
    draft = read_draft(EXAMPLES / name)
    assert draft.hole is not None
    shown(draft.hole)
    seen, made = [draft], Counter[str]()
    for edit in range(1, edits + 1):
        way = chance.choice(WAYS)
        try:
            after = draft.edited(way(draft, chance))
            if after.hole is None or walk_as_far(after.hole).stopped:
                after = chance.choice(seen[-10:])  # taken back, a way of some edits at times
        except InputErrors:
            continue
        draft, made = after, made + Counter([way.__name__])
        seen.append(draft)
        if edit % 4 == 0:
            assert draft.hole is not None
            edited, anew = shown(draft.hole), loaded_anew(draft)
            assert [k for k in edited.keys() | anew.keys() if edited.get(k) != anew.get(k)] == []
    assert len(made) > 6
