"""Handles of every example, moved as far as they go: a sound plan, and no other byte changed."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bathybore.base.depth import Depth
from bathybore.base.errors import InputErrors
from bathybore.base.units import parse_quantity
from bathybore.model.editing import Draft, Edit, HoleFiles, read_draft
from bathybore.model.hole import Hole
from bathybore.model.keys import path_of
from bathybore.usecases.handles import handle_edits, handles, type_edits
from bathybore.usecases.scene import Handle
from varied import EXAMPLES, made_cases

DRAFTS = {name: read_draft(EXAMPLES / name) for name in ("main", "riserless", "frontier")}
CASES = [
    (name, handle.id)
    for name, draft in DRAFTS.items()
    for handle in handles(draft.hole)  # type: ignore[arg-type]
]
every = pytest.mark.parametrize(
    ("name", "which"),
    [
        pytest.param(n, h, id=f"{n} {h}", marks=[pytest.mark.soak] if n == "frontier" else [])
        for n, h in CASES
    ],
)


def hole_of(draft: Draft) -> Hole:
    assert draft.hole is not None, draft.faults
    return draft.hole


def handle_of(draft: Draft, which: str) -> Handle:
    return next(handle for handle in handles(hole_of(draft)) if handle.id == which)


def read_si(hole: Hole, handle: Handle, text: str) -> float:
    if handle.unit == "m":
        return float(hole.z(Depth.parse(text)))
    return parse_quantity(text, handle.unit)


def assert_only_these_changed(before: Draft, after: Draft, edits: tuple[Edit, ...]) -> None:
    """The new text is the old one with the edited values exchanged, byte for byte."""
    assert before.tree is not None
    text = before.files.texts["hole.yaml"]
    spans = sorted((before.tree.spans[path_of(e.key, before.tree)][:2], e.text) for e in edits)
    for (start, end), new in reversed(spans):
        text = text[:start] + new + text[end:]
    assert after.files.texts["hole.yaml"] == text
    others = {name: t for name, t in before.files.texts.items() if name != "hole.yaml"}
    assert {name: t for name, t in after.files.texts.items() if name != "hole.yaml"} == others


# what lies between the ends is made at random below
@every
@pytest.mark.parametrize("share", [0.0, 1.0, pytest.param(0.37, marks=pytest.mark.soak)])
def test_a_handle_goes_to_its_ends_and_the_plan_stays_sound(
    name: str, which: str, share: float
) -> None:
    draft = DRAFTS[name]
    handle = handle_of(draft, which)
    value = handle.least + share * (handle.most - handle.least)
    edits = handle_edits(hole_of(draft), which, value)
    moved = draft.edited(edits)
    assert moved.faults == ()
    assert handle_of(moved, which).value == pytest.approx(value, abs=handle.step)
    assert_only_these_changed(draft, moved, edits)
    assert moved.faults == Draft.of(moved.files).faults


@every
def test_setting_back_gives_the_same_bytes(name: str, which: str) -> None:
    draft = DRAFTS[name]
    handle = handle_of(draft, which)
    assert draft.tree is not None
    edits = handle_edits(hole_of(draft), which, handle.least)
    written = [draft.tree.written[path_of(edit.key, draft.tree)] for edit in edits]
    back = [Edit("set", e.key, text) for e, text in zip(edits, written, strict=True)]
    assert draft.edited(edits).edited(back).files == draft.files
    assert draft.edited(handle_edits(hole_of(draft), which, handle.value)).files == draft.files


@every
def test_what_a_handle_shows_is_what_is_written(name: str, which: str) -> None:
    draft = DRAFTS[name]
    hole, handle = hole_of(draft), handle_of(draft, which)
    assert handle.written in draft.files.texts["hole.yaml"]
    assert handle.value == pytest.approx(read_si(hole, handle, handle.written))
    assert handle.least <= handle.value <= handle.most
    assert handle.least < handle.most
    assert handle.says
    assert math.isfinite(handle.z)
    assert handle.section in ["conductor", *(section.name for section in hole.plan.sections)]


@every
def test_what_is_typed_is_written_as_typed_even_beyond_the_ends(name: str, which: str) -> None:
    draft = DRAFTS[name]
    handle = handle_of(draft, which)
    texts = {"m": "9.9 km below drill floor", "kg/m3": "25 ppg", "m3/s": "9000 gpm"}
    edits = type_edits(hole_of(draft), which, f" {texts[handle.unit]} ")
    assert edits[0] == Edit("set", handle.key, texts[handle.unit])
    moved = draft.edited(edits)
    assert_only_these_changed(draft, moved, edits)
    assert moved.faults == Draft.of(moved.files).faults
    deeper_than_the_prognosis = handle.unit == "m" and name != "frontier"
    assert not deeper_than_the_prognosis or moved.faults


@every
@pytest.mark.parametrize(
    "text", ["", "12", "much", "1,5 m", "3 s", "x" * 5000, "1900 m", "a\n#: b"]
)
def test_text_that_cannot_be_read_is_refused(name: str, which: str, text: str) -> None:
    with pytest.raises(InputErrors) as caught:
        type_edits(hole_of(DRAFTS[name]), which, text)
    assert caught.value.faults[0].expected


@pytest.mark.parametrize("which", ["", "shoe:", "shoe:none", "x" * 5000, "density:mud-2 "])
def test_no_such_handle(which: str) -> None:
    with pytest.raises(InputErrors, match="a handle of this plan"):
        handle_edits(hole_of(DRAFTS["main"]), which, 1.0)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_only_finite_numbers(value: float) -> None:
    with pytest.raises(InputErrors, match="a finite number"):
        handle_edits(hole_of(DRAFTS["main"]), "shoe:casing-20", value)


def test_a_hand_stops_at_the_neighbours() -> None:
    draft = DRAFTS["main"]
    handle = handle_of(draft, "shoe:casing-958")
    for value in (-1e9, 1e9, 0.0):
        moved = draft.edited(handle_edits(hole_of(draft), handle.id, value))
        assert moved.faults == ()


# what is there, and what goes along


def test_every_kind_is_there() -> None:
    ids = {handle.id for handle in handles(hole_of(DRAFTS["main"]))}
    assert {f"shoe:{n}" for n in ("conductor", "casing-20", "casing-1338", "liner-7")} <= ids
    assert {"cement_top:liner-7", "tail_top:casing-958", "core_top:core", "core_bottom:core"} <= ids
    assert {f"density:mud-{n}" for n in range(1, 5)} | {"density:sea-water"} <= ids
    assert {"flow:top-hole", "flow:core-hole", "flow:core"} <= ids
    assert "section_bottom:core-hole" not in ids  # it is the foot of the core


def texts(edits: tuple[Edit, ...]) -> dict[str, str]:
    return {edit.key: edit.text for edit in edits}


def test_a_shoe_takes_its_section_along() -> None:
    edits = handle_edits(hole_of(DRAFTS["main"]), "shoe:casing-958", 5812.3)
    key = "plan.sections[2]"
    assert texts(edits) == {
        f"{key}.casing.shoe": "3332 m below sea bed",
        f"{key}.bottom": "3342 m below sea bed",
        f"{key}.casing.cement.tail_top": "3082 m below sea bed",
    }


def test_the_foot_of_the_core_takes_what_stands_on_it_along() -> None:
    hole = hole_of(DRAFTS["main"])
    down = dict.fromkeys(
        ["plan.coring.bottom", "plan.sections[4].bottom", "plan.target"], "5000 m below sea bed"
    )
    assert texts(handle_edits(hole, "core_bottom:core", 7480.0)) == down
    apart = DRAFTS["main"].edited(
        [
            Edit("set", "plan.coring.bottom", "4900 m below sea bed"),
            Edit("set", "plan.target", "4900 m below sea bed"),
        ]
    )
    edits = handle_edits(hole_of(apart), "core_bottom:core", 7400.0)
    assert set(texts(edits)) == {"plan.coring.bottom", "plan.target"}
    top = handle_edits(hole, "core_top:core", 7200.0)
    assert texts(top) == {"plan.coring.top": "4720 m below sea bed"}


WRITTEN = (
    ("shoe:casing-958", "5908 m below drill floor", 6000.0, "6028 m below drill floor"),
    ("shoe:casing-958", "5880 m below sea level", 6000.4, "6000 m below sea level"),
    ("shoe:casing-958", "11154.8 ft below sea bed", 5800.0, "10892 ft below sea bed"),
    ("cement_top:casing-958", "2.5 km below sea bed", 5000.0, "2.520 km below sea bed"),
    ("density:mud-2", "1285 kg/m3", 1290.4, "1290 kg/m3"),
    ("density:mud-2", "10.72 ppg", 1320.0, "11.02 ppg"),
    ("density:mud-2", "1.285 sg", 1300.0, "1.300 sg"),
    ("flow:section-1214", "845 gpm", 3003.0 / 60000.0, "793 gpm"),
    ("flow:section-1214", "3200 L/min", 3003.0 / 60000.0, "3000 L/min"),
    ("flow:section-1214", "192 m3/h", 3003.0 / 60000.0, "180.0 m3/h"),
)


@pytest.mark.parametrize(("which", "written", "value", "wanted"), WRITTEN)
def test_the_unit_and_datum_are_the_users_own(
    which: str, written: str, value: float, wanted: str
) -> None:
    key = handle_of(DRAFTS["main"], which).key
    draft = DRAFTS["main"].edited([Edit("set", key, written)])
    assert handle_of(draft, which).written == written
    edits = handle_edits(hole_of(draft), which, value)
    assert edits[0] == Edit("set", key, wanted)


def test_rounding_does_not_cross_a_limit() -> None:
    """With this water depth the sea bed is no whole number below the drill floor."""
    draft = DRAFTS["riserless"].edited(
        [
            Edit("set", "site.water_depth", "3209.4 m"),
            Edit("set", "plan.sections[0].casing.cement.top", "3320 m below drill floor"),
        ]
    )
    which = "cement_top:casing-1134"
    edits = handle_edits(hole_of(draft), which, handle_of(draft, which).least)
    assert edits[0].text == "3220.4 m below drill floor"
    assert draft.edited(edits).faults == ()


# many moves, one after another


@settings(max_examples=made_cases(0.4), deadline=None)
@given(st.sampled_from(list(DRAFTS)), st.lists(st.tuples(st.integers(0, 99), st.floats(0, 1))))
def test_a_walk_of_moves_keeps_the_plan_sound(name: str, moves: list[tuple[int, float]]) -> None:
    draft = DRAFTS[name]
    for number, share in moves[:8]:
        there = handles(hole_of(draft))
        handle = there[number % len(there)]
        value = handle.least + share * (handle.most - handle.least)
        edits = handle_edits(hole_of(draft), handle.id, value)
        moved = draft.edited(edits)
        assert moved.faults == (), edits
        assert_only_these_changed(draft, moved, edits)
        draft = moved
    again = Draft.of(HoleFiles(dict(draft.files.texts)))
    assert again.faults == ()
    assert again.tree == draft.tree
    old, new = (d.files.texts["hole.yaml"] for d in (DRAFTS[name], draft))
    assert re.findall("#.*", old) == re.findall("#.*", new)
