"""Then and now: only what changed, in words, and which way the verdicts went."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from bathybore.base.depth import Datum
from bathybore.model.editing import HoleFiles
from bathybore.model.loading import load_hole
from bathybore.model.yaml_tree import parse_tree
from bathybore.usecases.changes import (
    MOST_CELLS,
    Change,
    document_changes,
    table_changes,
    text_change,
)
from bathybore.usecases.comparing import Comparison, compare
from bathybore.usecases.ledger import DAY
from bathybore.usecases.walking import Walk, study, walk_loaded
from varied import EXAMPLES, judged_as

FOLDER = EXAMPLES / "main"
NAMES = ("hole.yaml", "earth.csv", "sea.csv", "weather.csv")


@cache
def files() -> HoleFiles:
    return HoleFiles({name: (FOLDER / name).read_text(encoding="utf-8") for name in NAMES})


def edited(name: str, old: str, new: str) -> HoleFiles:
    """Return the files of the main example with one text replaced, wherever it stands."""
    text = files().texts[name]
    assert old in text
    return HoleFiles({**files().texts, name: text.replace(old, new)})


def changes(new: HoleFiles, old: HoleFiles | None = None) -> tuple[Change, ...]:
    trees = [parse_tree(one.texts["hole.yaml"], "hole.yaml") for one in (old or files(), new)]
    return document_changes(*trees)


@pytest.fixture(scope="module")
def heavier(main_walk: Walk, tmp_path_factory: pytest.TempPathFactory) -> Comparison:
    """The main example against itself with a heavier mud in one section."""
    new = edited("hole.yaml", "density: 1.285 sg", "density: 1.30 sg")
    return compare(main_walk, walked(new, tmp_path_factory.mktemp("heavier")), files(), new)


def walked(new: HoleFiles, folder: Path) -> Walk:
    for name, text in new.texts.items():
        (folder / name).write_text(text, encoding="utf-8")
    return study(walk_loaded(load_hole(folder)))


# -- inputs ----------------------------------------------------------------------------------


def test_the_same_has_no_differences(main_walk: Walk) -> None:
    same = compare(main_walk, study(walk_loaded(main_walk.hole)), files(), files())
    assert same.inputs == ()
    assert same.verdicts == ()
    assert same.then == same.now
    assert same.days_then == same.days_now == pytest.approx(main_walk.states[-1].elapsed / DAY)


def test_a_comment_or_another_layout_is_no_change() -> None:
    assert changes(edited("hole.yaml", "flow_rate:", "flow_rate:   ")) == ()
    assert changes(edited("hole.yaml", "\nplan:", "\n# a word\nplan:")) == ()


def test_a_value_is_told_by_who_has_it(heavier: Comparison) -> None:
    assert heavier.inputs == (
        Change("plan.fluids[mud-2].density", "mud-2: density", "1.285 sg", "1.30 sg"),
    )


@pytest.mark.parametrize(
    ("old", "new", "key", "label"),
    [
        ("water_depth: 2480 m", "water_depth: 2490 m", "site.water_depth", "site: water depth"),
        (
            "shoe: 4600 m below sea bed",
            "shoe: 4590 m below sea bed",
            "plan.sections[3].casing.shoe",
            "liner-7: shoe",
        ),
        (
            "top: 3300 m below sea bed",
            "top: 3310 m below sea bed",
            "plan.sections[3].casing.cement.top",
            "liner-7, cement: top",
        ),
    ],
)
def test_labels_name_the_owner_and_the_field(old: str, new: str, key: str, label: str) -> None:
    (change,) = changes(edited("hole.yaml", old, new))
    assert (change.key, change.label) == (key, label)
    assert change.then == old.split(": ")[1]
    assert change.now == new.split(": ")[1]


def last_section() -> str:
    text = files().texts["hole.yaml"]
    start = text.index("    - name: core-hole")
    return text[start : text.index("\n  coring:", start) + 1]


def test_a_section_that_goes_is_one_change_and_coming_back_is_the_other() -> None:
    without = edited("hole.yaml", last_section(), "")
    (gone,) = changes(without)
    assert (gone.key, gone.label, gone.now) == ("plan.sections[4]", "core-hole", "")
    assert gone.then.endswith(" values")
    (back,) = changes(files(), without)
    assert (back.key, back.label, back.then, back.now) == (gone.key, gone.label, "", gone.then)


def test_a_section_put_in_between_changes_nothing_of_the_others() -> None:
    copy = last_section().replace("core-hole", "another")
    first = "    - name: top-hole"
    (new,) = changes(edited("hole.yaml", first, copy + first))
    assert (new.label, new.then) == ("another", "")


def test_a_new_name_is_one_change() -> None:
    (change,) = changes(edited("hole.yaml", "- name: core-hole", "- name: last-hole"))
    assert (change.key, change.then, change.now) == (
        "plan.sections[4].name",
        "core-hole",
        "last-hole",
    )


def test_an_optional_key_that_comes_has_no_then() -> None:
    key = "      string: coring-6\n"
    new = edited("hole.yaml", key, key + "      kick_volume: 4 m3\n")
    added = [one for one in changes(new) if one.label == "core-hole: kick volume"]
    assert [(one.then, one.now) for one in added] == [("", "4 m3")]


# -- tables ----------------------------------------------------------------------------------


def test_a_cell_is_told_by_its_depth_and_column(main_walk: Walk) -> None:
    earth = main_walk.hole.earth
    pore = earth.numbers["pore_pressure"].copy()
    pore[7] += 1e5
    now = replace(earth, numbers={**earth.numbers, "pore_pressure": pore})
    (change,) = table_changes(earth, now, "metric")
    assert change.key == "earth.csv[7].pore_pressure"
    assert f"{earth.depths[7]:g} m below sea bed: pore pressure" in change.label
    assert change.then.endswith(" MPa")
    assert change.then != change.now
    (oilfield,) = table_changes(earth, now, "oilfield")
    assert oilfield.now.endswith(" psi")


def test_a_word_and_a_row_are_told(main_walk: Walk) -> None:
    earth = main_walk.hole.earth
    words = {**earth.words, "lithology": ("ooze", *earth.words["lithology"][1:])}
    (change,) = table_changes(earth, replace(earth, words=words), "metric")
    assert (change.then, change.now) == (earth.words["lithology"][0], "ooze")
    shorter = replace(
        earth,
        numbers={name: column[:-1] for name, column in earth.numbers.items()},
        words={name: column[:-1] for name, column in earth.words.items()},
    )
    (gone,) = table_changes(earth, shorter, "metric")
    assert (gone.then, gone.now) == ("a row", "")
    assert gone.key == f"earth.csv[{len(earth.depths) - 1}]"
    (back,) = table_changes(shorter, earth, "metric")
    assert (back.then, back.now) == ("", "a row")


def test_a_column_that_goes_is_told_where_it_had_numbers(main_walk: Walk) -> None:
    earth = main_walk.hole.earth
    without = {name: c for name, c in earth.numbers.items() if name != "collapse_pressure"}
    told = table_changes(earth, replace(earth, numbers=without), "metric")
    assert len(told) == np.isfinite(earth.numbers["collapse_pressure"]).sum()
    assert all(one.now == "" and one.then.endswith(" MPa") for one in told)


def test_many_cells_are_told_as_one(main_walk: Walk) -> None:
    earth = main_walk.hole.earth
    numbers = {
        name: column * 1.01 if earth.units[name] == "Pa" else column
        for name, column in earth.numbers.items()
    }
    (change,) = table_changes(earth, replace(earth, numbers=numbers), "metric")
    count = int(change.now.split(", ")[1].split()[0])
    assert count > MOST_CELLS
    assert change.key == earth.file


# -- verdicts --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("then", "now", "told"),
    [
        ("", "a\nb\n", ("", "2 lines, 2 of them new or other")),
        ("a\nb\n", "", ("2 lines", "")),
        ("a\nb\nc\n", "a\nx\nc\n", ("3 lines", "3 lines, 1 of them new or other")),
        ("a\nb\n", "b\n", ("2 lines", "1 line, 0 of them new or other")),
    ],
)
def test_another_text_is_one_change(then: str, now: str, told: tuple[str, str]) -> None:
    assert text_change("f.yaml", "what", then, now) == (Change("f.yaml", "what", *told),)
    assert text_change("f.yaml", "what", now, now) == ()


def test_what_is_uncertain_is_among_the_inputs(main_walk: Walk) -> None:
    folder = EXAMPLES / "main"
    texts = {name: (folder / name).read_text(encoding="utf-8") for name in ("hole.yaml",)}
    more = {**texts, "uncertainty.yaml": "factors: {}\n"}
    compared = compare(main_walk, main_walk, HoleFiles(texts), HoleFiles(more))
    assert [one.key for one in compared.inputs] == ["uncertainty.yaml"]
    assert compare(main_walk, main_walk, HoleFiles(more), HoleFiles(more)).inputs == ()


def test_only_what_changed_is_told(heavier: Comparison, main_walk: Walk) -> None:
    before = {record.id: record for record in main_walk.records}
    assert heavier.verdicts
    for one in heavier.verdicts:
        assert one.then_margin == before[one.id].margin
        assert (one.then_status, one.then_margin) != (one.now_status, one.now_margin)
        assert one.question == before[one.id].question
        # a heavier mud in one section leaves the sections above it alone
        assert not one.id.startswith(("hold-station/", "drill-top-hole/", "drill-section-1712/"))


def test_a_heavier_mud_holds_more_and_presses_more(heavier: Comparison) -> None:
    by_id = {one.id: one for one in heavier.verdicts}
    low = by_id["drill-section-1214/window-low"]
    high = by_id["drill-section-1214/window-high-static"]
    assert low.better is True
    assert high.better is False
    assert low.now_margin > low.then_margin  # type: ignore[operator]
    assert high.now_margin_text != high.then_margin_text


def test_both_scenes_show_the_same_step(main_walk: Walk) -> None:
    both = compare(
        main_walk,
        main_walk,
        files(),
        files(),
        "drill-section-1214",
        "oilfield",
        Datum.SEA_BED,
    )
    for one in (both.then, both.now):
        assert (one.step, one.system, one.datum) == ("drill-section-1214", "oilfield", "sea bed")


def test_checks_that_are_new_or_gone_have_one_side(main_walk: Walk) -> None:
    fewer = judged_as(main_walk, main_walk.records[1:])
    (gone,) = compare(main_walk, fewer, files(), files()).verdicts
    assert gone.id == main_walk.records[0].id
    assert (gone.now_status, gone.now_margin, gone.now_margin_text) == ("", None, "")
    assert gone.better is None
    (new,) = compare(fewer, main_walk, files(), files()).verdicts
    assert (new.then_status, new.then_margin) == ("", None)


@pytest.fixture
def holding(main_walk: Walk) -> int:
    """Index of a record that holds."""
    return next(i for i, r in enumerate(main_walk.records) if str(r.status) == "holds" and r.margin)


@pytest.mark.parametrize(("shift", "told"), [(1e-8, False), (1e-4, True), (-1e-4, True)])
def test_a_margin_counts_as_changed_from_a_millionth_on(
    shift: float, told: bool, holding: int, main_walk: Walk
) -> None:
    record = main_walk.records[holding]
    assert record.margin is not None
    moved = replace(record, margin=record.margin * (1.0 + shift))
    records = (*main_walk.records[:holding], moved, *main_walk.records[holding + 1 :])
    found = compare(main_walk, judged_as(main_walk, records), files(), files())
    assert [one.id for one in found.verdicts] == ([record.id] if told else [])
    assert [one.better for one in found.verdicts] == ([shift > 0.0] if told else [])
