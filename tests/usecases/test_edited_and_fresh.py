"""A hole that was edited is judged as if just loaded: nothing old stays in an answer."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from bathybore.base.errors import InputErrors
from bathybore.base.keeping import forget, stores
from bathybore.model.editing import Draft, Edit, HoleFiles, read_draft
from bathybore.model.hole import Hole
from bathybore.usecases.explaining import explain
from bathybore.usecases.handles import handle_edits, handles
from bathybore.usecases.ledger import ledger
from bathybore.usecases.picturing import scene
from bathybore.usecases.walking import study, walk_as_far

EXAMPLES = Path(__file__).parents[2] / "examples"


def told(hole: Hole) -> tuple[object, ...]:
    """Return all that faces show of a hole: rows, scene, and every working in words."""
    walk = study(walk_as_far(hole))
    return (
        walk.stopped,
        ledger(walk),
        scene(walk),
        tuple(explain(record) for record in walk.records),
    )


def fresh(draft: Draft) -> Hole:
    """Return the hole of the same files, loaded with nothing kept from before."""
    forget()
    hole = Draft.of(HoleFiles(dict(draft.files.texts))).hole
    assert hole is not None
    return hole


def moved(draft: Draft, chance: random.Random) -> Draft:
    hole = draft.hole
    assert hole is not None
    one = chance.choice(handles(hole))
    reach = 0.2 * (one.most - one.least)
    value = one.value + chance.uniform(-reach, reach)
    return draft.edited(handle_edits(hole, one.id, min(max(value, one.least), one.most)))


@pytest.mark.parametrize("name", [pytest.param("main", marks=pytest.mark.soak), "riserless"])
def test_handles_moved_again_and_again(name: str) -> None:
    chance = random.Random(20261126)
    draft = read_draft(EXAMPLES / name)
    assert draft.hole is not None
    study(walk_as_far(draft.hole))
    for _ in range(5):
        after = moved(draft, chance)
        if after.hole is not None:
            draft = after
            walk_as_far(after.hole)
    assert draft.hole is not None
    edited = told(draft.hole)
    assert edited == told(fresh(draft))


def scaled(written: str, factor: float) -> str | None:
    number, _, rest = written.partition(" ")
    try:
        return f"{float(number) * factor:.6g} {rest}".strip()
    except ValueError:
        return None


@pytest.mark.parametrize("name", ["riserless", pytest.param("frontier", marks=pytest.mark.soak)])
def test_any_number_of_the_document_changed(name: str) -> None:
    """Vessel, pipe, basis, strings and slurries too: whatever an answer was kept by."""
    chance = random.Random(11)
    draft = read_draft(EXAMPLES / name)
    assert draft.tree is not None
    assert draft.hole is not None
    study(walk_as_far(draft.hole))  # answers of before, that no later one may be taken from
    written = sorted(draft.tree.written.items(), key=str)
    changed = 0
    for path, text in chance.sample(written, 60):
        new = scaled(text, chance.choice((0.97, 1.02)))
        if new is None or len(path) < 2:
            continue
        key = "".join(
            f"[{p}]" if isinstance(p, int) or _names_items(path, i) else f".{p}"
            for i, p in enumerate(path)
        ).removeprefix(".")
        try:
            after = draft.edited([Edit("set", key, new)])
        except InputErrors:
            continue
        if after.hole is not None:
            draft, changed = after, changed + 1
            walk_as_far(after.hole)
    assert changed > 5
    assert draft.hole is not None
    edited = told(draft.hole)
    assert edited == told(fresh(draft))


def _names_items(path: tuple[str | int, ...], at: int) -> bool:
    """Whether a part of a path is the name of an item of a dictionary."""
    above = path[:at]
    return above in {
        ("vessel", "switchboards"),
        ("inventory", "pipe"),
        ("inventory", "casing"),
        ("plan", "fluids"),
        ("plan", "slurries"),
        ("plan", "strings"),
    }


def test_what_is_kept_stays_within_its_bounds() -> None:
    chance = random.Random(5)
    draft = read_draft(EXAMPLES / "riserless")
    for _ in range(60):
        after = moved(draft, chance)
        if after.hole is not None:
            draft = after
            walk_as_far(after.hole)
    assert all(len(store) <= store.most for store in stores())
    assert sum(len(store) for store in stores()) > 0
